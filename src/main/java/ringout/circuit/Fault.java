package ringout.circuit;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringout.plan.Plan;
import ringout.words.Phrase;

/**
 * One thing that can be wrong with a box, with its firmware's pin table, or with the order in which it was wired.
 *
 * <p>Each has one written form, {@link #text()}, which {@link #parse} reads back. Ids of contacts name <em>places</em>
 * of the plan's wiring (its joints, its switch, its diode); only {@link ContactsExchanged} and {@link PhasesExchanged}
 * say that another control works a place. Names of lines mean the wire the plan calls so, wherever it was soldered.
 *
 * <p>Records of two equal parts keep them in plan order, lines before rails; {@link #parse} and
 * {@link Circuit#singleFaults()} see to that, so that equal faults are {@code equals}.
 *
 * <p>What all faults of a kind have in common stands in {@link FaultKind}. Whatever has to know every kind goes through
 * {@link #fold} or an exhaustive switch over {@link #kind()}, neither with a default: a new kind does not compile until
 * all of them know it.
 */
public sealed interface Fault {
    /** The name of ground in {@link LinesShorted}. */
    String GROUND = "GND";

    /** The name of the supply in {@link LinesShorted}. */
    String SUPPLY = "VCC";

    /** The pin of {@link WrongPin} that stands for any pin no line is planned on. */
    String UNUSED_PIN = "unused";

    /** The one written form. */
    String text();

    /** What it has in common with all others of its kind. */
    FaultKind kind();

    /** Names of the lines whose wires or pins it is about, rails too; empty where it sits in contacts or in all of the box. */
    List<String> lines();

    /** Ids of the contacts it sits in. */
    List<String> contacts();

    /** Gives itself to the method for its kind. */
    <R> R fold(Fold<R> fold);

    /** The fault as it is while it is there: itself, unless it comes and goes. */
    default Fault lasting() {
        return this;
    }

    /**
     * The fault without resistance that one of a few kiloohms or more is at its worst, and which it may look like: an open
     * for a weak joint, a short for a leak; empty for any other, and for a lost pull, whose worst {@link Circuit} knows.
     */
    default Optional<Fault> hard() {
        return Optional.empty();
    }

    /** One answer for each kind. */
    interface Fold<R> {
        R lineOpen(LineOpen fault);

        R lineBroken(LineBroken fault);

        R chainBroken(ChainBroken fault);

        R contactOpen(ContactOpen fault);

        R contactClosed(ContactClosed fault);

        R linesShorted(LinesShorted fault);

        R linesExchanged(LinesExchanged fault);

        R contactsExchanged(ContactsExchanged fault);

        R diodeOpen(DiodeOpen fault);

        R diodeShort(DiodeShort fault);

        R diodeReversed(DiodeReversed fault);

        R phasesExchanged(PhasesExchanged fault);

        R normallyClosed(NormallyClosed fault);

        R wrongPin(WrongPin fault);

        R intermittent(Intermittent fault);

        R misordered(Misordered fault);

        R scannedOtherWay(ScannedOtherWay fault);

        R scanHurried(ScanHurried fault);

        R silent(Silent fault);

        R contactWeak(ContactWeak fault);

        R lineWeak(LineWeak fault);

        R linesLeak(LinesLeak fault);

        R contactLeak(ContactLeak fault);

        R pullLost(PullLost fault);

        R axisOpen(AxisOpen fault);

        R axisExchanged(AxisExchanged fault);

        R axisWorn(AxisWorn fault);

        R axesExchanged(AxesExchanged fault);
    }

    /**
     * Reads a fault as a person writes it.
     *
     * @throws FaultException where it names no fault of that plan; the message says what would be possible
     */
    static Fault parse(String text, Plan plan) {
        return new FaultSyntax(plan).parse(text);
    }

    /** {@code open:R2}: the wire has come off at the pin. Not for shift chains, see {@link ChainBroken}. */
    record LineOpen(String line) implements Fault {
        @Override
        public String text() {
            return "open:" + line;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.LINE_OPEN;
        }

        @Override
        public List<String> lines() {
            return List.of(line);
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.lineOpen(this);
        }
    }

