package ringout.ui.model;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import ringout.bench.HuntSession;
import ringout.bench.SessionView;
import ringout.check.CheckView;
import ringout.check.CheckView.Status;
import ringout.check.Instruction;
import ringout.check.KeptCheck;
import ringout.check.Prompt;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.circuit.NodeName;
import ringout.circuit.ProbeReading;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Hunt;
import ringout.diagnosis.Probe;
import ringout.drawing.FaultSketch;
import ringout.naming.Remedies;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.words.Texts;

/** What the page of a hunt says: why one control is dead, from step to step and at the end. */
public final class HuntModel {
    /** More suspicions than this drawn at once hide the loom rather than mark it. */
    private static final int MOST_DRAWN = 4;
    /** What is less likely than this is named and not drawn. */
    private static final double LEAST_DRAWN = 0.1;
    /** Of the likeliest ones that no press can tell apart; of the rest the likeliest alone. */
    private static final int MOST_ALIKE = 2;
    /** So many explanations are named for one reading. */
    private static final int MOST_IF = 3;
    /** Above this nobody need think of anything else. */
    private static final double CERTAIN = 0.9;

    private static final Set<Instruction> BY_KEY =
            Set.of(Instruction.SKIP, Instruction.REPEAT, Instruction.WRONG_PRESS);

    private HuntModel() {}

    /** What is to be done now. */
    public enum Stage {
        /** Choose the control. */
        CHOOSE,
        /** Press as asked. */
        PRESS,
        /** Wait a moment. */
        THINK,
        /** Unplug the box: a probe is next. */
        UNPLUG,
        /** Measure, and say what the meter shows. */
        PROBE,
        /** Plug the box in: a press is next. */
        PLUG_IN,
        /** It is known, or as well known as it can be. */
        FOUND,
        /** The control answers after all. */
        ANSWERS,
        /** Nothing more will come from the box. */
        STOPPED
    }

    /**
     * What one reading of the meter would say.
     *
     * @param answer the words of its button, or that the meter may show either
     * @param words  which boxes show it
     */
    public record Meaning(String answer, String words) {}

    /**
     * The page.
     *
     * @param card      the next step
     * @param meanings  what each reading would say, where a probe is asked for
     * @param suspects  what is still suspected, or what was found, the likeliest first
     * @param drawn     faults to pencil onto the loom
     * @param certain   false where those are several suspicions
     * @param tips      where to probe
     * @param controls  ids of controls at which something is suspected
     */
    public record Page(
            Stage stage,
            StepModel.Card card,
            List<Meaning> meanings,
            List<Reasoning.Card> suspects,
            List<Fault> drawn,
            boolean certain,
            Optional<FaultSketch.Tips> tips,
            Set<String> controls) {
        public Page {
            meanings = List.copyOf(meanings);
            suspects = List.copyOf(suspects);
            drawn = List.copyOf(drawn);
            controls = Set.copyOf(controls);
        }

        private static Page of(Stage stage, StepModel.Card card) {
            return new Page(stage, card, List.of(), List.of(), List.of(), true, Optional.empty(), Set.of());
        }
    }

    /** True where a hunt can be for a control: it has contacts that the box reports. */
    public static boolean huntable(Control control) {
        return control.actions().stream()
                .anyMatch(a -> !a.contacts().isEmpty() && a.input().isPresent());
    }

    /** What the hunt starts from, in a sentence. */
    public static String start(Plan plan, Optional<KeptCheck> baseline, ZoneId zone) {
        return baseline.map(check -> Texts.say(
                        "hunt.baseline",
                        check.when().atZone(zone).toLocalDate().toString(),
                        Hunt.answeredWell(check).size(),
                        plan.actions().size()))
                .orElseGet(() -> Texts.say("hunt.no-baseline"));
    }

    /**
     * The page before a control is chosen.
     *
     * @param refused a control that was chosen and cannot be hunted for
     */
    public static Page choosing(SessionView session, Optional<Control> refused) {
        if (session.link() != SessionView.Link.LIVE) {
            return away(session, Texts.say("hunt.choose.place"), List.of());
        }
        return Page.of(
                Stage.CHOOSE,
                card(
                        Texts.say("hunt.choose.place"),
                        Texts.say("hunt.choose"),
                        refused.map(c -> Texts.say("hunt.choose.refused", c.label()) + " ")
                                        .orElse("")
                                + Texts.say("hunt.choose.detail"),
                        StepModel.Tone.ASK,
                        "",
                        List.of()));
    }

