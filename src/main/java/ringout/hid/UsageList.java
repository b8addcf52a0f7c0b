package ringout.hid;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** The usages of one field, in order; ranges stay ranges, so that a whole page costs as much as one usage. Immutable. */
public final class UsageList {
    private final int[] first;
    /** Index, in the whole list, of each range's first usage, with the total at the end. */
    private final int[] start;

    private UsageList(int[] first, int[] start) {
        this.first = first;
        this.start = start;
    }

    /** Usages {@code first} to {@code last}, extended, of one page. */
    record Range(int first, int last) {
        int size() {
            return last - first + 1;
        }
    }

    static UsageList of(List<Range> ranges) {
        int[] first = new int[ranges.size()];
        int[] start = new int[ranges.size() + 1];
        for (int i = 0; i < first.length; i++) {
            first[i] = ranges.get(i).first();
            start[i + 1] = start[i] + ranges.get(i).size();
        }
        return new UsageList(first, start);
    }

    /** How many usages. */
    public int size() {
        return start[first.length];
    }

    public boolean isEmpty() {
        return first.length == 0;
    }

    /**
     * The usage at that place.
     *
     * @param index from 0 to {@link #size()} exclusive
     */
    public Usage get(int index) {
        if (index < 0 || index >= size()) {
            throw new IndexOutOfBoundsException(index);
        }
        int at = Arrays.binarySearch(start, index);
        int range = at >= 0 ? at : -at - 2;
        return Usage.extended(first[range] + index - start[range]);
    }

    /** True where the list was declared as one range with a minimum and a maximum, or is a single usage. */
    public boolean isRange() {
        return first.length == 1;
    }

    /** All usages. */
    public List<Usage> toList() {
        List<Usage> all = new ArrayList<>(size());
        for (int i = 0; i < size(); i++) {
            all.add(get(i));
        }
        return all;
    }

    @Override
    public String toString() {
        return isRange() && size() > 1 ? get(0) + " to " + get(size() - 1) : toList().toString();
    }
}