    /** {@code open:R2@after:horn-low}: broken between that contact's joint and the next one away from the pin. */
    record LineBroken(String line, String after) implements Fault {
        @Override
        public String text() {
            return "open:" + line + "@after:" + after;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.LINE_BROKEN;
        }

        @Override
        public List<String> lines() {
            return List.of(line);
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.lineBroken(this);
        }
    }

    /**
     * {@code open:S1}, {@code open:S1@register:2}: the data of this and all later registers does not reach the board.
     * The input left floating reads a constant: an open contact, or with {@code @on} at the end a closed one.
     *
     * @param register from 1; 1 breaks the data line at the board
     * @param readsOn  the constant: true where every lost input reads as closed
     */
    record ChainBroken(String line, int register, boolean readsOn) implements Fault {
        @Override
        public String text() {
            return "open:" + line + (register == 1 ? "" : "@register:" + register) + (readsOn ? "@on" : "");
        }

        @Override
        public FaultKind kind() {
            return FaultKind.CHAIN_BROKEN;
        }

        @Override
        public List<String> lines() {
            return List.of(line);
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.chainBroken(this);
        }
    }

    /** {@code open:contact:horn-low}: the switch never makes, or the joint at one of its legs is open. */
    record ContactOpen(String contact) implements Fault {
        @Override
        public String text() {
            return "open:contact:" + contact;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.CONTACT_OPEN;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of(contact);
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.contactOpen(this);
        }
    }

    /** {@code closed:contact:horn-low}: the switch never opens, or its legs are bridged; a series diode still works. */
    record ContactClosed(String contact) implements Fault {
        @Override
        public String text() {
            return "closed:contact:" + contact;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.CONTACT_CLOSED;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of(contact);
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.contactClosed(this);
        }
    }

    /**
     * {@code short:R1,C2}: two wires touch where they begin, on the builder's side of the joints at the pins.
     *
     * @param second a line, or {@link #GROUND} or {@link #SUPPLY}
     */
    record LinesShorted(String first, String second) implements Fault {
        @Override
        public String text() {
            return "short:" + first + "," + second;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.LINES_SHORTED;
        }

        @Override
        public List<String> lines() {
            return List.of(first, second);
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.linesShorted(this);
        }
    }

    /** {@code exchange:R1,R2}: two wires are soldered to each other's pin. */
    record LinesExchanged(String first, String second) implements Fault {
        @Override
        public String text() {
            return "exchange:" + first + "," + second;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.LINES_EXCHANGED;
        }

        @Override
        public List<String> lines() {
            return List.of(first, second);
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.linesExchanged(this);
        }
    }

    /** {@code exchange:horn-low,horn-high}: each of two contacts is wired where the other belongs. */
    record ContactsExchanged(String first, String second) implements Fault {
        @Override
        public String text() {
            return "exchange:" + first + "," + second;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.CONTACTS_EXCHANGED;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of(first, second);
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.contactsExchanged(this);
        }
    }

    /** {@code diode-open:horn-low}: the diode is missing or has failed open, and nothing bridges the gap. */
    record DiodeOpen(String contact) implements Fault {
        @Override
        public String text() {
            return "diode-open:" + contact;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.DIODE_OPEN;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of(contact);
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.diodeOpen(this);
        }
    }

    /** {@code diode-short:horn-low}: the diode has failed short, is bridged, or a wire was fitted instead. */
    record DiodeShort(String contact) implements Fault {
        @Override
        public String text() {
            return "diode-short:" + contact;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.DIODE_SHORT;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of(contact);
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.diodeShort(this);
        }
    }

    /** {@code diode-reversed:horn-low}: the band points the wrong way. */
    record DiodeReversed(String contact) implements Fault {
        @Override
        public String text() {
            return "diode-reversed:" + contact;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.DIODE_REVERSED;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of(contact);
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.diodeReversed(this);
        }
    }

    /** {@code phases:notch}: the two phases of an encoder are exchanged. */
    record PhasesExchanged(String control) implements Fault {
        @Override
        public String text() {
            return "phases:" + control;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.PHASES_EXCHANGED;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of(control + ".a", control + ".b");
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.phasesExchanged(this);
        }
    }

