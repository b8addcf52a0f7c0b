package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import ringout.bench.Advisor;
import ringout.bench.PlanInUse;
import ringout.bench.Rehearsal;
import ringout.bench.RehearsalRecorder;
import ringout.check.Check;
import ringout.files.WholeFile;
import ringout.journal.JournalException;
import ringout.journal.RecordingFile;
import ringout.journal.RecordingReader;
import ringout.plan.Plan;
import ringout.simulate.Wear;
import ringout.words.Phrase;
import ringout.words.Texts;

/** Writes the recording that a builder's full check of a simulated box would give. */
@Command(
        name = "simulate",
        mixinStandardHelpOptions = true,
        description =
                "Simulates a box with the faults given and a builder who goes through the whole guided check, and "
                        + "writes the recording. The same seed gives the same reports.",
        footer = {
            "",
            "Faults are written as for the command predict.",
            "",
            "Example:",
            "  ringout simulate --plan fixtures/plans/drivers-desk.yaml --fault open:R2 --out desk.jsonl",
            "  ringout check --plan fixtures/plans/drivers-desk.yaml --replay desk.jsonl"
        })
final class SimulateCommand implements Callable<Integer> {
    @Option(names = "--plan", required = true, paramLabel = "FILE", description = "the wiring plan")
    private Path plan;

    @Option(names = "--fault", paramLabel = "FAULT", description = "what is wrong with the box; may be repeated")
    private List<String> faults = List.of();

    @Option(
            names = "--out",
            required = true,
            paramLabel = "REC",
            description = "the recording to write; an older simulation there is replaced, anything else is not")
    private Path out;

    @Option(
            names = "--seed",
            paramLabel = "N",
            description = "of everything that is chance (default: ${DEFAULT-VALUE})")
    private long seed = 1;

    @Option(
            names = "--bounce",
            paramLabel = "ID=MS",
            description = "that contact bounces for so many milliseconds; may be repeated")
    private List<String> bounce = List.of();

    @Option(
            names = "--dropout",
            paramLabel = "ID[=MS]",
            description = "that contact opens for a moment while held; may be repeated")
    private List<String> dropout = List.of();

    @Option(
            names = "--latching",
            paramLabel = "ID",
            description = "a latching switch was fitted there; may be repeated")
    private List<String> latching = List.of();

    @Option(
            names = "--momentary",
            paramLabel = "ID",
            description = "a switch that springs back was fitted there; may be repeated")
    private List<String> momentary = List.of();

    @Option(
            names = "--skip-detents",
            paramLabel = "ID=COUNT",
            description = "so many clicks of that encoder's turn give no pulse; may be repeated")
    private List<String> skipDetents = List.of();

    @Option(
            names = "--noise",
            paramLabel = "ID=STEPS",
            description =
                    "the reading of that axis has noise of this standard deviation, in steps of 1024; may be repeated")
    private List<String> noise = List.of();

    @Option(
            names = "--dead-spot",
            paramLabel = "ID=FROM-TO",
            description = "the wiper of that axis has no contact there, in percent of its travel; may be repeated")
    private List<String> deadSpot = List.of();

    @Option(
            names = "--supply",
            paramLabel = "VOLTS",
            description = "the board's supply, 3.3 or 5; without it the plan's; levels it leaves open are chance")
    private String supply = "";

    @Option(
            names = "--rate",
            paramLabel = "HZ",
            description = "how often the box may report, 1 to 8000 (default: ${DEFAULT-VALUE})")
    private int rate = 1000;

    @Option(
            names = "--slip",
            paramLabel = "SHARE",
            description = "how often the builder works the wrong control, 0 to 1 (default: ${DEFAULT-VALUE})")
    private double slip;

    @Option(names = "--prove-diodes", description = "the check also asks for the chords that prove every diode")
    private boolean proveDiodes;

    @Mixin
    private MeasureOptions measure;

    @Mixin
    private JsonOutput output;

    private int steps;
    private long reports;

