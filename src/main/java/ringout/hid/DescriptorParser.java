package ringout.hid;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.BitSet;
import java.util.Deque;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import ringout.hid.InputField.Application;
import ringout.hid.InputField.Extent;
import ringout.hid.InputField.Kind;
import ringout.hid.ReportDescriptor.Report;
import ringout.words.Phrase;

/**
 * Reads one descriptor: a table of small handlers by item type and tag over the state in this object.
 *
 * <p>Section and page numbers are those of HID 1.11.
 */
final class DescriptorParser {
    private static final int LONG_ITEM = 0xFE;
    private static final int COLLECTION_PHYSICAL = 0;
    private static final Usage AXIS_X = new Usage(UsagePage.GENERIC_DESKTOP, 0x30);
    private static final Usage AXIS_Y = new Usage(UsagePage.GENERIC_DESKTOP, 0x31);
    /** Of a field's usages, when X, Y and a button are looked for. */
    private static final int MOST_LOOKED_AT = 64;

    private static final int COLLECTION_APPLICATION = 1;

    private final byte[] bytes;
    private final Deque<Global> pushed = new ArrayDeque<>();
    private final Deque<Collection> collections = new ArrayDeque<>();
    private final List<InputField> fields = new ArrayList<>();
    private final List<Application> applications = new ArrayList<>();
    /** Bits so far, by report ID, of input, output and feature reports. */
    private final Map<Integer, Integer> inputBits = new LinkedHashMap<>();

    private final Map<Integer, Integer> outputBits = new LinkedHashMap<>();
    private final Map<Integer, Integer> featureBits = new LinkedHashMap<>();
    private Global global = new Global();
    private Local local = new Local();
    private int elements;
    private int arrayUsages;

    /** Where the current item starts. */
    private int offset;
    /** The current item's data: bytes, and their value as an unsigned number. */
    private int dataSize;

    private int data;

    private final List<DescriptorWarning> warnings = new ArrayList<>();
    /** Applications that hold what makes a game controller, whatever they call themselves. */
    private final Map<Integer, Contents> contents = new HashMap<>();

    DescriptorParser(byte[] bytes) {
        this.bytes = bytes;
    }

    /** What was seen in an application collection. */
    private static final class Contents {
        boolean x;
        boolean y;
        boolean button;

        void add(InputField field) {
            for (int i = 0; i < Math.min(field.usages().size(), MOST_LOOKED_AT); i++) {
                Usage usage = field.usages().get(i);
                x |= usage.equals(AXIS_X);
                y |= usage.equals(AXIS_Y);
                button |= usage.page() == UsagePage.BUTTON && usage.id() != 0;
            }
        }

        boolean makeController() {
            return x && y && button;
        }
    }

    private interface Handler {
        void handle(DescriptorParser parser) throws DescriptorException;
    }

    /** Handlers by type and tag. A tag without one is reserved: skipped, but for the global ones. */
    private static final Map<Integer, Handler> HANDLERS = Map.ofEntries(
            main(0x8, parser -> parser.field(parser.inputBits)),
            main(0x9, parser -> parser.field(parser.outputBits)),
            main(0xB, parser -> parser.field(parser.featureBits)),
            main(0xA, DescriptorParser::collection),
            main(0xC, DescriptorParser::endCollection),
            global(0x0, DescriptorParser::usagePage),
            global(0x1, parser -> parser.global.logicalMinimum = parser.number()),
            global(0x2, parser -> parser.global.logicalMaximum = parser.number()),
            global(0x3, parser -> parser.global.physicalMinimum = parser.number()),
            global(0x4, parser -> parser.global.physicalMaximum = parser.number()),
            global(0x5, DescriptorParser::unitExponent),
            global(0x6, parser -> parser.global.unit = parser.data),
            global(0x7, parser -> parser.global.reportSize = parser.number().unsigned()),
            global(0x8, DescriptorParser::reportId),
            global(0x9, parser -> parser.global.reportCount = parser.number().unsigned()),
            global(0xA, DescriptorParser::push),
            global(0xB, DescriptorParser::pop),
            local(0x0, DescriptorParser::usage),
            local(0x1, parser -> parser.usageBound(true)),
            local(0x2, parser -> parser.usageBound(false)),
            local(0xA, DescriptorParser::delimiter));

