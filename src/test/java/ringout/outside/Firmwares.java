package ringout.outside;

import java.io.File;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
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
        return COMPILED.computeIfAbsent(source, text -> {
            String name = "box-" + hash(text);
            Path c = FOLDER.resolve(name + ".c");
            Path elf = FOLDER.resolve(name + ".elf");
            write(c, text);
            run(List.of(
                    "avr-gcc",
                    "-mmcu=atmega32u4",
                    "-Os",
                    "-std=gnu11",
                    "-Wall",
                    "-Wextra",
                    "-Werror",
                    "-o",
                    elf.toString(),
                    c.toString()));
            return elf;
        });
    }

    /** The program that emulates the chip. */
    static Path host() {
        return COMPILED.computeIfAbsent("host", x -> {
            try {
                String name = "host-" + hash(Files.readString(HOST));
                Path program = FOLDER.resolve(name);
                Files.createDirectories(FOLDER);
                run(List.of(
                        "gcc",
                        "-O2",
                        "-std=gnu11",
                        "-Wall",
                        "-Wextra",
                        "-Werror",
                        "-I" + HEADERS,
                        "-I" + HEADERS.resolve("avr"),
                        "-o",
                        program.toString(),
                        HOST.toString(),
                        "-lsimavr",
                        "-lelf",
                        "-lm"));
                return program;
            } catch (IOException unreadable) {
                throw new UncheckedIOException(unreadable);
            }
        });
    }

    private static void write(Path file, String text) {
        try {
            Files.createDirectories(FOLDER);
            Files.writeString(file, text);
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
