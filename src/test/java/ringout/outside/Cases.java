package ringout.outside;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.function.Function;
import java.util.function.Predicate;
import ringout.plan.Contact;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;

/** Draws the boxes of every series; the same series and seed give the same box. */
final class Cases {
    /** Panels of the series, by name. */
    static final Map<String, Plan> PANELS = panels();

    /** The kinds a builder repeats. */
    static final List<String> REPEATED = List.of(
            "open:contact",
            "diode-reversed",
            "diode-open",
            "diode-short",
            "closed:contact",
            "normally-closed",
            "exchange",
            "open:line",
            "short",
            "intermittent:open:contact",
            "weak:contact",
            "leak:contact");

    static final List<String> HUMAN = List.of(
            "numbering:shift:+1",
            "numbering:shift:-1",
            "numbering:shift:+2",
            "numbering:by-columns",
            "mirrored:columns",
            "mirrored:rows",
            "mirrored:both",
            "transposed",
            "rotated:columns:+1",
            "rotated:rows:-1",
            "rotated:columns:-1",
            "rotated:rows:+1",
            "wrong plan");

    private static final int[] WEIGHTS = {4, 3, 4, 3, 2, 1, 2};

    private Cases() {}

    private static Map<String, Plan> panels() {
        Map<String, Plan> all = new LinkedHashMap<>();
        for (int n : new int[] {4, 6, 8}) {
            all.put(n + "x" + n + " diodes", Panels.grid(n, n, true));
            all.put(n + "x" + n + " bare", Panels.grid(n, n, false));
        }
        all.put("12 direct", Panels.direct(12));
        return all;
    }

    /** Every series by name, as a function of the seed, on these panels: the first ones are drawn most often. */
    static Map<String, Function<Long, Case>> series(Map<String, Plan> panels) {
        Series all = new Series(panels, new LinkedHashMap<>());
        add(all, "healthy", (r, b) -> {});
        add(all, "healthy, slips", (r, b) -> b.manners = Hand.Manners.slipping(0.15));
        add(all, "healthy, two fingers", (r, b) -> b.manners = new Hand.Manners(0, 0.15, 0.05, -1));
        add(all, "single", (r, b) -> b.truth.add(single(r, b.plan)));
        add(all, "single, slips", (r, b) -> {
            b.truth.add(single(r, b.plan));
            b.manners = Hand.Manners.slipping(0.1);
        });
        add(all, "pairs", (r, b) -> some(r, b, 2));
        add(all, "triples", (r, b) -> some(r, b, 3));
        for (String kind : REPEATED) {
            add(all, "repeated " + kind, (r, b) -> repeat(r, b, kind, r.nextInt(3, 7)));
        }
        for (String human : HUMAN) {
            add(all, "human " + human, (r, b) -> human(r, b, human));
        }
        for (int n = 1; n <= 3; n++) {
            int more = n;
            add(all, "human + " + n, (r, b) -> {
                human(r, b, HUMAN.get(r.nextInt(HUMAN.size())));
                some(r, b, more);
            });
        }
        add(all, "silent", Cases::silent);
        add(all, "weak joint", (r, b) -> b.truth.add(weak(r, b.plan)));
        add(all, "leak", (r, b) -> b.truth.add(leak(r, b.plan)));
        add(all, "floating", (r, b) -> {
            onMatrix(r, b);
            b.truth.add(Mistake.of("floating:" + pick(r, lines(b.plan, Line.Kind.COLUMN))));
        });
        add(all, "slow settling", (r, b) -> {
            onMatrix(r, b);
            b.chip = b.chip.settling(r.nextDouble(0.3e-6, 3e-6));
        });
        add(all, "slow settling + 1", (r, b) -> {
            onMatrix(r, b);
            b.chip = b.chip.settling(r.nextDouble(0.3e-6, 3e-6));
            b.truth.add(single(r, b.plan));
        });
        add(all, "long debounce", (r, b) -> {
            if (r.nextBoolean()) {
                b.truth.add(single(r, b.plan));
            }
            b.chip = b.chip.debouncing(r.nextInt(30, 80));
        });
        add(all, "mixture", Cases::mixture);
        add(all, "mixture, slips", (r, b) -> {
            mixture(r, b);
            b.manners = Hand.Manners.slipping(0.06);
        });
        odd(all);
        add(all, "left alone", (r, b) -> {
            if (r.nextBoolean()) {
                b.truth.add(single(r, b.plan));
            }
            b.manners = new Hand.Manners(0, 0, 0, r.nextInt(3, 20));
        });
        return all.byName();
    }

