package ringout.plan;

import ringout.words.Phrase;

/**
 * Something wrong with a plan file, or worth a warning.
 *
 * @param severity  an ERROR leaves no usable plan; a WARNING does
 * @param file      as the caller named it
 * @param line      from 1
 * @param column    from 1
 * @param what      what is wrong and what to do about it
 */
public record PlanProblem(Severity severity, String file, int line, int column, Phrase what) {
    /** Whether the plan can still be used. */
    public enum Severity {
        ERROR,
        WARNING
    }

    /** What is wrong and what to do about it, in the language of whoever looks at it. */
    public String message() {
        return what.text();
    }

    /** {@code file:line:column: error: message}, the form editors and terminals turn into a link. */
    public String text() {
        return file + ":" + line + ":" + column + ": " + (severity == Severity.ERROR ? "error" : "warning") + ": "
                + message();
    }
}
