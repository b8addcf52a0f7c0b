package ringout.watch;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.SortedMap;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.check.KeptCheck;
import ringout.hid.Input;
import ringout.naming.FigureWords;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Plan;
import ringout.signal.BoxTiming;
import ringout.signal.ContactTiming;
import ringout.signal.IntervalMeter;
import ringout.signal.Measured;
import ringout.signal.TimingLimits;
import ringout.words.Phrase;

/**
 * What a long watch has come to.
 *
 * @param watchedNanos how long, the time the box was away included
 * @param awayNanos    how long it was away
 * @param lines        one for each kind of event at each input, in order of kind and input
 * @param intervals    how often the box reported
 * @param limits       what could not be seen
 */
public record WatchSummary(
        long watchedNanos, long awayNanos, List<Line> lines, IntervalMeter.Summary intervals, TimingLimits limits) {

    /**
     * All events of one kind at one input.
     *
     * @param input empty for the whole box
     * @param named the control's name and the input; empty for the whole box
     * @param count how many
     * @param worst the longest; empty where the kind has no length
     * @param first when the first one began
     * @param last  when the last one began
     */
    public record Line(
            WatchEvent.Kind kind,
            Optional<Input> input,
            Phrase named,
            long count,
            Optional<Measured> worst,
            long first,
            long last) {
        /** The control's name and the input; empty for the whole box. */
        public String name() {
            return named.text();
        }
    }

    public WatchSummary {
        lines = List.copyOf(lines);
    }

    /** True where the box did nothing wrong. */
    public boolean clean() {
        return lines.stream().noneMatch(l -> l.kind().isFault());
    }

    /**
     * It in the form of a check, to be compared with one: only what was used is answered.
     *
     * @param when when the watch began
     */
    public KeptCheck kept(Instant when, Plan plan, BoxTiming timing) {
        SortedMap<String, ContactTiming.Summary> contacts = KeptCheck.contacts(plan, timing);
        Set<String> used = new HashSet<>();
        contacts.forEach((action, contact) -> {
            if (contact.press().edges() > 0) {
                used.add(action);
            }
        });
        Names names = new Names(plan);
        List<Finding> findings = new ArrayList<>();
        for (Line line : lines) {
            Action owner = line.input().flatMap(names::owner).orElse(null);
            FindingKind kind = switch (line.kind()) {
                case BOUNCED -> FindingKind.BOUNCING;
                case DROPPED_OUT -> FindingKind.DROPPING_OUT;
                case STUCK -> FindingKind.STUCK;
                case GHOSTED -> FindingKind.GHOSTED;
                case SHAKING -> FindingKind.NOISY;
                case FREED, REPORT_GAP, LOST, FOUND, OVERRUN, OUTAGE -> null;
            };
            if (owner != null && kind != null) {
                findings.add(new Finding(
                        kind,
                        List.of(owner.control()),
                        List.of(owner.id()),
                        List.of(line.input().get()),
                        List.of(line.input().get()),
                        line.worst()
                                .map(worst -> Phrase.of(
                                        "found.watched.worst",
                                        names.action(owner),
                                        line.kind().said(),
                                        FigureWords.times(line.count()),
                                        FigureWords.of(worst)))
                                .orElseGet(() -> Phrase.of(
                                        "found.watched",
                                        names.action(owner),
                                        line.kind().said(),
                                        FigureWords.times(line.count()))),
                        line.worst()));
            }
        }
        return new KeptCheck(when, used, findings, contacts, KeptCheck.limits(plan, timing));
    }
}
