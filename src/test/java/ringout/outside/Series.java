package ringout.outside;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import java.util.function.Function;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import ringout.circuit.Fault;
import ringout.diagnosis.Explanation;

/**
 * Runs series of boxes through the guided check and counts what was said of them. From the command line:
 *
 * <pre>java -cp 'target/test-classes:target/classes:target/lib/*' ringout.outside.Series [-n COUNT] [-s SERIES-REGEX] [-seed N] [-show] [-log]</pre>
 *
 * {@code -show} prints every box that was not named, or named wrongly with certainty; {@code -log} its check, too.
 */
final class Series {
    /** From here on a statement is taken for certain. */
    static final double CERTAIN = 0.95;

    /** Look-alikes of one explanation that are printed. */
    private static final int MOST_ALIKE = 16;

    private Series() {}

    /** What became of one box. */
    record Outcome(
            Case box,
            Guided.Told told,
            int slips,
            boolean visible,
            boolean named,
            boolean word,
            boolean certain,
            boolean right,
            boolean answered,
            long millis) {
        /** True where the words were of no use, or worse. */
        boolean failed() {
            return visible && (!named || certain && !right) || certain && !right;
        }
    }

    /** Counts of one series. */
    record Row(String name, List<Outcome> all) {
        long count(java.util.function.Predicate<Outcome> what) {
            return all.stream().filter(what).count();
        }

        long visible() {
            return count(Outcome::visible);
        }

        long named() {
            return count(o -> o.visible() && o.named());
        }

        /** Named by the very words that were planted. */
        long words() {
            return count(o -> o.visible() && o.word());
        }

        long certain() {
            return count(Outcome::certain);
        }

        long right() {
            return count(o -> o.certain() && o.right());
        }

        long unanswered() {
            return count(o -> o.visible() && !o.answered());
        }

        String text() {
            double prompts =
                    all.stream().mapToInt(o -> o.told().prompts()).average().orElse(0);
            double seconds =
                    all.stream().mapToLong(o -> o.told().nanos()).average().orElse(0) / 1e9;
            long repeats = all.stream().mapToLong(o -> o.told().repeated()).sum();
            long millis = all.stream().mapToLong(Outcome::millis).sum() / Math.max(1, all.size());
            String question = all.stream()
                    .flatMap(o -> o.told().questionAt().stream())
                    .sorted()
                    .map(n -> String.format("%.0f", n / 1e9))
                    .collect(Collectors.collectingAndThen(
                            Collectors.toList(),
                            l -> l.isEmpty() ? "-" : l.get(l.size() / 2) + "/" + l.get(l.size() - 1)));
            return String.format(
                    "| %-36s | %5d | %5d | %5d | %5d | %5d | %5d | %5d | %5.0f | %5.0f | %3d | %9s | %5d |",
                    name,
                    all.size(),
                    visible(),
                    named(),
                    words(),
                    certain(),
                    right(),
                    unanswered(),
                    prompts,
                    seconds,
                    repeats,
                    question,
                    millis);
        }
    }

    static final String HEAD =
            "| series                               | boxes | shown | named | words | >=95% | right | no an | promp | s box | rep | s questio | ms/bx |\n"
                    + "| ------------------------------------ | ----- | ----- | ----- | ----- | ----- | ----- | ----- | ----- | ----- | --- | --------- | ----- |";

    /** Series of one sort together, as the documentation gives them. */
    static String byGroup(List<Outcome> every) {
        StringBuilder table = new StringBuilder();
        table.append(
                "| what | boxes | something to see | named first | stated at 95 % or more | of these right | no answer |\n");
        table.append("| --- | --- | --- | --- | --- | --- | --- |\n");
        Map<String, List<Outcome>> groups = every.stream()
                .collect(Collectors.groupingBy(
                        o -> group(o.box().series()), java.util.LinkedHashMap::new, Collectors.toList()));
        groups.forEach((name, all) -> {
            Row row = new Row(name, all);
            table.append(String.format(
                    "| %s | %d | %d | %d | %d | %d | %d |%n",
                    name, all.size(), row.visible(), row.named(), row.certain(), row.right(), row.unanswered()));
        });
        return table.toString();
    }

