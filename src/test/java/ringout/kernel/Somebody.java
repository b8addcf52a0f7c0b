package ringout.kernel;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.sun.jna.NativeLong;
import java.util.concurrent.Callable;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.FutureTask;

/** Any user that is not root. */
final class Somebody {
    private static final int ID = 65534;

    private Somebody() {}

    /** Runs something on a thread that has lost root's rights; threads it starts have none either. */
    static <T> T does(Callable<T> what) throws Exception {
        FutureTask<T> task = new FutureTask<>(() -> {
            NativeLong id = new NativeLong(ID);
            assertEquals(
                    0,
                    Libc.C
                            .syscall(new NativeLong(Libc.SYS_SETRESUID), id, id, id)
                            .intValue());
            return what.call();
        });
        Thread thread = new Thread(task, "somebody");
        thread.start();
        try {
            return task.get();
        } catch (ExecutionException failed) {
            if (failed.getCause() instanceof Exception exception) {
                throw exception;
            }
            throw failed;
        }
    }
}
