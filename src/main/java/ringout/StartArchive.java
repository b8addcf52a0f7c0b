package ringout;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * Java's archive of the classes that a start of the window loads (class data sharing): with it the next start need not read
 * and check them again. It holds for one Java, one Ringout and one folder, so it is made on the person's own computer, once,
 * while the window of the first start stands open; where it fits no more, Java does without, and it is made anew.
 *
 * <p>The start script says where it shall be, has Java write down beside it which classes a first start loads, and gives it
 * to Java from then on. Without it everything works, only slower; so nothing here is told to the person.
 */
final class StartArchive {
    /** Names the archive's file. */
    private static final String ASKED = "ringout.archive";
    /** With that the names of all its files begin, as the start script has it. */
    private static final String BEGIN = "start-";
    /** By then a window that was left open is at rest. */
    private static final Duration AT_REST = Duration.ofSeconds(10);
    /** Far more than the few seconds that it takes. */
    private static final Duration LONGEST = Duration.ofMinutes(3);
    /** What another Ringout or another Java left is removed when it is as old as that. */
    private static final Duration OLD = Duration.ofDays(30);

    private static final Logger LOG = LoggerFactory.getLogger(StartArchive.class);

    private final Path file;
    private final AtomicReference<Process> java = new AtomicReference<>();

    private StartArchive(Path file) {
        this.file = file;
    }

    /** Begins to make it, unless nobody asked for it or Java already works with it. */
    static void makeIfAsked() {
        Optional<Path> asked = Optional.ofNullable(System.getProperty(ASKED)).map(Path::of);
        // Java says in this property that an archive fits.
        boolean shared = System.getProperty("java.vm.info", "").contains("sharing");
        if (asked.isEmpty() || shared && Files.exists(asked.get())) {
            return;
        }
        StartArchive archive = new StartArchive(asked.get());
        // Nothing goes on when the window is closed.
        Runtime.getRuntime()
                .addShutdownHook(
                        new Thread(() -> Optional.ofNullable(archive.java.get()).ifPresent(Process::destroyForcibly)));
        Thread thread = new Thread(archive::makeAtRest, "ringout-start-archive");
        thread.setDaemon(true);
        thread.setPriority(Thread.MIN_PRIORITY);
        thread.start();
    }

    private void makeAtRest() {
        try {
            Thread.sleep(AT_REST.toMillis());
            // One that does not fit goes: so the next start writes its list again.
            if (!Files.deleteIfExists(file)) {
                make();
            }
        } catch (InterruptedException ended) {
            Thread.currentThread().interrupt();
        } catch (IOException impossible) {
            LOG.debug("no archive of classes at {}", file, impossible);
        }
    }

    private void make() throws IOException, InterruptedException {
        Path written = file.resolveSibling(file.getFileName() + ".classes");
        String classes = Files.readString(written);
        Path list = Files.createTempFile(file.getParent(), BEGIN, ".list");
        Path unfinished = Files.createTempFile(file.getParent(), BEGIN, ".unfinished");
        try {
            // Java still writes: the last line may be half a one.
            Files.writeString(list, classes.substring(0, classes.lastIndexOf('\n') + 1));
            Process dump = new ProcessBuilder(
                            Path.of(System.getProperty("java.home"), "bin", "java")
                                    .toString(),
                            "-Xshare:dump",
                            "-XX:SharedClassListFile=" + list,
                            "-XX:SharedArchiveFile=" + unfinished,
                            "--module-path",
                            System.getProperty("jdk.module.path"),
                            "--add-modules",
                            "javafx.controls",
                            "-cp",
                            System.getProperty("java.class.path"))
                    .redirectErrorStream(true)
                    .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                    .start();
            java.set(dump);
            if (dump.waitFor(LONGEST.toSeconds(), TimeUnit.SECONDS) && dump.exitValue() == 0) {
                Files.move(unfinished, file, StandardCopyOption.ATOMIC_MOVE);
            } else {
                dump.destroyForcibly();
                throw new IOException("Java wrote none");
            }
        } finally {
            Files.deleteIfExists(list);
            Files.deleteIfExists(unfinished);
        }
        removeOld();
        Files.deleteIfExists(written);
    }

    private void removeOld() throws IOException {
        FileTime longAgo =
                FileTime.from(Files.getLastModifiedTime(file).toInstant().minus(OLD));
        try (DirectoryStream<Path> all = Files.newDirectoryStream(file.getParent(), BEGIN + "*")) {
            for (Path one : all) {
                if (Files.getLastModifiedTime(one).compareTo(longAgo) < 0) {
                    Files.deleteIfExists(one);
                }
            }
        }
    }
}
