package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.time.ZoneId;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import ringout.bench.HuntSession;
import ringout.bench.Listening;
import ringout.bench.Mailbox;
import ringout.bench.PlanInUse;
import ringout.bench.Session;
import ringout.check.Instruction;
import ringout.check.KeptCheck;
import ringout.check.Prompt;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.device.Time;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Hunt;
import ringout.diagnosis.Probe;
import ringout.journal.KeptChecks;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.words.Texts;

/** The hunt for what is wrong with one control, in a terminal. */
final class HuntRun {
    private static final long NAP_MILLIS = 200;

    private final PlanInUse judgedBy;
    private final Plan plan;
    private final String id;
    private final List<Action> actions;
    private final JsonOutput output;
    private final Terminal terminal;
    private final boolean keyboard = Keyboard.present();
    private final Mailbox<HuntSession.View> views;
    private final TypedAhead typed = new TypedAhead();
    private boolean told;
    /** Steps taken when a probe was asked for last: what is known of it may come again. */
    private int probedAfter = -1;

    HuntRun(PlanInUse plan, String id, List<Action> actions, JsonOutput output, Time time) {
        judgedBy = plan;
        this.plan = plan.plan();
        this.id = id;
        this.actions = actions;
        this.output = output;
        terminal = new Terminal(output.talk());
        views = new Mailbox<>(time);
    }

    /** Runs to the end, and prints what is wrong. */
    ExitCode run(Session session, Optional<KeptChecks.Kept> baseline) throws InterruptedException {
        terminal.say(Texts.say("hunt.terminal.begin", names(), actions.size()));
        baseline.map(KeptChecks.Kept::check).ifPresent(this::say);
        if (keyboard) {
            typed.read();
        }
        try (Listening shown = session.listen(view -> view.check()
                        .filter(c -> c.prompt().kind() != Prompt.Kind.DONE)
                        .ifPresent(c -> terminal.show(c, view.message())));
                HuntSession hunt =
                        HuntSession.start(session, judgedBy, id, baseline.map(KeptChecks.Kept::check), views)) {
            HuntSession.View view = hunt.view();
            while (view.state() != HuntSession.State.OVER) {
                Optional<HuntSession.View> next = views.take(NAP_MILLIS);
                if (next.isPresent()) {
                    view = next.get();
                    show(view);
                }
                if (output.lost() || !keepOn(view, next.isPresent(), session, hunt)) {
                    break;
                }
            }
            return finish(view);
        }
    }

    private String names() {
        return actions.stream()
                .map(a -> a.words().text())
                .collect(Collectors.joining(", "))
                .toUpperCase(Locale.ROOT);
    }

    private void say(KeptCheck check) {
        int well = Hunt.answeredWell(check).size();
        terminal.say(Texts.say(
                "hunt.terminal.before",
                check.when().atZone(ZoneId.systemDefault()).toLocalDate().toString(),
                well,
                plan.actions().size()));
    }

    private void show(HuntSession.View view) {
        switch (view.state()) {
            case PRESS, PROBE -> {
                if (!told) {
                    told = true;
                    terminal.say(Texts.say("hunt.terminal.dead", Math.max(1, Math.round(view.expected()))));
                }
            }
            case PLUG_IN -> terminal.say(Texts.say("hunt.terminal.plug-in"));
            case THINKING, OVER -> {}
        }
    }

    /** Passes on what was typed; false where the builder ends it. */
    private boolean keepOn(HuntSession.View view, boolean fresh, Session session, HuntSession hunt)
            throws InterruptedException {
        if (view.state() == HuntSession.State.PROBE && fresh && view.taken() != probedAfter) {
            probedAfter = view.taken();
            return probe(view, hunt);
        }
        // Where there is no keyboard, all that comes in is for the probes.
        String line = keyboard ? typed.poll().orElse("").toLowerCase(Locale.ROOT) : "";
        switch (line) {
            case "s" -> session.command(Instruction.SKIP);
            case "r" -> session.command(Instruction.REPEAT);
            case "w" -> session.command(Instruction.WRONG_PRESS);
            default -> {}
        }
        return !line.equals("q");
    }

    private boolean probe(HuntSession.View view, HuntSession hunt) throws InterruptedException {
        Probe probe = view.probe().orElseThrow();
        terminal.say(probe.text());
        typed.read();
        while (true) {
            terminal.ask("  "
                    + (view.undoable()
                            ? Texts.say("hunt.terminal.shows.undo", MeterAnswers.readings(probe.mode()))
                            : Texts.say("hunt.terminal.shows", MeterAnswers.readings(probe.mode())))
                    + " ");
            String line = output.lost() ? TypedAhead.END : typed.take().toLowerCase(Locale.ROOT);
            terminal.say("");
            Optional<ProbeReading> reading = switch (line) {
                case "y" -> Optional.of(probe.good());
                case "n" -> opposite(probe);
                case "?" -> Optional.of(ProbeReading.UNCERTAIN);
                default -> MeterAnswers.reading(probe.mode(), line);
            };
            if (reading.isPresent()) {
                hunt.answer(probe, reading.get());
                return true;
            } else if (line.equals("s")) {
                hunt.skip(probe);
                return true;
            } else if (line.equals("u") && view.undoable()) {
                hunt.undo();
                return true;
            } else if (line.equals("q") || line.equals(TypedAhead.END)) {
                return false;
            }
            terminal.say("  "
                    + (line.equals("n") ? Texts.say("hunt.terminal.several") : Texts.say("hunt.terminal.none-of")));
        }
    }

    /** What "not so" can only mean on continuity. */
    private static Optional<ProbeReading> opposite(Probe probe) {
        return probe.mode() != ProbeMode.CONTINUITY
                ? Optional.empty()
                : Optional.of(probe.good() == ProbeReading.BEEP ? ProbeReading.OPEN : ProbeReading.BEEP);
    }

    private ExitCode finish(HuntSession.View view) {
        PrintWriter out = output.out();
        terminal.end();
        boolean over = view.state() == HuntSession.State.OVER;
        if (output.asJson()) {
            ObjectNode document = Json.object()
                    .put("box", plan.box().name())
                    .put("hunt", id)
                    .put("steps", view.taken())
                    .put("over", over);
            ArrayNode explanations = document.putArray("explanations");
            view.result().ifPresent(d -> ExplanationText.put(explanations, d));
            output.print("hunt", document);
        } else if (!over) {
            out.println(Texts.say("hunt.terminal.ended", view.taken()));
        } else if (view.result().isEmpty()) {
            out.println(Texts.say(
                            "hunt.terminal.answers",
                            names(),
                            actions.size(),
                            actions.get(0).id()) + " " + Texts.say("hunt.resistance"));
        } else {
            out.println(Texts.say("hunt.terminal.after", view.taken()));
            print(out, view.result().get());
        }
        out.flush();
        boolean good = over && view.result().isEmpty();
        return good ? ExitCode.OK : ExitCode.FINDINGS;
    }

    private void print(PrintWriter out, Diagnosis diagnosis) {
        ExplanationText.print(out, plan, diagnosis, false);
        if (diagnosis.explanations().isEmpty()) {
            out.println(Texts.say("hunt.resistance"));
        }
        out.println();
        out.println(Texts.say("hunt.terminal.mend"));
    }
}