    private static Map.Entry<Integer, Handler> main(int tag, Handler handler) {
        return Map.entry(tag << 2, handler);
    }

    private static Map.Entry<Integer, Handler> global(int tag, Handler handler) {
        return Map.entry(tag << 2 | 1, handler);
    }

    private static Map.Entry<Integer, Handler> local(int tag, Handler handler) {
        return Map.entry(tag << 2 | 2, handler);
    }

    ReportDescriptor parse() throws DescriptorException {
        if (bytes.length == 0) {
            throw error(Phrase.of("descriptor.empty"));
        }
        DescriptorLimits.check(0, Phrase.of("descriptor.limit.length"), bytes.length, DescriptorLimits.MAX_LENGTH);
        int next = 0;
        while (next < bytes.length) {
            offset = next;
            next = item(bytes[offset] & 0xFF);
        }
        offset = bytes.length;
        if (!collections.isEmpty()) {
            throw error(Phrase.of("descriptor.end-missing", collections.size()));
        }
        if (local.delimiter != Delimiter.NONE) {
            warn("6.2.2.8", Phrase.of("descriptor.set-open"));
        }
        List<Report> reports = new ArrayList<>();
        inputBits.forEach((id, bits) -> reports.add(new Report(id, bits)));
        return new ReportDescriptor(fields, reports, applications, controllers(), warnings);
    }

    /** Which applications are game controllers: by their usage, or, where that says nothing, by what is in them. */
    private BitSet controllers() {
        BitSet controllers = new BitSet();
        for (Application application : applications) {
            Usage usage = application.usage();
            boolean undefined = usage.id() == 0 && usage.page() <= UsagePage.GENERIC_DESKTOP;
            Contents in = contents.get(application.index());
            controllers.set(
                    application.index(),
                    GameControls.isController(usage) || undefined && in != null && in.makeController());
        }
        return controllers;
    }

    private void warn(String section, Phrase words) {
        if (warnings.size() < DescriptorLimits.MAX_WARNINGS) {
            warnings.add(new DescriptorWarning(offset, section, words));
        }
    }

    /** Handles the item that starts with that byte; returns where the next one starts. */
    private int item(int prefix) throws DescriptorException {
        if (prefix == LONG_ITEM) {
            // Section 6.2.2.3 (page 27): no long item tags are defined, so their data is passed over.
            if (offset + 2 >= bytes.length) {
                throw error(Phrase.of("descriptor.long-item"));
            }
            return end(offset + 3, bytes[offset + 1] & 0xFF);
        }
        dataSize = (prefix & 3) == 3 ? 4 : prefix & 3;
        int next = end(offset + 1, dataSize);
        data = 0;
        for (int i = next - 1; i > offset; i--) {
            data = data << 8 | bytes[i] & 0xFF;
        }
        Handler handler = HANDLERS.get(prefix >>> 2);
        int type = prefix >>> 2 & 3;
        if (handler != null) {
            handler.handle(this);
        } else if (type == 1) {
            // It might change what every later field means; the kernel refuses it as well.
            throw error(Phrase.of("descriptor.reserved", hex(prefix)));
        }
        if (type == 0) {
            local = new Local();
        }
        return next;
    }

    private int end(int start, int length) throws DescriptorException {
        if (start + length > bytes.length) {
            throw error(Phrase.of("descriptor.data", length, bytes.length - start));
        }
        return start + length;
    }

    /** As the standard writes item prefixes, pages and usages. */
    private static String hex(int number) {
        return "0x" + Integer.toHexString(number).toUpperCase(Locale.ROOT);
    }

    private DescriptorException error(Phrase why) {
        return new DescriptorException(offset, why);
    }

    /** The current item's data as a number whose sign is not known yet. */
    private ItemNumber number() {
        return new ItemNumber(data, dataSize);
    }

    // Main items, section 6.2.2.4 (page 28)

