package ringout.plan;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;
import ringout.words.Phrase;

/**
 * A plan being edited: its YAML text, what reading it gives, and the texts before and after for undo and redo.
 *
 * <p>Immutable; every edit gives a new document. An edit rewrites only the characters it must: comments, order, quoting,
 * alignment and style of everything else stay as the builder wrote them. The new text is read again by
 * {@link PlanReader}, so that an edit may leave problems, which {@link #reading} has; it never throws for those. It does
 * throw {@link PlanEditException} where the control, contact or line does not exist, or the text cannot be edited at all.
 */
public final class PlanDocument extends PlanEdits {
    private static final int MOST_UNDO = 1000;

    private final String file;
    private final String text;
    private final List<String> past;
    private final List<String> future;
    /** Read and composed when first asked for: most documents are steps of an edit that nobody looks at. */
    private volatile @Nullable PlanReading reading;

    private volatile @Nullable YamlEdit yaml;

    private PlanDocument(String file, String text, List<String> past, List<String> future) {
        this.file = file;
        this.text = text;
        this.past = past;
        this.future = future;
    }

    /**
     * A document without history.
     *
     * @param file what to call the file in problems
     */
    public static PlanDocument of(String yaml, String file) {
        return new PlanDocument(file, yaml, List.of(), List.of());
    }

    /** The YAML, as it is to be saved. */
    @Override
    public String text() {
        return text;
    }

    /** The plan in it, and its problems. */
    @Override
    public PlanReading reading() {
        PlanReading known = reading;
        if (known == null) {
            known = PlanReader.read(text, file);
            reading = known;
        }
        return known;
    }

    @Override
    YamlEdit yaml() {
        YamlEdit known = yaml;
        if (known == null) {
            known = new YamlEdit(text);
            yaml = known;
        }
        return known;
    }

    // History

    public boolean canUndo() {
        return !past.isEmpty();
    }

    public boolean canRedo() {
        return !future.isEmpty();
    }

    /** The document before the last edit; this one where there was none. */
    public PlanDocument undo() {
        return canUndo()
                ? new PlanDocument(
                        file, past.get(past.size() - 1), past.subList(0, past.size() - 1), prepend(text, future))
                : this;
    }

    /** The document before the last undo; this one where there was none. */
    public PlanDocument redo() {
        return canRedo()
                ? new PlanDocument(file, future.get(0), append(past, text), future.subList(1, future.size()))
                : this;
    }

    /** Any other text as one step that undo takes back: typed by hand, or reloaded from the file. */
    @Override
    public PlanDocument withText(String yaml) {
        return yaml.equals(text) ? this : new PlanDocument(file, yaml, append(past, text), List.of());
    }

    /** An edit's result, which must still be YAML: better no edit than a broken file. */
    @Override
    PlanDocument edited(String yaml) {
        PlanDocument next = withText(yaml);
        try {
            next.yaml();
        } catch (PlanEditException broken) {
            throw new PlanEditException(Phrase.of("edit.breaks"));
        }
        return next;
    }

    private static List<String> append(List<String> list, String last) {
        List<String> longer = new ArrayList<>(list.size() < MOST_UNDO ? list : list.subList(1, list.size()));
        longer.add(last);
        return List.copyOf(longer);
    }

    private static List<String> prepend(String first, List<String> list) {
        List<String> longer = new ArrayList<>();
        longer.add(first);
        longer.addAll(list);
        return List.copyOf(longer);
    }

    /** Several edits as one step of undo. */
    @Override
    public PlanDocument together(Function<PlanDocument, PlanDocument> edits) {
        PlanDocument after = edits.apply(this);
        PlanDocument next = withText(after.text);
        if (next != this) {
            // What the last of the edits came to need not be worked out again.
            next.reading = after.reading;
            next.yaml = after.yaml;
        }
        return next;
    }
}