    /** {@code normally-closed:horn-low}: wired to a contact that opens when the control is worked. */
    record NormallyClosed(String contact) implements Fault {
        @Override
        public String text() {
            return "normally-closed:" + contact;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.NORMALLY_CLOSED;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of(contact);
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.normallyClosed(this);
        }
    }

    /**
     * {@code wrong-pin:R2,pin 9}: the firmware's table has another pin for that line than the plan.
     *
     * @param pin as the plan writes it; {@link #UNUSED_PIN} or any pin the plan does not know carries no line
     */
    record WrongPin(String line, String pin) implements Fault {
        @Override
        public String text() {
            return "wrong-pin:" + line + "," + pin;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.WRONG_PIN;
        }

        @Override
        public List<String> lines() {
            return List.of(line);
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.wrongPin(this);
        }
    }

    /**
     * {@code intermittent:open:R2}: there at times, as with a cold joint.
     *
     * @param fault one of the opens, shorts and breaks, or a contact that sticks
     */
    record Intermittent(Fault fault) implements Fault {
        public Intermittent {
            if (!fault.kind().comesAndGoes()) {
                throw new FaultException(Phrase.of("refused.intermittent", fault.text()));
            }
        }

        @Override
        public String text() {
            return "intermittent:" + fault.text();
        }

        @Override
        public FaultKind kind() {
            return FaultKind.INTERMITTENT;
        }

        @Override
        public List<String> lines() {
            return fault.lines();
        }

        @Override
        public List<String> contacts() {
            return fault.contacts();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.intermittent(this);
        }

        @Override
        public Fault lasting() {
            return fault;
        }
    }

    /**
     * Every control gives another input than planned, by one rule: a mistake of order. Nothing is broken.
     */
    record Misordered(Order order) implements Fault {
        @Override
        public String text() {
            return order.text();
        }

        @Override
        public FaultKind kind() {
            return FaultKind.MISORDERED;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.misordered(this);
        }
    }

    /**
     * {@code scan:other-way}: diodes and the direction of the scan do not agree, be it the firmware that drives the other
     * lines, or all diodes that are the wrong way round.
     */
    record ScannedOtherWay() implements Fault {
        @Override
        public String text() {
            return "scan:other-way";
        }

        @Override
        public FaultKind kind() {
            return FaultKind.SCANNED_OTHER_WAY;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.scannedOtherWay(this);
        }
    }

    /**
     * {@code silent}: the box answers nothing at all. What is behind it, no press tells: another box was worked, a common
     * wire is off, the level or the direction of the scan is wrong.
     */
    record Silent() implements Fault {
        @Override
        public String text() {
            return "silent";
        }

        @Override
        public FaultKind kind() {
            return FaultKind.SILENT;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.silent(this);
        }
    }

    /**
     * {@code weak:contact:horn-low}: a joint or a switch of {@link Supply#WEAK_LEAST} to {@link Supply#WEAK_MOST} ohms: read
     * or not, by the pull-up and by the day.
     */
    record ContactWeak(String contact) implements Fault {
        @Override
        public String text() {
            return "weak:contact:" + contact;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.CONTACT_WEAK;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of(contact);
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.contactWeak(this);
        }

        @Override
        public Optional<Fault> hard() {
            return Optional.of(new ContactOpen(contact));
        }
    }

    /**
     * {@code weak:R2}: as {@link ContactWeak}, at the wire's joint to the pin.
     */
    record LineWeak(String line) implements Fault {
        @Override
        public String text() {
            return "weak:" + line;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.LINE_WEAK;
        }

        @Override
        public List<String> lines() {
            return List.of(line);
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.lineWeak(this);
        }

        @Override
        public Optional<Fault> hard() {
            return Optional.of(new LineOpen(line));
        }
    }

    /**
     * {@code leak:R1,C2}: flux, moisture or a whisker joins two wires with {@link Supply#LEAK_LEAST} to {@link
     * Supply#LEAK_MOST} ohms.
     *
     * @param second a line, or {@link #GROUND} or {@link #SUPPLY}
     */
    record LinesLeak(String first, String second) implements Fault {
        @Override
        public String text() {
            return "leak:" + first + "," + second;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.LINES_LEAK;
        }

