package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneId;
import java.util.List;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.bench.Mends;
import ringout.bench.PlanInUse;
import ringout.circuit.Fault;
import ringout.circuit.FaultKind;
import ringout.diagnosis.BuilderRecord;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.naming.FaultWords;
import ringout.naming.Names;
import ringout.words.Texts;

/** Takes what a builder mended, and shows what that made of the odds. */
@Command(name = "mended", mixinStandardHelpOptions = true, description = "help.mended", footer = "help.mended.more")
final class MendedCommand implements Callable<Integer> {
    @Parameters(paramLabel = "${bundle:label.fault}", arity = "0..*", descriptionKey = "help.mended.fault")
    private List<String> faults = List.of();

    @Option(names = "--plan", paramLabel = "${bundle:label.file}", descriptionKey = "help.mended.plan")
    private Path plan;

    @Option(names = "--forget", descriptionKey = "help.mended.forget")
    private boolean forget;

    @Mixin
    private JsonOutput output;

    private final KeptChecks store;

    MendedCommand() {
        this(KeptChecks.ofUser());
    }

    MendedCommand(KeptChecks store) {
        this.store = store;
    }

    @Override
    public Integer call() {
        if (forget) {
            output.refuse("--forget", "--plan");
        }
        if (faults.isEmpty() != (plan == null)) {
            throw new BadInput(Texts.say("mended.together"));
        }
        try {
            if (forget) {
                store.forgetMends(Instant.now());
            } else if (plan != null) {
                tell();
            }
            BuilderRecord record = Mends.record(store);
            if (output.asJson()) {
                output.print(document(record));
            } else {
                print(record, output.out());
            }
            return ExitCode.OK.status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
    }

    private void tell() throws JournalException {
        PlanInUse inUse = PlanOption.inUse(plan);
        List<Fault> told = FaultOption.parse(inUse.plan(), faults);
        List<KeptChecks.Kept> found = store.all().stream()
                .filter(k -> k.planHash().equals(inUse.hash())
                        && !k.check().findings().isEmpty())
                .toList();
        if (found.isEmpty()) {
            throw new BadInput(Texts.say("mended.no-check", plan));
        }
        KeptChecks.Kept check = found.get(found.size() - 1);
        Mends.tell(store, check, told);
        output.note(Texts.say(
                "mended.kept",
                check.check()
                        .when()
                        .atZone(ZoneId.systemDefault())
                        .toLocalDate()
                        .toString(),
                new FaultWords(inUse.plan()).set(told)));
    }

    private static void print(BuilderRecord record, PrintWriter out) {
        if (record.total() == 0) {
            out.println(Texts.say("mended.nothing"));
        } else {
            out.println(Texts.say("mended.so-far", record.total()));
            new TreeMap<>(record.told())
                    .forEach((kind, times) -> out.println("  " + Texts.say("mended.told", Names.kind(kind), times)));
            out.println(Texts.say("mended.forget"));
        }
        out.flush();
    }

    private static ObjectNode document(BuilderRecord record) {
        ObjectNode document = Json.object();
        ArrayNode told = document.putArray("told");
        new TreeMap<>(record.told())
                .forEach((kind, times) ->
                        told.addObject().put("kind", code(kind)).put("times", times));
        return document;
    }

    /** For programs, in every language the same. */
    private static String code(FaultKind kind) {
        return kind.name().toLowerCase(java.util.Locale.ROOT).replace('_', ' ');
    }
}
