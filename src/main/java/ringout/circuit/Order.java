package ringout.circuit;

import ringout.words.Phrase;

/**
 * A rule by which a whole box is out of order while every joint is good: numbered another way than the plan, or with
 * the wires of all rows or columns soldered in another order. Which control then gives which input is worked out by
 * {@link Orders}.
 */
public sealed interface Order {
    /** The one written form. */
    String text();

    /** Tells the rules apart: one method for each, so that a new one does not compile where it has to be known. */
    interface Fold<R> {
        R shifted(Shifted order);

        R shiftedFrom(ShiftedFrom order);

        R wider(Wider order);

        R byColumns(ByColumns order);

        R mirrored(Mirrored order);

        R turned(Turned order);

        R transposed(Transposed order);

        R rotated(Rotated order);
    }

    /** What the method for this rule gives. */
    <R> R fold(Fold<R> fold);

    /** True where the firmware's table is another than the plan's, and every wire where it belongs. */
    default boolean renumbers() {
        return false;
    }

    /** Rows or columns. */
    enum Side {
        /** The row wires. */
        ROWS,
        /** The column wires. */
        COLUMNS;

        /** As it is written: {@code rows}. */
        public String word() {
            return name().toLowerCase(java.util.Locale.ROOT);
        }
    }

    /**
     * {@code numbering:shift:+1}: every button has that many more than planned.
     *
     * @param by not 0
     */
    record Shifted(int by) implements Order {
        public Shifted {
            if (by == 0) {
                throw new FaultException(Phrase.of("refused.shift-0"));
            }
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.shifted(this);
        }

        @Override
        public String text() {
            return "numbering:shift:" + signed(by);
        }

        @Override
        public boolean renumbers() {
            return true;
        }
    }

    /**
     * {@code numbering:shift:+1:from:13}: every button from that number on has that many more than planned. A number was
     * left out, or an entry of the firmware's table stands twice.
     *
     * @param by   not 0
     * @param from a planned number, 1 or more
     */
    record ShiftedFrom(int by, int from) implements Order {
        public ShiftedFrom {
            if (by == 0 || from < 1) {
                throw new FaultException(Phrase.of("refused.shift-from"));
            }
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.shiftedFrom(this);
        }

        @Override
        public String text() {
            return "numbering:shift:" + signed(by) + ":from:" + from;
        }

        @Override
        public boolean renumbers() {
            return true;
        }
    }

    /**
     * {@code numbering:wider:columns:+2}: where the plan counts along the rows, the firmware counts two columns more, so
     * that every row begins two numbers later than planned after the one before; with rows, the other way round.
     *
     * @param side of which it counts more or, below 0, fewer
     * @param by   not 0
     */
    record Wider(Side side, int by) implements Order {
        public Wider {
            if (by == 0) {
                throw new FaultException(Phrase.of("refused.wider-0"));
            }
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.wider(this);
        }

        @Override
        public String text() {
            return "numbering:wider:" + side.word() + ":" + signed(by);
        }

        @Override
        public boolean renumbers() {
            return true;
        }
    }

    /** {@code numbering:by-columns}: numbered along the columns where the plan goes along the rows, or the other way. */
    record ByColumns() implements Order {
        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.byColumns(this);
        }

        @Override
        public String text() {
            return "numbering:by-columns";
        }

        @Override
        public boolean renumbers() {
            return true;
        }
    }

    /** {@code mirrored:columns}: the first wire is where the last belongs, and so on. */
    record Mirrored(Side side) implements Order {
        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.mirrored(this);
        }

        @Override
        public String text() {
            return "mirrored:" + side.word();
        }
    }

    /** {@code mirrored:both}: rows and columns, as with a panel turned by 180 degrees. */
    record Turned() implements Order {
        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.turned(this);
        }

        @Override
        public String text() {
            return "mirrored:both";
        }
    }

    /** {@code transposed}: rows are where columns belong, so that a contact is read at the crossing of the swapped numbers. */
    record Transposed() implements Order {
        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.transposed(this);
        }

        @Override
        public String text() {
            return "transposed";
        }
    }

    /**
     * {@code rotated:columns:+1}: every wire is that many pins further on than planned, the last ones at the first pins.
     *
     * @param by not 0
     */
    record Rotated(Side side, int by) implements Order {
        public Rotated {
            if (by == 0) {
                throw new FaultException(Phrase.of("refused.rotated-0"));
            }
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.rotated(this);
        }

        @Override
        public String text() {
            return "rotated:" + side.word() + ":" + signed(by);
        }
    }

    private static String signed(int by) {
        return by > 0 ? "+" + by : Integer.toString(by);
    }
}
