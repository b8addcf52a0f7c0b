package ringout.outside;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.sun.jna.Library;
import com.sun.jna.Memory;
import com.sun.jna.Native;
import com.sun.jna.NativeLong;
import com.sun.jna.Pointer;
import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.PrintStream;
import java.io.Writer;
import java.net.Socket;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import ringout.bench.Crowd;
import ringout.bench.PlanInUse;
import ringout.bench.Session;
import ringout.bench.SessionView;
import ringout.bench.SessionView.Link;
import ringout.bench.WatchSession;
import ringout.check.Instruction;
import ringout.check.Prompt;
import ringout.circuit.Fault;
import ringout.device.DeviceInfo;
import ringout.device.HidSource;
import ringout.device.Time;
import ringout.device.UsbPath;
import ringout.hid.Input;
import ringout.journal.PlanHash;
import ringout.kernel.Results;
import ringout.plan.Plan;
import ringout.watch.WatchEvent;
import ringout.watch.WatchSettings;

/** What {@link UsbKernelTest} runs in the guest: attaches the boxes, works them, and checks them with Ringout. */
final class UsbGuestMain {
    /** This computer's host, as qemu's user network shows it. */
    private static final String HOST = "10.0.2.2";

    private static final Path ATTACH = Path.of("/sys/devices/platform/vhci_hcd.0/attach");

    private final Results results;
    private final Writer hands;
    private final int[] ports;
    private final HidSource source = new HidSource();

    private UsbGuestMain(Results results, Writer hands, int... ports) {
        this.results = results;
        this.hands = hands;
        this.ports = ports;
    }

    /** The box of that name, as test outside and guest inside both know it. */
    static Plan plan(String which) {
        return Panels.of(text(which));
    }

    private static String text(String which) {
        return Panels.gridText(2, 3, true, "rows", "low", "5 V")
                .replace(
                        "{ name: Panel 2 by 3 }",
                        "{ name: Emulated panel, usb: { vendor: 0x1209, product: 0x0001, serial: USB-" + which
                                + " } }");
    }

    public static void main(String[] arguments) throws Exception {
        PrintStream out = new PrintStream(new FileOutputStream(FileDescriptor.out), true, StandardCharsets.UTF_8);
        Results results = new Results(out);
        try (Socket control = new Socket(HOST, Integer.parseInt(arguments[0]));
                Writer hands = new OutputStreamWriter(control.getOutputStream(), StandardCharsets.US_ASCII)) {
            new UsbGuestMain(results, hands, Integer.parseInt(arguments[1]), Integer.parseInt(arguments[2])).run();
        }
        results.end();
    }

