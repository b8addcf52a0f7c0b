package ringout.journal;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringout.files.FileTrouble;
import ringout.files.Places;
import ringout.files.SmallFile;
import ringout.files.WholeFile;
import ringout.plan.Plan;
import ringout.solder.Act;
import ringout.words.Texts;

/**
 * What was soldered and measured along a plan, one small file each box: written anew with every answer, so that nothing is
 * lost whatever happens, and read where one goes on. A box is known by what its plan says of it, its USB ids and serial
 * number or name, so that the plan can be edited meanwhile.
 */
public final class KeptSoldering {
    /** The newest version this program reads, and the one it writes. */
    public static final int VERSION = 1;

    private static final String MAGIC = "soldering";
    private static final int MOST_BYTES = 16 << 20;

    private final Path folder;
    private final ObjectMapper mapper = new ObjectMapper();

    /** @param folder of all boxes; it need not exist yet */
    public KeptSoldering(Path folder) {
        this.folder = folder;
    }

    /** The one beside the folder for recordings. */
    public static KeptSoldering ofUser() {
        return beside(KeptChecks.ofUser());
    }

    /** The one that belongs to these checks. */
    public static KeptSoldering beside(KeptChecks checks) {
        return new KeptSoldering(checks.beside("soldering"));
    }

    /** Where the box of a plan is kept. */
    public Path file(Plan plan) {
        return folder.resolve(name(plan) + ".json");
    }

    private static String name(Plan plan) {
        Plan.Box box = plan.box();
        String id = KeptChecks.safe(box.serial().orElse(box.name()));
        String usb = box.vendor().isPresent() && box.product().isPresent()
                ? String.format(
                        Locale.ROOT,
                        "%04x-%04x-",
                        box.vendor().get(),
                        box.product().get())
                : "";
        return Places.fitting(usb + id, 40);
    }

    /**
     * Keeps what was done so far. The file is there whole or not at all.
     *
     * @throws JournalException.Unwritable where it cannot be written; what was kept before is untouched
     */
    public void keep(Plan plan, String planHash, List<Act> acts) throws JournalException {
        Path path = file(plan);
        ObjectNode document = mapper.createObjectNode()
                .put("ringout", MAGIC)
                .put("version", VERSION)
                .put("box", plan.box().name())
                .put("plan", planHash);
        ArrayNode list = document.putArray("acts");
        for (Act act : acts) {
            list.addObject()
                    .put("when", act.when().toString())
                    .put("did", act.kind().name().toLowerCase(Locale.ROOT))
                    .put("what", act.what());
        }
        try {
            WholeFile.write(path, WholeFile.Existing.REPLACE, mapper.writeValueAsString(document) + "\n");
        } catch (IOException problem) {
            throw new JournalException.Unwritable(
                    Texts.say("kept.soldering.cannot-keep", path), FileTrouble.why(problem), problem);
        }
    }

    /**
     * What was done before; nothing where it was not begun.
     *
     * @throws JournalException where it cannot be read; says what to do
     */
    public List<Act> acts(Plan plan) throws JournalException {
        Path path = file(plan);
        try {
            return read(path);
        } catch (NoSuchFileException never) {
            return List.of();
        } catch (IOException | DateTimeException | IllegalArgumentException damaged) {
            throw new JournalException(Texts.say("kept.soldering.unreadable", path, FileTrouble.why(damaged)), damaged);
        }
    }

    private List<Act> read(Path path) throws IOException, JournalException {
        JsonNode document;
        try {
            document = mapper.readTree(SmallFile.text(path, MOST_BYTES));
        } catch (JsonProcessingException damaged) {
            // Its message has a second line, with where in the source of a program.
            throw new IOException(Texts.say("kept.damaged", damaged.getOriginalMessage()), damaged);
        }
        if (!document.path("ringout").asText().equals(MAGIC)) {
            throw new JournalException(Texts.say("kept.soldering.none", path));
        }
        if (document.path("version").asInt() > VERSION) {
            throw new JournalException(Texts.say("kept.soldering.newer", path));
        }
        List<Act> acts = new ArrayList<>();
        for (JsonNode act : document.path("acts")) {
            acts.add(new Act(
                    Instant.parse(act.path("when").asText()),
                    Act.Kind.valueOf(act.path("did").asText().toUpperCase(Locale.ROOT)),
                    act.path("what").asText()));
        }
        return acts;
    }

    /**
     * Begins anew: what was kept stays beside it, under the moment it was put aside.
     *
     * @throws JournalException.Unwritable where it cannot be put aside
     */
    public void putAside(Plan plan, Instant now) throws JournalException {
        Path path = file(plan);
        try {
            if (Files.exists(path)) {
                Files.move(
                        path, folder.resolve(name(plan) + "." + now.toString().replace(':', '-') + ".json"));
            }
        } catch (IOException problem) {
            throw new JournalException.Unwritable(
                    Texts.say("kept.soldering.cannot-put-aside", path), FileTrouble.why(problem), problem);
        }
    }
}