    private static String group(String series) {
        if (series.startsWith("human +")) {
            return "a mistake of order and " + series.substring("human + ".length()) + " more";
        }
        return switch (series.split("[ ,]")[0]) {
            case "healthy" -> series.equals("healthy") ? "good boxes" : "good boxes, slips";
            case "single" -> "one fault";
            case "pairs" -> "two faults";
            case "triples" -> "three faults";
            case "repeated" -> "one mistake 3 to 6 times";
            case "human" -> "a mistake of order";
            case "silent" -> "silent boxes";
            case "weak", "leak", "floating" -> "weak joints, leaks, no pull";
            case "slow" -> "too short settling";
            case "odd" -> "boxes thought up";
            case "mixture" -> "the natural mixture";
            default -> series;
        };
    }

    static Outcome run(Case box) {
        return run(box, new LiveBox(box.plan(), new Soldered(box.plan(), box.chip(), box.truth()), box.seed()));
    }

    /** The same with this box, whoever scans it. */
    static Outcome run(Case box, PlayedBox live) {
        long began = System.nanoTime();
        Hand hand = new Hand(box.plan(), live, box.manners(), box.seed());
        Guided.Told told = new Guided(box.plan(), live, hand, provesDiodes(box)).run();
        List<Mistake> shown = Judge.shown(box.plan(), box.chip(), box.truth(), told.observations());
        Judge judge = new Judge(
                box.plan(), box.chip(), shown, Judge.lasted(box.plan(), box.chip(), shown, told.observations()));
        List<Explanation> said = told.diagnosis().explanations();
        boolean visible = told.findings() > 0 && !judge.showsNothing(told.observations());
        // Where nothing was found nobody is told a cause; that the box is good is then as much as was asked for.
        boolean certain = told.findings() > 0 && !said.isEmpty() && said.get(0).probability() >= CERTAIN;
        boolean named = !said.isEmpty()
                && (judge.names(said.get(0)) || !visible && said.get(0).healthy());
        return new Outcome(
                box,
                told,
                hand.slips(),
                visible,
                named,
                named && judge.words(said.get(0)),
                certain,
                certain && named,
                !said.isEmpty(),
                (System.nanoTime() - began) / 1_000_000);
    }

    /** A shorted diode shows only to somebody who asks for the chords that prove diodes. */
    private static boolean provesDiodes(Case box) {
        return box.truth().stream().anyMatch(m -> m.kind().equals("diode-short"));
    }

    static Row run(String name, Function<Long, Case> draw, long firstSeed, int count) {
        return run(name, draw, firstSeed, count, outcome -> {});
    }

    private static Row run(String name, Function<Long, Case> draw, long firstSeed, int count, Consumer<Outcome> each) {
        List<Outcome> all = new ArrayList<>();
        for (long seed = firstSeed; seed < firstSeed + count; seed++) {
            Outcome outcome = run(draw.apply(seed));
            each.accept(outcome);
            all.add(outcome);
        }
        return new Row(name, all);
    }