    private void run() {
        results.check("two boxes on emulated chips are enumerated by the kernel", () -> {
            attach(0);
            attach(1);
            for (String serial : new String[] {"USB-open", "USB-good"}) {
                DeviceInfo device = await(serial);
                assertEquals("Emulated panel", device.name());
                assertEquals(0x1209, device.vendorId());
                assertTrue(device.path().startsWith("/dev/hidraw"), device.path());
                // usb_make_path of the kernel: bus name, then the socket of each hub.
                UsbPath path = UsbPath.of(device.port()).orElseThrow(() -> new AssertionError(device.port()));
                assertEquals("vhci_hcd.0", path.controller());
                assertEquals(1, path.sockets().size());
            }
        });
        results.check("of two boxes that are watched, one alone and both together are told apart", () -> {
            BlockingQueue<WatchEvent> open = new LinkedBlockingQueue<>();
            BlockingQueue<WatchEvent> good = new LinkedBlockingQueue<>();
            try (Crowd crowd = Crowd.start(source, Time.OURS);
                    WatchSession first = watch(crowd, "open", open);
                    WatchSession second = watch(crowd, "good", good)) {
                tell(0, "unplug");
                expect(open, WatchEvent.Kind.LOST, "");
                expect(open, WatchEvent.Kind.OUTAGE, "Emulated panel (USB-open) alone went; others stayed");
                tell(0, "plug");
                Thread.sleep(300);
                attach(0);
                expect(open, WatchEvent.Kind.FOUND, "");
                assertEquals(List.of(), List.copyOf(good));
                // What was before has nothing to do with it any more.
                Thread.sleep(4000);
                tell(0, "unplug");
                tell(1, "unplug");
                expect(open, WatchEvent.Kind.LOST, "");
                expect(good, WatchEvent.Kind.LOST, "");
                expect(good, WatchEvent.Kind.OUTAGE, "from different sockets of the computer");
                expect(open, WatchEvent.Kind.OUTAGE, "from different sockets of the computer");
                tell(0, "plug");
                tell(1, "plug");
                Thread.sleep(300);
                attach(0);
                attach(1);
                expect(open, WatchEvent.Kind.FOUND, "");
                expect(good, WatchEvent.Kind.FOUND, "");
            }
        });
        results.check("an open row wire is found in a guided check over USB", () -> {
            SessionView last = check(0, "open", view -> {});
            List<String> first = last.diagnosis().orElseThrow().explanations().get(0).alternatives().stream()
                    .map(set -> String.join(" + ", set.stream().map(Fault::text).toList()))
                    .toList();
            assertTrue(first.contains("open:R2"), first.toString());
            results.note("over USB: " + first + " at "
                    + last.diagnosis().orElseThrow().explanations().get(0).probability());
        });
        results.check(
                "a good box is found good, though a hub takes both boxes away at once in the middle of it", () -> {
                    boolean[] done = new boolean[1];
                    SessionView last = check(1, "good", view -> {
                        if (!done[0] && view.check().orElseThrow().done() >= 3) {
                            done[0] = true;
                            new Thread(this::hubOffAndOn, "hub").start();
                        }
                    });
                    assertTrue(done[0]);
                    assertEquals(List.of(), last.check().orElseThrow().findings());
                });
        results.check("after a brown-out the box is enumerated anew and goes on", () -> {
            tell(1, "brown-out");
            awaitGone("USB-good");
            attach(1);
            SessionView last = check(1, "good", view -> {});
            assertEquals(List.of(), last.check().orElseThrow().findings());
        });
    }

    private WatchSession watch(Crowd crowd, String which, BlockingQueue<WatchEvent> events) throws Exception {
        return crowd.watch(await("USB-" + which), Optional.empty(), WatchSettings.STANDARD, Optional.empty(), event -> {
            // Emulated time may have gaps.
            if (event.kind() != WatchEvent.Kind.REPORT_GAP) {
                events.add(event);
            }
        });
    }

    private static void expect(BlockingQueue<WatchEvent> events, WatchEvent.Kind kind, String part)
            throws InterruptedException {
        WatchEvent event = events.poll(60, TimeUnit.SECONDS);
        assertTrue(
                event != null && event.kind() == kind && event.words().contains(part),
                () -> kind + " " + part + " expected, but was " + event);
    }

    private void hubOffAndOn() {
        try {
            tell(0, "unplug");
            tell(1, "unplug");
            awaitGone("USB-open");
            awaitGone("USB-good");
            tell(0, "plug");
            tell(1, "plug");
            Thread.sleep(300);
            attach(1);
            attach(0);
        } catch (Exception broken) {
            results.note("the hub broke: " + broken);
        }
    }

    private synchronized void tell(int box, String what) throws IOException {
        hands.write(box + " " + what + "\n");
        hands.flush();
    }

    private DeviceInfo await(String serial) throws Exception {
        for (int tries = 0; tries < 500; tries++) {
            List<DeviceInfo> found = source.find(serial);
            if (found.size() == 1) {
                return found.get(0);
            }
            Thread.sleep(40);
        }
        throw new AssertionError("no box " + serial + " among " + source.list());
    }

    private void awaitGone(String serial) throws Exception {
        for (int tries = 0; !source.find(serial).isEmpty(); tries++) {
            assertTrue(tries < 500, serial + " stays");
            Thread.sleep(20);
        }
    }

