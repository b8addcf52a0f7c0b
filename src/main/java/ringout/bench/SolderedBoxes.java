package ringout.bench;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import ringout.circuit.Circuit;
import ringout.circuit.Fault;
import ringout.circuit.FaultException;
import ringout.circuit.NodeName;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.diagnosis.ProbeResult;
import ringout.journal.JournalException;
import ringout.journal.KeptChecks;
import ringout.journal.KeptSoldering;
import ringout.plan.Plan;
import ringout.solder.Act;
import ringout.solder.Soldering;

/** Boxes that were soldered along their plan: what the meter showed then counts in every later check of them. */
public final class SolderedBoxes {
    private SolderedBoxes() {}

    /**
     * The same box, with what the meter showed while it was soldered.
     *
     * @param device a real box
     * @param checks of real boxes
     * @throws JournalException where what was kept cannot be read
     */
    public static PlanInUse measured(DeviceInfo device, PlanInUse whole, KeptChecks checks) throws JournalException {
        List<Act> acts = KeptSoldering.beside(checks).acts(whole.plan());
        if (acts.isEmpty()) {
            return whole;
        }
        Circuit circuit = Circuit.of(whole.plan());
        List<ProbeResult> readings = holding(
                Soldering.of(circuit, acts), checks.of(device, whole.hash()).checks(), whole.plan());
        return readings.isEmpty() ? whole : whole.by(whole.builder().measuring(circuit, readings));
    }

    /**
     * What the meter showed and nothing has outdated since: no reading where the box was checked before it was soldered, for
     * then it is another box of the same plan; none at a wire or contact that was said to be mended, or at a control that was
     * said to be replaced, after it was measured.
     *
     * @param checks kept of the box, in order of time
     */
    static List<ProbeResult> holding(Soldering soldering, List<KeptChecks.Kept> checks, Plan plan) {
        Optional<Instant> begun = soldering.acts().stream().map(Act::when).min(Instant::compareTo);
        if (begun.isEmpty()
                || checks.stream().anyMatch(kept -> kept.check().when().isBefore(begun.get()))) {
            return List.of();
        }
        List<ProbeResult> holding = new ArrayList<>();
        for (Soldering.Reading reading : soldering.readings()) {
            Set<String> touched = new HashSet<>();
            for (KeptChecks.Kept kept : checks) {
                if (kept.check().when().isAfter(reading.when())) {
                    kept.mended().forEach(mend -> touched.addAll(touched(mend.fault(), plan)));
                }
                for (KeptChecks.Remark remark : kept.remarks()) {
                    if (remark.replaced() && remark.when().isAfter(reading.when())) {
                        remark.controls()
                                .forEach(id -> plan.control(id)
                                        .ifPresent(c -> c.contacts().forEach(contact -> touched.add(contact.id()))));
                        touched.addAll(remark.controls());
                    }
                }
            }
            if (names(reading.result().pointA()).stream().noneMatch(touched::contains)
                    && names(reading.result().pointB()).stream().noneMatch(touched::contains)) {
                holding.add(reading.result());
            }
        }
        return holding;
    }

    private static List<String> touched(String fault, Plan plan) {
        try {
            Fault mended = Fault.parse(fault, plan);
            List<String> touched = new ArrayList<>(mended.lines());
            touched.addAll(mended.contacts());
            return touched;
        } catch (FaultException edited) {
            // The plan has it no more.
            return List.of();
        }
    }

    private static List<String> names(NodeName node) {
        if (node instanceof NodeName.Pin pin) {
            return List.of(pin.line());
        } else if (node instanceof NodeName.Joint joint) {
            return List.of(joint.line(), joint.contact());
        } else if (node instanceof NodeName.Leg leg) {
            return List.of(leg.line(), leg.contact());
        } else if (node instanceof NodeName.RegisterInput input) {
            return List.of(input.line());
        } else if (node instanceof NodeName.AxisPad pad) {
            return List.of(pad.axis());
        } else if (node instanceof NodeName.AxisLug lug) {
            return List.of(lug.axis());
        }
        return List.of(((NodeName.Rail) node).name());
    }

    /**
     * The box of a plan among those that are plugged in, by the ids that the plan gives; empty where none is, or the plan
     * gives none. Simulated boxes and recordings carry no current.
     */
    public static Optional<DeviceInfo> plugged(Plan plan, List<DeviceInfo> listed) {
        Plan.Box box = plan.box();
        return listed.stream()
                .filter(d -> !d.path().startsWith(SimulatedSource.PREFIX)
                        && !d.path().startsWith("rec:"))
                .filter(d -> box.vendor().isPresent()
                        && box.product().isPresent()
                        && box.vendor().get() == d.vendorId()
                        && box.product().get() == d.productId()
                        && (box.serial().isEmpty() || box.serial().get().equals(d.serial())))
                .findFirst();
    }

    /**
     * When the bare board of a box was last touched under power; empty where that was never kept.
     *
     * @param store see {@link KeptChecks#bareBoards}
     * @throws JournalException where it cannot be read
     */
    public static Optional<Instant> touched(PlanInUse whole, KeptChecks store) throws JournalException {
        String hash;
        try {
            hash = BareBoards.touches(whole).hash();
        } catch (IllegalArgumentException nothing) {
            return Optional.empty();
        }
        return store.all().stream()
                .filter(kept -> kept.planHash().equals(hash))
                .map(kept -> kept.check().when())
                .max(Instant::compareTo);
    }
}