    /**
     * The page of a hunt.
     *
     * @param name      what is hunted for, as it is called on the panel
     * @param unplugged true where the builder says so: not every box is seen to go
     */
    public static Page of(Plan plan, String name, HuntSession.View hunt, SessionView session, boolean unplugged) {
        List<Status> ruler = ruler(hunt);
        String place = hunt.taken() == 0
                ? Texts.say("hunt.place.first", loud(name))
                : Texts.say("hunt.place", loud(name), hunt.taken() + 1);
        if (session.link() == SessionView.Link.ENDED && hunt.state() != HuntSession.State.OVER
                || hunt.state() == HuntSession.State.OVER
                        && session.check().filter(CheckView::finished).isEmpty()) {
            return away(session, place, ruler);
        }
        Optional<CheckView> asked = session.check().filter(check -> !check.finished());
        return switch (hunt.state()) {
            case PRESS ->
                asked.isPresent()
                        ? suspecting(
                                plan,
                                hunt,
                                Stage.PRESS,
                                pressed(hunt, asked.get(), session, place, ruler),
                                Optional.empty())
                        // The step is on its way to the check, or its answer on the way here.
                        : thinking(plan, hunt, place, ruler);
            case THINKING -> thinking(plan, hunt, place, ruler);
            case PLUG_IN ->
                suspecting(
                        plan,
                        hunt,
                        Stage.PLUG_IN,
                        card(
                                place,
                                Texts.say("hunt.plug-in"),
                                Texts.say("hunt.plug-in.detail"),
                                StepModel.Tone.TROUBLE,
                                counts(hunt),
                                ruler),
                        Optional.empty());
            case PROBE -> probing(plan, hunt, unplugged || session.link() != SessionView.Link.LIVE, place, ruler);
            case OVER -> over(plan, name, hunt, ruler);
        };
    }

    /** A card that only tells. */
    private static StepModel.Card card(
            String place, String sentence, String detail, StepModel.Tone tone, String counts, List<Status> ruler) {
        return new StepModel.Card(place, sentence, detail, tone, counts, ruler, Set.of(), false, List.of());
    }

    private static Page thinking(Plan plan, HuntSession.View hunt, String place, List<Status> ruler) {
        return suspecting(
                plan,
                hunt,
                Stage.THINK,
                card(
                        place,
                        Texts.say("hunt.thinking"),
                        Texts.say("hunt.thinking.detail"),
                        StepModel.Tone.WAIT,
                        counts(hunt),
                        ruler),
                Optional.empty());
    }

    private static Page probing(Plan plan, HuntSession.View hunt, boolean unplugged, String place, List<Status> ruler) {
        Reasoning.Next next = Reasoning.next(plan, hunt.probe().orElseThrow());
        StepModel.Card card = unplugged
                ? new StepModel.Card(
                        place,
                        next.sentence(),
                        next.detail(),
                        StepModel.Tone.ASK,
                        counts(hunt),
                        ruler,
                        undo(hunt),
                        false,
                        next.answers())
                : card(
                        place,
                        Texts.say("hunt.unplug"),
                        Texts.say("hunt.unplug.detail", next.sentence()),
                        StepModel.Tone.TROUBLE,
                        counts(hunt),
                        ruler);
        return suspecting(plan, hunt, unplugged ? Stage.PROBE : Stage.UNPLUG, card, hunt.probe());
    }

    private static Set<Instruction> undo(HuntSession.View hunt) {
        return hunt.undoable() ? Set.of(Instruction.UNDO) : Set.of();
    }

    private static String loud(String name) {
        return name.toUpperCase(Locale.ROOT);
    }

    private static Page away(SessionView session, String place, List<Status> ruler) {
        boolean ended = session.link() == SessionView.Link.ENDED;
        return Page.of(
                ended ? Stage.STOPPED : Stage.PLUG_IN,
                card(
                        place,
                        ended ? Texts.say("hunt.stopped") : Texts.say("hunt.plug-in"),
                        session.message().isEmpty() ? Texts.say("step.stopped.detail") : session.message(),
                        StepModel.Tone.TROUBLE,
                        "",
                        ruler));
    }

    /** A press, as the check of the single steps asks for it. */
    private static StepModel.Card pressed(
            HuntSession.View hunt, CheckView check, SessionView session, String place, List<Status> ruler) {
        Prompt prompt = check.prompt();
        boolean paused = check.paused();
        StepModel.Tone tone = paused
                ? StepModel.Tone.TROUBLE
                : prompt.kind() == Prompt.Kind.HANDS_OFF ? StepModel.Tone.WAIT : StepModel.Tone.ASK;
        return new StepModel.Card(
                place,
                prompt.sentence(),
                paused && !session.message().isEmpty() ? session.message() : prompt.detail(),
                tone,
                counts(hunt),
                ruler,
                paused ? Set.of() : BY_KEY,
                false,
                List.of());
    }

