package ringout;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Optional;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class WindowTest {
    /**
     * The values of {@code os.name} and {@code os.arch} are those of OpenJDK (java_props_md.c; from memory); the
     * classifiers are those under which JavaFX 21 is published.
     */
    @ParameterizedTest(name = "{0} on {1} takes JavaFX {2}")
    @CsvSource({
        "Linux, amd64, linux",
        "Linux, aarch64, linux-aarch64",
        "Linux, arm,",
        "Linux, riscv64,",
        "Windows 11, amd64, win",
        "Windows 11, x86,",
        "Windows 11, aarch64,",
        "Mac OS X, x86_64, mac",
        "Mac OS X, aarch64, mac-aarch64",
        "FreeBSD, amd64,",
    })
    void javafxOfTheComputer(String system, String machine, String classifier) {
        assertEquals(Optional.ofNullable(classifier), Window.javafx(system, machine));
    }
}
