package ringout.ui.planning;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import ringout.bench.LearnSession;
import ringout.device.DeviceInfo;
import ringout.files.Places;
import ringout.files.SmallFile;
import ringout.files.WholeFile;
import ringout.learn.LearnView;
import ringout.plan.LearnedBox;

/**
 * What was learned of a box, written after every name until its plan is saved: so that neither closing the window nor
 * anything else that ends the program takes what was named.
 */
final class LearnedSoFar {
    private static final String ENDING = ".yaml";

    private final Path file;
    private final DeviceInfo box;
    private int written;
    private volatile String trouble = "";

    /** @param folder of what is being learned; made where it is missing */
    LearnedSoFar(Path folder, DeviceInfo box) {
        this.box = box;
        String name = Stream.of(
                        box.name(),
                        String.format(Locale.ROOT, "%04x-%04x", box.vendorId(), box.productId()),
                        box.serial())
                .map(part -> part.toLowerCase(Locale.ROOT).replaceAll("[^\\p{L}\\p{N}]+", "-"))
                .filter(part -> !part.isEmpty())
                .collect(Collectors.joining("-"));
        file = folder.resolve(Places.fitting(name, ENDING.length()) + ENDING);
    }

    /** What is there from before; nothing where there is none, or the box was another. */
    LearnedBox.Learned before() {
        try {
            LearnedBox.Learned before = LearnedBox.read(SmallFile.text(file, SmallFile.PLAN))
                    .filter(l -> l.box().equals(LearnSession.planned(box)))
                    .orElse(LearnedBox.Learned.NOTHING);
            written = before.controls().size();
            return before;
        } catch (IOException none) {
            return LearnedBox.Learned.NOTHING;
        }
    }

    /** Keeps what was named so far. Not for the application thread. */
    void keep(LearnView view) {
        if (view.learned().size() == written && trouble.isEmpty()) {
            return;
        }
        try {
            if (view.learned().isEmpty()) {
                Files.deleteIfExists(file);
            } else {
                WholeFile.write(file, WholeFile.Existing.REPLACE, LearnSession.yaml(box, view));
            }
            written = view.learned().size();
            trouble = "";
        } catch (IOException problem) {
            trouble = file + ": " + problem.getMessage();
        }
    }

    /** Why what was named last is not in the file; empty where it is. */
    String trouble() {
        return trouble;
    }

    /** It has become a plan that is saved. */
    void done() {
        try {
            Files.deleteIfExists(file);
        } catch (IOException left) {
            trouble = file + ": " + left.getMessage(); // then learning goes on from there once more
        }
    }
}
