package ringout.journal;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;
import ringout.check.ExtraStep;
import ringout.check.Instruction;
import ringout.check.Prompt;
import ringout.device.DeviceInfo;
import ringout.hid.Input;
import ringout.words.Texts;

/** Lines of a recording to and from objects. */
final class RecordingText {
    private static final String MAGIC = "recording";
    private static final HexFormat HEX = HexFormat.of();
    private static final byte[] REPORT_START = "{\"t\":".getBytes(StandardCharsets.US_ASCII);
    private static final byte[] REPORT_MIDDLE = ",\"r\":\"".getBytes(StandardCharsets.US_ASCII);
    private static final byte[] REPORT_END = "\"}".getBytes(StandardCharsets.US_ASCII);

    /** By ASCII code; -1 for what is no hexadecimal digit. */
    private static final byte[] HEX_VALUES = new byte[256];

    static {
        for (int i = 0; i < HEX_VALUES.length; i++) {
            HEX_VALUES[i] = (byte) (i < 128 ? Character.digit(i, 16) : -1);
        }
    }

    private static final ObjectMapper MAPPER = new ObjectMapper();

    /** A line that is no entry of a recording. */
    static final class BadLine extends Exception {
        BadLine(String message) {
            super(message);
        }
    }

    // ---------------------------------------------------------------- writing

    byte[] header(RecordingHeader header) {
        ObjectNode line = MAPPER.createObjectNode();
        line.put("ringout", MAGIC)
                .put("version", RecordingHeader.VERSION)
                .put("start", header.start().toString());
        DeviceInfo device = header.device();
        line.putObject("device")
                .put("name", device.name())
                .put("vendorId", device.vendorId())
                .put("productId", device.productId())
                .put("serial", device.serial())
                .put("path", device.path());
        line.put("descriptor", HEX.formatHex(header.descriptor()));
        header.planHash().ifPresent(hash -> line.put("plan", hash));
        device.problem().lines().findFirst().ifPresent(loss -> line.put("loss", loss));
        if (header.simulated()) {
            line.put("simulated", true);
        }
        return bytes(line);
    }

    byte[] entry(Entry entry) {
        ObjectNode line = MAPPER.createObjectNode().put("t", entry.nanos());
        if (entry instanceof Entry.Report report) {
            line.put("r", HEX.formatHex(report.bytes()));
        } else if (entry instanceof Entry.Beat beat) {
            line.put("beat", beat.reports());
        } else if (entry instanceof Entry.CheckBegan began) {
            line.put("event", "check").put("plan", began.planHash()).put("rules", began.rules());
            if (began.after() != Entry.CheckBegan.UNKNOWN) {
                line.put("after", began.after());
            }
            began.plan().ifPresent(text -> line.put("text", text));
        } else if (entry instanceof Entry.Said said) {
            line.put("event", "command").put("command", word(said.command())).put("after", said.after());
        } else if (entry instanceof Entry.Appended appended) {
            steps(line.put("event", "steps").putArray("steps"), appended.steps());
            line.put("after", appended.after());
        } else if (entry instanceof Entry.Asked asked) {
            line.put("event", "prompt").put("kind", word(asked.kind())).put("sentence", asked.sentence());
            asked.actions().forEach(line.putArray("actions")::add);
            line.put("attempt", asked.attempt());
        } else if (entry instanceof Entry.Lost lost) {
            line.put("event", "lost").put("message", lost.message());
        } else if (entry instanceof Entry.Found found) {
            line.put("event", "found")
                    .put("descriptor", HEX.formatHex(found.descriptor()))
                    .put("warning", found.warning());
        } else if (entry instanceof Entry.Noticed noticed) {
            line.put("event", "noticed").put("began", noticed.began()).put("kind", noticed.kind());
            noticed.inputs().forEach(line.putArray("inputs")::add);
            line.put("words", noticed.words());
        } else if (entry instanceof Entry.Measured measured) {
            line.put("event", "meter").put("reading", measured.reading());
        } else if (entry instanceof Entry.Clock clock) {
            line.put("event", "clock").put("wall", clock.wall().toString());
        } else if (entry instanceof Entry.Dropped dropped) {
            line.put("event", "dropped").put("count", dropped.count());
        } else if (entry instanceof Entry.Gap gap) {
            line.put("event", "gap").put("lines", gap.lines());
        } else if (entry instanceof Entry.Ended ended) {
            line.put("event", "end").put("message", ended.message());
        } else {
            return (((Entry.Unknown) entry).line() + "\n").getBytes(StandardCharsets.UTF_8);
        }
        return bytes(line);
    }