    /** Boxes and builders that somebody thought up who had a bad day; some are in no model. */
    private static void odd(Series all) {
        add(all, "odd ribbon a pin on", (r, b) -> {
            onMatrix(r, b);
            b.truth.add(Mistake.of("rotated:columns:+1"));
            b.truth.add(Mistake.of("open:" + last(lines(b.plan, Line.Kind.COLUMN))));
        });
        add(all, "odd plugs exchanged", (r, b) -> {
            onMatrix(r, b);
            List<String> rows = lines(b.plan, Line.Kind.ROW);
            List<String> columns = lines(b.plan, Line.Kind.COLUMN);
            for (int i = 0; i < 3; i++) {
                b.truth.add(Mistake.of("exchange:" + rows.get(i) + "," + columns.get(i)));
            }
        });
        add(all, "odd weak splice", (r, b) -> {
            List<String> ids = contacts(b.plan);
            int from = r.nextInt(ids.size() - 4);
            double ohms = logUniform(r, 3e3, 60e3);
            for (int i = from; i < from + r.nextInt(3, 5); i++) {
                b.truth.add(Mistake.of("weak:contact:" + ids.get(i), ohms));
            }
        });
        add(all, "odd reversed row and weak joint", (r, b) -> {
            withDiodes(r, b);
            Line row = pick(r, b.plan.lines(Line.Kind.ROW));
            row.contacts().forEach(id -> b.truth.add(Mistake.of("diode-reversed:" + id)));
            List<String> others = new ArrayList<>(contacts(b.plan));
            others.removeAll(row.contacts());
            b.truth.add(Mistake.of("weak:contact:" + pick(r, others), logUniform(r, 3e3, 60e3)));
        });
        add(all, "odd mirrored and bridged", (r, b) -> {
            human(r, b, "mirrored:columns");
            b.truth.add(Mistake.of("short:" + neighbours(r, lines(b.plan, Line.Kind.ROW))));
        });
        add(all, "odd dead line and cold joints", (r, b) -> {
            onMatrix(r, b);
            Line row = pick(r, b.plan.lines(Line.Kind.ROW));
            b.truth.add(Mistake.of("open:" + row.name()));
            List<String> others = new ArrayList<>(contacts(b.plan));
            others.removeAll(row.contacts());
            shuffle(r, others);
            others.subList(0, 3).forEach(id -> b.truth.add(Mistake.of("open:contact:" + id)));
        });
        add(all, "odd some normally closed", (r, b) -> {
            List<String> ids = contacts(b.plan);
            int from = r.nextInt(ids.size() - 4);
            ids.subList(from, from + 4).forEach(id -> b.truth.add(Mistake.of("normally-closed:" + id)));
        });
        add(all, "odd capacitor", (r, b) -> b.truth.add(Mistake.of("slow:" + pick(r, contacts(b.plan)))));
        add(all, "odd key stuck at times", (r, b) -> {
            List<String> ids = new ArrayList<>(contacts(b.plan));
            shuffle(r, ids);
            ids.subList(0, r.nextInt(1, 3)).forEach(id -> b.truth.add(Mistake.of("intermittent:closed:contact:" + id)));
        });
        add(all, "odd bridge at times", (r, b) -> {
            List<String> lines = b.plan.lines().stream().map(Line::name).toList();
            b.truth.add(Mistake.of("intermittent:short:" + neighbours(r, lines)));
        });
        add(all, "odd plug a pin on, one pin dead", (r, b) -> {
            onMatrix(r, b);
            b.truth.add(Mistake.of("rotated:rows:+1"));
            b.truth.add(Mistake.of("open:" + pick(r, lines(b.plan, Line.Kind.ROW))));
        });
        add(all, "odd half a ribbon turned", (r, b) -> {
            onMatrix(r, b);
            List<String> columns = lines(b.plan, Line.Kind.COLUMN);
            int half = columns.size() / 2;
            for (int i = 0; i < half / 2 || i == 0; i++) {
                b.truth.add(Mistake.of("exchange:" + columns.get(i) + "," + columns.get(half - 1 - i)));
            }
            b.truth.add(Mistake.of("open:contact:" + pick(r, contacts(b.plan))));
        });
        add(all, "odd bridged rows and a reversed diode", (r, b) -> {
            withDiodes(r, b);
            b.truth.add(Mistake.of("short:" + neighbours(r, lines(b.plan, Line.Kind.ROW))));
            b.truth.add(Mistake.of("diode-reversed:" + pick(r, withDiode(b.plan))));
        });
        add(all, "odd labels exchanged and a broken wire", (r, b) -> {
            onMatrix(r, b);
            human(r, b, "wrong plan");
            Line row = pick(r, b.plan.lines(Line.Kind.ROW));
            b.truth.add(Mistake.of("open:" + row.name() + "@after:"
                    + row.contacts().get(r.nextInt(row.contacts().size() - 1))));
        });
        add(all, "odd two keys for one, and a dead one", (r, b) -> {
            b.truth.add(Mistake.of("open:contact:" + pick(r, contacts(b.plan))));
            b.manners = new Hand.Manners(0, 0.3, 0, -1);
        });
        add(all, "odd stuck key and reversed diodes", (r, b) -> {
            withDiodes(r, b);
            List<String> ids = new ArrayList<>(withDiode(b.plan));
            shuffle(r, ids);
            b.truth.add(Mistake.of("closed:contact:" + ids.get(0)));
            ids.subList(1, 4).forEach(id -> b.truth.add(Mistake.of("diode-reversed:" + id)));
        });
        add(all, "odd cold joints, some at times", (r, b) -> {
            List<String> ids = new ArrayList<>(contacts(b.plan));
            shuffle(r, ids);
            b.truth.add(Mistake.of("open:contact:" + ids.get(0)));
            b.truth.add(Mistake.of("open:contact:" + ids.get(1)));
            b.truth.add(Mistake.of("intermittent:open:contact:" + ids.get(2)));
        });
        add(all, "odd numbers one on and a bridge", (r, b) -> {
            onMatrix(r, b);
            b.truth.add(Mistake.of("numbering:shift:+1"));
            b.truth.add(Mistake.of("short:" + neighbours(r, lines(b.plan, Line.Kind.COLUMN))));
        });
        add(all, "odd one row a place on", (r, b) -> {
            onMatrix(r, b);
            List<String> row = pick(r, b.plan.lines(Line.Kind.ROW)).contacts();
            for (int i = 0; i + 1 < row.size(); i++) {
                b.truth.add(Mistake.of("exchange:" + row.get(i) + "," + row.get(i + 1)));
            }
        });
        add(all, "odd labels exchanged and a reversed diode", (r, b) -> {
            withDiodes(r, b);
            human(r, b, "wrong plan");
            List<String> ids = new ArrayList<>(withDiode(b.plan));
            ids.removeAll(b.truth.get(0).names());
            b.truth.add(Mistake.of("diode-reversed:" + pick(r, ids)));
        });
        add(all, "odd mirrored, and a wire on the next pin", (r, b) -> {
            human(r, b, "mirrored:columns");
            b.truth.add(Mistake.of("exchange:" + neighbours(r, lines(b.plan, Line.Kind.COLUMN))));
        });
        add(all, "odd numbered by columns, and a wire on the next pin", (r, b) -> {
            human(r, b, "numbering:by-columns");
            b.truth.add(Mistake.of("exchange:" + neighbours(r, lines(b.plan, Line.Kind.ROW))));
        });
        add(all, "odd leak and a slow key", (r, b) -> {
            b.truth.add(leak(r, b.plan));
            b.truth.add(Mistake.of("slow:" + pick(r, contacts(b.plan))));
        });
        add(all, "odd encoder the wrong way, numbers one on", (r, b) -> {
            b.planName = "4x4 diodes, encoder";
            b.plan = withEncoder();
            b.chip = Chip.draw(b.plan, r);
            b.truth.add(Mistake.of("phases:notch"));
            b.truth.add(Mistake.of("numbering:shift:+1"));
        });
        add(all, "odd half the common wire off", (r, b) -> {
            until(r, b, p -> p.lines(Line.Kind.ROW).isEmpty());
            List<String> ids = contacts(b.plan);
            ids.subList(r.nextInt(4, 8), ids.size()).forEach(id -> b.truth.add(Mistake.of("open:contact:" + id)));
        });
        add(all, "odd three keys asked, one pressed", (r, b) -> {
            int from = r.nextInt(2, 12);
            b.manners = new Hand.Manners(0, 0, 0, -1, from, from + 3, 0);
        });
        add(all, "odd two numbers alike", (r, b) -> b.truth.add(firmware(r, b, "alike")));
        add(all, "odd three numbers round", (r, b) -> b.truth.add(firmware(r, b, "round")));
        add(all, "odd number left out", (r, b) -> {
            until(r, b, p -> !p.lines(Line.Kind.ROW).isEmpty());
            b.truth.add(Mistake.of("numbering:shift:+" + r.nextInt(1, 3) + ":from:"
                    + r.nextInt(2, contacts(b.plan).size() - 2)));
        });
        add(all, "odd numbers of a wider matrix", (r, b) -> {
            until(r, b, p -> p.lines(Line.Kind.ROW).size() > 1);
            b.truth.add(Mistake.of("numbering:wider:columns:+" + r.nextInt(1, 7)));
        });
        add(all, "odd numbers of a wider matrix, and a fault", (r, b) -> {
            until(r, b, p -> p.lines(Line.Kind.ROW).size() > 1);
            b.truth.add(Mistake.of("numbering:wider:columns:+" + r.nextInt(1, 7)));
            b.truth.add(single(r, b.plan));
        });
        add(all, "odd number left out, and a fault", (r, b) -> {
            b.truth.add(Mistake.of(
                    "numbering:shift:+1:from:" + r.nextInt(2, contacts(b.plan).size())));
            b.truth.add(single(r, b.plan));
        });
        add(all, "odd opening contact, numbers one on", (r, b) -> {
            until(r, b, p -> !p.lines(Line.Kind.ROW).isEmpty());
            b.truth.add(Mistake.of("normally-closed:" + last(contacts(b.plan))));
            b.truth.add(Mistake.of("numbering:shift:+1"));
        });
        add(all, "odd every other row backwards", (r, b) -> {
            until(r, b, p -> p.lines(Line.Kind.ROW).size() > 1);
            b.truth.add(Mistake.of("firmware:serpentine"));
        });
        add(all, "odd table in no order", (r, b) -> b.truth.add(Mistake.of("firmware:scrambled:" + r.nextInt(1000))));
        add(all, "odd one key at a time", (r, b) -> {
            b.truth.add(Mistake.of("firmware:one"));
            b.truth.add(single(r, b.plan));
        });
        add(all, "odd short pulses", (r, b) -> b.truth.add(Mistake.of("firmware:pulses")));
        add(all, "odd toggling", (r, b) -> b.truth.add(Mistake.of("firmware:toggles")));
        add(all, "odd wrong prompts", (r, b) -> {
            int from = r.nextInt(2, 8);
            b.manners = new Hand.Manners(0, 0, 0, -1, from, from + r.nextInt(3, 7), 0);
            if (r.nextBoolean()) {
                b.truth.add(single(r, b.plan));
            }
        });
        add(all, "odd out and back", (r, b) -> {
            b.manners = new Hand.Manners(0, 0.02, 0.02, r.nextInt(3, 20), 0, 0, r.nextInt(20, 300));
            if (r.nextBoolean()) {
                b.truth.add(single(r, b.plan));
            }
        });
    }

