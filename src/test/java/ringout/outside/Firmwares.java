package ringout.outside;

import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import ringout.report.FirmwareSettings;

/** Compiles firmware for the chip, and the program that emulates it, into {@code target/firmware}. */
final class Firmwares {
    private static final Path FOLDER = Path.of("target", "firmware");
    private static final Path HOST = Path.of("src", "test", "firmware", "host.c");
    private static final Path HEADERS = Path.of("/usr/include/simavr");
    private static final Map<String, Path> COMPILED = new ConcurrentHashMap<>();

    private Firmwares() {}

    /** True where what is missing is a failure. */
    static boolean required() {
        return "required".equals(System.getenv("RINGOUT_FIRMWARE"));
    }

    /** What is missing to compile firmware; empty where nothing is. */
    static String missingCompiler() {
        List<String> missing = new ArrayList<>();
        if (!found("avr-gcc")) {
            missing.add("avr-gcc (Debian: gcc-avr)");
        }
        if (!Files.exists(Path.of("/usr/lib/avr/include/avr/io.h"))) {
            missing.add("avr-libc (Debian: avr-libc)");
        }
        return missing.isEmpty() ? "" : "missing: " + String.join(", ", missing);
    }

    /** What is missing to run it on an emulated chip, too. */
    static String missing() {
        List<String> missing = new ArrayList<>();
        if (!missingCompiler().isEmpty()) {
            missing.add(missingCompiler().substring("missing: ".length()));
        }
        if (!found("gcc")) {
            missing.add("gcc");
        }
        if (!Files.exists(HEADERS.resolve("sim_avr.h"))) {
            missing.add("libsimavr (Debian: libsimavr-dev libelf-dev)");
        }
        return missing.isEmpty() ? "" : "missing: " + String.join(", ", missing);
    }

    private static boolean found(String program) {
        return Arrays.stream(System.getenv().getOrDefault("PATH", "").split(File.pathSeparator))
                .anyMatch(folder -> Files.isExecutable(Path.of(folder, program)));
    }

    /** The firmware with these settings, compiled without a warning. */
    static Path compile(FirmwareSettings settings) {
        return compile(settings.source());
    }

    /** One C file, compiled without a warning. */
    static Path compile(String source) {
        return COMPILED.computeIfAbsent(
                source,
                text -> compile(
                        "box-" + hash(text) + ".elf", text, List.of("avr-gcc", "-mmcu=atmega32u4", "-Os"), List.of()));
    }

    /** The program that emulates the chip. */
    static Path host() {
        return COMPILED.computeIfAbsent("host", x -> {
            try {
                String source = Files.readString(HOST);
                return compile(
                        "host-" + hash(source),
                        source,
                        List.of("gcc", "-O2", "-I" + HEADERS, "-I" + HEADERS.resolve("avr")),
                        List.of("-lsimavr", "-lelf", "-lm"));
            } catch (IOException unreadable) {
                throw new UncheckedIOException(unreadable);
            }
        });
    }

    /** In a folder of its own, and moved when it is whole: another JVM may compile or run the same. */
    private static Path compile(String name, String source, List<String> compiler, List<String> libraries) {
        try {
            Path folder = Files.createTempDirectory(Files.createDirectories(FOLDER), name);
            Path c = Files.writeString(folder.resolve("main.c"), source);
            Path made = folder.resolve(name);
            List<String> command = new ArrayList<>(compiler);
            command.addAll(List.of("-std=gnu11", "-Wall", "-Wextra", "-Werror", "-o", made.toString(), c.toString()));
            command.addAll(libraries);
            run(command);
            return Files.move(made, FOLDER.resolve(name), StandardCopyOption.ATOMIC_MOVE);
        } catch (IOException full) {
            throw new UncheckedIOException(full);
        }
    }

    private static void run(List<String> command) {
        try {
            Process process =
                    new ProcessBuilder(command).redirectErrorStream(true).start();
            process.getOutputStream().close();
            String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
            if (process.waitFor() != 0) {
                throw new AssertionError(String.join(" ", command) + " says:\n" + said);
            }
        } catch (IOException broken) {
            throw new UncheckedIOException(broken);
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(stopped);
        }
    }

    private static String hash(String text) {
        try {
            byte[] digest = MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
            return HexFormat.of().formatHex(digest, 0, 8);
        } catch (NoSuchAlgorithmException impossible) {
            throw new IllegalStateException(impossible);
        }
    }
}
