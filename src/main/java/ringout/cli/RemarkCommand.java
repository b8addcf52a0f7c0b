package ringout.cli;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringout.bench.PlanInUse;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.words.Texts;

/** Takes what is to be remembered of a box between two checks. */
@Command(name = "remark", mixinStandardHelpOptions = true, description = "help.remark", footer = "help.remark.more")
final class RemarkCommand implements Callable<Integer> {
    @Parameters(paramLabel = "${bundle:label.text}", arity = "0..1", descriptionKey = "help.remark.text")
    private @Nullable String text;

    @Option(names = "--plan", paramLabel = "${bundle:label.file}", required = true, descriptionKey = "help.remark.plan")
    private Path plan;

    @Option(names = "--control", paramLabel = "${bundle:label.id}", descriptionKey = "help.remark.control")
    private List<String> controls = List.of();

    @Option(names = "--replaced", descriptionKey = "help.remark.replaced")
    private boolean replaced;

    @Option(names = "--on", paramLabel = "${bundle:label.day}", descriptionKey = "help.remark.on")
    private @Nullable String day;

    @Mixin
    private JsonOutput output;

    private final KeptChecks store;

    RemarkCommand() {
        this(KeptChecks.ofUser());
    }

    RemarkCommand(KeptChecks store) {
        this.store = store;
    }

    @Override
    public Integer call() {
        if (replaced && controls.isEmpty()) {
            throw new BadInput(Texts.say("usage.needs", "--replaced", "--control"));
        }
        if (text == null && (!controls.isEmpty() || day != null)) {
            throw new BadInput(Texts.say("usage.needs", controls.isEmpty() ? "--on" : "--control", "TEXT"));
        }
        PlanInUse inUse = PlanOption.inUse(plan);
        try {
            if (text != null) {
                keep(inUse, text);
            }
            List<KeptChecks.Remark> all = kept(inUse).stream()
                    .flatMap(k -> k.remarks().stream())
                    .sorted(Comparator.comparing(KeptChecks.Remark::when))
                    .toList();
            if (output.asJson()) {
                ObjectNode document = Json.object();
                put(document.putArray("remarks"), all);
                output.print(document);
            } else {
                print(all, output.out());
            }
            return ExitCode.OK.status();
        } catch (JournalException problem) {
            throw OutFile.failure(problem);
        }
    }

    private List<KeptChecks.Kept> kept(PlanInUse inUse) throws JournalException {
        return store.all().stream()
                .filter(k -> k.planHash().equals(inUse.hash()))
                .toList();
    }

    private void keep(PlanInUse inUse, String said) throws JournalException {
        if (said.isBlank()) {
            throw new BadInput(Texts.say("remark.empty"));
        }
        for (String id : controls) {
            if (inUse.plan().control(id).isEmpty()) {
                throw new BadInput(Texts.say("remark.no-control", id));
            }
        }
        List<KeptChecks.Kept> checks = kept(inUse);
        if (checks.isEmpty()) {
            throw new BadInput(Texts.say("remark.no-check", plan));
        }
        store.remark(checks.get(checks.size() - 1), new KeptChecks.Remark(when(), controls, said.strip(), replaced));
    }

    private Instant when() {
        try {
            return Optional.ofNullable(day)
                    .map(d -> LocalDate.parse(d)
                            .atStartOfDay(ZoneId.systemDefault())
                            .toInstant())
                    .orElseGet(Instant::now);
        } catch (DateTimeException noDay) {
            throw new BadInput(Texts.say("remark.no-day", String.valueOf(day)), noDay);
        }
    }

    private static void print(List<KeptChecks.Remark> all, PrintWriter out) {
        if (all.isEmpty()) {
            out.println(Texts.say("remark.none"));
        }
        for (KeptChecks.Remark remark : all) {
            out.println(remark.when().atZone(ZoneId.systemDefault()).toLocalDate() + "  "
                    + (remark.controls().isEmpty() ? "" : String.join(", ", remark.controls()) + ": ")
                    + remark.text()
                    + (remark.replaced() ? " (" + Texts.say("remark.anew") + ")" : ""));
        }
        out.flush();
    }

    static void put(ArrayNode list, List<KeptChecks.Remark> remarks) {
        for (KeptChecks.Remark remark : remarks) {
            ObjectNode one = list.addObject().put("when", remark.when().toString());
            remark.controls().forEach(one.putArray("controls")::add);
            one.put("text", remark.text()).put("replaced", remark.replaced());
        }
    }
}
