package ringout.circuit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

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
    final int[] worksAt;
    /** Places that are closed at rest and open when worked; null for none. */
    final long[] inverted;
    /** Places that are always closed; null for none. */
    final long[] closed;
    /** Places that never close; null for none. Beats {@link #closed}. */
    final long[] open;
    /** Pairs of nets that touch. */
    final int[] shorts;
    /** By line: the first register of a chain whose data is lost. */
    final int[] lostFrom;
    /** By line: what the lost registers read. */
    final boolean[] lostReadsOn;
    /** True where the firmware may drive a pin that it also reads, so that a position is active with nothing closed. */
    final boolean readsDrivenPin;
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

        int[] works = null;
        long[] invert = null;
        long[] close = null;
        long[] part = null;
        byte[] conduct = planned.conducts;
        int[] wireAtPin = null;
        boolean[] off = null;
        boolean broken = false;
        boolean repinned = false;
        boolean touched = false;
        int[] touching = planned.shorts;
        int[] lost = planned.lostFrom;
        boolean[] lostOn = planned.lostReadsOn;
        for (Fault fault : ordered) {
            if (fault instanceof Fault.ContactOpen f) {
                part = with(part, circuit.contactIndex(f.contact()), circuit.words());
            } else if (fault instanceof Fault.ContactClosed f) {
                close = with(close, circuit.contactIndex(f.contact()), circuit.words());
            } else if (fault instanceof Fault.NormallyClosed f) {
                invert = with(invert, circuit.contactIndex(f.contact()), circuit.words());
            } else if (fault instanceof Fault.ContactsExchanged f) {
                works = works == null ? identity(circuit.contactCount()) : works;
                swap(works, circuit.contactIndex(f.first()), circuit.contactIndex(f.second()));
            } else if (fault instanceof Fault.PhasesExchanged f) {
                works = works == null ? identity(circuit.contactCount()) : works;
                int[] phases = circuit.phases(f.control());
                swap(works, phases[0], phases[1]);
            } else if (fault instanceof Fault.LinesExchanged f) {
                wireAtPin = wireAtPin == null ? identity(lines) : wireAtPin;
                int first = circuit.lineIndex(f.first());
                int second = circuit.lineIndex(f.second());
                swap(wireAtPin, first, second);
                touched |= circuit.isChain(first) || circuit.isChain(second);
            } else if (fault instanceof Fault.LineOpen f) {
                off = off == null ? new boolean[lines] : off;
                off[circuit.lineIndex(f.line())] = true;
            } else if (fault instanceof Fault.LineBroken) {
                broken = true;
            } else if (fault instanceof Fault.LinesShorted f) {
                int first = circuit.netIndex(f.first());
                int second = circuit.netIndex(f.second());
                touching = Arrays.copyOf(touching, touching.length + 2);
                touching[touching.length - 2] = first;
                touching[touching.length - 1] = second;
                touched |= circuit.isChain(first) || circuit.isChain(second);
            } else if (fault instanceof Fault.WrongPin) {
                repinned = true;
            } else if (fault instanceof Fault.ChainBroken f) {
                int line = circuit.lineIndex(f.line());
                lost = lost == planned.lostFrom ? lost.clone() : lost;
                lostOn = lostOn == planned.lostReadsOn ? lostOn.clone() : lostOn;
                if (f.register() <= lost[line]) {
                    lost[line] = f.register();
                    lostOn[line] = f.readsOn();
                }
            }
        }

        // A bridge carries current whatever the diode does; a gap beats a diode that is the wrong way round.
        conduct = diodes(circuit, ordered, conduct);

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
        if (broken) {
            a = a.clone();
            b = b.clone();
            for (int line = 0; line < lines; line++) {
                int piece = line;
                for (int contact : circuit.chain(line)) {
                    if (a[contact] == line) {
                        a[contact] = piece;
                    } else if (b[contact] == line) {
                        b[contact] = piece;
                    }
                    if (isBroken(circuit, ordered, line, contact)) {
                        piece = next++;
                    }
                }
            }
        }
        int[] firmware = atPin;
        if (repinned) {
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
        worksAt = works;
        inverted = invert;
        closed = close;
        open = part;
        shorts = touching;
        lostFrom = lost;
        lostReadsOn = lostOn;
        readsDrivenPin = repinned;
        chainsTouched = touched;
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

    private static byte[] diodes(Circuit circuit, List<Fault> faults, byte[] planned) {
        byte[] result = planned;
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
                    result = result == planned ? planned.clone() : result;
                    result[at] = pass == 1 ? NOTHING : pass == 2 ? WIRE : planned[at] == A_TO_B ? B_TO_A : A_TO_B;
                }
            }
        }
        return result;
    }

    private static boolean isBroken(Circuit circuit, List<Fault> faults, int line, int contact) {
        for (Fault fault : faults) {
            if (fault instanceof Fault.LineBroken f
                    && circuit.lineIndex(f.line()) == line
                    && circuit.contactIndex(f.after()) == contact) {
                return true;
            }
        }
        return false;
    }

    private static long[] with(long[] bits, int index, int words) {
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