    private static Plan withEncoder() {
        return Panels.of(
                Panels.gridText(4, 4, true, "rows", "low", "5 V")
                                .replace("\nscan: {", "\n  direct: { D1: pin 10, D2: pin 11 }\nscan: { direct: ground,")
                        + "  - { id: notch, label: Notch, kind: encoder, a: D1, b: D2, cw: button 17, ccw: button 18, detents: 20 }\n");
    }

    private static Mistake firmware(SplittableRandom random, Drawn box, String what) {
        List<String> ids = new ArrayList<>(contacts(box.plan));
        shuffle(random, ids);
        return Mistake.of("firmware:" + what + ":" + String.join(",", ids.subList(0, 3)));
    }

    private static String last(List<String> of) {
        return of.get(of.size() - 1);
    }

    private record Series(Map<String, Plan> panels, Map<String, Function<Long, Case>> byName) {}

    private static final class Drawn {
        private final Map<String, Plan> panels;

        private String planName;
        private Plan plan;
        private Chip chip;
        private final List<Mistake> truth = new ArrayList<>();
        private Hand.Manners manners = Hand.Manners.CAREFUL;

        Drawn(Map<String, Plan> panels) {
            this.panels = panels;
        }
    }

    private interface Drawing {
        void draw(SplittableRandom random, Drawn box);
    }

