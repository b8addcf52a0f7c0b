package ringout.circuit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * The wiring of one box with certain faults, boiled down to nets: everything that wire and solder join, whatever is
 * pressed, is one net; a contact is an edge between two.
 *
 * <p>Nets are numbered: the wire of line i from its pin end is i, then ground, then supply, then pieces cut off by
 * faults. Immutable once made.
 */
final class Loom {
    /** How a closed contact conducts between its two nets. */
    static final byte WIRE = 0;
    /** Conducts from {@code netA} to {@code netB} only. */
    static final byte A_TO_B = 1;
    /** Conducts from {@code netB} to {@code netA} only. */
    static final byte B_TO_A = 2;
    /** Does not conduct. */
    static final byte NOTHING = 3;

    /** Of {@link #keeps}: until something else brings it back; surely for a few lines, maybe through the next scan. */
    static final int FOR_GOOD = 1 << 20;
    /** So many lines on a level that nothing pulls is surely there: what leaks takes some tens of microseconds. No source. */
    static final int SURELY = 3;

    /** The pseudo-register of a chain that no break cuts. */
    private static final int UNBROKEN = Integer.MAX_VALUE;

    /** Number of nets. */
    final int nets;
    /** By line: the net at the pin the firmware uses for it. */
    final int[] pinNet;
    /** By line: the net at the pin the plan gives it. */
    final int[] solderedNet;
    /** By contact: the net on its row side, the line of a direct contact, or -1. */
    final int[] netA;
    /** By contact: the net on its column side, the rail of a direct contact, or -1. */
    final int[] netB;
    /** By contact: one of the constants above. */
    final byte[] conducts;
    /** By contact of the panel: the place of the wiring it works; null where every one works its own. */
    final int @Nullable [] worksAt;
    /** Places that are closed at rest and open when worked; null for none. */
    final long @Nullable [] inverted;
    /** Places that are always closed; null for none. */
    final long @Nullable [] closed;
    /** Places that never close; null for none. Beats {@link #closed}. */
    final long @Nullable [] open;
    /** Pairs of nets that touch. */
    final int[] shorts;
    /** By line: the first register of a chain whose data is lost. */
    final int[] lostFrom;
    /** By line: what the lost registers read. */
    final boolean[] lostReadsOn;
    /** True where the firmware may drive a pin that it also reads, so that a position is active with nothing closed. */
    final boolean readsDrivenPin;
    /** By line that is read: so many lines of the scan further on it still has its level; null where all settle at once. */
    final int @Nullable [] keeps;
    /** True where a shift chain's data line touches, or was exchanged with, anything else. */
    final boolean chainsTouched;

    /** A box as planned. */
    Loom(Circuit circuit) {
        int lines = circuit.lines();
        nets = lines + 2;
        pinNet = identity(lines);
        solderedNet = pinNet;
        netA = circuit.plannedNetA();
        netB = circuit.plannedNetB();
        conducts = circuit.plannedConducts();
        worksAt = null;
        inverted = null;
        closed = null;
        open = null;
        shorts = new int[0];
        lostFrom = new int[lines];
        Arrays.fill(lostFrom, UNBROKEN);
        lostReadsOn = new boolean[lines];
        readsDrivenPin = false;
        keeps = null;
        chainsTouched = false;
    }

