package ringout.hid;

import ringout.words.Phrase;

/**
 * Bytes as people write them: {@code 05 01 09 04}, {@code 05010904}, {@code 0x05, 0x01,} with {@code //} comments to
 * the end of the line.
 */
public final class HexText {
    private HexText() {}

    /**
     * Reads the bytes. Spaces, line ends and commas separate numbers; a number of one or two digits is one byte, and
     * longer ones take two digits for each byte, in the order written.
     *
     * @throws HexException naming line and column, at the offending character's index
     */
    public static byte[] parse(CharSequence text) throws HexException {
        ByteList bytes = new ByteList();
        int i = 0;
        while (i < text.length()) {
            char c = text.charAt(i);
            if (c == ',' || Character.isWhitespace(c)) {
                i++;
            } else if (startsWith(text, i, "//")) {
                while (i < text.length() && text.charAt(i) != '\n') {
                    i++;
                }
            } else {
                i = number(text, startsWith(text, i, "0x") || startsWith(text, i, "0X") ? i + 2 : i, bytes);
            }
        }
        return bytes.toArray();
    }

    /** Reads hex digits from {@code start} on; returns where they end. */
    private static int number(CharSequence text, int start, ByteList bytes) throws HexException {
        int end = start;
        while (end < text.length() && digit(text.charAt(end)) >= 0) {
            end++;
        }
        if (end < text.length() && !ends(text, end) || end == start) {
            throw error(
                    text,
                    end,
                    end == text.length()
                            ? Phrase.of("hex.end")
                            : Phrase.of("hex.no-digit", String.valueOf(text.charAt(end))));
        }
        if (end - start == 1) {
            bytes.add(digit(text.charAt(start)));
            return end;
        }
        if ((end - start) % 2 != 0) {
            throw error(text, start, Phrase.of("hex.odd", end - start));
        }
        for (int i = start; i < end; i += 2) {
            bytes.add(digit(text.charAt(i)) << 4 | digit(text.charAt(i + 1)));
        }
        return end;
    }

    private static boolean ends(CharSequence text, int at) {
        return text.charAt(at) == ',' || Character.isWhitespace(text.charAt(at)) || startsWith(text, at, "//");
    }

    /** ASCII digits only: {@link Character#digit} alone would take those of every script. */
    private static int digit(char c) {
        return c < 0x80 ? Character.digit(c, 16) : -1;
    }

    private static boolean startsWith(CharSequence text, int at, String prefix) {
        return at + prefix.length() <= text.length()
                && prefix.contentEquals(text.subSequence(at, at + prefix.length()));
    }

    private static HexException error(CharSequence text, int at, Phrase what) {
        int line = 1;
        int column = 1;
        for (int i = 0; i < at; i++) {
            column = text.charAt(i) == '\n' ? 1 : column + 1;
            line += text.charAt(i) == '\n' ? 1 : 0;
        }
        return new HexException(at, Phrase.of("hex.at", line, column, what));
    }
}