    /** Everything somebody needs who wants to know why. */
    static String describe(Outcome outcome, boolean log) {
        Case box = outcome.box();
        StringBuilder text = new StringBuilder();
        text.append("-- ")
                .append(box.series())
                .append(", seed ")
                .append(box.seed())
                .append(", ")
                .append(box.planName());
        text.append(outcome.certain() && !outcome.right() ? ": CERTAIN AND WRONG" : ": not named")
                .append('\n');
        text.append("   planted: ");
        text.append(box.truth().stream()
                .map(m -> m.kind().equals("weak") || m.kind().equals("leak")
                        ? m.text() + String.format(" (%.1f kOhm)", m.ohms() / 1000)
                        : m.text())
                .collect(Collectors.joining(" ")));
        text.append(" (settles in " + box.chip().settle() * 1e6 + " us)");
        text.append(String.format(
                "%n   chip: %.1f V, pull %.1f kOhm, threshold %.2f V, idle %s; slips %d; chords %s%n",
                box.chip().volts(),
                box.chip().pull() / 1000,
                box.chip().threshold(),
                box.chip().idle(),
                outcome.slips(),
                outcome.told().chords()));
        text.append("   odd observations: ");
        text.append(outcome.told().observations().stream()
                .filter(o -> {
                    java.util.Set<ringout.hid.Input> planned = new java.util.TreeSet<>();
                    o.held()
                            .forEach(id -> box.plan()
                                    .action(id)
                                    .flatMap(a -> a.input())
                                    .ifPresent(planned::add));
                    return !planned.equals(o.on());
                })
                .map(o -> o.held() + "=" + o.on())
                .limit(40)
                .collect(Collectors.joining(" ")));
        text.append('\n');
        int k = 0;
        for (Explanation e : outcome.told().diagnosis().explanations()) {
            if (++k > 4) {
                break;
            }
            text.append(String.format(
                    "   said %.3f: %s | %s%n",
                    e.probability(),
                    e.text(),
                    e.alternatives().stream()
                                    .limit(MOST_ALIKE)
                                    .map(set -> set.stream()
                                            .map(Fault::text)
                                            .toList()
                                            .toString())
                                    .collect(Collectors.joining(" or "))
                            + (e.alternatives().size() > MOST_ALIKE
                                    ? " or " + (e.alternatives().size() - MOST_ALIKE) + " more"
                                    : "")));
        }
        text.append("   verdict: ").append(outcome.told().diagnosis().verdict()).append('\n');
        if (log) {
            outcome.told().log().forEach(l -> text.append("     ").append(l).append('\n'));
        }
        return text.toString();
    }

    /** What to do with one group of the command line's boxes. */
    interface Running {
        Row run(Pattern series, long firstSeed, int count);
    }

    public static void main(String[] args) {
        main(args, null);
    }

    static void main(String[] args, Running running) {
        int count = 5;
        long seed = 1;
        boolean show = false;
        boolean log = false;
        Pattern series = Pattern.compile(".*");
        for (int i = 0; i < args.length; i++) {
            switch (args[i]) {
                case "-n" -> count = Integer.parseInt(args[++i]);
                case "-s" -> series = Pattern.compile(args[++i]);
                case "-seed" -> seed = Long.parseLong(args[++i]);
                case "-show" -> show = true;
                case "-log" -> {
                    show = true;
                    log = true;
                }
                default -> throw new IllegalArgumentException(args[i]);
            }
        }
        boolean tells = show;
        boolean whole = log;
        Consumer<Outcome> each = outcome -> {
            if (tells && outcome.failed()) {
                System.out.println(describe(outcome, whole));
            }
        };
        System.out.println(HEAD);
        List<Outcome> every = new ArrayList<>();
        if (running != null) {
            every.addAll(running.run(series, seed, count).all());
            every.forEach(each);
            every.stream()
                    .collect(Collectors.groupingBy(
                            o -> o.box().series(), java.util.LinkedHashMap::new, Collectors.toList()))
                    .forEach((name, all) -> System.out.println(new Row(name, all).text()));
        } else {
            for (Map.Entry<String, Function<Long, Case>> entry :
                    Cases.series(Cases.PANELS).entrySet()) {
                if (series.matcher(entry.getKey()).find()) {
                    Row row = run(entry.getKey(), entry.getValue(), seed, count, each);
                    System.out.println(row.text());
                    every.addAll(row.all());
                }
            }
        }
        System.out.println(new Row("all", every).text());
        System.out.println();
        System.out.println(byGroup(every));
    }
}
