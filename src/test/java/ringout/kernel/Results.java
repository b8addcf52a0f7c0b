package ringout.kernel;

import java.io.PrintStream;
import java.io.PrintWriter;
import java.io.StringWriter;

/** What the guest tells the test outside, a line per check, as soon as it is known. */
public final class Results {
    public static final String PASSED = "@passed";
    public static final String FAILED = "@failed";
    public static final String END = "@end";

    private final PrintStream out;
    private int checks;

    /** A check that may fail with anything. */
    @FunctionalInterface
    public interface Check {
        void run() throws Exception;
    }

    public Results(PrintStream out) {
        this.out = out;
    }

    public void check(String name, Check check) {
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

    public void end() {
        line(END, Integer.toString(checks), "");
    }

    /** Something worth knowing that is no check, such as a measured cost. */
    public void note(String text) {
        out.println(text);
    }

    private void line(String kind, String name, String detail) {
        out.println(kind + "\t" + name + "\t" + detail.replace("\\", "\\\\").replace("\n", "\\n"));
        out.flush();
    }

    public static String unescape(String detail) {
        return detail.translateEscapes();
    }
}
