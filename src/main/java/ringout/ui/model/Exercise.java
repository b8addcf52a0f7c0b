package ringout.ui.model;

import java.net.URLEncoder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import ringout.circuit.Fault;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.simulate.HiddenFaults;
import ringout.simulate.Wear;
import ringout.words.Texts;

/**
 * A simulated box to practise on.
 *
 * @param words  what to choose it by
 * @param faults in its wiring
 * @param wear   of its switches
 */
public record Exercise(String words, List<Fault> faults, Wear wear) {
    /** The plan that comes with the program. */
    public static final String DESK = "desk";

    private static final long WORN = 24_000_000L;

    public Exercise {
        faults = List.copyOf(faults);
    }

    /**
     * What a plan lets one practise: hidden faults first, then one of each sort the wiring allows, and a good box.
     *
     * @param seed of the hidden ones
     */
    public static List<Exercise> of(Plan plan, long seed) {
        List<Exercise> all = new ArrayList<>();
        all.add(hidden(plan, seed));
        all.add(new Exercise(Texts.say("exercise.none"), List.of(), Wear.NONE));
        List<Contact> crossings = plan.contacts().stream()
                .filter(c -> c.wiring() instanceof Wiring.Crossing)
                .toList();
        List<Contact> pushes = plan.controls().stream()
                .filter(c -> c instanceof Control.Push)
                .flatMap(c -> c.contacts().stream())
                .toList();
        List<Line> rows = plan.lines(Line.Kind.ROW);
        List<Line> columns = plan.lines(Line.Kind.COLUMN);
        if (rows.size() > 1) {
            add(all, plan, Texts.say("exercise.off-pin"), "open:" + rows.get(1).name());
            if (rows.get(0).contacts().size() > 2) {
                add(
                        all,
                        plan,
                        Texts.say("exercise.chain"),
                        "open:" + rows.get(0).name() + "@after:"
                                + rows.get(0).contacts().get(1));
            }
        }
        if (columns.size() > 1) {
            add(
                    all,
                    plan,
                    Texts.say("exercise.exchanged"),
                    "exchange:" + columns.get(0).name() + "," + columns.get(1).name());
            add(
                    all,
                    plan,
                    Texts.say("exercise.touch"),
                    "short:" + columns.get(0).name() + "," + columns.get(1).name());
        }
        if (pushes.size() > 1) {
            add(
                    all,
                    plan,
                    Texts.say("exercise.buttons"),
                    "exchange:" + pushes.get(0).id() + "," + pushes.get(1).id());
        }
        crossings.stream()
                .filter(c -> c.diode() != Contact.Diode.NONE)
                .skip(2)
                .findFirst()
                .ifPresent(c -> add(all, plan, Texts.say("exercise.diode-reversed"), "diode-reversed:" + c.id()));
        crossings.stream()
                .filter(c -> c.diode() != Contact.Diode.NONE)
                .skip(4)
                .findFirst()
                .ifPresent(c -> add(all, plan, Texts.say("exercise.diode-bridged"), "diode-short:" + c.id()));
        pushes.stream().skip(2).findFirst().ifPresent(c -> {
            add(all, plan, Texts.say("exercise.never-opens"), "closed:contact:" + c.id());
            all.add(new Exercise(Texts.say("exercise.bounces"), List.of(), Wear.NONE.bouncing(c.id(), WORN)));
            all.add(new Exercise(Texts.say("exercise.drops-out"), List.of(), Wear.NONE.droppingOut(c.id())));
        });
        plan.controls().stream()
                .filter(c -> c instanceof Control.Axis axis && axis.pin().isPresent())
                .findFirst()
                .ifPresent(c -> add(all, plan, Texts.say("exercise.wiper"), "axis-open:" + c.id() + ".wiper"));
        return List.copyOf(all);
    }

    /** Two faults for somebody to find, by a seed. */
    public static Exercise hidden(Plan plan, long seed) {
        return new Exercise(Texts.say("exercise.hidden"), HiddenFaults.two(plan, seed), Wear.NONE);
    }

    /** Faults that were asked for by name. */
    public static Exercise with(List<Fault> faults) {
        return new Exercise(Texts.say("exercise.given"), faults, Wear.NONE);
    }

    private static void add(List<Exercise> all, Plan plan, String words, String fault) {
        all.add(new Exercise(words, List.of(Fault.parse(fault, plan)), Wear.NONE));
    }

    /**
     * The name of this box for {@link ringout.device.SimulatedSource}.
     *
     * @param plan     its file, or {@link #DESK}
     * @param byItself true where a scripted builder presses
     * @param seed     of bounce and builder; another seed makes another box
     * @param speed    how much faster than ours its time passes, 1 to 20
     */
    public String name(String plan, boolean byItself, long seed, int speed) {
        StringBuilder name =
                new StringBuilder("sim:").append(plan).append("?seed=").append(seed);
        faults.forEach(fault -> name.append("&fault=").append(URLEncoder.encode(fault.text(), StandardCharsets.UTF_8)));
        wear.bounceNanos()
                .forEach((contact, nanos) ->
                        name.append("&bounce=").append(contact).append('=').append(nanos / 1e6));
        wear.dropouts().forEach(contact -> name.append("&dropout=").append(contact));
        return name.append(speed == 1 ? "" : "&speed=" + speed)
                .append(byItself ? "" : "&hands=off")
                .toString();
    }
}