    private void field(Map<Integer, Integer> reportBits) throws DescriptorException {
        UsageList usages = usages();
        if (reportBits != inputBits
                && (global.reportSize > DescriptorLimits.MAX_REPORT_SIZE
                        || global.reportSize * Math.min(global.reportCount, DescriptorLimits.MAX_REPORT_BITS)
                                > DescriptorLimits.MAX_REPORT_BITS)) {
            warn("6.2.2.7", Phrase.of("descriptor.output-long"));
            return;
        }
        DescriptorLimits.check(
                offset, Phrase.of("descriptor.limit.report-size"), global.reportSize, DescriptorLimits.MAX_REPORT_SIZE);
        // Fewer than 2^40 bits: no overflow.
        long bits = global.reportSize * global.reportCount;
        int start = reportBits.getOrDefault(global.reportId, 0);
        DescriptorLimits.check(
                offset,
                Phrase.of("descriptor.limit.report-bits", global.reportId),
                start + bits,
                DescriptorLimits.MAX_REPORT_BITS);
        reportBits.put(global.reportId, (int) (start + bits));
        if (reportBits != inputBits || bits == 0) {
            return;
        }
        int count = (int) global.reportCount;
        Kind kind = (data & 0x01) != 0 ? Kind.CONSTANT : (data & 0x02) != 0 ? Kind.VARIABLE : Kind.ARRAY;
        Extent logical = ItemNumber.extent(global.logicalMinimum, global.logicalMaximum);
        if (kind != Kind.CONSTANT && logical.maximum() < logical.minimum()) {
            throw error(Phrase.of("descriptor.extent", logical.maximum(), logical.minimum()));
        }
        InputField field = new InputField(
                global.reportId,
                start,
                (int) global.reportSize,
                count,
                kind,
                (data & 0x04) != 0,
                (data & 0x40) != 0,
                logical,
                ItemNumber.extent(global.physicalMinimum, global.physicalMaximum),
                global.unit,
                global.unitExponent,
                global.usagePage,
                usages,
                around().application(),
                around().part());
        elements += count;
        arrayUsages += kind == Kind.ARRAY ? field.selectable() : 0;
        DescriptorLimits.check(offset, Phrase.of("descriptor.limit.values"), elements, DescriptorLimits.MAX_ELEMENTS);
        DescriptorLimits.check(
                offset, Phrase.of("descriptor.limit.array-usages"), arrayUsages, DescriptorLimits.MAX_ARRAY_USAGES);
        fields.add(field);
        if (kind != Kind.CONSTANT) {
            contents.computeIfAbsent(field.application().index(), index -> new Contents())
                    .add(field);
        }
        DescriptorLimits.check(
                offset, Phrase.of("descriptor.limit.fields"), fields.size(), DescriptorLimits.MAX_FIELDS);
    }

    private void collection() throws DescriptorException {
        UsageList usages = usages();
        DescriptorLimits.check(
                offset,
                Phrase.of("descriptor.limit.collections"),
                collections.size() + 1L,
                DescriptorLimits.MAX_COLLECTION_DEPTH);
        Usage usage = usages.isEmpty() ? Usage.NONE : usages.get(0);
        // A joystick inside a vendor's collection is one, whatever the type of its own collection.
        boolean nested = GameControls.isController(usage)
                && !GameControls.isController(around().application().usage());
        if (data == COLLECTION_APPLICATION || nested) {
            Application application = new Application(applications.size(), usage);
            applications.add(application);
            collections.push(new Collection(application, around().part()));
        } else if (data == COLLECTION_PHYSICAL) {
            collections.push(new Collection(around().application(), usage));
        } else {
            collections.push(around());
        }
    }

    private Collection around() {
        return collections.isEmpty() ? Collection.NONE : collections.peek();
    }

    private void endCollection() throws DescriptorException {
        usages();
        if (collections.poll() == null) {
            throw error(Phrase.of("descriptor.end-alone"));
        }
    }

    // Global items, section 6.2.2.7 (page 35)

