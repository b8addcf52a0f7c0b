package ringout.ui;

import java.security.CodeSource;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.junit.jupiter.api.extension.AfterTestExecutionCallback;
import org.junit.jupiter.api.extension.BeforeTestExecutionCallback;
import org.junit.jupiter.api.extension.ExtensionContext;
import org.testfx.util.WaitForAsyncUtils;

/** Fails a test in which our code, as it is shipped, holds the window's thread; see {@link Watchdog}. */
public final class WatchdogExtension implements BeforeTestExecutionCallback, AfterTestExecutionCallback {
    private static final ExtensionContext.Namespace HERE = ExtensionContext.Namespace.create(WatchdogExtension.class);
    private static final Map<String, Boolean> SHIPPED = new ConcurrentHashMap<>();

    @Override
    public void beforeTestExecution(ExtensionContext context) {
        Thread window = WaitForAsyncUtils.waitForAsyncFx(20_000, Thread::currentThread);
        context.getStore(HERE).put(Watchdog.class, new Watchdog(window, WatchdogExtension::shipped));
    }

    @Override
    public void afterTestExecution(ExtensionContext context) throws Exception {
        Watchdog watchdog = context.getStore(HERE).remove(Watchdog.class, Watchdog.class);
        watchdog.close();
        List<String> holds = watchdog.holds();
        if (!holds.isEmpty()) {
            AssertionError held = new AssertionError(String.join(System.lineSeparator(), holds));
            context.getExecutionException().ifPresent(held::addSuppressed);
            throw held;
        }
    }

    /** True for classes that are not a test's. */
    static boolean shipped(String name) {
        return name.startsWith("ringout.") && SHIPPED.computeIfAbsent(name, WatchdogExtension::isShipped);
    }

    private static boolean isShipped(String name) {
        try {
            CodeSource from = Class.forName(
                            name.replaceAll("/0x.*", "").replaceAll("\\$\\$Lambda.*", ""),
                            false,
                            Watchdog.class.getClassLoader())
                    .getProtectionDomain()
                    .getCodeSource();
            return !from.getLocation()
                    .equals(Watchdog.class.getProtectionDomain().getCodeSource().getLocation());
        } catch (ClassNotFoundException unknown) {
            return false;
        }
    }
}
