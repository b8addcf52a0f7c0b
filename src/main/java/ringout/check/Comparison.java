package ringout.check;

import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import ringout.naming.FigureWords;
import ringout.naming.Names;
import ringout.plan.Known;
import ringout.plan.Plan;
import ringout.signal.Measured;
import ringout.words.Phrase;

/** What has changed at a box since an earlier check. */
public final class Comparison {
    /** A time must differ by more than the resolutions and this share of the earlier one, or chance explains it. */
    private static final double MARGIN = 0.25;

    private final Asking words;
    private final KeptCheck before;
    private final KeptCheck now;
    private final String date;
    private final List<Change> changes = new ArrayList<>();

    private Comparison(Plan plan, KeptCheck before, KeptCheck now, ZoneId zone) {
        this.words = new Asking(plan);
        this.before = before;
        this.now = now;
        this.date = DateTimeFormatter.ISO_LOCAL_DATE.format(before.when().atZone(zone));
    }

    /**
     * Compares two checks of the same box against the same plan.
     *
     * @param zone of the dates in the words
     * @return what is new first, then worse, better, still there, gone, not checked
     */
    public static List<Change> of(Plan plan, KeptCheck before, KeptCheck now, ZoneId zone) {
        return new Comparison(plan, before, now, zone).changes(plan);
    }

    private List<Change> changes(Plan plan) {
        for (Finding finding : now.findings()) {
            Optional<Finding> then = match(finding, before.findings());
            if (isTimed(finding) || finding.figure().isPresent()) {
                measured(plan, finding, then);
            } else if (then.isPresent()) {
                add(
                        Change.Sort.STILL,
                        finding,
                        Optional.empty(),
                        Optional.empty(),
                        Phrase.of("since.as-on", date, finding.told()));
            } else {
                isNew(finding, Optional.empty(), Optional.empty());
            }
        }
        for (Finding finding : before.findings()) {
            if (match(finding, now.findings()).isEmpty()) {
                boolean asked = now.answered().containsAll(finding.actions());
                add(
                        asked ? Change.Sort.GONE : Change.Sort.NOT_CHECKED,
                        finding,
                        figure(before, finding),
                        figure(now, finding),
                        asked
                                ? Phrase.of("since.gone", date, finding.told())
                                : Phrase.of("since.not-checked", date, finding.told()));
            }
        }
        changes.sort(Comparator.comparing(Change::sort));
        return List.copyOf(changes);
    }

    /** Times of a contact are kept of every check, bounce that is normal included; other figures are those of findings. */
    private static boolean isTimed(Finding finding) {
        return finding.kind() == FindingKind.BOUNCING || finding.kind() == FindingKind.DROPPING_OUT;
    }

    private void measured(Plan plan, Finding finding, Optional<Finding> then) {
        Optional<Measured> was = isTimed(finding) ? figure(before, finding) : then.flatMap(Finding::figure);
        Optional<Measured> is = figure(now, finding);
        if (was.isEmpty() || is.isEmpty() || then.isEmpty() && was.get().value() == 0) {
            isNew(finding, was, is);
            return;
        }
        double slack = was.get().resolution()
                + is.get().resolution()
                + MARGIN * was.get().value();
        double rise = is.get().value() - was.get().value();
        Change.Sort sort = then.isEmpty() || rise > slack
                ? Change.Sort.WORSE
                : -rise > slack ? Change.Sort.BETTER : Change.Sort.STILL;
        Object[] figures = {
            name(plan, finding), what(finding), FigureWords.of(was.get()), date, FigureWords.of(is.get())
        };
        add(
                sort,
                finding,
                was,
                is,
                sort == Change.Sort.WORSE
                        ? Phrase.of("since.up", figures)
                        : sort == Change.Sort.BETTER
                                ? Phrase.of("since.down", figures)
                                : Phrase.of("since.still", figures));
    }

    /** What is named: the contact that was timed, the control where something else was measured. */
    private Phrase name(Plan plan, Finding finding) {
        String action = finding.actions().isEmpty() ? "" : finding.actions().get(0);
        return isTimed(finding) || finding.controls().isEmpty()
                ? plan.action(action).map(words::name).orElse(Phrase.verbatim(action))
                : plan.control(finding.controls().get(0))
                        .map(c -> Phrase.verbatim(Names.label(c)))
                        .orElse(Phrase.verbatim(action));
    }

    private static Phrase what(Finding finding) {
        return switch (finding.kind()) {
            case BOUNCING -> Phrase.of("figure.of.bounce");
            case DROPPING_OUT -> Phrase.of("figure.of.drop-out");
            case SKIPPING -> Phrase.of("figure.of.clicks");
            case NOISY ->
                finding.figure().filter(f -> f.unit() == Measured.Unit.TIMES).isPresent()
                        ? Phrase.of("figure.of.leaps")
                        : Phrase.of("figure.of.noise");
            case DEAD_SPOT -> Phrase.of("figure.of.spot");
            default -> finding.said();
        };
    }

    private void isNew(Finding finding, Optional<Measured> was, Optional<Measured> is) {
        boolean checked = before.answered().containsAll(finding.actions());
        add(
                Change.Sort.NEW,
                finding,
                was,
                is,
                checked
                        ? Phrase.of("since.new", date, finding.told())
                        : Phrase.of("since.new.unchecked", date, finding.told()));
    }

    private static Optional<Finding> match(Finding finding, List<Finding> among) {
        return among.stream()
                .filter(f -> f.kind() == finding.kind()
                        && new HashSet<>(f.controls()).equals(new HashSet<>(finding.controls()))
                        && new HashSet<>(f.actions()).equals(new HashSet<>(finding.actions()))
                        && (isTimed(f)
                                || f.figure().isEmpty()
                                || finding.figure().isEmpty()
                                || f.figure().get().unit()
                                        == finding.figure().get().unit()))
                .findFirst();
    }

    private static Optional<Measured> figure(KeptCheck check, Finding finding) {
        if (!isTimed(finding)) {
            return finding.figure();
        }
        if (finding.actions().isEmpty() || !check.worked(finding.actions().get(0))) {
            return Optional.empty();
        }
        String action = finding.actions().get(0);
        return switch (finding.kind()) {
            case BOUNCING -> Optional.of(check.limits().time(check.bounce(action)));
            case DROPPING_OUT ->
                Optional.of(
                        check.limits().time(Known.in(check.contacts(), action).longestDropout()));
            default -> Optional.empty();
        };
    }

    private void add(
            Change.Sort sort, Finding finding, Optional<Measured> was, Optional<Measured> is, Phrase sentence) {
        changes.add(new Change(sort, finding.kind(), finding.controls(), was, is, sentence));
    }
}