    @Override
    public Integer call() {
        PlanInUse inUse = PlanOption.inUse(plan);
        Rehearsal rehearsal = rehearsal(inUse.plan());
        List<String> notes = hidden(rehearsal);
        output.tellSize(inUse.plan());
        WholeFile.Existing existing = replaceable() ? WholeFile.Existing.REPLACE : WholeFile.Existing.REFUSE;
        output.working(() -> {
            OutFile.make(out, existing, part -> record(part, rehearsal, inUse));
            return out;
        });
        print(rehearsal.time(), notes);
        return ExitCode.OK.status();
    }

    private void record(Path part, Rehearsal rehearsal, PlanInUse inUse) throws IOException {
        try (RecordingFile file = RecordingFile.replace(part, RehearsalRecorder.header(rehearsal, inUse.hash()))) {
            RehearsalRecorder recorder = new RehearsalRecorder(file, inUse);
            rehearsal.listen(recorder);
            Check check = rehearsal.start();
            rehearsal.append(measure.steps(inUse.plan()));
            if (proveDiodes) {
                rehearsal.append(Advisor.diodeProof(inUse.plan()));
            }
            rehearsal.runAdvised();
            recorder.end(rehearsal.time());
            reports = recorder.reports();
            steps = check.view().total();
            if (!file.flush()) {
                throw new IOException(file.trouble());
            }
        } catch (JournalException.Unwritable problem) {
            throw new IOException(problem.reason(), problem);
        } catch (JournalException problem) {
            throw new BadInput(problem.getMessage(), problem);
        }
    }

    private Rehearsal rehearsal(Plan known) {
        if (slip < 0 || slip > 1) {
            throw new BadInput(Texts.say("usage.outside", "--slip", String.valueOf(slip), 0, 1));
        }
        try {
            return new Rehearsal(new Rehearsal.Setup(
                    known,
                    SupplyOption.parse(known, supply),
                    FaultOption.parse(known, faults),
                    wear(),
                    rate,
                    slip,
                    seed));
        } catch (IllegalArgumentException wrong) {
            throw new BadInput(String.valueOf(wrong.getMessage()), wrong);
        }
    }

    private Wear wear() {
        Map<String, List<String>> all = new LinkedHashMap<>();
        all.put("bounce", bounce);
        all.put("dropout", dropout);
        all.put("latching", latching);
        all.put("momentary", momentary);
        all.put("skip-detents", skipDetents);
        all.put("noise", noise);
        all.put("dead-spot", deadSpot);
        Wear wear = Wear.NONE;
        for (Map.Entry<String, List<String>> kind : all.entrySet()) {
            for (String text : kind.getValue()) {
                try {
                    wear = wear.and(kind.getKey(), text);
                } catch (IllegalArgumentException wrong) {
                    throw new BadInput("--" + wrong.getMessage(), wrong);
                }
            }
        }
        return wear;
    }

    private List<String> hidden(Rehearsal rehearsal) {
        List<String> notes = new ArrayList<>();
        for (String text : bounce) {
            if (rehearsal.box().hides(Math.round(Double.parseDouble(text.split("=", 2)[1]) * 1e6))) {
                notes.add(Texts.say("simulate.hidden", text));
            }
        }
        return notes;
    }

    /** Only a simulation may take the place of a simulation: it can be made again. */
    private boolean replaceable() {
        if (!Files.exists(out)) {
            return false;
        }
        try (RecordingReader old = RecordingReader.open(out)) {
            if (old.header().simulated()) {
                return true;
            }
        } catch (JournalException none) {
            // As any other file.
        }
        throw new BadInput(Texts.say("simulate.there", out));
    }

    private void print(long nanos, List<String> notes) {
        notes.forEach(output::note);
        PrintWriter print = output.out();
        if (output.asJson()) {
            ObjectNode document = Json.object();
            document.put("recording", out.toString())
                    .put("steps", steps)
                    .put("reports", reports)
                    .put("seconds", nanos / 1e9);
            ArrayNode list = document.putArray("notes");
            notes.forEach(list::add);
            output.print(document);
        } else {
            print.println(Texts.say(
                    "simulate.done",
                    String.valueOf(steps),
                    String.valueOf(reports),
                    Phrase.decimal(nanos / 1e9, 1),
                    out));
            print.flush();
        }
    }
}
