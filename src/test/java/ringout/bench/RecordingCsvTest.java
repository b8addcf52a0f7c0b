package ringout.bench;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class RecordingCsvTest {
    /** OWASP, CSV Injection: the characters that begin a formula. RFC 4180, section 2: quotes. */
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            quoteCharacter = '~',
            value = {
                "plain words            | plain words",
                "=HYPERLINK(A1)         | \"'=HYPERLINK(A1)\"",
                "+1                     | \"'+1\"",
                "-2+3                   | \"'-2+3\"",
                "@SUM(A1)               | \"'@SUM(A1)\"",
                "a = b                  | a = b",
                "one, two               | \"one, two\"",
                "the \"desk\"            | \"the \"\"desk\"\"\"",
                "=\"x\",1                | \"'=\"\"x\"\",1\""
            })
    void cells(String text, String cell) {
        assertEquals(cell, RecordingCsv.quoted(text));
    }
}
