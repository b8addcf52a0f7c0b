package ringout.report;

import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import ringout.bench.Baselines;
import ringout.bench.CheckedBox;
import ringout.check.Change;
import ringout.check.CheckView;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.diagnosis.Diagnosis;
import ringout.diagnosis.Explanation;
import ringout.diagnosis.GhostProof;
import ringout.diagnosis.NextStep;
import ringout.drawing.Area;
import ringout.drawing.Marks;
import ringout.naming.FigureWords;
import ringout.naming.Names;
import ringout.plan.Action;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.signal.AxisMeter;
import ringout.signal.ContactTiming;
import ringout.signal.EdgeTiming;
import ringout.signal.EncoderMeter;
import ringout.signal.TimingLimits;
import ringout.words.Phrase;
import ringout.words.Texts;

/** The report of a finished check: what is kept with the box, or sent to whoever is asked for help. */
public final class CheckReport {
    private static final DateTimeFormatter MOMENT =
            DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm 'UTC'xxx", Locale.ROOT);
    private static final DateTimeFormatter DAY = DateTimeFormatter.ISO_LOCAL_DATE;
    /** Explanations less likely than this are not worth a line. */
    private static final double LEAST = 0.03;

    private static final int MOST_EXPLANATIONS = 3;
    private static final int HASH_DIGITS = 16;
    private static final double MARK_MM = 9;
    private static final double MARK_SCALE = 0.5;

    private final CheckedBox checked;
    private final Plan plan;
    private final CheckView check;
    private final TimingLimits limits;
    private final Optional<Baselines> baselines;
    private final ZoneId zone;
    private final List<Document.Block> blocks = new ArrayList<>();

    private CheckReport(CheckedBox checked, Optional<Baselines> baselines, ZoneId zone) {
        this.checked = checked;
        this.plan = checked.plan();
        this.check = checked.check();
        this.limits = checked.kept().check().limits();
        this.baselines = baselines;
        this.zone = zone;
    }

    /**
     * The report.
     *
     * @param checked   the check; see {@link CheckedBox#explained} for one that was helped by a multimeter
     * @param baselines earlier checks of the box; empty where it is not to be compared
     * @param zone      of the dates in it
     */
    public static Document of(CheckedBox checked, Optional<Baselines> baselines, ZoneId zone, Document.Paper paper) {
        return new CheckReport(checked, baselines, zone).document(paper);
    }

    private Document document(Document.Paper paper) {
        verdict();
        beside(CheckPictures.panel(plan, check), facts());
        findings();
        controls();
        explanations();
        comparison();
        unseen();
        String program = Stream.of("Ringout", CheckReport.class.getPackage().getImplementationVersion())
                .filter(Objects::nonNull)
                .collect(Collectors.joining(" "));
        return new Document(
                Texts.say("report.title", plan.box().name()),
                Phrase.sentences(List.of(
                                checked.header().simulated()
                                        ? Phrase.of("report.checked-on.simulated", moment())
                                        : Phrase.of("report.checked-on", moment()),
                                checked.recording().isPresent()
                                        ? Phrase.of("report.made-by", program)
                                        : Phrase.of("report.made-by.unrecorded", program)))
                        .text(),
                paper,
                blocks);
    }

    private void beside(Document.Figure figure, Document.Facts facts) {
        if (figure.drawing().width() <= Document.Beside.MOST_MM) {
            blocks.add(new Document.Beside(figure, facts));
        } else {
            blocks.add(figure);
            blocks.add(facts);
        }
    }

    private String moment() {
        return MOMENT.format(checked.header().start().atZone(zone));
    }

    // The outcome

    private Optional<Explanation> leading() {
        return checked.diagnosis().stream()
                .flatMap(d -> d.explanations().stream())
                .findFirst()
                .filter(e -> !e.healthy());
    }