    private static void add(Series all, String name, Drawing drawing) {
        all.byName().put(name, seed -> {
            SplittableRandom random = new SplittableRandom(seed * 7919 + name.hashCode());
            Drawn box = new Drawn(all.panels());
            // The largest are the rarest: they take longest, and a home-built panel is seldom that large.
            List<String> names = List.copyOf(box.panels.keySet());
            panel(box, names.get(weighted(random, Arrays.copyOf(WEIGHTS, names.size()))), random);
            drawing.draw(random, box);
            return new Case(name, seed, box.planName, box.plan, box.chip, List.copyOf(box.truth), box.manners);
        });
    }

    private static void panel(Drawn box, String name, SplittableRandom random) {
        box.planName = name;
        box.plan = box.panels.get(name);
        box.chip = Chip.draw(box.plan, random);
    }

    private static int weighted(SplittableRandom random, int[] weights) {
        int sum = 0;
        for (int w : weights) {
            sum += w;
        }
        int at = random.nextInt(sum);
        int i = 0;
        while (at >= weights[i]) {
            at -= weights[i++];
        }
        return i;
    }

    /** Draws again until the panel is of that kind. */
    private static void until(SplittableRandom random, Drawn box, Predicate<Plan> wanted) {
        List<String> names = box.panels.entrySet().stream()
                .filter(e -> wanted.test(e.getValue()))
                .map(Map.Entry::getKey)
                .toList();
        if (!wanted.test(box.plan)) {
            panel(box, pick(random, names), random);
        }
    }