    private void usagePage() {
        if (data >>> 16 != 0) {
            warn("6.2.2.7", Phrase.of("descriptor.page-long", hex(data)));
        }
        global.usagePage = data & 0xFFFF;
    }

    private void unitExponent() {
        // A signed nibble (page 38); some devices send it as a signed byte, which has the same low nibble.
        global.unitExponent = (int) Bits.signed(data & 0xF, 4);
    }

    private void reportId() throws DescriptorException {
        if (data == 0) {
            throw error(Phrase.of("descriptor.report-id-0"));
        }
        DescriptorLimits.check(offset, Phrase.of("descriptor.limit.report-id"), number().unsigned(), 255);
        global.reportId = data;
    }

    private void push() throws DescriptorException {
        DescriptorLimits.check(
                offset, Phrase.of("descriptor.limit.push"), pushed.size() + 1L, DescriptorLimits.MAX_PUSH_DEPTH);
        pushed.push(new Global(global));
    }

    private void pop() throws DescriptorException {
        if (pushed.isEmpty()) {
            throw error(Phrase.of("descriptor.pop-alone"));
        }
        global = pushed.pop();
    }

    // Local items, section 6.2.2.8 (page 39). Designators and strings have no handler: nothing here needs them.

    private void usage() {
        if (local.delimiter != Delimiter.FILLED) {
            add(data, data, dataSize == 4);
        }
    }

    private void usageBound(boolean minimum) {
        if (local.delimiter == Delimiter.FILLED) {
            return;
        }
        if (minimum) {
            if (local.minimum != null) {
                settle();
            }
            local.minimum = number();
        } else {
            if (local.maximum != null) {
                settle();
            }
            local.maximum = number();
        }
        if (local.minimum != null && local.maximum != null) {
            range(local.minimum, local.maximum);
            local.from = local.minimum;
            local.minimum = null;
            local.maximum = null;
        }
    }

    /** Does with a bound that stayed alone what the kernel's hid_parser_local does. */
    private void settle() {
        if (local.minimum != null) {
            warn("6.2.2.8", Phrase.of("descriptor.minimum-alone"));
        } else if (local.maximum != null) {
            warn("6.2.2.8", Phrase.of("descriptor.maximum-alone"));
            range(local.from, local.maximum);
        }
        local.minimum = null;
        local.maximum = null;
    }

    private void range(ItemNumber minimum, ItemNumber maximum) {
        boolean extended = minimum.size() == 4 || maximum.size() == 4;
        int first = minimum.data();
        int last = maximum.data();
        // Both should be of one form; where only one names its page, the other is on the same.
        if (extended && minimum.size() != 4) {
            first |= last & 0xFFFF0000;
        } else if (extended && maximum.size() != 4) {
            last |= first & 0xFFFF0000;
        }
        boolean pages = first >>> 16 != last >>> 16;
        if (pages || Integer.compareUnsigned(first, last) > 0) {
            // The kernel's hid_parser_local lets the count run over, and takes as many as it ever takes.
            warn(
                    "6.2.2.8",
                    pages
                            ? Phrase.of("descriptor.pages-differ", hex(first), hex(last))
                            : Phrase.of("descriptor.range-backwards", hex(first), hex(last)));
            last = first & 0xFFFF0000 | Math.min(0xFFFF, (first & 0xFFFF) + DescriptorLimits.KERNEL_USAGES - 1);
        }
        add(first, last, extended);
    }

    private void add(int first, int last, boolean extended) {
        long room = DescriptorLimits.MAX_USAGES - local.usageCount;
        long count = Integer.toUnsignedLong(last) - Integer.toUnsignedLong(first) + 1;
        if (count > room) {
            warn("6.2.2.8", Phrase.of("descriptor.usages-many", DescriptorLimits.MAX_USAGES));
        }
        if (room > 0) {
            local.usageCount += Math.min(count, room);
            int end = (int) (Integer.toUnsignedLong(first) + Math.min(count, room) - 1);
            local.usages.add(new Pending(first, end, extended, global.usagePage));
        }
        if (local.delimiter == Delimiter.OPEN) {
            local.delimiter = Delimiter.FILLED;
        }
    }