        @Override
        public List<String> lines() {
            return List.of(first, second);
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.linesLeak(this);
        }

        @Override
        public Optional<Fault> hard() {
            return Optional.of(new LinesShorted(first, second));
        }
    }

    /**
     * {@code leak:contact:horn-low}: the same across an open switch.
     */
    record ContactLeak(String contact) implements Fault {
        @Override
        public String text() {
            return "leak:contact:" + contact;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.CONTACT_LEAK;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of(contact);
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.contactLeak(this);
        }

        @Override
        public Optional<Fault> hard() {
            return Optional.of(new ContactClosed(contact));
        }
    }

    /**
     * {@code scan:hurried:1}: the firmware does not wait until lines that are read have gone back to rest, so that a control
     * also gives those on its line that are read next.
     *
     * @param following lines of the scan that follow until it is at rest, from 1 on
     */
    record ScanHurried(int following) implements Fault {
        @Override
        public String text() {
            return "scan:hurried:" + following;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.SCAN_HURRIED;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.scanHurried(this);
        }
    }

    /**
     * {@code floating:C3}: nothing pulls the input of that line to its resting level.
     *
     * @param keeps true where it stays at the level that it was last brought to, as the input of a scanned line does; else
     *              it may read active of itself, or not
     */
    record PullLost(String line, boolean keeps) implements Fault {
        @Override
        public String text() {
            return "floating:" + line;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.PULL_LOST;
        }

        @Override
        public List<String> lines() {
            return List.of(line);
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.pullLost(this);
        }
    }

    /**
     * {@code axis-open:brake.ground}: one of the three wires of a potentiometer is off. Of the wiper the same is seen where
     * the firmware reads another pin.
     */
    record AxisOpen(String axis, Wire wire) implements Fault {
        /** A wire of a potentiometer. */
        public enum Wire {
            /** From the wiper to the analogue pin. */
            WIPER,
            /** From the end where the reading is lowest to ground. */
            GROUND,
            /** From the end where it is highest to the supply. */
            SUPPLY;

            /** How it is written. */
            public String word() {
                return name().toLowerCase(Locale.ROOT);
            }
        }

        @Override
        public String text() {
            return "axis-open:" + axis + "." + wire.word();
        }

        @Override
        public FaultKind kind() {
            return FaultKind.AXIS_OPEN;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.axisOpen(this);
        }
    }

    /** {@code axis-exchange:brake.ends}: two of the three wires of a potentiometer are on each other's lug. */
    record AxisExchanged(String axis, Pair pair) implements Fault {
        /** Two wires. */
        public enum Pair {
            /** Ground and supply: it reads the other way round. */
            ENDS,
            /** At one end of its travel supply and ground meet in the wiper. */
            WIPER_GROUND,
            /** Likewise. */
            WIPER_SUPPLY;

            /** How it is written. */
            public String word() {
                return name().toLowerCase(Locale.ROOT).replace('_', '-');
            }
        }

        @Override
        public String text() {
            return "axis-exchange:" + axis + "." + pair.word();
        }

        @Override
        public FaultKind kind() {
            return FaultKind.AXIS_EXCHANGED;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.axisExchanged(this);
        }
    }

    /** {@code axis-worn:brake}: places of the track are worn or dirty. */
    record AxisWorn(String axis) implements Fault {
        @Override
        public String text() {
            return "axis-worn:" + axis;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.AXIS_WORN;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.axisWorn(this);
        }
    }

    /** {@code exchange:brake,throttle}: the wipers of two axes are on each other's pin. */
    record AxesExchanged(String first, String second) implements Fault {
        @Override
        public String text() {
            return "exchange:" + first + "," + second;
        }

        @Override
        public FaultKind kind() {
            return FaultKind.AXES_EXCHANGED;
        }

        @Override
        public List<String> lines() {
            return List.of();
        }

        @Override
        public List<String> contacts() {
            return List.of();
        }

        @Override
        public <R> R fold(Fold<R> fold) {
            return fold.axesExchanged(this);
        }
    }
}