    private static void onMatrix(SplittableRandom random, Drawn box) {
        until(random, box, p -> !p.lines(Line.Kind.ROW).isEmpty());
    }

    private static void withDiodes(SplittableRandom random, Drawn box) {
        until(random, box, p -> p.contacts().stream().anyMatch(c -> c.diode() != Contact.Diode.NONE));
    }

    private static <T> T pick(SplittableRandom random, List<T> from) {
        return from.get(random.nextInt(from.size()));
    }

    /** Two that are side by side, as a written mistake names them. */
    private static String neighbours(SplittableRandom r, List<String> of) {
        int i = r.nextInt(of.size() - 1);
        return of.get(i) + "," + of.get(i + 1);
    }

    private static List<String> lines(Plan plan, Line.Kind kind) {
        return plan.lines(kind).stream().map(Line::name).toList();
    }

    private static List<String> contacts(Plan plan) {
        return plan.contacts().stream().map(Contact::id).toList();
    }

    private static List<String> withDiode(Plan plan) {
        return plan.contacts().stream()
                .filter(c -> c.diode() != Contact.Diode.NONE)
                .map(Contact::id)
                .toList();
    }

    // ---------------------------------------------------------------- one fault

    /** One ordinary fault; the shares of kinds are estimates, no source. */
    static Mistake single(SplittableRandom random, Plan plan) {
        boolean matrix = !plan.lines(Line.Kind.ROW).isEmpty();
        List<String> lines = plan.lines().stream().map(Line::name).toList();
        String contact = pick(random, contacts(plan));
        List<String> diodeOf = withDiode(plan);
        while (true) {
            switch (random.nextInt(14)) {
                case 0 -> {
                    return Mistake.of("open:" + pick(random, lines));
                }
                case 1, 2 -> {
                    return Mistake.of("open:contact:" + contact);
                }
                case 3 -> {
                    return Mistake.of("closed:contact:" + contact);
                }
                case 4 -> {
                    if (matrix) {
                        Line line = pick(
                                random,
                                plan.lines().stream()
                                        .filter(l -> l.contacts().size() > 1)
                                        .toList());
                        return Mistake.of("open:" + line.name() + "@after:"
                                + line.contacts()
                                        .get(random.nextInt(line.contacts().size() - 1)));
                    }
                }
                case 5, 6 -> {
                    return Mistake.of("short:" + neighbours(random, lines));
                }
                case 7 -> {
                    if (random.nextInt(3) == 0) {
                        Line line = pick(random, plan.lines());
                        // A direct contact that shorts the supply takes the box off the bus, and nobody asks a
                        // diagnosis.
                        boolean supply = line.kind() != Line.Kind.DIRECT && random.nextInt(4) == 0;
                        return Mistake.of("short:" + line.name() + (supply ? ",VCC" : ",GND"));
                    }
                }
                case 8 -> {
                    return Mistake.of("exchange:" + neighbours(random, lines));
                }
                case 9 -> {
                    List<String> ids = contacts(plan);
                    return Mistake.of("exchange:" + neighbours(random, ids));
                }
                case 10 -> {
                    if (!diodeOf.isEmpty()) {
                        return Mistake.of("diode-reversed:" + pick(random, diodeOf));
                    }
                }
                case 11 -> {
                    if (!diodeOf.isEmpty()) {
                        return Mistake.of(
                                (random.nextBoolean() ? "diode-open:" : "diode-short:") + pick(random, diodeOf));
                    }
                }
                case 12 -> {
                    return Mistake.of(
                            random.nextBoolean()
                                    ? "normally-closed:" + contact
                                    : "wrong-pin:" + pick(random, lines) + ",unused");
                }
                default -> {
                    return Mistake.of(
                            random.nextInt(3) == 0
                                    ? "intermittent:open:" + pick(random, lines)
                                    : "intermittent:open:contact:" + contact);
                }
            }
        }
    }