    private void verdict() {
        Document.Tone tone = !check.findings().isEmpty()
                ? Document.Tone.FAULT
                : check.outcome() == CheckView.Outcome.MATCHES ? Document.Tone.GOOD : Document.Tone.OPEN;
        List<String> details = new ArrayList<>();
        if (!check.findings().isEmpty()) {
            long controls = check.findings().stream()
                    .flatMap(f -> f.controls().stream())
                    .distinct()
                    .count();
            details.add(Texts.say(
                    "report.at",
                    check.findings().size(),
                    controls,
                    plan.controls().size()));
            leading()
                    .ifPresent(e ->
                            details.add(Texts.say("report.leading", e.chance().sentence(), e.likeliest())));
            checked.diagnosis()
                    .filter(Diagnosis::unexplained)
                    .ifPresent(d -> details.add(Texts.say("step.unexplained", d.verdict())));
        } else if (tone == Document.Tone.GOOD) {
            details.add(Texts.say("report.good", check.total()));
        } else {
            details.add(Texts.say("report.open", steps()));
        }
        blocks.add(new Document.Verdict(tone, mark(tone), check.verdict(), details));
    }

    private static Drawing mark(Document.Tone tone) {
        Sketch sketch = new Sketch(MARK_SCALE);
        Area area = new Area(1, 1, MARK_MM / MARK_SCALE - 2, MARK_MM / MARK_SCALE - 2);
        sketch.ink(
                switch (tone) {
                    case GOOD -> Marks.good(area, "mark-good");
                    case FAULT -> Marks.of(FindingKind.MISSING, area, "mark-verdict");
                    case OPEN -> Marks.waiting(area, "mark-open");
                });
        return sketch.drawing(
                MARK_MM / MARK_SCALE,
                MARK_MM / MARK_SCALE,
                switch (tone) {
                    case GOOD -> Texts.say("report.tick");
                    case FAULT -> Texts.say("report.cross");
                    case OPEN -> Texts.say("report.square");
                });
    }

    private String steps() {
        long skipped = check.steps().stream()
                .filter(s -> s.status() == CheckView.Status.SKIPPED)
                .count();
        return skipped == 0
                ? Texts.say("report.steps.done", check.done(), check.total())
                : Texts.say("report.steps.skipped", check.done(), check.total(), skipped);
    }

    private Document.Facts facts() {
        List<Document.Fact> facts = new ArrayList<>();
        String serial = checked.header().device().serial();
        facts.add(new Document.Fact(
                Texts.say("report.box"), checked.header().device().name()));
        facts.add(new Document.Fact(Texts.say("report.checked"), moment()));
        facts.add(new Document.Fact(
                "USB",
                serial.isEmpty()
                        ? Texts.say(
                                "report.usb.no-serial",
                                checked.header().device().usbId())
                        : Texts.say("report.usb", checked.header().device().usbId(), serial)));
        facts.add(new Document.Fact(Texts.say("report.steps"), steps()));
        facts.add(new Document.Fact(
                Texts.say("report.plan"),
                Texts.say(
                        "report.plan.size",
                        plan.controls().size(),
                        plan.contacts().size(),
                        plan.lines().size())));
        facts.add(new Document.Fact(
                Texts.say("report.times-known"),
                FigureWords.of(limits.resolution()).text()));
        facts.add(new Document.Fact(Texts.say("report.plan-hash"), hash()));
        checked.recording().ifPresent(file -> facts.add(new Document.Fact(Texts.say("report.recording"), file)));
        return new Document.Facts(facts);
    }

    /** Enough of it to tell two plans apart. */
    private String hash() {
        String hash = checked.kept().planHash();
        return hash.isEmpty()
                ? Texts.say("report.not-recorded")
                : hash.length() <= HASH_DIGITS ? hash : hash.substring(0, HASH_DIGITS) + "…";
    }

    // Findings and what explains them

    private void findings() {
        if (check.findings().isEmpty()) {
            return;
        }
        blocks.add(new Document.Heading(Texts.say("report.found")));
        List<List<String>> rows = new ArrayList<>();
        for (Finding finding : check.findings()) {
            String where = finding.controls().isEmpty()
                    ? Texts.say("report.no-control")
                    : finding.controls().stream()
                            .map(id -> plan.control(id).map(Control::label).orElse(id))
                            .collect(Collectors.joining(", "));
            rows.add(List.of(finding.said().text(), where, finding.evidence()));
        }
        blocks.add(new Document.Table(
                Texts.say("report.found.caption"),
                List.of(Texts.say("report.finding"), Texts.say("report.control"), Texts.say("report.done-and-came")),
                List.of(20.0, 28.0, 100.0),
                rows));
    }

