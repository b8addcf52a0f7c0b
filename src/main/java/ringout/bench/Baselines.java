package ringout.bench;

import java.time.Instant;
import java.time.ZoneId;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import ringout.check.BareBoard;
import ringout.check.Change;
import ringout.check.Comparison;
import ringout.check.KeptCheck;
import ringout.check.Trend;
import ringout.device.DeviceInfo;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.naming.Names;
import ringout.plan.Plan;
import ringout.words.Phrase;
import ringout.words.Texts;

/**
 * A check against the ones kept of the same box.
 *
 * @param before  the newest earlier one; empty where this is the first
 * @param changes since then
 * @param trends  over all kept ones that were made with the same plan, and this one
 * @param kept    how many earlier ones there are
 * @param notes   what the reader of the result should know
 * @param remarks what was said of the box since {@code before}, in order of time
 */
public record Baselines(
        Optional<KeptChecks.Kept> before,
        List<Change> changes,
        List<Trend> trends,
        int kept,
        List<String> notes,
        List<KeptChecks.Remark> remarks) {
    public Baselines {
        remarks = List.copyOf(remarks);
        changes = List.copyOf(changes);
        trends = List.copyOf(trends);
        notes = List.copyOf(notes);
    }

    /** Checks of a bare board are kept and compared among themselves. */
    private static KeptChecks sameSort(CheckedBox now, KeptChecks store) {
        return BareBoard.isOfTouches(now.plan()) ? store.bareBoards() : store;
    }

    /**
     * Compares a check with those kept before it, one of a bare board with those of bare boards.
     *
     * @param store of whole boxes
     * @param chosen what to compare with instead of the newest earlier one; empty for that
     * @param zone   of the dates in the words
     * @throws JournalException where the kept ones cannot be read
     */
    public static Baselines of(CheckedBox now, Optional<KeptChecks.Kept> chosen, KeptChecks store, ZoneId zone)
            throws JournalException {
        KeptChecks.Found found =
                sameSort(now, store).of(now.header().device(), now.kept().planHash());
        List<KeptChecks.Kept> earlier = found.checks().stream()
                .filter(k -> k.check().when().isBefore(now.kept().check().when()))
                .toList();
        Optional<KeptChecks.Kept> before =
                chosen.or(() -> earlier.isEmpty() ? Optional.empty() : Optional.of(earlier.get(earlier.size() - 1)));
        Instant moment = now.kept().check().when();
        List<KeptChecks.Remark> remarks = found.checks().stream()
                .flatMap(k -> k.remarks().stream())
                .filter(r -> r.when().isBefore(moment))
                .sorted(Comparator.comparing(KeptChecks.Remark::when))
                .toList();
        List<Change> changes = before.map(b -> Comparison.of(
                        now.plan(),
                        ofTheseParts(b.check(), remarks, now.plan()),
                        now.kept().check(),
                        zone))
                .orElse(List.of());
        List<KeptCheck> series = Stream.concat(earlier.stream(), Stream.of(now.kept()))
                .filter(k -> k.planHash().equals(now.kept().planHash()))
                .map(k -> ofTheseParts(k.check(), remarks, now.plan()))
                .toList();
        List<KeptChecks.Remark> since = remarks.stream()
                .filter(r -> before.isPresent()
                        && !r.when().isBefore(before.get().check().when()))
                .toList();
        return new Baselines(before, changes, Trend.of(now.plan(), series, zone), earlier.size(), found.notes(), since);
    }

    /** What an earlier check says of the parts that are in the box now. */
    private static KeptCheck ofTheseParts(KeptCheck check, List<KeptChecks.Remark> remarks, Plan plan) {
        Set<String> replaced = remarks.stream()
                .filter(r -> r.replaced() && check.when().isBefore(r.when()))
                .flatMap(r -> r.controls().stream())
                .collect(Collectors.toSet());
        return replaced.isEmpty() ? check : check.without(replaced, plan);
    }

    /** What was said of the box since the check before, a sentence each. */
    public List<Phrase> said(Plan plan, ZoneId zone) {
        return remarks.stream()
                .map(r -> {
                    Object date = r.when().atZone(zone).toLocalDate().toString();
                    List<String> labels = r.controls().stream()
                            .map(id -> plan.control(id).map(Names::label).orElse(id))
                            .toList();
                    return labels.isEmpty()
                            ? Phrase.of("remark.box", date, r.text())
                            : r.replaced()
                                    ? Phrase.of("remark.replaced", date, Phrase.and(labels), r.text())
                                    : Phrase.of("remark.controls", date, Phrase.and(labels), r.text());
                })
                .toList();
    }

    /**
     * What a long watch shows that the newest check kept before it did not, or less. What was good then and was not used
     * now is not told.
     *
     * @throws JournalException where the kept ones cannot be read
     */
    public static List<Change> ofWatch(DeviceInfo box, PlanInUse plan, KeptCheck watch, KeptChecks store, ZoneId zone)
            throws JournalException {
        List<KeptChecks.Kept> earlier = store.of(box, plan.hash()).checks().stream()
                .filter(k -> k.check().when().isBefore(watch.when()))
                .toList();
        List<KeptChecks.Remark> remarks =
                earlier.stream().flatMap(k -> k.remarks().stream()).toList();
        return earlier.isEmpty()
                ? List.of()
                : Comparison.of(
                                plan.plan(),
                                ofTheseParts(earlier.get(earlier.size() - 1).check(), remarks, plan.plan()),
                                watch,
                                zone)
                        .stream()
                        .filter(c -> c.sort() != Change.Sort.GONE && c.sort() != Change.Sort.NOT_CHECKED)
                        .toList();
    }

    /**
     * The newest check kept of a box that was made with this very plan.
     *
     * @throws JournalException where the kept ones cannot be read
     */
    public static Optional<KeptChecks.Kept> newest(DeviceInfo box, PlanInUse plan, KeptChecks store)
            throws JournalException {
        List<KeptChecks.Kept> same = store.of(box, plan.hash()).checks().stream()
                .filter(k -> k.planHash().equals(plan.hash()))
                .toList();
        return same.isEmpty() ? Optional.empty() : Optional.of(same.get(same.size() - 1));
    }

    /** How many things are new or worse. */
    public long worse() {
        return changes.stream().filter(Change::isWorse).count();
    }

    /**
     * Keeps a check, and says how it compares with the one before: what is to stand behind "This check is".
     *
     * @return empty where it is not kept: it is not finished, or the box was simulated
     * @throws JournalException where the earlier ones cannot be read or the check cannot be kept
     */
    public static Optional<String> keep(CheckedBox now, KeptChecks store, ZoneId zone) throws JournalException {
        Baselines baselines = of(now, Optional.empty(), store, zone);
        if (now.keep(sameSort(now, store)).isEmpty()) {
            return Optional.empty();
        }
        if (baselines.before().isEmpty()) {
            return Optional.of(Texts.say("kept.first"));
        }
        String date = baselines
                .before()
                .get()
                .check()
                .when()
                .atZone(zone)
                .toLocalDate()
                .toString();
        long worse = baselines.worse();
        return Optional.of(
                baselines.trends().isEmpty()
                        ? Texts.say("kept.since", worse, date)
                        : Texts.say("kept.since.trend", worse, date));
    }
}
