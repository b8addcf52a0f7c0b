package ringout.ui.model;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import ringout.check.CheckView;
import ringout.check.CheckView.Status;
import ringout.check.Finding;
import ringout.check.Prompt;
import ringout.words.Texts;

/** What is to be heard when a check moves on, so that it can be done without looking. */
public final class Cues {
    private Cues() {}

    /** Tones that can be told apart without having learnt them. */
    public enum Tone {
        /** Noticed: go on as told. */
        TICK,
        /** A step did what the plan says. */
        RIGHT,
        /** A finding, or another answer than the planned one: asked again. */
        WRONG,
        /** Something needs hands or eyes: the box went away. */
        ATTENTION,
        /** The check is done. */
        DONE
    }

    /**
     * @param tone  empty for none
     * @param words to be spoken; empty for none
     */
    public record Cue(Optional<Tone> tone, String words) {
        static final Cue NONE = new Cue(Optional.empty(), "");
    }

    /**
     * What to sound between two snapshots of one check.
     *
     * @param before empty at the start
     */
    public static Cue between(Optional<CheckView> before, CheckView now) {
        if (before.isEmpty()) {
            return new Cue(Optional.empty(), speakable(now.prompt().sentence()));
        }
        CheckView was = before.get();
        if (was == now || was.equals(now)) {
            return Cue.NONE;
        }
        if (now.paused() != was.paused()) {
            return new Cue(
                    Optional.of(now.paused() ? Tone.ATTENTION : Tone.TICK),
                    speakable(now.prompt().sentence()));
        }
        List<Finding> fresh =
                now.findings().stream().filter(f -> !was.findings().contains(f)).toList();
        String found = fresh.stream().map(Cues::words).collect(Collectors.joining(". "));
        if (now.finished() && !was.finished()) {
            return new Cue(
                    Optional.of(fresh.isEmpty() ? Tone.DONE : Tone.WRONG),
                    join(found, Texts.say("cue.done", now.findings().size())));
        }
        boolean moved = !now.prompt().equals(was.prompt());
        String next = moved ? speakable(now.prompt().sentence()) : "";
        if (!fresh.isEmpty()) {
            return new Cue(Optional.of(Tone.WRONG), join(found, next));
        }
        if (now.done() > was.done()) {
            Status status = was.step() >= 1 && was.step() <= now.steps().size()
                    ? now.steps().get(was.step() - 1).status()
                    : Status.GOOD;
            Optional<Tone> tone = switch (status) {
                case GOOD -> Optional.of(Tone.RIGHT);
                case FAULTY -> Optional.of(Tone.WRONG);
                default -> Optional.of(Tone.TICK);
            };
            return new Cue(tone, next);
        }
        if (!moved) {
            return Cue.NONE;
        }
        if (now.step() == was.step() && now.prompt().attempt() > was.prompt().attempt()) {
            return new Cue(Optional.of(Tone.WRONG), join(Texts.say("cue.again"), next));
        }
        boolean release =
                now.prompt().kind() == Prompt.Kind.LET_GO || now.prompt().kind() == Prompt.Kind.PUT_OFF;
        return new Cue(release || now.done() < was.done() ? Optional.of(Tone.TICK) : Optional.empty(), next);
    }

    /**
     * What to sound between two pages of one hunt: every step is spoken, a probe and the plug call for attention.
     *
     * @param before empty at the start
     */
    public static Cue between(Optional<HuntModel.Page> before, HuntModel.Page now) {
        boolean same = before.isPresent()
                && before.get().stage() == now.stage()
                && before.get().card().sentence().equals(now.card().sentence());
        if (same) {
            return Cue.NONE;
        }
        Optional<Tone> tone = switch (now.stage()) {
            case CHOOSE -> Optional.empty();
            case PRESS ->
                now.card().tone() == StepModel.Tone.TROUBLE ? Optional.of(Tone.ATTENTION) : Optional.of(Tone.TICK);
            case THINK -> Optional.of(Tone.TICK);
            case UNPLUG, PROBE, PLUG_IN, STOPPED -> Optional.of(Tone.ATTENTION);
            case ANSWERS -> Optional.of(Tone.RIGHT);
            case FOUND -> Optional.of(Tone.DONE);
        };
        return new Cue(
                before.isEmpty() ? Optional.empty() : tone,
                now.stage() == HuntModel.Stage.THINK ? "" : speakable(now.card().sentence()));
    }

    private static String words(Finding finding) {
        return String.join(" " + Texts.say("reason.and") + " ", finding.controls())
                        .replace('-', ' ') + " " + finding.said();
    }

    private static String join(String first, String second) {
        return Stream.of(first, second)
                .filter(s -> !s.isEmpty())
                .map(s -> s.endsWith(".") ? s : s + ".")
                .collect(Collectors.joining(" "));
    }

    /** Names in capitals as words: voices spell capitals out. */
    public static String speakable(String sentence) {
        return Stream.of(sentence.split(" "))
                .map(w -> w.length() > 2 && w.equals(w.toUpperCase(Locale.ROOT)) ? w.toLowerCase(Locale.ROOT) : w)
                .collect(Collectors.joining(" "));
    }
}
