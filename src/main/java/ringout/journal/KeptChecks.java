package ringout.journal;

import com.fasterxml.jackson.core.JsonProcessingException;
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
import java.util.Locale;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.check.KeptCheck;
import ringout.device.DeviceInfo;
import ringout.files.FileTrouble;
import ringout.files.Places;
import ringout.files.SmallFile;
import ringout.files.WholeFile;
import ringout.words.Texts;

/**
 * The finished checks of every box, one small file each: the newest is the baseline that a later check is compared with,
 * all of them together show a trend. A box is known by its USB ids and serial number, or, where it has no serial, by its
 * USB ids and the plan.
 */
public final class KeptChecks {
    /** The newest version this program reads, and the one it writes. */
    public static final int VERSION = 1;

    private static final String MAGIC = "check";
    /** Far more than the check of any box takes. */
    private static final int MOST_BYTES = 16 << 20;

    private final Path folder;
    private final boolean practice;
    private final ObjectMapper mapper = new ObjectMapper();

    /**
     * A check with where it came from.
     *
     * @param box       the box' name then
     * @param planHash  of the plan it was checked against
     * @param recording the recording it was taken from; may be gone by now
     * @param readings  what a meter showed, as a recording has it
     * @param explained the likeliest explanation: sets of faults that look alike, as they are written
     * @param mended    what the builder said afterwards that it was
     * @param remarks   what else was said of the box since, in order of writing
     */
    public record Kept(
            KeptCheck check,
            String box,
            String planHash,
            String recording,
            List<String> readings,
            List<List<String>> explained,
            List<Mend> mended,
            List<Remark> remarks) {
        public Kept {
            readings = List.copyOf(readings);
            explained = explained.stream().map(List::copyOf).toList();
            mended = List.copyOf(mended);
            remarks = List.copyOf(remarks);
        }

        /** A check of which nothing was said afterwards. */
        public Kept(
                KeptCheck check,
                String box,
                String planHash,
                String recording,
                List<String> readings,
                List<List<String>> explained,
                List<Mend> mended) {
            this(check, box, planHash, recording, readings, explained, mended, List.of());
        }

        /** A check of which nothing more is known. */
        public Kept(KeptCheck check, String box, String planHash, String recording) {
            this(check, box, planHash, recording, List.of(), List.of(), List.of());
        }

        /** The same, mended so. */
        public Kept mended(List<Mend> mends) {
            return new Kept(check, box, planHash, recording, readings, explained, mends, remarks);
        }
    }

    /**
     * One fault that was mended.
     *
     * @param fault as it is written
     * @param kind  the name of its kind
     */
    public record Mend(String fault, String kind) {}

    /**
     * Something said of a box after a check: "spare fitted".
     *
     * @param when     it was done
     * @param controls ids; empty for the whole box
     * @param replaced the controls have another part now, so that what was measured before says nothing of it
     */
    public record Remark(Instant when, List<String> controls, String text, boolean replaced) {
        public Remark {
            controls = List.copyOf(controls);
        }
    }

    /**
     * What was found in the folder.
     *
     * @param checks in order of time
     * @param notes  files that could not be read, and why
     */
    public record Found(List<Kept> checks, List<String> notes) {
        public Found {
            checks = List.copyOf(checks);
            notes = List.copyOf(notes);
        }
    }

    /** @param folder of all boxes; it need not exist yet */
    public KeptChecks(Path folder) {
        this(folder, false);
    }

    private KeptChecks(Path folder, boolean practice) {
        this.folder = folder;
        this.practice = practice;
    }

    /** A place of their own for the checks of simulated boxes, so that they are never taken for those of a real one. */
    public static KeptChecks ofPractice(Path folder) {
        return new KeptChecks(folder, true);
    }

    /** True where simulated boxes are kept here, and they alone. */
    public boolean practice() {
        return practice;
    }

    /** The ones beside the folder for recordings. */
    public static KeptChecks ofUser() {
        return new KeptChecks(RecordingFolder.path().resolveSibling("checks"));
    }

    /** Beside these, checks of boards to which nothing was soldered yet, never taken for those of a whole box. */
    public KeptChecks bareBoards() {
        return new KeptChecks(folder.resolveSibling(practice ? "practice-bare-boards" : "bare-boards"), practice);
    }

    /** A folder of another kind beside these. */
    Path beside(String name) {
        return folder.resolveSibling(name);
    }

    private Path folder(DeviceInfo box, String planHash) {
        return folder.resolve(name(box, planHash));
    }

    /** What the folder of one box is called. */
    static String name(DeviceInfo box, String planHash) {
        String id = box.serial().isEmpty()
                ? "plan-" + planHash.substring(0, Math.min(16, planHash.length()))
                : box.serial();
        return String.format(
                Locale.ROOT, "%04x-%04x-%s", box.vendorId(), box.productId(), Places.fitting(safe(id), 10));
    }