    private static double logUniform(SplittableRandom random, double least, double most) {
        return Math.exp(random.nextDouble(Math.log(least), Math.log(most)));
    }

    static Mistake weak(SplittableRandom random, Plan plan) {
        String what = random.nextBoolean()
                ? "contact:" + pick(random, contacts(plan))
                : pick(random, plan.lines().stream().map(Line::name).toList());
        return Mistake.of("weak:" + what, logUniform(random, 1e3, 100e3));
    }

    static Mistake leak(SplittableRandom random, Plan plan) {
        List<String> lines = plan.lines().stream().map(Line::name).toList();
        double ohms = logUniform(random, 1e3, 200e3);
        return switch (random.nextInt(4)) {
            case 0 -> Mistake.of("leak:contact:" + pick(random, contacts(plan)), ohms);
            case 1 -> Mistake.of("leak:" + pick(random, lines) + (random.nextBoolean() ? ",GND" : ",VCC"), ohms);
            default -> {
                yield Mistake.of("leak:" + neighbours(random, lines), ohms);
            }
        };
    }

    // ---------------------------------------------------------------- several

    private static void some(SplittableRandom random, Drawn box, int count) {
        int wanted = box.truth.size() + count;
        Set<String> taken = new LinkedHashSet<>();
        box.truth.forEach(m -> taken.addAll(m.names()));
        while (box.truth.size() < wanted) {
            Mistake next = single(random, box.plan);
            // Two faults of one part are one fault to whoever mends it.
            if (next.names().stream().filter(n -> !n.equals("contact")).noneMatch(taken::contains)) {
                box.truth.add(next);
                taken.addAll(next.names());
                taken.removeAll(Set.of("contact", "GND", "VCC", "unused"));
            }
        }
    }

