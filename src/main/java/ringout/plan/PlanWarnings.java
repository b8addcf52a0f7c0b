package ringout.plan;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.words.Phrase;

/**
 * What a readable plan should be warned about: ghosts the wiring invites, and holes that do not fit the panel.
 *
 * <p>The rules are common practice, no source.
 */
final class PlanWarnings {
    private static final int MOST_RECTANGLES = 6;
    private static final int MOST_NUMBERS = 4;

    private final Plan plan;
    private final List<YamlTree.Spot> spots;
    private final YamlTree.Spot numbering;
    private final Map<String, YamlTree.Spot> inside;
    private final YamlTree yaml;

    /**
     * @param spots     where each of the plan's controls stands, in plan order
     * @param numbering where the plan says how buttons are numbered
     * @param inside    where the things behind the panel stand, by {@link Clearance.Misfit#where}; "" for all of them
     */
    PlanWarnings(
            Plan plan,
            List<YamlTree.Spot> spots,
            YamlTree.Spot numbering,
            Map<String, YamlTree.Spot> inside,
            YamlTree yaml) {
        this.plan = plan;
        this.spots = spots;
        this.numbering = numbering;
        this.inside = inside;
        this.yaml = yaml;
    }

    void note() {
        ghosts();
        plan.numbering().ifPresent(this::numbers);
        Clearance.of(plan).forEach(conflict -> yaml.warn(spot(conflict.control()), conflict.words()));
        Clearance.ofInside(plan)
                .forEach(
                        misfit -> yaml.warn(inside.getOrDefault(misfit.where(), Known.in(inside, "")), misfit.words()));
    }

    /** Another scheme that explains every number is one mistake; else each number is one. */
    private void numbers(NumberScheme scheme) {
        List<NumberScheme.Misnumbered> wrong = scheme.misnumbered(plan);
        Optional<NumberScheme> other = wrong.isEmpty() ? Optional.empty() : NumberScheme.of(plan);
        if (other.isPresent()) {
            yaml.warn(
                    numbering,
                    Phrase.of(
                            "problem.numbered-otherwise",
                            scheme.words(),
                            other.get().words()));
            return;
        }
        for (NumberScheme.Misnumbered one : wrong.subList(0, Math.min(MOST_NUMBERS, wrong.size()))) {
            Control control = plan.control(
                            plan.contact(one.contact()).orElseThrow().control())
                    .orElseThrow();
            yaml.warn(
                    spot(control.id()),
                    Phrase.of(
                            "problem.misnumbered",
                            scheme.words(),
                            one.at().row(),
                            one.at().column(),
                            one.expected(),
                            plan.action(one.contact()).map(Action::words).orElse(Phrase.verbatim(one.contact())),
                            one.planned()));
        }
        if (wrong.size() > MOST_NUMBERS) {
            yaml.warn(numbering, Phrase.of("problem.misnumbered.more", wrong.size() - MOST_NUMBERS));
        }
    }

    private YamlTree.Spot spot(String controlId) {
        for (int i = 0; i < plan.controls().size(); i++) {
            if (plan.controls().get(i).id().equals(controlId)) {
                return spots.get(i);
            }
        }
        return YamlTree.Spot.START;
    }

    /**
     * Three closed corners of a rectangle make the fourth look closed, unless a diode at the corner opposite the fourth
     * blocks the way back: current must pass that one against its usual direction.
     */
    private void ghosts() {
        Map<Wiring.Crossing, Contact> at = new HashMap<>();
        for (Contact contact : plan.contacts()) {
            if (contact.wiring() instanceof Wiring.Crossing crossing) {
                at.put(crossing, contact);
            }
        }
        List<Line> rows = plan.lines(Line.Kind.ROW);
        List<Line> columns = plan.lines(Line.Kind.COLUMN);
        int rectangles = 0;
        YamlTree.Spot last = YamlTree.Spot.START;
        for (int r = 0; r < rows.size(); r++) {
            for (int s = r + 1; s < rows.size(); s++) {
                for (int c = 0; c < columns.size(); c++) {
                    for (int d = c + 1; d < columns.size(); d++) {
                        Optional<Ghost> ghost = ghost(
                                at,
                                rows.get(r).name(),
                                rows.get(s).name(),
                                columns.get(c).name(),
                                columns.get(d).name());
                        if (ghost.isPresent() && ++rectangles <= MOST_RECTANGLES) {
                            last = spot(ghost.get().seen.control());
                            yaml.warn(last, ghost.get().words(plan));
                        }
                    }
                }
            }
        }
        if (rectangles > MOST_RECTANGLES) {
            yaml.warn(last, Phrase.of("problem.ghost.more", String.valueOf(rectangles - MOST_RECTANGLES)));
        }
        for (String contact : PermanentCorners.of(plan).stream().sorted().toList()) {
            Control control =
                    plan.control(plan.contact(contact).orElseThrow().control()).orElseThrow();
            yaml.warn(spot(control.id()), Phrase.of("problem.closed-corner", control.label()));
        }
    }

    private record Ghost(List<Contact> held, Contact seen) {
        Phrase words(Plan plan) {
            Phrase chord = held.stream()
                    .map(c -> words(plan, c))
                    .reduce((a, b) -> Phrase.of("list.plus", a, b))
                    .orElse(Phrase.none());
            return Phrase.of("problem.ghost", chord, words(plan, seen), words(plan, held.get(0)));
        }

        private static Phrase words(Plan plan, Contact contact) {
            return plan.action(contact.id())
                    .map(Action::words)
                    .or(() -> plan.control(contact.control()).map(c -> Phrase.verbatim(c.label())))
                    .orElse(Phrase.verbatim(contact.id()));
        }
    }

    private static Optional<Ghost> ghost(Map<Wiring.Crossing, Contact> at, String r, String s, String c, String d) {
        List<Contact> corners = new ArrayList<>();
        for (Wiring.Crossing crossing : List.of(
                new Wiring.Crossing(r, c),
                new Wiring.Crossing(r, d),
                new Wiring.Crossing(s, d),
                new Wiring.Crossing(s, c))) {
            Contact contact = at.get(crossing);
            if (contact == null) {
                return Optional.empty();
            }
            corners.add(contact);
        }
        // Corners go round the rectangle, so the one opposite corner i is i + 2.
        for (int i = 0; i < 4; i++) {
            if (corners.get(i).diode() == Contact.Diode.NONE) {
                return Optional.of(new Ghost(
                        List.of(corners.get(i), corners.get((i + 1) % 4), corners.get((i + 3) % 4)),
                        corners.get((i + 2) % 4)));
            }
        }
        return Optional.empty();
    }
}