    /** Letters and digits stay; anything else becomes its code, so that two names never become one. */
    static String safe(String text) {
        StringBuilder safe = new StringBuilder();
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            safe.append(
                    c < 128 && Character.isLetterOrDigit(c) || c == '-'
                            ? String.valueOf(c)
                            : String.format(Locale.ROOT, "_%04x", (int) c));
        }
        return safe.toString();
    }

    /**
     * Keeps a check. The file is there whole or not at all, whatever happens meanwhile.
     *
     * @return where it is
     * @throws JournalException where it cannot be written
     */
    public Path keep(DeviceInfo box, Kept kept) throws JournalException {
        Path path = folder(box, kept.planHash())
                .resolve(kept.check().when().toString().replace(':', '-') + ".json");
        ObjectNode document = mapper.createObjectNode()
                .put("ringout", MAGIC)
                .put("version", VERSION)
                .put("box", kept.box())
                .put("plan", kept.planHash())
                .put("recording", kept.recording());
        kept.readings().forEach(document.putArray("readings")::add);
        ArrayNode explained = document.putArray("explained");
        kept.explained().forEach(set -> set.forEach(explained.addArray()::add));
        ArrayNode mended = document.putArray("mended");
        Optional<Kept> there = there(path);
        (kept.mended().isEmpty() ? there.map(Kept::mended).orElse(List.of()) : kept.mended())
                .forEach(m -> mended.addObject().put("fault", m.fault()).put("kind", m.kind()));
        remarks(document, kept.remarks().isEmpty() ? there.map(Kept::remarks).orElse(List.of()) : kept.remarks());
        document.set("check", KeptCheckText.write(kept.check(), mapper));
        try {
            write(path, document);
            return path;
        } catch (IOException problem) {
            throw new JournalException(Texts.say("kept.cannot-keep", path, FileTrouble.why(problem)), problem);
        }
    }

    /** The same check as it was kept before: what was said of it since stays. */
    private Optional<Kept> there(Path path) {
        try {
            return Files.exists(path) ? Optional.of(read(path)) : Optional.empty();
        } catch (JournalException | IOException damaged) {
            return Optional.empty();
        }
    }

    private void write(Path path, ObjectNode document) throws IOException {
        WholeFile.write(
                path,
                WholeFile.Existing.REPLACE,
                mapper.writerWithDefaultPrettyPrinter().writeValueAsString(document) + "\n");
    }

    /**
     * Keeps with a kept check what it was.
     *
     * @throws JournalException where that check is not there, or cannot be written
     */
    public void tell(Kept check, List<Mend> mends) throws JournalException {
        change(check, document -> {
            ArrayNode mended = document.putArray("mended");
            mends.forEach(m -> mended.addObject().put("fault", m.fault()).put("kind", m.kind()));
        });
    }

    /**
     * Keeps a remark with a kept check, behind those it has.
     *
     * @throws JournalException where that check is not there, or cannot be written
     */
    public void remark(Kept check, Remark remark) throws JournalException {
        List<Remark> all = new ArrayList<>(check.remarks());
        all.add(remark);
        change(check, document -> remarks(document, all));
    }

    private static void remarks(ObjectNode document, List<Remark> remarks) {
        ArrayNode list = document.putArray("remarks");
        for (Remark remark : remarks) {
            ObjectNode one = list.addObject().put("when", remark.when().toString());
            remark.controls().forEach(one.putArray("controls")::add);
            one.put("text", remark.text()).put("replaced", remark.replaced());
        }
    }

    private void change(Kept check, Consumer<ObjectNode> change) throws JournalException {
        for (Path file : files()) {
            try {
                if (read(file).equals(check)) {
                    ObjectNode document = (ObjectNode) mapper.readTree(SmallFile.text(file, MOST_BYTES));
                    change.accept(document);
                    write(file, document);
                    return;
                }
            } catch (JournalException damaged) {
                // Not that one.
            } catch (IOException problem) {
                throw new JournalException(Texts.say("kept.cannot-tell", file, FileTrouble.why(problem)), problem);
            }
        }
        throw new JournalException(Texts.say("kept.gone", check.check().when()));
    }

    /** Every check of every box, in order of time; what cannot be read is left out. */
    public List<Kept> all() throws JournalException {
        List<Kept> checks = new ArrayList<>();
        for (Path file : files()) {
            try {
                checks.add(read(file));
            } catch (JournalException | IOException damaged) {
                // What is damaged is told where that box's checks are asked for.
            }
        }
        checks.sort(Comparator.comparing(kept -> kept.check().when()));
        return checks;
    }

    /** What was told of mends since the last {@link #forgetMends}, in order of time, check by check. */
    public List<List<Mend>> mends() throws JournalException {
        Instant since = forgotten();
        return all().stream()
                .filter(k -> k.check().when().isAfter(since))
                .map(Kept::mended)
                .filter(m -> !m.isEmpty())
                .toList();
    }

    /** No mend of a check made before that moment counts from now on; nothing is deleted. */
    public void forgetMends(Instant now) throws JournalException {
        try {
            Files.createDirectories(folder);
            write(
                    folder.resolve(BUILDER),
                    mapper.createObjectNode()
                            .put("ringout", "builder")
                            .put("version", VERSION)
                            .put("since", now.toString()));
        } catch (IOException problem) {
            throw new JournalException(
                    Texts.say("kept.cannot-write", folder.resolve(BUILDER), FileTrouble.why(problem)), problem);
        }
    }

    private static final String BUILDER = "builder.json";

    private Instant forgotten() throws JournalException {
        Path file = folder.resolve(BUILDER);
        try {
            return Instant.parse(mapper.readTree(SmallFile.text(file, MOST_BYTES))
                    .path("since")
                    .asText());
        } catch (NoSuchFileException never) {
            return Instant.MIN;
        } catch (IOException | DateTimeException damaged) {
            throw new JournalException(Texts.say("kept.delete", file, String.valueOf(damaged.getMessage())), damaged);
        }
    }

    private List<Path> files() throws JournalException {
        List<Path> files = new ArrayList<>();
        try (DirectoryStream<Path> boxes = Files.newDirectoryStream(folder, Files::isDirectory)) {
            for (Path box : boxes) {
                try (DirectoryStream<Path> checks = Files.newDirectoryStream(box, "*.json")) {
                    checks.forEach(files::add);
                }
            }
        } catch (NoSuchFileException nothingKept) {
            return List.of();
        } catch (IOException | DirectoryIteratorException problem) {
            throw new JournalException(Texts.say("kept.unreadable", folder, FileTrouble.why(problem)), problem);
        }
        return files;
    }

    /**
     * The checks kept of a box.
     *
     * @param planHash of the plan in use, which knows a box without a serial number
     * @throws JournalException where the folder cannot be read
     */
    public Found of(DeviceInfo box, String planHash) throws JournalException {
        List<Kept> checks = new ArrayList<>();
        List<String> notes = new ArrayList<>();
        Path boxFolder = folder(box, planHash);
        try (DirectoryStream<Path> files = Files.newDirectoryStream(boxFolder, "*.json")) {
            for (Path file : files) {
                try {
                    checks.add(read(file));
                } catch (JournalException | IOException damaged) {
                    notes.add(Texts.say("kept.left-out", file, String.valueOf(damaged.getMessage())));
                }
            }
        } catch (NoSuchFileException nothingKept) {
            return new Found(List.of(), List.of());
        } catch (IOException problem) {
            throw new JournalException(Texts.say("kept.unreadable", boxFolder, FileTrouble.why(problem)), problem);
        }
        checks.sort(Comparator.comparing(kept -> kept.check().when()));
        return new Found(checks, notes);
    }

    private Kept read(Path file) throws JournalException, IOException {
        JsonNode document;
        try {
            document = mapper.readTree(SmallFile.text(file, MOST_BYTES));
        } catch (JsonProcessingException damaged) {
            throw new JournalException(Texts.say("kept.damaged", damaged.getOriginalMessage()), damaged);
        }
        if (!document.path("ringout").asText().equals(MAGIC)) {
            throw new JournalException(Texts.say("kept.none"));
        }
        if (document.path("version").asInt() > VERSION) {
            throw new JournalException(Texts.say("kept.newer"));
        }
        return new Kept(
                KeptCheckText.read(document.path("check")),
                document.path("box").asText(),
                document.path("plan").asText(),
                document.path("recording").asText(),
                texts(document.path("readings")),
                lists(document.path("explained")),
                mended(document.path("mended")),
                remarks(document.path("remarks")));
    }

    private static List<String> texts(JsonNode array) {
        List<String> texts = new ArrayList<>();
        array.forEach(text -> texts.add(text.asText()));
        return texts;
    }

    private static List<List<String>> lists(JsonNode array) {
        List<List<String>> lists = new ArrayList<>();
        array.forEach(list -> lists.add(texts(list)));
        return lists;
    }

    private static List<Remark> remarks(JsonNode array) throws JournalException {
        List<Remark> remarks = new ArrayList<>();
        try {
            for (JsonNode one : array) {
                remarks.add(new Remark(
                        Instant.parse(one.path("when").asText()),
                        texts(one.path("controls")),
                        one.path("text").asText(),
                        one.path("replaced").asBoolean()));
            }
        } catch (DateTimeException damaged) {
            throw new JournalException(Texts.say("kept.damaged", String.valueOf(damaged.getMessage())), damaged);
        }
        return remarks;
    }

    private static List<Mend> mended(JsonNode array) {
        List<Mend> mends = new ArrayList<>();
        array.forEach(
                m -> mends.add(new Mend(m.path("fault").asText(), m.path("kind").asText())));
        return mends;
    }
}
