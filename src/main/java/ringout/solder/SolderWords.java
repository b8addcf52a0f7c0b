package ringout.solder;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringout.circuit.ProbeMode;
import ringout.diagnosis.Continuity;
import ringout.naming.Names;
import ringout.words.Phrase;
import ringout.words.Texts;

/** What is said while somebody solders along. */
public final class SolderWords {
    private SolderWords() {}

    /** What to do before the iron is taken up, one sentence each; the first is to unplug. */
    public static List<Phrase> cautions() {
        return List.of(Phrase.of("solder.unplug"), Phrase.of("solder.glasses"), Phrase.of("solder.codes"));
    }

    /** How far it is. */
    public static Phrase status(Soldering at) {
        int points = at.lines().stream().mapToInt(line -> line.steps().size()).sum();
        return Phrase.of(
                "solder.status", at.done(), at.joints().size(), at.readings().size(), points);
    }

    /** The line one is at, and which wire to take; empty where one is at none. */
    public static Optional<Phrase> line(Soldering.Stage stage) {
        return lineOf(stage)
                .map(line -> Phrase.of("solder.line", line.title(), line.wire()).sentence());
    }

    /** The line one is at; empty where one is at none. */
    public static Optional<LineJoints> lineOf(Soldering.Stage stage) {
        if (stage instanceof Soldering.Solder at) {
            return Optional.of(at.line());
        } else if (stage instanceof Soldering.Measure at) {
            return Optional.of(at.line());
        } else if (stage instanceof Soldering.Wrong at) {
            return Optional.of(at.line());
        }
        return Optional.empty();
    }

    /** What is asked for now, in one sentence; of a wrong reading only what was shown, see {@link #wrong}. */
    public static Phrase asked(Soldering at) {
        Soldering.Stage stage = at.stage();
        if (stage instanceof Soldering.Before before) {
            return before.box().map(box -> Phrase.of("solder.plugged", box)).orElseGet(() -> Phrase.of("solder.begin"));
        } else if (stage instanceof Soldering.Solder solder) {
            return solder.joint().said().sentence();
        } else if (stage instanceof Soldering.Measure measure) {
            return measure(measure.sweep()).sentence();
        } else if (stage instanceof Soldering.Wrong wrong) {
            return Phrase.verbatim(wrong(wrong));
        }
        return Phrase.of("solder.end.later", ((Soldering.End) stage).later().size());
    }

    /** The same of several points without their names, to be read at a glance; see {@link #points}. */
    public static Phrase atAGlance(Continuity.Sweep sweep) {
        Continuity.Step first = sweep.steps().get(0);
        if (sweep.steps().size() == 1) {
            return measure(sweep).sentence();
        }
        Phrase stays = Names.node(sweep.stays());
        int points = sweep.steps().size();
        return switch (first.kind()) {
            case APART -> Phrase.of("solder.glance.apart", mode(first), stays, points);
            case DIODE ->
                Phrase.of("solder.glance.diode", mode(first), stays, points, Names.reading(first.good(), first.mode()));
            case LINE ->
                Phrase.of("solder.glance", mode(first), stays, points, Names.reading(first.good(), first.mode()));
        };
    }

    /** The points that the moving probe touches, in turn. */
    public static Phrase points(Continuity.Sweep sweep) {
        return Phrase.commas(
                sweep.steps().stream().map(step -> Names.node(step.red())).toList());
    }

    private static Phrase mode(Continuity.Step step) {
        return step.mode() == ProbeMode.DIODE ? Phrase.of("solder.mode.diode") : Phrase.of("solder.mode.continuity");
    }

    private static Phrase measure(Continuity.Sweep sweep) {
        Continuity.Step first = sweep.steps().get(0);
        Phrase mode = mode(first);
        if (sweep.steps().size() == 1) {
            return Phrase.of("solder.measure.one", mode, first.said());
        }
        Phrase points = points(sweep);
        Phrase stays = Names.node(sweep.stays());
        Phrase good = Names.reading(first.good(), first.mode());
        return switch (first.kind()) {
            case APART -> Phrase.of("solder.measure.apart", mode, stays, points);
            case DIODE -> Phrase.of("solder.measure.diode", mode, stays, points, good);
            case LINE -> Phrase.of("solder.measure", mode, stays, points, good);
        };
    }

    /** What was asked for and what the meter showed instead. */
    public static String wrong(Soldering.Wrong wrong) {
        return Texts.say(
                "continuity.shown",
                wrong.step().said(),
                Names.reading(wrong.shown(), wrong.step().mode()));
    }

    /** The same with what it means and which joint to solder anew. Takes as long as {@link Soldering#cause}. */
    public static Phrase wrong(Soldering at, Soldering.Wrong wrong) {
        return wrong(at.cause(wrong));
    }

    /** What a wrong reading means, and which joint to solder anew. */
    public static Phrase wrong(Soldering.Cause cause) {
        return Phrase.sentences(List.of(
                cause.said(), Phrase.of("solder.mend", cause.joint().said()).sentence()));
    }

    /** What came of it. */
    public static String end(Soldering at) {
        int later = at.stage() instanceof Soldering.End end ? end.later().size() : 0;
        int points = at.lines().stream().mapToInt(line -> line.steps().size()).sum();
        List<Phrase> said = new ArrayList<>();
        if (at.supplyShorted()) {
            said.add(Phrase.of("solder.rails"));
        }
        if (!at.wrong().isEmpty()) {
            said.add(Phrase.of("solder.end.wrong", at.wrong().size()));
        }
        if (later > 0) {
            said.add(Phrase.of("solder.end.later", later));
        }
        if (at.readings().size() < points) {
            said.add(Phrase.of("solder.end.unmeasured", points - at.readings().size()));
        }
        return said.isEmpty()
                ? Texts.say("solder.end", at.joints().size())
                : Phrase.sentences(said).text();
    }
}