    private void explanations() {
        if (check.findings().isEmpty() || checked.diagnosis().isEmpty()) {
            return;
        }
        Diagnosis diagnosis = checked.diagnosis().get();
        List<Explanation> shown = diagnosis.explanations().stream()
                .filter(e -> e.probability() >= LEAST && !e.healthy())
                .limit(MOST_EXPLANATIONS)
                .toList();
        blocks.add(new Document.Heading(Texts.say("report.explains")));
        if (diagnosis.explanations().stream()
                .findFirst()
                .filter(Explanation::healthy)
                .isPresent()) {
            blocks.add(new Document.Text(Texts.say("report.not-wiring")));
            caution();
            return;
        }
        if (shown.isEmpty()) {
            blocks.add(new Document.Text(diagnosis.verdict().sentence() + "."));
        }
        for (Explanation e : shown) {
            blocks.add(new Document.Subheading(
                    Texts.say("report.explanation", e.chance().sentence(), e.likeliest())));
            if (e == shown.get(0)) {
                beside(CheckPictures.loom(plan, check, e), evidence(e));
            } else {
                blocks.add(evidence(e));
            }
        }
        next(diagnosis);
    }

    private static Document.Facts evidence(Explanation e) {
        List<Document.Fact> facts = new ArrayList<>();
        fact(facts, Texts.say("report.for"), e.evidenceFor());
        fact(facts, Texts.say("report.against"), e.evidenceAgainst());
        fact(facts, Texts.say("report.assumed"), e.assumed());
        fact(facts, Texts.say("report.alike"), e.alike());
        return new Document.Facts(facts);
    }

    private static void fact(List<Document.Fact> facts, String name, List<Phrase> sentences) {
        if (!sentences.isEmpty()) {
            facts.add(new Document.Fact(name, capital(String.join("; ", Phrase.texts(sentences))) + "."));
        }
    }

    private void next(Diagnosis diagnosis) {
        // The check is over: a probe can be made with the report in hand, a press only in another check.
        diagnosis.next().stream()
                .min(Comparator.comparing(step -> step.kind() != NextStep.Kind.PROBE))
                .ifPresent(step -> {
                    blocks.add(new Document.Subheading(Texts.say("report.certain")));
                    blocks.add(new Document.Text(step.text() + (step.text().endsWith(".") ? "" : ".")));
                });
        caution();
    }

    private void caution() {
        blocks.add(new Document.Caution(
                Texts.say("report.before"), List.of(Texts.say("report.before.usb"), Texts.say("report.before.eyes"))));
    }

    // Every control

    private void controls() {
        List<List<String>> rows = new ArrayList<>();
        Set<Integer> marked = new HashSet<>();
        for (Control control : plan.controls()) {
            for (Action action : control.actions()) {
                List<String> found = found(action);
                if (!found.isEmpty()) {
                    marked.add(rows.size());
                }
                Optional<ContactTiming.Summary> timing = Optional.ofNullable(
                                checked.kept().check().contacts().get(action.id()))
                        .filter(known -> known.press().edges() > 0);
                rows.add(List.of(
                        action.words().text(),
                        action.input().map(i -> i.words().text()).orElse(Texts.say("report.none-planned")),
                        (found.isEmpty() ? result(action) : String.join("; ", found)) + measured(control, action),
                        timing.map(known -> bounce(known.press())).orElse("–"),
                        timing.map(known -> bounce(known.release())).orElse("–"),
                        timing.map(this::dropouts).orElse("–")));
            }
        }
        blocks.add(new Document.Heading(Texts.say("report.every")));
        blocks.add(new Document.Table(
                Texts.say("report.every.caption", FigureWords.of(limits.resolution())),
                List.of(
                        Texts.say("report.control"),
                        Texts.say("report.planned"),
                        Texts.say("report.result"),
                        Texts.say("report.bounce-press"),
                        Texts.say("report.bounce-release"),
                        Texts.say("report.drop-outs")),
                List.of(37.0, 18.0, 51.0, 21.0, 23.0, 20.0),
                rows,
                marked));
    }

