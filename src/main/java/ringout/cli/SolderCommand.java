package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.ParentCommand;
import ringout.bench.PlanInUse;
import ringout.bench.SolderedBoxes;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.ProbeMode;
import ringout.circuit.ProbeReading;
import ringout.device.DeviceException;
import ringout.device.DeviceInfo;
import ringout.diagnosis.Continuity;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.KeptSoldering;
import ringout.naming.Names;
import ringout.solder.Joint;
import ringout.solder.LineJoints;
import ringout.solder.PractiseMeter;
import ringout.solder.SolderWords;
import ringout.solder.Soldering;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Soldering a box along its plan, joint by joint, with the meter after each line. */
@Command(name = "solder", mixinStandardHelpOptions = true, description = "help.solder", footer = "help.solder.more")
final class SolderCommand implements Callable<Integer> {
    private static final DateTimeFormatter MOMENT = DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);
    /** How often the list of boxes is looked at while one is still plugged in. */
    private static final long LOOK_NANOS = 500_000_000L;

    @Parameters(paramLabel = "${bundle:label.plan}", descriptionKey = "help.option.plan-file")
    private Path plan;

    @ParentCommand
    private Ringout root;

    @Option(names = "--status", descriptionKey = "help.solder.status")
    private boolean status;

    @Option(names = "--from-start", descriptionKey = "help.solder.from-start")
    private boolean fromStart;

    @Option(names = "--practise", descriptionKey = "help.solder.practise")
    private boolean practise;

    @Option(names = "--fault", paramLabel = "${bundle:label.fault-short}", descriptionKey = "help.solder.fault")
    private List<String> faults = List.of();

    @Option(names = "--seed", paramLabel = "${bundle:label.number}", descriptionKey = "help.solder.seed")
    private long seed = 1;

    @Mixin
    private JsonOutput output;

    private Optional<PractiseMeter> meter = Optional.empty();
    private Optional<JournalException.Unwritable> unkept = Optional.empty();

    @Override
    public Integer call() throws IOException {
        if (!practise) {
            output.refuse(Texts.say("solder.only-practise"), "--fault", "--seed");
        }
        if (practise) {
            output.refuse("--practise", "--from-start");
        }
        PlanInUse inUse = PlanOption.inUse(plan);
        List<Fault> hidden = FaultOption.parse(inUse.plan(), faults);
        KeptSoldering store = KeptSoldering.ofUser();
        try {
            if (fromStart && !status) {
                store.putAside(inUse.plan(), Instant.now());
            }
            Circuit circuit = Circuit.of(inUse.plan());
            Soldering at = Soldering.of(circuit, practise ? List.of() : store.acts(inUse.plan()));
            if (at.lines().isEmpty()) {
                throw new BadInput(Texts.say("solder.nothing"));
            }
            if (output.asJson()) {
                output.print(document(inUse, at));
                return exit(at);
            }
            if (!status) {
                if (practise) {
                    meter = Optional.of(
                            hidden.isEmpty() ? PractiseMeter.hidden(circuit, seed) : PractiseMeter.of(circuit, hidden));
                }
                at = along(inUse, at, store);
            }
            output.out().println(SolderWords.status(at).text());
            at.wrong().forEach(wrong -> output.out().println("  - " + SolderWords.wrong(wrong)));
            output.out().flush();
            if (unkept.isPresent()) {
                throw unkept.get();
            }
            return exit(at);
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
    }

    private static int exit(Soldering at) {
        return (at.wrong().isEmpty() ? ExitCode.OK : ExitCode.FINDINGS).status();
    }

    // Joint by joint

    private Soldering along(PlanInUse inUse, Soldering from, KeptSoldering store) throws IOException, JournalException {
        PrintWriter out = output.out();
        BufferedReader in = Keyboard.typed();
        out.println(SolderWords.status(from).text());
        if (!practise) {
            touched(inUse).ifPresent(when -> out.println(Texts.say("solder.touched", when)));
        }
        Soldering at = look(inUse, from);
        String line = "";
        String asked = "";
        while (true) {
            Soldering.Stage stage = at.stage();
            if (stage instanceof Soldering.End end && end.later().isEmpty()) {
                out.println(SolderWords.end(at));
                return at;
            }
            String heading = SolderWords.line(stage).map(Phrase::text).orElse("");
            if (!heading.equals(line) && !heading.isEmpty()) {
                line = heading;
                out.println();
                out.println(heading);
            }
            List<String> question = question(at, stage);
            if (!String.join("\n", question).equals(asked)) {
                asked = String.join("\n", question);
                question.subList(0, question.size() - 1).forEach(out::println);
            }
            out.print(question.get(question.size() - 1) + " " + keys(stage) + " ");
            out.flush();
            String typed = output.lost() ? null : in.readLine();
            if (typed == null || typed.strip().equalsIgnoreCase("q")) {
                out.println();
                return at;
            }
            Soldering next = answer(at, typed.strip().toLowerCase(Locale.ROOT), in);
            if (!practise && !next.acts().equals(at.acts())) {
                keep(inUse, next, store);
            }
            at = at.stage() instanceof Soldering.Measure || next.stage() instanceof Soldering.Solder
                    ? look(inUse, next)
                    : next;
        }
    }

    /** Where it cannot be kept, that is said once, and tried again with the next answer. */
    private void keep(PlanInUse inUse, Soldering at, KeptSoldering store) throws JournalException {
        try {
            store.keep(inUse.plan(), inUse.hash(), at.acts());
            unkept = Optional.empty();
        } catch (JournalException.Unwritable problem) {
            if (unkept.isEmpty()) {
                output.note(Texts.say("solder.unkept", problem.getMessage()));
            }
            unkept = Optional.of(problem);
        }
    }

    private static List<String> question(Soldering at, Soldering.Stage stage) {
        List<String> lines = new ArrayList<>();
        if (stage instanceof Soldering.Before) {
            lines.addAll(Phrase.texts(SolderWords.cautions()));
            lines.replaceAll(caution -> "  - " + caution);
        }
        lines.add(
                (stage instanceof Soldering.Wrong wrong ? SolderWords.wrong(at, wrong) : SolderWords.asked(at)).text());
        return lines;
    }

    private String keys(Soldering.Stage stage) {
        if (stage instanceof Soldering.Before) {
            return "[Enter q]";
        } else if (stage instanceof Soldering.Measure measure) {
            return (measure.sweep().steps().size() > 1 ? "[Enter n s b q" : "[Enter o s b q")
                    + (practise ? " m]" : "]");
        }
        return "[Enter s b q]";
    }

    private Soldering answer(Soldering at, String typed, BufferedReader in) throws IOException {
        PrintWriter out = output.out();
        Soldering.Stage stage = at.stage();
        Instant now = Instant.now();
        switch (typed) {
            case "", "y" -> {
                if (stage instanceof Soldering.Before) {
                    return at.begin();
                } else if (stage instanceof Soldering.Solder) {
                    return at.done(now);
                } else if (stage instanceof Soldering.Measure measure) {
                    return meter.isPresent() ? simulated(at, measure, meter.get(), now) : at.good(now);
                } else if (stage instanceof Soldering.Wrong wrong) {
                    Joint joint = at.cause(wrong).joint();
                    meter = meter.map(m -> m.mended(joint));
                    return at.mended(joint, now);
                }
                return at.again(now);
            }
            case "s" -> {
                return at.skip(now);
            }
            case "b" -> {
                return at.back();
            }
            case "n", "o" -> {
                if (stage instanceof Soldering.Measure measure) {
                    return measure.sweep().steps().size() > 1
                            ? at.oneByOne()
                            : shown(at, measure.sweep().steps().get(0), typed, in, now);
                }
            }
            case "m" -> {
                if (stage instanceof Soldering.Measure measure && meter.isPresent()) {
                    return simulated(at, measure, meter.get(), now);
                }
            }
            default -> {}
        }
        out.println("      " + Texts.say("solder.type", keys(stage)));
        return at;
    }

    private Soldering shown(Soldering at, Continuity.Step step, String typed, BufferedReader in, Instant now)
            throws IOException {
        PrintWriter out = output.out();
        Optional<ProbeReading> reading = typed.equals("n") && step.mode() == ProbeMode.CONTINUITY
                ? Optional.of(step.good() == ProbeReading.BEEP ? ProbeReading.OPEN : ProbeReading.BEEP)
                : Optional.empty();
        if (reading.isEmpty()) {
            out.print("      " + Texts.say("solder.shows", MeterAnswers.readings(step.mode())) + " ");
            out.flush();
            reading = MeterAnswers.reading(step.mode(), in.readLine());
        }
        if (reading.isEmpty()) {
            out.println("      " + Texts.say("solder.no-reading"));
            return at;
        }
        return at.shows(reading.get(), now);
    }

    /** Where one of several points is wrong, each is read alone from then on. */
    private Soldering simulated(Soldering at, Soldering.Measure measure, PractiseMeter read, Instant now) {
        PrintWriter out = output.out();
        List<Continuity.Step> steps = measure.sweep().steps();
        for (Continuity.Step step : steps) {
            out.println("      " + Names.node(step.red()) + ": " + Names.reading(read.reads(step), step.mode()));
        }
        boolean good = steps.stream().allMatch(step -> read.reads(step) == step.good());
        Soldering next = good ? at.good(now) : at.oneByOne();
        for (int i = 0; !good && i < steps.size(); i++) {
            next = next.shows(read.reads(steps.get(i)), now.plusMillis(i));
        }
        return next;
    }

    // USB

    /** Where the box is plugged in, waits until it is not. */
    private Soldering look(PlanInUse inUse, Soldering at) {
        Optional<String> box = plugged(inUse);
        if (box.isEmpty()) {
            return at;
        }
        output.out().println();
        output.out().println(Texts.say("solder.plugged", box.get()));
        output.out().flush();
        while (box.isPresent() && !output.lost()) {
            root.time().park(LOOK_NANOS);
            if (Thread.currentThread().isInterrupted()) {
                throw new BadInput("interrupted");
            }
            box = plugged(inUse);
        }
        return at.plugged(Optional.of("")).plugged(Optional.empty());
    }

    private Optional<String> plugged(PlanInUse inUse) {
        if (practise) {
            return Optional.empty();
        }
        try {
            return SolderedBoxes.plugged(inUse.plan(), root.boxes().list()).map(DeviceInfo::describe);
        } catch (DeviceException unknown) {
            // Nobody can look; the cautions say it anyhow.
            return Optional.empty();
        }
    }

    private Optional<String> touched(PlanInUse inUse) {
        try {
            return SolderedBoxes.touched(inUse, KeptChecks.ofUser().bareBoards())
                    .map(when -> MOMENT.format(when.atZone(ZoneId.systemDefault())));
        } catch (JournalException problem) {
            output.note(String.valueOf(problem.getMessage()));
            return Optional.empty();
        }
    }

    // JSON

    private static ObjectNode document(PlanInUse inUse, Soldering at) {
        ObjectNode document = Json.object();
        document.put("box", inUse.plan().box().name());
        ArrayNode before = document.putArray("before");
        Phrase.texts(SolderWords.cautions()).forEach(before::add);
        document.put("done", at.done());
        document.put("joints", at.joints().size());
        ArrayNode lines = document.putArray("lines");
        for (LineJoints line : at.lines()) {
            ObjectNode node = lines.addObject().put("name", line.name());
            ArrayNode joints = node.putArray("joints");
            for (Joint joint : line.joints()) {
                joints.addObject()
                        .put("id", joint.id())
                        .put(
                                "kind",
                                joint.kind().name().toLowerCase(Locale.ROOT).replace('_', '-'))
                        .put("control", joint.control().orElse(null))
                        .put("done", at.isDone(joint))
                        .put("text", joint.said().text());
            }
            ArrayNode probes = node.putArray("probes");
            for (Continuity.Step step : line.steps()) {
                probes.addObject()
                        .put("mode", step.mode().word())
                        .put("red", step.red().written())
                        .put("black", step.black().written())
                        .put("good", step.good().word())
                        .put("shown", at.shown(step).map(ProbeReading::word).orElse(null))
                        .put("text", step.text());
            }
        }
        ArrayNode wrong = document.putArray("wrong");
        at.wrong().forEach(w -> wrong.add(SolderWords.wrong(w)));
        return document;
    }

    /** What can be typed, for the help. */
    static String answers() {
        return HelpTexts.table(7, new String[][] {
            {Texts.say("help.solder.enter"), Texts.say("help.solder.done")},
            {"n", Texts.say("help.solder.no")},
            {"o", Texts.say("help.solder.other")},
            {"m", Texts.say("help.solder.read")},
            {"s", Texts.say("help.solder.later")},
            {"b", Texts.say("help.answer.back")},
            {"q", Texts.say("help.answer.stop")},
        });
    }
}