    private static void repeat(SplittableRandom random, Drawn box, String kind, int times) {
        if (kind.startsWith("diode")) {
            withDiodes(random, box);
        }
        Plan plan = box.plan;
        List<String> ids = new ArrayList<>(kind.startsWith("diode") ? withDiode(plan) : contacts(plan));
        List<String> lines =
                new ArrayList<>(plan.lines().stream().map(Line::name).toList());
        shuffle(random, ids);
        switch (kind) {
            case "open:line" -> {
                shuffle(random, lines);
                for (int i = 0; i < Math.min(times, lines.size() - 2); i++) {
                    box.truth.add(Mistake.of("open:" + lines.get(i)));
                }
            }
            case "short" -> {
                // Bridges between pins side by side.
                List<Integer> at = new ArrayList<>();
                for (int i = 0; i + 1 < lines.size(); i += 2) {
                    at.add(i);
                }
                shuffle(random, at);
                for (int i = 0; i < Math.min(times, at.size()); i++) {
                    box.truth.add(Mistake.of("short:" + lines.get(at.get(i)) + "," + lines.get(at.get(i) + 1)));
                }
            }
            case "exchange" -> {
                for (int i = 0; i < Math.min(times, ids.size() / 2); i++) {
                    box.truth.add(Mistake.of("exchange:" + ids.get(2 * i) + "," + ids.get(2 * i + 1)));
                }
            }
            default -> {
                double ohms = logUniform(random, 2e3, 60e3);
                for (int i = 0; i < Math.min(times, ids.size() - 1); i++) {
                    box.truth.add(Mistake.of(kind + ":" + ids.get(i), ohms));
                }
            }
        }
    }

    private static <T> void shuffle(SplittableRandom random, List<T> list) {
        for (int i = list.size() - 1; i > 0; i--) {
            java.util.Collections.swap(list, i, random.nextInt(i + 1));
        }
    }

    private static void human(SplittableRandom random, Drawn box, String what) {
        if (what.equals("transposed")) {
            until(
                    random,
                    box,
                    p -> !p.lines(Line.Kind.ROW).isEmpty()
                            && p.lines(Line.Kind.ROW).size()
                                    == p.lines(Line.Kind.COLUMN).size());
        } else if (!what.startsWith("numbering:shift") && !what.equals("wrong plan")) {
            onMatrix(random, box);
        }
        if (what.equals("wrong plan")) {
            List<String> ids = contacts(box.plan);
            box.truth.add(Mistake.of("exchange:" + neighbours(random, ids)));
        } else {
            box.truth.add(Mistake.of(what));
        }
    }

    private static void silent(SplittableRandom random, Drawn box) {
        switch (random.nextInt(4)) {
            case 0 -> box.truth.add(Mistake.of("silent"));
            case 1 -> {
                withDiodes(random, box);
                withDiode(box.plan).forEach(id -> box.truth.add(Mistake.of("diode-reversed:" + id)));
            }
            case 2 -> {
                withDiodes(random, box);
                box.truth.add(Mistake.of("scan:other-way"));
            }
            default -> {
                // The common wire of a direct panel is off: every contact hangs in the air.
                until(random, box, p -> p.lines(Line.Kind.ROW).isEmpty());
                for (Contact c : box.plan.contacts()) {
                    if (c.wiring() instanceof Wiring.Direct) {
                        box.truth.add(Mistake.of("open:contact:" + c.id()));
                    }
                }
            }
        }
    }

    /** What comes to a bench: estimates, no source. */
    private static void mixture(SplittableRandom random, Drawn box) {
        int dice = random.nextInt(100);
        if (dice < 8) {
            return;
        } else if (dice < 50) {
            box.truth.add(single(random, box.plan));
        } else if (dice < 65) {
            some(random, box, 2);
        } else if (dice < 80) {
            repeat(random, box, REPEATED.get(random.nextInt(REPEATED.size())), random.nextInt(2, 6));
        } else if (dice < 90) {
            human(random, box, HUMAN.get(random.nextInt(HUMAN.size())));
        } else if (dice < 93) {
            some(random, box, 3);
        } else if (dice < 96) {
            box.truth.add(weak(random, box.plan));
        } else {
            box.truth.add(leak(random, box.plan));
        }
    }
}