    private static String counts(HuntSession.View hunt) {
        return hunt.taken() == 0
                ? ""
                : Texts.say("hunt.counts", hunt.taken(), Math.max(1, Math.round(hunt.expected())));
    }

    /** What was taken, the step of now, and those that are expected after it. */
    private static List<Status> ruler(HuntSession.View hunt) {
        List<Status> ruler = new ArrayList<>(hunt.trail());
        if (hunt.state() != HuntSession.State.OVER) {
            ruler.add(Status.CURRENT);
            for (long i = 1; i < Math.round(hunt.expected()); i++) {
                ruler.add(Status.WAITING);
            }
        }
        return ruler;
    }

    private static Page suspecting(
            Plan plan, HuntSession.View hunt, Stage stage, StepModel.Card card, Optional<Probe> probe) {
        List<Reasoning.Card> suspects = hunt.suspected().map(Reasoning::cards).orElse(List.of());
        List<Fault> drawn = suspects.stream()
                .filter(s -> s == suspects.get(0) || s.share() >= LEAST_DRAWN)
                .flatMap(s -> s.drawings().stream().limit(s == suspects.get(0) ? MOST_ALIKE : 1))
                .flatMap(faults -> lasting(faults).stream())
                .distinct()
                .limit(MOST_DRAWN)
                .toList();
        // Where the tips go nothing else is drawn: they are what matters now.
        Set<String> tips = probe.map(p -> Stream.of(p.pointA(), p.pointB())
                        .flatMap(node -> contact(node).stream())
                        .collect(Collectors.toSet()))
                .orElse(Set.of());
        List<Fault> beside = drawn.stream()
                .filter(f -> part(f).filter(tips::contains).isEmpty())
                .toList();
        return new Page(
                stage,
                card,
                probe.map(HuntModel::meanings).orElse(List.of()),
                suspects,
                beside,
                drawn.size() == 1,
                probe.map(p -> new FaultSketch.Tips(p.pointA(), p.pointB())),
                places(plan, drawn));
    }

    /** What each reading would say: a good box first, then the explanations that predict it. */
    static List<Meaning> meanings(Probe probe) {
        Map<ProbeReading, List<String>> by = new LinkedHashMap<>();
        probe.predict()
                .forEach((who, reading) ->
                        by.computeIfAbsent(reading, r -> new ArrayList<>()).add(who.text()));
        List<Meaning> meanings = new ArrayList<>();
        for (MeterAnswer answer : MeterAnswer.of(probe.mode())) {
            List<String> who = by.getOrDefault(answer.reading(), List.of());
            String faults = String.join("; ", who.subList(0, Math.min(MOST_IF, who.size())));
            boolean good = answer.reading() == probe.good();
            if (good || !who.isEmpty()) {
                String words =
                        answer.reading() == ProbeReading.UNCERTAIN ? Texts.say("hunt.meaning.either") : answer.words();
                meanings.add(new Meaning(
                        words,
                        good && who.isEmpty()
                                ? Texts.say("hunt.meaning.good")
                                : good
                                        ? Texts.say("hunt.meaning.both", faults)
                                        : Texts.say("hunt.meaning.fault", faults)));
            }
        }
        return meanings;
    }

    private static Page over(Plan plan, String name, HuntSession.View hunt, List<Status> ruler) {
        Optional<Diagnosis> result = hunt.result();
        if (result.isEmpty()) {
            return Page.of(
                    Stage.ANSWERS,
                    card(
                            Texts.say("hunt.over", hunt.taken()),
                            Texts.say("hunt.answers", loud(name)),
                            Texts.say("hunt.answers.detail") + " " + Texts.say("hunt.resistance"),
                            StepModel.Tone.GOOD,
                            "",
                            ruler));
        }
        List<Reasoning.Card> found = Reasoning.cards(result.get());
        if (found.isEmpty()) {
            return Page.of(
                    Stage.FOUND,
                    found(
                            Texts.say("hunt.over", hunt.taken()),
                            Texts.say("hunt.unexplained"),
                            Texts.say("step.unexplained", result.get().verdict()) + " "
                                    + Texts.say("hunt.unexplained.detail") + " " + Texts.say("hunt.resistance"),
                            hunt,
                            ruler));
        }
        Reasoning.Card first = found.get(0);
        List<Fault> faults = first.drawings().get(0);
        // What is left after the last step cannot be told apart: then it is only the likeliest that is named.
        boolean single = first.share() >= CERTAIN
                && first.drawings().stream().map(HuntModel::lasting).distinct().count() == 1;
        return new Page(
                Stage.FOUND,
                found(
                        Texts.say("hunt.over.chance", hunt.taken(), first.chance()),
                        first.text(),
                        Remedies.of(plan, faults) + (single ? "" : " " + Texts.say("hunt.else")) + " "
                                + Texts.say("step.mend", Reasoning.caution()),
                        hunt,
                        ruler),
                List.of(),
                found,
                faults,
                true,
                Optional.empty(),
                places(plan, faults));
    }

