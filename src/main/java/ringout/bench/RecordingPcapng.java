package ringout.bench;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Path;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import ringout.device.DeviceInfo;
import ringout.journal.Entry;
import ringout.journal.JournalException;
import ringout.journal.RecordingHeader;
import ringout.journal.RecordingReader;
import ringout.words.Texts;

/**
 * A recording as a capture for protocol analysers: what the bus would have carried, rebuilt from what was read. The
 * descriptors come first, so that an analyser can name the fields of the reports; events are comments on the next packet.
 * What was not recorded is made up and says so.
 */
public final class RecordingPcapng {
    /** More comments do not wait for a packet. */
    private static final int MAX_COMMENTS = 64;

    private static final int MAX_DESCRIPTOR = 0xFFFF;

    private final PcapngWriter out;
    private final DeviceInfo box;
    private final long start;
    private final UsbTransfers usb = new UsbTransfers();
    private final List<String> comments = new ArrayList<>();
    private long dropped;
    private long last;
    private long packets;

    private RecordingPcapng(PcapngWriter out, DeviceInfo box, long start) {
        this.out = out;
        this.box = box;
        this.start = start;
        this.last = start;
    }

    /**
     * Converts a recording of any length in constant memory.
     *
     * @param notes told what was skipped
     * @return number of packets written
     * @throws JournalException where the recording cannot be read, or holds what no capture can
     * @throws IOException      where {@code out} cannot be written
     */
    public static long write(Path recording, OutputStream out, Consumer<String> notes)
            throws JournalException, IOException {
        try (RecordingReader reader = RecordingReader.open(recording)) {
            RecordingHeader header = reader.header();
            PcapngWriter writer = new PcapngWriter(out);
            writer.section("Ringout", origin(header));
            writer.link(
                    UsbTransfers.LINKTYPE_USB_LINUX_MMAPPED,
                    header.device().path(),
                    header.device().name());
            RecordingPcapng capture = new RecordingPcapng(writer, header.device(), start(recording, header.start()));
            capture.plugIn(capture.start, header.descriptor());
            for (Optional<Entry> entry = reader.next(); entry.isPresent(); entry = reader.next()) {
                capture.entry(entry.get());
            }
            writer.statistics(capture.start, capture.last, capture.comments);
            reader.notes().forEach(notes);
            return capture.packets;
        }
    }

    private static long start(Path recording, Instant start) throws JournalException {
        try {
            long nanos = ChronoUnit.NANOS.between(Instant.EPOCH, start);
            if (nanos >= 0) {
                return nanos;
            }
        } catch (ArithmeticException tooLate) {
            // Said below.
        }
        throw new JournalException(Texts.say("recording.start", recording, start));
    }

    private static String origin(RecordingHeader header) {
        StringBuilder text =
                new StringBuilder("Rebuilt by Ringout from its recording of the reports it read from this box; not "
                        + "captured on the bus. Made up: the numbers of bus, device, endpoint and URBs, the polling interval, the "
                        + "transfers of descriptors, and the device and configuration descriptors but for the USB ids. Reports that "
                        + "repeated the one before are not in it.");
        if (header.simulated()) {
            text.append(" No real box was there: it was simulated.");
        }
        header.device()
                .problem()
                .lines()
                .findFirst()
                .ifPresent(loss -> text.append(' ').append(loss));
        return text.toString();
    }

    private void entry(Entry entry) throws IOException, JournalException {
        long nanos = start + entry.nanos();
        last = Long.compareUnsigned(nanos, last) > 0 ? nanos : last;
        EntryText.of(entry)
                .ifPresent(text -> comments.add(EntryText.seconds(entry) + " s " + text.event()
                        + (text.words().isEmpty() ? "" : ": " + text.words())));
        if (entry instanceof Entry.Report report) {
            packet(nanos, usb.report(nanos, report.bytes()));
        } else if (entry instanceof Entry.Lost) {
            comments.add(UsbTransfers.MADE_UP);
            packet(nanos, usb.gone(nanos));
        } else if (entry instanceof Entry.Found found) {
            plugIn(nanos, found.descriptor());
        } else if (entry instanceof Entry.Dropped missing) {
            dropped += missing.count();
        }
        if (comments.size() >= MAX_COMMENTS) {
            out.statistics(start, nanos, comments);
            comments.clear();
        }
    }

    private void plugIn(long nanos, byte[] descriptor) throws IOException, JournalException {
        if (descriptor.length > MAX_DESCRIPTOR) {
            throw new JournalException(Texts.say("recording.descriptor-long", descriptor.length));
        }
        usb.plugIn();
        for (UsbTransfers.Exchange exchange : usb.descriptors(nanos, box.vendorId(), box.productId(), descriptor)) {
            comments.add(UsbTransfers.MADE_UP);
            packet(nanos, exchange.request());
            comments.add(exchange.madeUp());
            packet(nanos, exchange.answer());
        }
    }

    private void packet(long nanos, byte[] data) throws IOException {
        out.packet(nanos, data, comments, dropped);
        comments.clear();
        dropped = 0;
        packets++;
    }
}
