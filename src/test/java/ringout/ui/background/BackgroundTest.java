package ringout.ui.background;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.time.Duration;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import javafx.application.Platform;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.testfx.framework.junit5.ApplicationExtension;
import org.testfx.util.WaitForAsyncUtils;

/** What is done beside the window's thread, and how it is told. */
@ExtendWith(ApplicationExtension.class)
class BackgroundTest {
    private final Background background = new Background("background-test");
    /** What happened, in order. */
    private final List<String> heard = new CopyOnWriteArrayList<>();

    private final Thread.UncaughtExceptionHandler usual = Thread.getDefaultUncaughtExceptionHandler();

    @BeforeEach
    void hearMistakes() {
        Thread.setDefaultUncaughtExceptionHandler((thread, mistake) -> heard.add("mistake " + mistake.getMessage()));
    }

    @AfterEach
    void end() throws InterruptedException {
        background.end();
        assertTrue(background.awaitEnd(Duration.ofSeconds(60)));
        Thread.setDefaultUncaughtExceptionHandler(usual);
    }

    private void told(String what) {
        heard.add(what + (Platform.isFxApplicationThread() ? "" : " beside the window"));
    }

    private void quiet() {
        try {
            WaitForAsyncUtils.waitFor(60, TimeUnit.SECONDS, () -> !background.busy());
        } catch (TimeoutException late) {
            throw new AssertionError(heard.toString(), late);
        }
        WaitForAsyncUtils.waitForFxEvents();
    }

    private static void await(CountDownLatch latch) {
        try {
            assertTrue(latch.await(60, TimeUnit.SECONDS));
        } catch (InterruptedException never) {
            throw new AssertionError(never);
        }
    }

    @Test
    void workIsDoneInOrderAndToldInTheWindow() {
        for (int i = 1; i <= 3; i++) {
            int number = i;
            background.begin(
                    progress -> {
                        told("work " + number);
                        return number;
                    },
                    done -> told("told " + done),
                    this::told);
        }
        quiet();
        assertEquals(
                List.of("work 1 beside the window", "work 2 beside the window", "work 3 beside the window"),
                heard.stream().filter(h -> h.startsWith("work")).toList());
        assertEquals(
                List.of("told 1", "told 2", "told 3"),
                heard.stream().filter(h -> h.startsWith("told")).toList());
    }

    @Test
    void aFailureIsOneSentence() {
        background.begin(
                progress -> {
                    throw new IOException("the disk is full");
                },
                done -> told("done"),
                this::told);
        quiet();
        assertEquals(List.of("the disk is full"), heard);
    }

    @Test
    void aMistakeIsToldAndNothingBehindItIsLost() {
        background.begin(
                progress -> {
                    throw new IllegalStateException("oops");
                },
                done -> told("done"),
                why -> told("failed"));
        background.run(() -> {}, () -> told("next"), this::told);
        quiet();
        assertEquals(3, heard.size(), heard::toString);
        assertTrue(heard.containsAll(List.of("mistake oops", "failed", "next")), heard::toString);
    }

    @Test
    void whatNobodyWaitsForIsGivenBack() {
        CountDownLatch begun = new CountDownLatch(1);
        CountDownLatch cancelled = new CountDownLatch(1);
        Background.Job job = background.begin(
                progress -> {
                    begun.countDown();
                    await(cancelled);
                    return "box";
                },
                done -> told("done"),
                lost -> told("lost " + lost),
                this::told);
        Background.Job never = background.begin(progress -> "another", done -> told("done"), this::told);
        await(begun);
        never.cancel();
        job.cancel();
        cancelled.countDown();
        quiet();
        assertEquals(List.of("lost box beside the window"), heard);
    }

    /** Made, but not taken yet: the window is asked to take it behind the cancelling. */
    @Test
    void whatIsMadeAndNotTakenYetIsGivenBack() {
        CountDownLatch made = new CountDownLatch(1);
        CountDownLatch behind = new CountDownLatch(1);
        Background.Job[] job = new Background.Job[1];
        WindowThread.soon(() -> {
            job[0] =
                    background.begin(progress -> "box", done -> told("done"), lost -> told("lost " + lost), this::told);
            background.close(made::countDown);
            await(made);
            job[0].cancel();
            behind.countDown();
        });
        await(behind);
        quiet();
        background.run(() -> {}, () -> {}, this::told);
        quiet();
        assertEquals(List.of("lost box beside the window"), heard);
    }

    @Test
    void progressIsKnownAndEndsWhatIsCancelled() {
        CountDownLatch half = new CountDownLatch(1);
        CountDownLatch cancelled = new CountDownLatch(1);
        Background.Job job = background.begin(
                progress -> {
                    progress.accept(0.5);
                    half.countDown();
                    await(cancelled);
                    progress.accept(0.6);
                    told("went on");
                    return 1;
                },
                done -> told("done"),
                this::told);
        await(half);
        assertEquals(0.5, job.share());
        job.cancel();
        cancelled.countDown();
        quiet();
        assertEquals(List.of(), heard);
    }

    @Test
    void whatMustBeDoneIsDoneAfterTheEndButNotTold() throws InterruptedException {
        CountDownLatch ended = new CountDownLatch(1);
        background.run(() -> await(ended), () -> told("told"), this::told);
        background.run(() -> heard.add("saved"), () -> told("told"), this::told);
        background.begin(progress -> heard.add("computed"), done -> told("told"), this::told);
        background.end();
        ended.countDown();
        assertTrue(background.awaitEnd(Duration.ofSeconds(60)));
        WaitForAsyncUtils.waitForFxEvents();
        assertEquals(List.of("saved"), heard);
        background.begin(progress -> heard.add("late"), done -> told("told"), this::told);
        assertFalse(background.busy());
    }

    @Test
    void ofSeveralQuestionsTheNewestIsAnswered() {
        CountDownLatch all = new CountDownLatch(1);
        Newest<String> newest = new Newest<>(background, this::told, this::told);
        background.run(() -> await(all), () -> {}, this::told);
        newest.ask(() -> "first");
        newest.ask(() -> "second");
        newest.ask(() -> "third");
        assertTrue(newest.busy());
        all.countDown();
        quiet();
        assertEquals(List.of("third"), heard);
        assertFalse(newest.busy());
    }

    @Test
    void aBellRungOftenIsHeardOnce() {
        Runnable bell = WindowThread.bell(() -> told("rung"));
        CountDownLatch rung = new CountDownLatch(1);
        WindowThread.soon(() -> await(rung));
        bell.run();
        bell.run();
        bell.run();
        rung.countDown();
        WaitForAsyncUtils.waitForFxEvents();
        assertEquals(List.of("rung"), heard);
    }
}