    /**
     * A box with faults, none of them intermittent. Faults of one kind are applied in the order of their texts, kinds
     * in the order {@link Circuit#with} documents, so that the order of the collection does not matter.
     */
    Loom(Circuit circuit, List<Fault> faults) {
        Loom planned = circuit.planned();
        int lines = circuit.lines();
        List<Fault> ordered = inOrder(faults);

        Damage damage = new Damage(circuit, planned);
        ordered.forEach(fault -> fault.fold(damage));
        int[] wireAtPin = damage.wireAtPin;
        boolean[] off = damage.off;
        boolean touched = damage.touched;

        // A bridge carries current whatever the diode does; a gap beats a diode that is the wrong way round.
        byte[] conduct = diodes(circuit, ordered, planned.conducts, damage.scannedOtherWay);

        int next = lines + 2;
        int[] atPin = planned.pinNet;
        if (wireAtPin != null || off != null) {
            atPin = new int[lines];
            for (int pin = 0; pin < lines; pin++) {
                int wire = wireAtPin == null ? pin : wireAtPin[pin];
                atPin[pin] = off != null && off[wire] ? next++ : wire;
            }
        }
        int[] a = planned.netA;
        int[] b = planned.netB;
        if (damage.broken) {
            a = a.clone();
            b = b.clone();
            for (Map.Entry<Integer, BitSet> cut : breaks(circuit, ordered).entrySet()) {
                int line = cut.getKey();
                int piece = line;
                for (int contact : circuit.chain(line)) {
                    if (a[contact] == line) {
                        a[contact] = piece;
                    } else if (b[contact] == line) {
                        b[contact] = piece;
                    }
                    if (cut.getValue().get(contact)) {
                        piece = next++;
                    }
                }
            }
        }
        int[] firmware = atPin;
        if (damage.repinned) {
            firmware = atPin.clone();
            for (Fault fault : ordered) {
                if (fault instanceof Fault.WrongPin f) {
                    int line = circuit.lineIndex(f.line());
                    int carried = circuit.lineOnPin(f.pin());
                    firmware[line] = carried < 0 ? next++ : atPin[carried];
                    touched |= circuit.isChain(line) || carried >= 0 && circuit.isChain(carried);
                }
            }
        }
        nets = next;
        pinNet = firmware;
        solderedNet = atPin;
        netA = a;
        netB = b;
        conducts = conduct;
        worksAt = damage.works;
        inverted = damage.invert;
        closed = damage.close;
        open = damage.part;
        shorts = damage.touching;
        lostFrom = damage.lost;
        lostReadsOn = damage.lostOn;
        readsDrivenPin = damage.repinned;
        keeps = damage.keeps;
        chainsTouched = touched;
    }

    /** Collects what faults do to the wiring, but for diodes and pieces of wire, which depend on each other. */
    private static final class Damage implements Fault.Fold<Void> {
        private final Circuit circuit;
        int @Nullable [] works;
        long @Nullable [] invert;
        long @Nullable [] close;
        long @Nullable [] part;
        int @Nullable [] wireAtPin;
        boolean @Nullable [] off;
        boolean broken;
        boolean repinned;
        boolean touched;
        boolean scannedOtherWay;
        int @Nullable [] keeps;
        int[] touching;
        int[] lost;
        boolean[] lostOn;
        private final Loom planned;

        Damage(Circuit circuit, Loom planned) {
            this.circuit = circuit;
            this.planned = planned;
            touching = planned.shorts;
            lost = planned.lostFrom;
            lostOn = planned.lostReadsOn;
        }

        @Override
        public Void lineOpen(Fault.LineOpen f) {
            off = off == null ? new boolean[circuit.lines()] : off;
            off[circuit.lineIndex(f.line())] = true;
            return null;
        }

        @Override
        public Void lineBroken(Fault.LineBroken f) {
            broken = true;
            return null;
        }

        @Override
        public Void chainBroken(Fault.ChainBroken f) {
            int line = circuit.lineIndex(f.line());
            lost = lost == planned.lostFrom ? lost.clone() : lost;
            lostOn = lostOn == planned.lostReadsOn ? lostOn.clone() : lostOn;
            if (f.register() <= lost[line]) {
                lost[line] = f.register();
                lostOn[line] = f.readsOn();
            }
            return null;
        }

        @Override
        public Void contactOpen(Fault.ContactOpen f) {
            part = with(part, circuit.contactIndex(f.contact()), circuit.words());
            return null;
        }

        @Override
        public Void contactClosed(Fault.ContactClosed f) {
            close = with(close, circuit.contactIndex(f.contact()), circuit.words());
            return null;
        }

