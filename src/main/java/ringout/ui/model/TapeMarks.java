package ringout.ui.model;

import java.util.ArrayList;
import java.util.List;
import ringout.check.CheckSettings;
import ringout.signal.Resolution;
import ringout.words.Texts;

/** Finds bounce and drop-outs on a strip, for marking them on the tape. */
public final class TapeMarks {
    /** Off times shorter than this are nobody's finger: fast tapping leaves at least about 50 ms. Common practice, no source. */
    public static final long HUMAN_GAP = 50_000_000L;
    /** An edge this close after another of the same press is bounce, in nanoseconds: as in a check. */
    public static final long BOUNCE_WINDOW = CheckSettings.STANDARD.bounceWindow();

    /** Bounce up to this is normal, in nanoseconds: as in a check of a box that is asked once a millisecond. */
    private static final long NORMAL = CheckSettings.STANDARD.bounceLimit() + Resolution.ASSUMED.nanos();

    private TapeMarks() {}

    /** What was seen. */
    public enum Kind {
        BOUNCE,
        DROPOUT;

        /** As it is written beside the mark. */
        public String word() {
            return this == BOUNCE ? Texts.say("tape.bounce") : Texts.say("tape.dropout");
        }
    }

    /**
     * @param from  its first edge, in nanoseconds
     * @param to    its last edge
     * @param edges how many edges
     */
    public record Mark(Kind kind, long from, long to, int edges) {
        /** True for what a good switch does. */
        public boolean normal() {
            return kind == Kind.BOUNCE && to - from <= NORMAL;
        }

        /** As it is written beside the mark, without its length. */
        public String word() {
            return normal() ? Texts.say("tape.bounce.normal") : kind.word();
        }
    }

    /**
     * The marks that begin in a stretch of time.
     *
     * @param most edges to look at; where the stretch has more, nothing is marked, for marks would lie on one another
     */
    public static List<Mark> of(Strip strip, long from, long to, int most) {
        int begin = strip.firstAtOrAfter(from);
        int end = strip.firstAtOrAfter(to);
        if (end - begin > most) {
            return List.of();
        }
        List<Mark> marks = new ArrayList<>();
        int i = Math.max(0, begin - 2);
        while (i < end) {
            // A run of edges, each sooner after the last than a finger can be.
            int last = i;
            while (last + 1 < strip.size() && strip.nanos(last + 1) - strip.nanos(last) < BOUNCE_WINDOW) {
                last++;
            }
            if (last - i >= 2 && strip.nanos(i) >= from) {
                marks.add(new Mark(Kind.BOUNCE, strip.nanos(i), strip.nanos(last), last - i + 1));
            } else if (last - i == 1 && !strip.levelAfter(i) && held(strip, i, last) && strip.nanos(i) >= from) {
                marks.add(new Mark(Kind.DROPOUT, strip.nanos(i), strip.nanos(last), 2));
            }
            i = last + 1;
        }
        return marks;
    }

    /** True where the input was on for a while before and after: no press began or ended here. */
    private static boolean held(Strip strip, int off, int on) {
        return off > 0
                && strip.nanos(off) - strip.nanos(off - 1) >= BOUNCE_WINDOW
                && (on + 1 >= strip.size() || strip.nanos(on + 1) - strip.nanos(on) >= BOUNCE_WINDOW);
    }
}