    private List<String> found(Action action) {
        Set<String> words = new LinkedHashSet<>();
        for (Finding finding : check.findings()) {
            int at = finding.actions().indexOf(action.id());
            if (at < 0) {
                continue;
            }
            boolean inTurn = finding.kind() == FindingKind.SWAPPED
                    || finding.kind() == FindingKind.REVERSED
                            && finding.actions().size() > 1;
            String gave = inTurn
                    ? ": " + Texts.say("report.gave", finding.actual().get(at).words())
                    : finding.kind() == FindingKind.MISSING && !finding.actual().isEmpty()
                            ? ": " + Texts.say("report.gave", Names.inputs(finding.actual()))
                            : "";
            words.add(finding.said() + gave);
        }
        return List.copyOf(words);
    }

    private String result(Action action) {
        CheckView.Status status = check.steps().stream()
                .filter(s -> !s.extra() && s.actions().equals(List.of(action.id())))
                .map(CheckView.StepView::status)
                .findFirst()
                .orElse(CheckView.Status.WAITING);
        return switch (status) {
            case GOOD, FAULTY -> Texts.say("report.as-planned");
            case SKIPPED -> Texts.say("report.skipped");
            case WAITING, CURRENT -> Texts.say("report.not-asked");
        };
    }

    /** What an encoder counted, said once for both ways, or how far an axis went and how still it stood. */
    private String measured(Control control, Action action) {
        if (!control.actions().get(0).equals(action)) {
            return "";
        }
        Optional<String> encoder = checked.figures().encoders().stream()
                .filter(e -> e.control().equals(control.id()))
                .findFirst()
                .map(e -> "; " + turned(e.turned()));
        return encoder.or(() -> checked.figures().axes().stream()
                        .filter(a -> a.control().equals(control.id()))
                        .findFirst()
                        .map(a -> "; " + moved(a.meter())))
                .orElse("");
    }

    private static String turned(EncoderMeter.Summary turned) {
        return turned.clean()
                ? Texts.say("report.turned.clean", turned.asked())
                : Texts.say(
                        "report.turned",
                        turned.asked(),
                        turned.skipped(),
                        turned.doubled(),
                        turned.wrong() + turned.reversed());
    }

    private static String moved(AxisMeter.Summary meter) {
        return Texts.say("report.moved", Math.round(100 * meter.reached()), (int) meter.restSpan() + 1);
    }

    private String bounce(EdgeTiming.Summary edge) {
        return edge.edges() == 0
                ? "–"
                : edge.bounced() == 0
                        ? Texts.say("report.none-seen")
                        : ms(edge.worst().spanNanos()) + " (" + edge.worst().transitions() + ")";
    }

    private String dropouts(ContactTiming.Summary timing) {
        return timing.dropouts() == 0
                ? Texts.say("report.none-seen")
                : Texts.say("report.drop-outs.some", timing.dropouts(), ms(timing.longestDropout()));
    }

    private static String ms(long nanos) {
        return FigureWords.milliseconds(nanos).text();
    }

    // Earlier checks