        @Override
        public Void linesShorted(Fault.LinesShorted f) {
            int first = circuit.netIndex(f.first());
            int second = circuit.netIndex(f.second());
            touching = Arrays.copyOf(touching, touching.length + 2);
            touching[touching.length - 2] = first;
            touching[touching.length - 1] = second;
            touched |= circuit.isChain(first) || circuit.isChain(second);
            return null;
        }

        @Override
        public Void linesExchanged(Fault.LinesExchanged f) {
            wireAtPin = wireAtPin == null ? identity(circuit.lines()) : wireAtPin;
            int first = circuit.lineIndex(f.first());
            int second = circuit.lineIndex(f.second());
            swap(wireAtPin, first, second);
            touched |= circuit.isChain(first) || circuit.isChain(second);
            return null;
        }

        @Override
        public Void contactsExchanged(Fault.ContactsExchanged f) {
            works = works == null ? identity(circuit.contactCount()) : works;
            swap(works, circuit.contactIndex(f.first()), circuit.contactIndex(f.second()));
            return null;
        }

        @Override
        public Void diodeOpen(Fault.DiodeOpen f) {
            return null;
        }

        @Override
        public Void diodeShort(Fault.DiodeShort f) {
            return null;
        }

        @Override
        public Void diodeReversed(Fault.DiodeReversed f) {
            return null;
        }

        @Override
        public Void phasesExchanged(Fault.PhasesExchanged f) {
            works = works == null ? identity(circuit.contactCount()) : works;
            int[] phases = circuit.phases(f.control());
            swap(works, phases[0], phases[1]);
            return null;
        }

        @Override
        public Void normallyClosed(Fault.NormallyClosed f) {
            invert = with(invert, circuit.contactIndex(f.contact()), circuit.words());
            return null;
        }

        @Override
        public Void wrongPin(Fault.WrongPin f) {
            repinned = true;
            return null;
        }

        @Override
        public Void intermittent(Fault.Intermittent f) {
            throw new IllegalArgumentException(f.text() + " is not in one state");
        }

        /** Which contact gives which input is the firmware's affair: {@link Orders}. */
        @Override
        public Void misordered(Fault.Misordered f) {
            return null;
        }

        @Override
        public Void scannedOtherWay(Fault.ScannedOtherWay f) {
            scannedOtherWay = true;
            return null;
        }

        @Override
        public Void scanHurried(Fault.ScanHurried f) {
            keeps = keeps == null ? new int[circuit.lines()] : keeps;
            for (int i = 0; i < keeps.length; i++) {
                keeps[i] = Math.max(keeps[i], f.following());
            }
            return null;
        }

        /** Nothing of it is in the wiring that a press or a meter meets. */
        @Override
        public Void silent(Fault.Silent f) {
            return null;
        }

        @Override
        public Void contactWeak(Fault.ContactWeak f) {
            throw new IllegalArgumentException(f.text() + " is not in one state");
        }

        @Override
        public Void lineWeak(Fault.LineWeak f) {
            throw new IllegalArgumentException(f.text() + " is not in one state");
        }

        @Override
        public Void linesLeak(Fault.LinesLeak f) {
            throw new IllegalArgumentException(f.text() + " is not in one state");
        }

        @Override
        public Void contactLeak(Fault.ContactLeak f) {
            throw new IllegalArgumentException(f.text() + " is not in one state");
        }

        /** Axes are outside the matrix: {@link AxisWiring}. */
        @Override
        public Void axisOpen(Fault.AxisOpen f) {
            return null;
        }

        @Override
        public Void axisExchanged(Fault.AxisExchanged f) {
            return null;
        }

        @Override
        public Void axisWorn(Fault.AxisWorn f) {
            return null;
        }

        @Override
        public Void axesExchanged(Fault.AxesExchanged f) {
            return null;
        }

        @Override
        public Void pullLost(Fault.PullLost f) {
            if (!f.keeps()) {
                throw new IllegalArgumentException(f.text() + " is not in one state");
            }
            keeps = keeps == null ? new int[circuit.lines()] : keeps;
            keeps[circuit.lineIndex(f.line())] = FOR_GOOD;
            return null;
        }
    }

