package ringout.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayInputStream;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

class TypedAheadTest {
    private static final int LINES = 200_000;

    private final InputStream keyboard = System.in;
    private final TypedAhead typed = new TypedAhead();

    @AfterEach
    void giveBack() {
        System.setIn(keyboard);
    }

    private void type(String text) {
        System.setIn(new ByteArrayInputStream(text.getBytes(StandardCharsets.UTF_8)));
        typed.read();
    }

    @Test
    void afterTheLastLineTheEndComesAsOftenAsItIsAskedFor() throws InterruptedException {
        type(" Bell \nHorn");
        assertEquals("Bell", typed.take());
        assertEquals("Horn", typed.take());
        assertEquals(TypedAhead.END, typed.take());
        assertEquals(Optional.of(TypedAhead.END), typed.peek());
        assertEquals(Optional.of(TypedAhead.END), typed.poll());
        assertEquals(TypedAhead.END, typed.take());
    }

    @Test
    void ofALineWithoutEndItKeepsTheBeginning() throws InterruptedException {
        type("\uFEFFBell\r\n\n" + "e".repeat(1_000_000) + "\nHorn\rBrake\r\n");
        assertEquals("Bell", typed.take());
        assertEquals("", typed.take());
        assertEquals("e".repeat(10_000), typed.take());
        assertEquals("Horn", typed.take());
        assertEquals("Brake", typed.take());
        assertEquals(TypedAhead.END, typed.take());
    }

    @Test
    void aPipeWithoutEndWaitsUntilItsLinesAreTaken() throws Exception {
        CompletableFuture<Thread> asked = new CompletableFuture<>();
        byte[] lines = "y\n".repeat(LINES).getBytes(StandardCharsets.UTF_8);
        System.setIn(new ByteArrayInputStream(lines) {
            @Override
            public synchronized int read(byte[] into, int at, int length) {
                asked.complete(Thread.currentThread());
                return super.read(into, at, length);
            }
        });
        typed.read();
        Thread reader = asked.get();
        while (reader.isAlive() && reader.getState() != Thread.State.WAITING) {
            reader.join(1);
        }
        assertTrue(reader.isAlive(), "took all there is before anybody asked for it");
        for (int i = 0; i < LINES; i++) {
            assertEquals("y", typed.take());
        }
        assertEquals(TypedAhead.END, typed.take());
    }
}