    private static StepModel.Card found(
            String place, String sentence, String detail, HuntSession.View hunt, List<Status> ruler) {
        return new StepModel.Card(
                place,
                sentence,
                detail,
                StepModel.Tone.FOUND,
                hunt.undoable() ? Texts.say("hunt.undo") : "",
                ruler,
                undo(hunt),
                false,
                List.of());
    }

    /** A fault that comes and goes counts as the same one. */
    private static List<Fault> lasting(List<Fault> faults) {
        return faults.stream().map(Fault::lasting).toList();
    }

    /** The controls at which a suspected part sits, or at whose joints a suspected piece of wire ends. */
    static Set<String> places(Plan plan, List<Fault> faults) {
        Set<String> contacts = new LinkedHashSet<>();
        faults.forEach(fault -> contacts.addAll(contacts(plan, fault)));
        return contacts.stream()
                .flatMap(id -> plan.contact(id).stream())
                .map(Contact::control)
                .collect(Collectors.toCollection(LinkedHashSet::new));
    }

    /** The contact whose switch or diode a fault is in; empty for one that is in the wires. */
    private static Optional<String> part(Fault fault) {
        return fault.kind().seat() == FaultKind.Seat.PART
                ? Optional.of(fault.contacts().get(0))
                : Optional.empty();
    }

    /** The contact at which a point of the wiring is. */
    private static Optional<String> contact(NodeName node) {
        return node instanceof NodeName.Leg leg
                ? Optional.of(leg.contact())
                : node instanceof NodeName.Joint joint ? Optional.of(joint.contact()) : Optional.empty();
    }

    /** The contacts at which a fault sits, or at whose joints a piece of wire ends that it is in; empty for none. */
    public static List<String> joints(Plan plan, Fault fault) {
        return contacts(plan, fault);
    }

    private static List<String> contacts(Plan plan, Fault fault) {
        return switch (fault.kind()) {
            case CONTACT_OPEN,
                    CONTACT_CLOSED,
                    DIODE_OPEN,
                    DIODE_SHORT,
                    DIODE_REVERSED,
                    NORMALLY_CLOSED,
                    CONTACT_WEAK,
                    CONTACT_LEAK,
                    CONTACTS_EXCHANGED -> fault.contacts();
            case LINE_OPEN, LINE_WEAK -> joints(plan, fault.lines().get(0), 0, 1);
            case LINE_BROKEN -> {
                Fault.LineBroken broken = (Fault.LineBroken) fault;
                int at = plan.line(broken.line())
                        .map(l -> l.contacts().indexOf(broken.after()))
                        .orElse(0);
                yield joints(plan, broken.line(), at, at + 2);
            }
            case INTERMITTENT -> contacts(plan, fault.lasting());
            case CHAIN_BROKEN,
                    LINES_SHORTED,
                    LINES_EXCHANGED,
                    PHASES_EXCHANGED,
                    WRONG_PIN,
                    MISORDERED,
                    SCANNED_OTHER_WAY,
                    SCAN_HURRIED,
                    SILENT,
                    LINES_LEAK,
                    PULL_LOST,
                    AXIS_OPEN,
                    AXIS_EXCHANGED,
                    AXIS_WORN,
                    AXES_EXCHANGED -> List.of();
        };
    }

    private static List<String> joints(Plan plan, String line, int from, int to) {
        List<String> contacts = plan.line(line).map(Line::contacts).orElse(List.of());
        return contacts.subList(Math.min(from, contacts.size()), Math.min(to, contacts.size()));
    }

    /** What is hunted for, as the panel calls it. */
    public static String name(Plan plan, String id) {
        return plan.control(id)
                .map(Control::label)
                .or(() -> plan.action(id).map(a -> a.words().text()))
                .orElse(id);
    }
}