    /** The faults in the order of their texts, where that can matter. */
    private static List<Fault> inOrder(List<Fault> faults) {
        int ordered = 0;
        for (Fault fault : faults) {
            if (fault instanceof Fault.LinesExchanged
                    || fault instanceof Fault.ContactsExchanged
                    || fault instanceof Fault.PhasesExchanged
                    || fault instanceof Fault.WrongPin) {
                ordered++;
            }
        }
        if (ordered < 2) {
            return faults;
        }
        List<Fault> sorted = new ArrayList<>(faults);
        sorted.sort(Comparator.comparing(Fault::text));
        return sorted;
    }

    /**
     * Which places conduct while contacts of the panel are worked.
     *
     * @param worked contacts by index
     * @param places receives the places
     */
    void closePlaces(long[] worked, long[] places) {
        closeSwitches(worked, places);
        if (open != null) {
            for (int w = 0; w < places.length; w++) {
                places[w] &= ~open[w];
            }
        }
    }

    /** As {@link #closePlaces}, leaving open contacts as if only their joints were at fault. */
    void closeSwitches(long[] worked, long[] places) {
        if (worksAt == null) {
            System.arraycopy(worked, 0, places, 0, places.length);
        } else {
            Arrays.fill(places, 0);
            for (int w = 0; w < places.length; w++) {
                for (long bits = worked[w]; bits != 0; bits &= bits - 1) {
                    int place = worksAt[(w << 6) + Long.numberOfTrailingZeros(bits)];
                    places[place >>> 6] |= 1L << place;
                }
            }
        }
        for (int w = 0; w < places.length; w++) {
            places[w] ^= inverted == null ? 0 : inverted[w];
            places[w] |= closed == null ? 0 : closed[w];
        }
    }

    private static byte[] diodes(Circuit circuit, List<Fault> faults, byte[] planned, boolean allReversed) {
        byte[] result = planned;
        if (allReversed) {
            // Seen from the contacts, to drive the other lines is to turn every diode round.
            result = planned.clone();
            for (int i = 0; i < result.length; i++) {
                result[i] = turned(planned[i]);
            }
        }
        byte[] built = result;
        for (int pass = 0; pass < 3; pass++) {
            for (Fault fault : faults) {
                String contact = null;
                if (pass == 0 && fault instanceof Fault.DiodeReversed f) {
                    contact = f.contact();
                } else if (pass == 1 && fault instanceof Fault.DiodeOpen f) {
                    contact = f.contact();
                } else if (pass == 2 && fault instanceof Fault.DiodeShort f) {
                    contact = f.contact();
                }
                if (contact != null) {
                    int at = circuit.contactIndex(contact);
                    result = result == built ? built.clone() : result;
                    result[at] = pass == 1 ? NOTHING : pass == 2 ? WIRE : turned(built[at]);
                }
            }
        }
        return result;
    }

    private static byte turned(byte conducts) {
        return conducts == A_TO_B ? B_TO_A : conducts == B_TO_A ? A_TO_B : conducts;
    }

    /** By line, the contacts behind which it is broken. */
    private static SortedMap<Integer, BitSet> breaks(Circuit circuit, List<Fault> faults) {
        SortedMap<Integer, BitSet> breaks = new TreeMap<>();
        for (Fault fault : faults) {
            if (fault instanceof Fault.LineBroken f) {
                breaks.computeIfAbsent(circuit.lineIndex(f.line()), k -> new BitSet())
                        .set(circuit.contactIndex(f.after()));
            }
        }
        return breaks;
    }

    private static long[] with(long @Nullable [] bits, int index, int words) {
        long[] result = bits == null ? new long[words] : bits;
        result[index >>> 6] |= 1L << index;
        return result;
    }

    private static void swap(int[] values, int i, int j) {
        int kept = values[i];
        values[i] = values[j];
        values[j] = kept;
    }

    static int[] identity(int length) {
        int[] result = new int[length];
        for (int i = 0; i < length; i++) {
            result[i] = i;
        }
        return result;
    }
}
