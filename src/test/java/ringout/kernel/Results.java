package ringout.kernel;

import java.io.PrintStream;
import java.io.PrintWriter;
import java.io.StringWriter;

/** What the guest tells the test outside, a line per check, as soon as it is known. */
final class Results {
    static final String PASSED = "@passed";
    static final String FAILED = "@failed";
    static final String END = "@end";

    private final PrintStream out;
    private int checks;

    /** A check that may fail with anything. */
    @FunctionalInterface
    interface Check {
        void run() throws Exception;
    }

    Results(PrintStream out) {
        this.out = out;
    }

    void check(String name, Check check) {
        checks++;
        try {
            check.run();
            line(PASSED, name, "");
        } catch (Exception | AssertionError problem) {
            StringWriter trace = new StringWriter();
            problem.printStackTrace(new PrintWriter(trace));
            line(FAILED, name, trace.toString());
        }
    }

    void end() {
        line(END, Integer.toString(checks), "");
    }

    /** Something worth knowing that is no check, such as a measured cost. */
    void note(String text) {
        out.println(text);
    }

    private void line(String kind, String name, String detail) {
        out.println(kind + "\t" + name + "\t" + detail.replace("\\", "\\\\").replace("\n", "\\n"));
        out.flush();
    }

    static String unescape(String detail) {
        return detail.translateEscapes();
    }
}