    private void comparison() {
        if (baselines.isEmpty()) {
            return;
        }
        Baselines b = baselines.get();
        if (b.before().isEmpty()) {
            blocks.add(new Document.Heading(Texts.say("report.compared")));
            blocks.add(new Document.Text(Texts.say("report.compared.first")));
            return;
        }
        String date = DAY.format(b.before().get().check().when().atZone(zone));
        blocks.add(new Document.Heading(Texts.say("report.compared-with", date)));
        long worse = b.worse();
        blocks.add(new Document.Text(Phrase.sentences(List.of(
                        worse > 0
                                ? Phrase.of("report.worse", worse)
                                : b.changes().isEmpty()
                                        ? Phrase.of("report.nothing-changed")
                                        : Phrase.of("report.nothing-new"),
                        b.kept() > 1 ? Phrase.of("report.kept", b.kept()) : Phrase.none()))
                .text()));
        List<Change> told = b.changes().stream()
                .filter(c -> c.sort() != Change.Sort.STILL || c.now().isPresent())
                .toList();
        if (!told.isEmpty()) {
            Set<Integer> marked = new HashSet<>();
            List<List<String>> rows = new ArrayList<>();
            for (Change change : told) {
                if (change.isWorse()) {
                    marked.add(rows.size());
                }
                rows.add(List.of(
                        change.sort().said().text(), change.kind().said().text(), change.words()));
            }
            blocks.add(new Document.Table(
                    Texts.say("report.new-first"),
                    List.of(Texts.say("report.change"), Texts.say("report.finding"), Texts.say("report.in-words")),
                    List.of(22.0, 22.0, 104.0),
                    rows,
                    marked));
        }
        int still = b.changes().size() - told.size();
        if (still > 0) {
            blocks.add(new Document.Text(Texts.say("report.still", still, date)));
        }
        if (!b.trends().isEmpty()) {
            blocks.add(new Document.Items(
                    Texts.say("report.over-all"),
                    b.trends().stream().map(t -> t.words()).toList()));
        }
    }

    // What the check is blind to

    private void unseen() {
        List<String> items = new ArrayList<>();
        List<String> open = check.steps().stream()
                .filter(s -> s.status() != CheckView.Status.GOOD && s.status() != CheckView.Status.FAULTY)
                .map(s -> s.status() == CheckView.Status.SKIPPED
                        ? Texts.say("report.unseen.skipped", s.words())
                        : Texts.say("report.unseen.not-asked", s.words()))
                .toList();
        if (!open.isEmpty()) {
            items.add(Texts.say("report.unseen.open", some(open)));
        }
        items.add(Texts.say("report.unseen.short", limits.none(), limits.words()));
        diodes().ifPresent(items::add);
        items.add(Texts.say("report.unseen.come-and-go"));
        List<String> unknown = plan.contacts().stream()
                .filter(c -> c.wiring() instanceof Wiring.Unknown)
                .map(Contact::id)
                .toList();
        if (!unknown.isEmpty()) {
            items.add(Texts.say("report.unseen.wires", some(unknown)));
        }
        if (plan.controls().stream().anyMatch(c -> c instanceof Control.Encoder)) {
            items.add(Texts.say("report.unseen.phases"));
        }
        checked.diagnosis().filter(Diagnosis::budgetHit).ifPresent(d -> items.add(Texts.say("report.unseen.three")));
        checked.notes()
                .forEach(note ->
                        items.add(checked.recording().isPresent() ? Texts.say("report.unseen.recording", note) : note));
        blocks.add(new Document.Heading(Texts.say("report.unseen")));
        blocks.add(new Document.Items("", items));
    }

    /** A bridged diode changes nothing while one control is held: the chords that show it must have been asked. */
    private Optional<String> diodes() {
        Set<String> with = plan.contacts().stream()
                .filter(c -> c.diode() != Contact.Diode.NONE)
                .map(Contact::id)
                .collect(Collectors.toCollection(TreeSet::new));
        if (with.isEmpty()) {
            return Optional.empty();
        }
        Set<String> proved = new HashSet<>();
        for (GhostProof.DiodeTest test : GhostProof.of(plan).tests()) {
            boolean done = check.steps().stream()
                    .anyMatch(s -> s.extra()
                            && s.status() == CheckView.Status.GOOD
                            && new HashSet<>(s.actions()).equals(new HashSet<>(test.hold())));
            if (done) {
                proved.addAll(test.proves());
            }
        }
        with.removeAll(proved);
        if (with.isEmpty()) {
            return Optional.empty();
        }
        return Optional.of(
                proved.isEmpty()
                        ? Texts.say("report.unseen.diodes", with.size())
                        : Texts.say("report.unseen.diodes.some", with.size(), with.size() + proved.size()));
    }

    // Words

    private static String some(List<String> words) {
        int most = 12;
        return words.size() <= most
                ? Phrase.commas(words).text()
                : Texts.say("report.some", Phrase.commas(words.subList(0, most)), words.size() - most);
    }

    private static String capital(String text) {
        return text.isEmpty() ? text : Character.toUpperCase(text.charAt(0)) + text.substring(1);
    }
}