    private void delimiter() throws DescriptorException {
        boolean open = data != 0;
        if (open == (local.delimiter != Delimiter.NONE)) {
            throw error(open ? Phrase.of("descriptor.set-nested") : Phrase.of("descriptor.set-end-alone"));
        }
        local.delimiter = open ? Delimiter.OPEN : Delimiter.NONE;
    }

    /**
     * The usages for the main item at hand, each on its page.
     *
     * <p>Section 6.2.2.8 (page 40) puts every short usage on the page last declared before the main item. Devices also
     * declare "page A, usage, page B, usage, main item" and mean both pages; so, as in the kernel since 5.4
     * (hid_concatenate_last_usage_page), the last page is put on the short usages from the end back to the first one
     * that was declared under that page.
     */
    private UsageList usages() {
        if (local.delimiter != Delimiter.NONE) {
            warn("6.2.2.8", Phrase.of("descriptor.set-cut"));
        }
        settle();
        UsageList.Range[] ranges = new UsageList.Range[local.usages.size()];
        boolean lastPageUsed = false;
        for (int i = ranges.length - 1; i >= 0; i--) {
            Pending usage = local.usages.get(i);
            lastPageUsed |= !usage.extended() && usage.page() == global.usagePage;
            int page = usage.extended() ? 0 : (lastPageUsed ? usage.page() : global.usagePage) << 16;
            ranges[i] = new UsageList.Range(page | usage.first(), page | usage.last());
        }
        return UsageList.of(List.of(ranges));
    }

    /** An open collection: the innermost application and physical collection that a field in it is in. */
    private record Collection(Application application, Usage part) {
        static final Collection NONE = new Collection(Application.NONE, Usage.NONE);
    }

    /** A number from an item, whose sign depends on other items. */
    private record ItemNumber(int data, int size) {
        static final ItemNumber ZERO = new ItemNumber(0, 0);

        long unsigned() {
            return data & 0xFFFFFFFFL;
        }

        long signed() {
            return size == 0 ? 0 : Bits.signed(data, size * 8);
        }

        /**
         * Section 5.8 (page 19): all is unsigned unless the minimum is negative. So 26 FF FF with minimum 0 is 65535,
         * though section 6.2.2.7 would have it signed; many devices count on it, and the kernel obliges them.
         */
        static Extent extent(ItemNumber minimum, ItemNumber maximum) {
            long least = minimum.signed();
            return new Extent(least, least < 0 ? maximum.signed() : maximum.unsigned());
        }
    }

    /** The global item state table. */
    private static final class Global {
        int usagePage;
        ItemNumber logicalMinimum = ItemNumber.ZERO;
        ItemNumber logicalMaximum = ItemNumber.ZERO;
        ItemNumber physicalMinimum = ItemNumber.ZERO;
        ItemNumber physicalMaximum = ItemNumber.ZERO;
        int unit;
        int unitExponent;
        long reportSize;
        int reportId;
        long reportCount;

        Global() {}

        Global(Global other) {
            usagePage = other.usagePage;
            logicalMinimum = other.logicalMinimum;
            logicalMaximum = other.logicalMaximum;
            physicalMinimum = other.physicalMinimum;
            physicalMaximum = other.physicalMaximum;
            unit = other.unit;
            unitExponent = other.unitExponent;
            reportSize = other.reportSize;
            reportId = other.reportId;
            reportCount = other.reportCount;
        }
    }

    /** Whether usages are inside a delimited set of alternatives, and whether the first, preferred one was taken. */
    private enum Delimiter {
        NONE,
        OPEN,
        FILLED
    }

    /** The local item state, forgotten after each main item. */
    private static final class Local {
        final List<Pending> usages = new ArrayList<>();
        long usageCount;

        @Nullable
        ItemNumber minimum;

        @Nullable
        ItemNumber maximum;

        /** The minimum of the last range. */
        ItemNumber from = ItemNumber.ZERO;

        Delimiter delimiter = Delimiter.NONE;
    }

    /** Usages waiting for their main item, with the page in effect where they were declared. */
    private record Pending(int first, int last, boolean extended, int page) {}
}
