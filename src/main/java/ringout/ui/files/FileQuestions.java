package ringout.ui.files;

import java.io.File;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import javafx.stage.FileChooser;
import javafx.stage.Window;
import ringout.words.Texts;

/** Asks for files; the system's own dialogs, or a test that answers at once. */
public interface FileQuestions {
    /**
     * Where to save.
     *
     * @param title    of the dialog
     * @param folder   to begin in; empty for the system's choice
     * @param name     to suggest
     * @param endings  kinds to choose from, as {@code .pdf}, the first being the usual one
     * @return empty where the question was cancelled; else a file whose name has one of the endings
     */
    Optional<Path> save(String title, Optional<Path> folder, String name, List<String> endings);

    /**
     * Which plan to read beside another.
     *
     * @param folder to begin in; empty for the system's choice
     * @return empty where the question was cancelled
     */
    default Optional<Path> open(String title, Optional<Path> folder) {
        return save(title, folder, "", List.of(".yaml", ".yml"));
    }

    /** Which plan or recording to open, by the system's dialog over a window; empty where the question was cancelled. */
    static Optional<Path> open(Window owner) {
        FileChooser chooser = new FileChooser();
        chooser.setTitle(Texts.say("files.open"));
        chooser.getExtensionFilters()
                .addAll(
                        new FileChooser.ExtensionFilter(Texts.say("files.plans"), "*.yaml", "*.yml", "*.jsonl"),
                        new FileChooser.ExtensionFilter(Texts.say("files.all"), "*"));
        return Optional.ofNullable(chooser.showOpenDialog(owner)).map(File::toPath);
    }

    /** The system's dialogs over a window. */
    static FileQuestions dialogs(Window owner) {
        return new FileQuestions() {
            @Override
            public Optional<Path> open(String title, Optional<Path> folder) {
                FileChooser chooser = chooser(title, folder);
                chooser.getExtensionFilters()
                        .addAll(
                                new FileChooser.ExtensionFilter(Texts.say("files.plans"), "*.yaml", "*.yml"),
                                new FileChooser.ExtensionFilter(Texts.say("files.all"), "*"));
                return Optional.ofNullable(chooser.showOpenDialog(owner)).map(File::toPath);
            }

            @Override
            public Optional<Path> save(String title, Optional<Path> folder, String name, List<String> endings) {
                FileChooser chooser = chooser(title, folder);
                chooser.setInitialFileName(name);
                endings.forEach(e -> chooser.getExtensionFilters()
                        .add(new FileChooser.ExtensionFilter(
                                Texts.say("files.kind", e.substring(1).toUpperCase(java.util.Locale.ROOT)), "*" + e)));
                return Optional.ofNullable(chooser.showSaveDialog(owner))
                        .map(File::toPath)
                        .map(file -> ending(
                                file,
                                chooser.getSelectedExtensionFilter() == null
                                        ? endings.get(0)
                                        : chooser.getSelectedExtensionFilter()
                                                .getExtensions()
                                                .get(0)
                                                .substring(1),
                                endings));
            }
        };
    }

    private static FileChooser chooser(String title, Optional<Path> folder) {
        FileChooser chooser = new FileChooser();
        chooser.setTitle(title);
        folder.map(Path::toFile).filter(File::isDirectory).ifPresent(chooser::setInitialDirectory);
        return chooser;
    }

    private static Path ending(Path file, String usual, List<String> endings) {
        String name = file.getFileName().toString();
        return endings.stream()
                        .anyMatch(e -> name.toLowerCase(java.util.Locale.ROOT).endsWith(e))
                ? file
                : file.resolveSibling(name + usual);
    }
}