    private static void steps(ArrayNode array, List<ExtraStep> steps) {
        for (ExtraStep step : steps) {
            ObjectNode node = array.addObject();
            step.actions().forEach(node.putArray("hold")::add);
            if (step.flex()) {
                node.put("flex", true);
            }
            if (step.times() > 1) {
                node.put("times", step.times());
            }
            ArrayNode expect = node.putArray("expect");
            step.expected().forEach(input -> expect.add(input.text()));
        }
    }

    private byte[] bytes(ObjectNode line) {
        try {
            return (MAPPER.writeValueAsString(line) + "\n").getBytes(StandardCharsets.UTF_8);
        } catch (JsonProcessingException impossible) {
            throw new IllegalStateException("a tree of plain values always serialises", impossible);
        }
    }

    private static String word(Enum<?> value) {
        return value.name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    private static <E extends Enum<E>> E constant(Class<E> kind, JsonNode word) throws BadLine {
        return Arrays.stream(kind.getEnumConstants())
                .filter(constant -> word(constant).equals(word.asText()))
                .findFirst()
                .orElseThrow(() -> new BadLine(Texts.say("recording.line.no-word", word.asText())));
    }

    // ---------------------------------------------------------------- reading

    /**
     * @param file for messages
     * @throws JournalException where this is no recording, or one of a newer version
     */
    RecordingHeader header(String line, String file) throws JournalException {
        JsonNode node;
        try {
            node = MAPPER.readTree(line);
        } catch (JsonProcessingException noJson) {
            throw noRecording(file, noJson);
        }
        if (node == null || !node.isObject() || !node.path("ringout").asText().equals(MAGIC)) {
            throw noRecording(file, null);
        }
        int version = node.path("version").asInt();
        if (version > RecordingHeader.VERSION) {
            throw new JournalException(Texts.say("recording.newer", file, version, RecordingHeader.VERSION));
        }
        try {
            JsonNode device = node.path("device");
            return new RecordingHeader(
                    Instant.parse(node.path("start").asText()),
                    DeviceInfo.joystick(
                                    device.path("name").asText(),
                                    device.path("vendorId").asInt(),
                                    device.path("productId").asInt(),
                                    device.path("serial").asText(),
                                    device.path("path").asText())
                            .withAccess(true, node.path("loss").asText()),
                    HEX.parseHex(node.path("descriptor").asText()),
                    Optional.ofNullable(node.path("plan").textValue()),
                    node.path("simulated").asBoolean());
        } catch (IllegalArgumentException | DateTimeParseException damaged) {
            throw new JournalException(
                    Texts.say("recording.header", file, String.valueOf(damaged.getMessage())), damaged);
        }
    }

    private static JournalException noRecording(String file, @Nullable Throwable cause) {
        return new JournalException(Texts.say("recording.none", file), cause);
    }

    /** Reads a line without its line end. */
    Entry entry(byte[] line, int length) throws BadLine {
        return entry(line, 0, length);
    }

    /** Reads a line, without its line end, from {@code start} on. */
    Entry entry(byte[] line, int start, int length) throws BadLine {
        Entry.Report report = report(line, start, start + length);
        if (report != null) {
            return report;
        }
        String text = new String(line, start, length, StandardCharsets.UTF_8);
        try {
            JsonNode node = MAPPER.readTree(text);
            if (node == null || !node.isObject() || !node.path("t").isIntegralNumber()) {
                throw new BadLine(Texts.say("recording.line.no-object"));
            }
            return entry(node, node.path("t").asLong(), text);
        } catch (JsonProcessingException broken) {
            throw new BadLine(broken.getOriginalMessage());
        } catch (IllegalArgumentException broken) {
            throw new BadLine(String.valueOf(broken.getMessage()));
        }
    }

    /** The usual line, without building a tree: {@code {"t":123,"r":"0a1b"}}; null for any other. */
    private static Entry.@Nullable Report report(byte[] line, int start, int end) {
        if (!matches(line, start, end, REPORT_START)) {
            return null;
        }
        int digits = start + REPORT_START.length;
        int at = digits;
        long nanos = 0;
        while (at < end && line[at] >= '0' && line[at] <= '9') {
            nanos = nanos * 10 + line[at++] - '0';
        }
        if (at == digits || at - digits > 18 || !matches(line, at, end, REPORT_MIDDLE)) {
            return null;
        }
        int from = at + REPORT_MIDDLE.length;
        int to = end - REPORT_END.length;
        if (to < from || (to - from) % 2 != 0 || !matches(line, to, end, REPORT_END)) {
            return null;
        }
        byte[] bytes = new byte[(to - from) / 2];
        int wrong = 0;
        for (int i = 0; i < bytes.length; i++) {
            int high = HEX_VALUES[line[from + 2 * i] & 0xFF];
            int low = HEX_VALUES[line[from + 2 * i + 1] & 0xFF];
            wrong |= high | low;
            bytes[i] = (byte) (high << 4 | low);
        }
        return wrong < 0 ? null : new Entry.Report(nanos, bytes);
    }

    private static boolean matches(byte[] line, int at, int end, byte[] what) {
        if (at + what.length > end) {
            return false;
        }
        for (int i = 0; i < what.length; i++) {
            if (line[at + i] != what[i]) {
                return false;
            }
        }
        return true;
    }

    private static Entry entry(JsonNode node, long t, String text) throws BadLine {
        if (node.has("r")) {
            return new Entry.Report(t, HEX.parseHex(node.path("r").asText()));
        }
        if (node.has("beat")) {
            return new Entry.Beat(t, node.path("beat").asLong());
        }
        String message = node.path("message").asText();
        return switch (node.path("event").asText()) {
            case "check" ->
                new Entry.CheckBegan(
                        t,
                        node.path("plan").asText(),
                        Optional.ofNullable(node.path("text").textValue()),
                        node.path("rules").asInt(1),
                        node.path("after").asLong(Entry.CheckBegan.UNKNOWN));
            case "command" ->
                new Entry.Said(
                        t,
                        constant(Instruction.class, node.path("command")),
                        node.path("after").asLong());
            case "steps" ->
                new Entry.Appended(
                        t, steps(node.path("steps")), node.path("after").asLong());
            case "prompt" ->
                new Entry.Asked(
                        t,
                        constant(Prompt.Kind.class, node.path("kind")),
                        node.path("sentence").asText(),
                        texts(node.path("actions")),
                        node.path("attempt").asInt());
            case "lost" -> new Entry.Lost(t, message);
            case "found" ->
                new Entry.Found(
                        t,
                        HEX.parseHex(node.path("descriptor").asText()),
                        node.path("warning").asText());
            case "noticed" ->
                new Entry.Noticed(
                        t,
                        node.path("began").asLong(),
                        node.path("kind").asText(),
                        texts(node.path("inputs")),
                        node.path("words").asText());
            case "meter" -> new Entry.Measured(t, node.path("reading").asText());
            case "clock" -> new Entry.Clock(t, instant(node.path("wall").asText()));
            case "dropped" -> new Entry.Dropped(t, node.path("count").asLong());
            case "gap" -> new Entry.Gap(t, node.path("lines").asLong());
            case "end" -> new Entry.Ended(t, message);
            default -> new Entry.Unknown(t, text);
        };
    }

    private static Instant instant(String text) throws BadLine {
        try {
            return Instant.parse(text);
        } catch (DateTimeParseException wrong) {
            throw new BadLine(Texts.say("recording.line.no-moment", text));
        }
    }

    private static List<ExtraStep> steps(JsonNode array) throws BadLine {
        List<ExtraStep> steps = new ArrayList<>();
        for (JsonNode node : array) {
            TreeSet<Input> expected = new TreeSet<>();
            for (String input : texts(node.path("expect"))) {
                expected.add(
                        Input.parse(input).orElseThrow(() -> new BadLine(Texts.say("recording.line.no-input", input))));
            }
            steps.add(new ExtraStep(
                    texts(node.path("hold")),
                    expected,
                    node.path("flex").asBoolean(),
                    node.path("times").asInt(1)));
        }
        return steps;
    }

    private static List<String> texts(JsonNode array) {
        List<String> texts = new ArrayList<>();
        array.forEach(node -> texts.add(node.asText()));
        return texts;
    }
}
