package ringout.journal;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import ringout.device.DeviceInfo;
import ringout.feel.Target;
import ringout.feel.Trial;
import ringout.files.FileTrouble;
import ringout.files.SmallFile;
import ringout.files.WholeFile;
import ringout.hid.Input;
import ringout.plan.Mount;
import ringout.words.Texts;

/** Rounds of finding by feel of every box, one small file each, as {@link KeptChecks} has checks: to be compared with later ones. */
public final class KeptRounds {
    /** The newest version this program reads, and the one it writes. */
    public static final int VERSION = 1;

    private static final String MAGIC = "feel";
    private static final int MOST_BYTES = 16 << 20;

    private final Path folder;
    private final ObjectMapper mapper = new ObjectMapper();

    /**
     * Rounds with where they came from.
     *
     * @param seed      that gave the order
     * @param recording of them; may be gone by now; empty for none
     */
    public record Kept(
            Instant when,
            String box,
            String planHash,
            long seed,
            String recording,
            List<Target> targets,
            List<Trial> trials) {
        public Kept {
            targets = List.copyOf(targets);
            trials = List.copyOf(trials);
        }
    }

    /**
     * What was found of a box.
     *
     * @param rounds in order of time
     * @param notes  files that could not be read, and why
     */
    public record Found(List<Kept> rounds, List<String> notes) {
        public Found {
            rounds = List.copyOf(rounds);
            notes = List.copyOf(notes);
        }
    }

    /** @param folder of all boxes; it need not exist yet */
    public KeptRounds(Path folder) {
        this.folder = folder;
    }

    /** Of all boxes. */
    public Path folder() {
        return folder;
    }

    /** The ones beside the folder for recordings. */
    public static KeptRounds ofUser() {
        return new KeptRounds(RecordingFolder.path().resolveSibling("feel"));
    }

    /**
     * Keeps rounds. The file is there whole or not at all.
     *
     * @return where it is
     * @throws JournalException where it cannot be written
     */
    public Path keep(DeviceInfo box, Kept kept) throws JournalException {
        Path path = folder.resolve(KeptChecks.name(box, kept.planHash()))
                .resolve(kept.when().toString().replace(':', '-') + ".json");
        ObjectNode document = mapper.createObjectNode()
                .put("ringout", MAGIC)
                .put("version", VERSION)
                .put("when", kept.when().toString())
                .put("box", kept.box())
                .put("plan", kept.planHash())
                .put("seed", kept.seed())
                .put("recording", kept.recording());
        ArrayNode targets = document.putArray("controls");
        for (Target target : kept.targets()) {
            ObjectNode node = targets.addObject().put("id", target.id()).put("label", target.label());
            target.place().ifPresent(at -> node.putArray("place").add(at.x()).add(at.y()));
            target.width().ifPresent(width -> node.put("width", width));
            ArrayNode inputs = node.putArray("inputs");
            target.inputs().forEach(input -> inputs.add(input.text()));
            node.put("stays", target.stays());
        }
        ArrayNode trials = document.putArray("trials");
        for (Trial trial : kept.trials()) {
            ObjectNode node = trials.addObject()
                    .put("round", trial.round())
                    .put("control", trial.target())
                    .put("nanos", trial.nanos())
                    .put("end", trial.end().name());
            trial.from().ifPresent(from -> node.put("from", from));
            ArrayNode wrong = node.putArray("wrong");
            trial.wrong()
                    .forEach(w -> wrong.addObject().put("control", w.control()).put("nanos", w.nanos()));
        }
        try {
            WholeFile.write(
                    path,
                    WholeFile.Existing.REPLACE,
                    mapper.writerWithDefaultPrettyPrinter().writeValueAsString(document) + "\n");
            return path;
        } catch (IOException problem) {
            throw new JournalException(Texts.say("kept.rounds.cannot-keep", path, FileTrouble.why(problem)), problem);
        }
    }

    /**
     * The rounds kept of a box.
     *
     * @param planHash of the plan in use, which knows a box without a serial number
     * @throws JournalException where the folder cannot be read
     */
    public Found of(DeviceInfo box, String planHash) throws JournalException {
        List<Kept> rounds = new ArrayList<>();
        List<String> notes = new ArrayList<>();
        Path ofBox = folder.resolve(KeptChecks.name(box, planHash));
        try (DirectoryStream<Path> files = Files.newDirectoryStream(ofBox, "*.json")) {
            for (Path file : files) {
                try {
                    rounds.add(read(file));
                } catch (JournalException | IOException | DateTimeException | IllegalArgumentException damaged) {
                    notes.add(Texts.say("kept.left-out", file, String.valueOf(damaged.getMessage())));
                }
            }
        } catch (NoSuchFileException nothingKept) {
            return new Found(List.of(), List.of());
        } catch (IOException | DirectoryIteratorException problem) {
            throw new JournalException(Texts.say("kept.rounds.unreadable", ofBox, FileTrouble.why(problem)), problem);
        }
        rounds.sort(Comparator.comparing(Kept::when));
        return new Found(rounds, notes);
    }

    private Kept read(Path file) throws JournalException, IOException {
        JsonNode document = mapper.readTree(SmallFile.text(file, MOST_BYTES));
        if (!document.path("ringout").asText().equals(MAGIC)) {
            throw new JournalException(Texts.say("kept.rounds.none"));
        }
        if (document.path("version").asInt() > VERSION) {
            throw new JournalException(Texts.say("kept.newer"));
        }
        List<Target> targets = new ArrayList<>();
        for (JsonNode node : document.path("controls")) {
            List<Input> inputs = new ArrayList<>();
            node.path("inputs").forEach(input -> Input.parse(input.asText()).ifPresent(inputs::add));
            JsonNode place = node.path("place");
            targets.add(new Target(
                    node.path("id").asText(),
                    node.path("label").asText(),
                    place.size() == 2
                            ? Optional.of(new Mount.Place(
                                    place.get(0).asDouble(), place.get(1).asDouble()))
                            : Optional.empty(),
                    node.has("width") ? Optional.of(node.path("width").asDouble()) : Optional.empty(),
                    inputs,
                    node.path("stays").asBoolean()));
        }
        List<Trial> trials = new ArrayList<>();
        for (JsonNode node : document.path("trials")) {
            List<Trial.Wrong> wrong = new ArrayList<>();
            node.path("wrong")
                    .forEach(w -> wrong.add(new Trial.Wrong(
                            w.path("control").asText(), w.path("nanos").asLong())));
            trials.add(new Trial(
                    node.path("round").asInt(),
                    node.path("control").asText(),
                    node.has("from") ? Optional.of(node.path("from").asText()) : Optional.empty(),
                    node.path("nanos").asLong(),
                    wrong,
                    Trial.End.valueOf(node.path("end").asText())));
        }
        return new Kept(
                Instant.parse(document.path("when").asText()),
                document.path("box").asText(),
                document.path("plan").asText(),
                document.path("seed").asLong(),
                document.path("recording").asText(),
                targets,
                trials);
    }
}
