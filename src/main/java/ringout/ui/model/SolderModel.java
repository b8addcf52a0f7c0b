package ringout.ui.model;

import java.util.List;
import java.util.Optional;
import ringout.circuit.NodeName;
import ringout.diagnosis.Continuity;
import ringout.drawing.FaultSketch;
import ringout.solder.Joint;
import ringout.solder.LineJoints;
import ringout.solder.SolderWords;
import ringout.solder.Soldering;
import ringout.words.Phrase;
import ringout.words.Texts;

/** What the page says that guides the iron along a plan. */
public final class SolderModel {
    private SolderModel() {}

    /**
     * The card.
     *
     * @param place    how far it is, and which wire to take
     * @param sentence the one thing to do now
     * @param detail   what else to know
     * @param counts   of joints and points
     * @param trouble  true where it must not be gone on with as it is
     */
    public record Card(String place, String sentence, String detail, String counts, boolean trouble) {}

    /**
     * What is marked on the drawing.
     *
     * @param iron    where the iron goes
     * @param tips    where the meter goes, at the first of several points
     * @param control id of the control to ring; empty for none
     */
    public record Marked(Optional<NodeName> iron, Optional<FaultSketch.Tips> tips, String control) {}

    /**
     * What stands there now.
     *
     * @param cause    of a wrong reading, as soon as it is worked out
     * @param touched  when the bare board was touched under power, in words; empty where it was not
     * @param practice whether the meter is a simulated one
     */
    public static Card card(Soldering at, Optional<Soldering.Cause> cause, Optional<String> touched, boolean practice) {
        Soldering.Stage stage = at.stage();
        String counts = SolderWords.status(at).text();
        if (stage instanceof Soldering.Before before) {
            String also =
                    touched.map(when -> Texts.say("solder.touched", when) + " ").orElse("");
            return new Card(
                    practice ? Texts.say("solder.practice") : Texts.say("meter.before"),
                    before.box().isPresent() ? SolderWords.asked(at).text() : Texts.say("solder.unplug.short"),
                    also + Phrase.sentences(SolderWords.cautions()).text(),
                    counts,
                    true);
        }
        if (stage instanceof Soldering.End) {
            return new Card(
                    Texts.say("meter.end"),
                    SolderWords.end(at),
                    "",
                    counts,
                    !at.wrong().isEmpty());
        }
        String line = SolderWords.line(stage).map(Phrase::text).orElse("");
        if (stage instanceof Soldering.Wrong wrong) {
            return new Card(
                    line,
                    cause.map(c -> Texts.say("solder.mend", c.joint().said())).orElseGet(() -> Texts.say("solder.why")),
                    SolderWords.wrong(wrong) + ". "
                            + cause.map(c -> c.said().sentence().text()).orElse(""),
                    counts,
                    true);
        }
        if (stage instanceof Soldering.Solder solder) {
            LineJoints joints = solder.line();
            return new Card(
                    line,
                    SolderWords.asked(at).text(),
                    Texts.say(
                            "solder.place",
                            joints.joints().indexOf(solder.joint()) + 1,
                            joints.joints().size()),
                    counts,
                    false);
        }
        Continuity.Sweep sweep = ((Soldering.Measure) stage).sweep();
        String points = sweep.steps().size() > 1 ? Texts.say("solder.points", SolderWords.points(sweep)) + " " : "";
        return new Card(
                line,
                SolderWords.atAGlance(sweep).text(),
                points + (practice ? Texts.say("solder.practice.meter") : ""),
                counts,
                false);
    }

    /** What is marked on the drawing now. */
    public static Marked marked(Soldering at, Optional<Soldering.Cause> cause) {
        Soldering.Stage stage = at.stage();
        Optional<Joint> joint = stage instanceof Soldering.Solder solder
                ? Optional.of(solder.joint())
                : stage instanceof Soldering.Wrong ? cause.map(Soldering.Cause::joint) : Optional.empty();
        if (joint.isPresent()) {
            return new Marked(
                    at.point(joint.get()),
                    Optional.empty(),
                    joint.get().control().orElse(""));
        }
        if (stage instanceof Soldering.Measure measure) {
            return new Marked(
                    Optional.empty(),
                    Optional.of(new FaultSketch.Tips(
                            measure.sweep().steps().get(0).red(),
                            measure.sweep().stays())),
                    "");
        }
        return new Marked(Optional.empty(), Optional.empty(), "");
    }

    /** What can be answered where one point alone is measured; none where several are. */
    public static List<MeterAnswer> answers(Soldering at) {
        return at.stage() instanceof Soldering.Measure measure
                        && measure.sweep().steps().size() == 1
                ? MeterAnswer.of(measure.sweep().steps().get(0).mode())
                : List.of();
    }
}
