package ringout.ui;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Proxy;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;

/**
 * The system's wish that the program end: Ctrl-C in the terminal, {@code kill}, the terminal closed. Left to Java, the
 * toolkit would be torn down under the window, which it complains of in stack traces.
 */
final class EndSignals {
    /** What a shell adds to the number of the signal that ended a program (POSIX, Shell Command Language, 2.8.2). */
    private static final int STATUS = 128;

    private static final AtomicInteger TAKEN = new AtomicInteger();

    private EndSignals() {}

    /**
     * Runs {@code end} at the first of these signals; at the second the program ends at once, as it is.
     *
     * @param end returns at once; must bring the program to its end
     */
    static void take(Runnable end) {
        for (String name : List.of("INT", "TERM", "HUP")) {
            handle(name, number -> {
                if (!TAKEN.compareAndSet(0, number)) {
                    Runtime.getRuntime().halt(STATUS + number);
                }
                end.run();
            });
        }
    }

    /** Where one of them came, ends the program as one that a signal ended; to be called when everything is put away. */
    static void end() {
        if (TAKEN.get() != 0) {
            System.exit(STATUS + TAKEN.get());
        }
    }

    private interface Handler {
        void signal(int number);
    }

    /** By reflection: the compiler warns of {@code sun.misc.Signal} whatever is suppressed, and Java has nothing else. */
    private static void handle(String name, Handler handler) {
        try {
            Class<?> type = Class.forName("sun.misc.Signal");
            Class<?> handlerType = Class.forName("sun.misc.SignalHandler");
            Object proxy = Proxy.newProxyInstance(
                    EndSignals.class.getClassLoader(), new Class<?>[] {handlerType}, (self, method, arguments) -> {
                        switch (method.getName()) {
                            case "handle" ->
                                handler.signal((int) type.getMethod("getNumber").invoke(arguments[0]));
                            case "equals" -> {
                                return self == arguments[0];
                            }
                            case "hashCode" -> {
                                return System.identityHashCode(self);
                            }
                            default -> {
                                return handlerType.getName();
                            }
                        }
                        return null;
                    });
            type.getMethod("handle", type, handlerType)
                    .invoke(null, type.getConstructor(String.class).newInstance(name), proxy);
        } catch (InvocationTargetException e) {
            if (!(e.getCause() instanceof IllegalArgumentException)) {
                throw new IllegalStateException("the signal " + name + " cannot be taken", e);
            }
            // Windows has no HUP, and a JVM started with -Xrs keeps its hands off: then it ends as it used to.
        } catch (ReflectiveOperationException e) {
            throw new IllegalStateException("this Java lacks the module jdk.unsupported", e);
        }
    }
}