    /** A whole guided check with what the diagnosis asks for after it, worked by a builder in real time. */
    private SessionView check(int number, String which, java.util.function.Consumer<SessionView> watch)
            throws Exception {
        String yaml = text(which);
        Plan plan = Panels.of(yaml);
        DeviceInfo device = await("USB-" + which);
        BlockingQueue<SessionView> views = new LinkedBlockingQueue<>();
        try (Session session =
                Session.open(source, device, Optional.of(new PlanInUse(plan, PlanHash.of(yaml))), Optional.empty())) {
            session.listen(views::add);
            long began = System.nanoTime();
            Hand hand = new Hand(plan, new Remote(number), Hand.Manners.CAREFUL, 11);
            Prompt shown = null;
            while (System.nanoTime() - began < TimeUnit.SECONDS.toNanos(300)) {
                long now = System.nanoTime() - began;
                SessionView view = views.poll(2, TimeUnit.MILLISECONDS);
                if (view != null && view.check().isPresent()) {
                    Prompt prompt = view.check().get().prompt();
                    if (prompt != shown) {
                        shown = prompt;
                        results.note(which + ": " + prompt.sentence());
                        hand.see(now, prompt);
                        if (prompt.kind() == Prompt.Kind.QUESTION) {
                            session.command(Instruction.NOTHING_CAME);
                        }
                    }
                    watch.accept(view);
                }
                hand.act(now);
                if (session.view().over()) {
                    return session.view();
                }
            }
            throw new AssertionError("the check does not end: " + session.view().check()
                    + (session.view().link() == Link.LOST ? ", the box is lost" : ""));
        }
    }

    /** Switches of a box outside; their bounce is what the way there adds. */
    private final class Remote implements PlayedBox {
        private final int number;

        Remote(int number) {
            this.number = number;
        }

        @Override
        public byte[] descriptor() {
            throw new UnsupportedOperationException();
        }

        @Override
        public void move(long nanos, String contact, boolean close) {
            try {
                tell(number, (close ? "press " : "release ") + contact);
            } catch (IOException gone) {
                throw new java.io.UncheckedIOException(gone);
            }
        }

        @Override
        public void axis(long nanos, Input input, int value) {
            throw new UnsupportedOperationException();
        }

        @Override
        public Report run(long until) {
            throw new UnsupportedOperationException();
        }
    }

    // ---------------------------------------------------------------- USB/IP, the side of the kernel that imports

    /** The C library's sockets: the kernel wants the descriptor of one that is connected. */
    interface Sockets extends Library {
        Sockets C = Native.load("c", Sockets.class);

        int socket(int family, int type, int protocol);

        int connect(int socket, Pointer address, int length);

        NativeLong write(int fd, Pointer data, NativeLong length);

        NativeLong read(int fd, Pointer data, NativeLong length);

        int close(int fd);
    }

    /** OP_REQ_IMPORT, then the socket to vhci_hcd; Documentation/usb/usbip_protocol.rst of the Linux kernel. */
    private synchronized void attach(int box) throws IOException {
        int socket = Sockets.C.socket(2, 1, 0);
        try (Memory address = new Memory(16);
                Memory request = new Memory(40);
                Memory reply = new Memory(320)) {
            address.clear();
            address.setShort(0, (short) 2);
            address.write(2, ByteBuffer.allocate(2).putShort((short) ports[box]).array(), 0, 2);
            address.write(4, new byte[] {10, 0, 2, 2}, 0, 4);
            if (Sockets.C.connect(socket, address, 16) != 0) {
                throw new IOException("no connection to box " + box);
            }
            request.clear();
            request.write(0, new byte[] {0x01, 0x11, (byte) 0x80, 0x03, 0, 0, 0, 0, '1', '-', '1'}, 0, 11);
            Sockets.C.write(socket, request, new NativeLong(40));
            for (int got = 0; got < 320; ) {
                long n = Sockets.C
                        .read(socket, reply.share(got), new NativeLong(320L - got))
                        .longValue();
                if (n <= 0) {
                    throw new IOException("box " + box + " is not given");
                }
                got += (int) n;
            }
            ByteBuffer answer = reply.getByteBuffer(0, 320).order(ByteOrder.BIG_ENDIAN);
            int bus = answer.getInt(296);
            int number = answer.getInt(300);
            int speed = answer.getInt(304);
            int free = freePort();
            Files.writeString(ATTACH, free + " " + socket + " " + (bus << 16 | number) + " " + speed);
        }
        // The kernel has a reference of its own by now.
        Sockets.C.close(socket);
    }

    /** Ports 0 to 7 are high speed and slower; the status file says 004 of a free one. */
    private static int freePort() throws IOException {
        for (String line : Files.readAllLines(ATTACH.resolveSibling("status"))) {
            String[] words = line.strip().split("\\s+");
            if (words[0].equals("hs") && words[2].equals("004")) {
                return Integer.parseInt(words[1]);
            }
        }
        throw new IOException("every port of the virtual hub is taken");
    }
}
