package ringout.cli;

/** What every sub-command's exit status means to a script. */
public enum ExitCode {
    /** The box matches its plan, or the command did what was asked. */
    OK(0),
    /** The check, comparison or watch found something. */
    FINDINGS(1),
    /** A file, an argument or an option is wrong. */
    BAD_INPUT(2),
    /** The device cannot be found, opened or read. */
    DEVICE(3),
    /** Ringout itself, or what it was to write to, failed. A program that a signal ended gives 128 and the signal's number. */
    FAILED(4);

    private final int status;

    ExitCode(int status) {
        this.status = status;
    }

    /** The process exit status. */
    public int status() {
        return status;
    }
}
