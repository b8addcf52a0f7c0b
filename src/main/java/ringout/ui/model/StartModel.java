package ringout.ui.model;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringout.device.DeviceInfo;
import ringout.device.SimulatedSource;
import ringout.device.UsbPath;
import ringout.plan.Plan;
import ringout.plan.PlanProblem;
import ringout.watch.Outages;
import ringout.words.Texts;

/** What the start page says: what is there, what is missing, and the one next thing to do. */
public final class StartModel {
    private StartModel() {}

    /**
     * A box to choose.
     *
     * @param name    for people
     * @param detail  ids and path
     * @param problem why it cannot be opened and what to do; empty where it can
     * @param planned true where the chosen plan names its USB ids
     */
    public record Row(DeviceInfo device, String name, String detail, String problem, boolean planned) {}

    /**
     * The page.
     *
     * @param sentence the next thing to do, large
     * @param detail   under it
     * @param rows     boxes
     * @param ready    true where a check can begin
     * @param openable true where the box can at least be watched
     */
    public record Page(String sentence, String detail, List<Row> rows, boolean ready, boolean openable) {
        public Page {
            rows = List.copyOf(rows);
        }

        /** The same while somebody is to show by a press which of the boxes is meant. */
        public Page asking() {
            return new Page(Texts.say("start.press"), Texts.say("start.press.detail"), rows, false, false);
        }

        /** True where boxes say the same of themselves. */
        public boolean alike() {
            return !StartModel.alike(rows.stream().map(Row::device).toList()).isEmpty();
        }
    }

    /**
     * @param devices  connected now; empty where nothing was listed yet
     * @param trouble  why boxes cannot be listed; empty where they can
     * @param opening  why the chosen box could not be opened; empty where it was not tried or could
     * @param chosen   the box chosen; empty for none
     * @param plan     the plan chosen, where it can be used
     * @param problems of the plan file
     * @param hasFile  true where a plan file is chosen, good or bad
     */
    public static Page of(
            List<DeviceInfo> devices,
            String trouble,
            String opening,
            Optional<DeviceInfo> chosen,
            Optional<Plan> plan,
            List<PlanProblem> problems,
            boolean hasFile) {
        List<Row> rows = rows(devices, plan);
        if (!trouble.isEmpty()) {
            return new Page(Texts.say("start.trouble"), trouble, rows, false, false);
        }
        if (!opening.isEmpty()) {
            boolean readable = chosen.map(DeviceInfo::readable).orElse(false);
            return new Page(Texts.say("start.shut"), opening, rows, readable && plan.isPresent(), readable);
        }
        if (devices.isEmpty()) {
            return new Page(Texts.say("start.no-device"), Texts.say("start.no-device.detail"), rows, false, false);
        }
        if (chosen.isEmpty()) {
            return new Page(
                    Texts.say("start.several"), Texts.say("start.several.detail", devices.size()), rows, false, false);
        }
        DeviceInfo box = chosen.get();
        if (!box.readable()) {
            return new Page(
                    Texts.say("start.no-permission"), Texts.say("start.no-permission.detail"), rows, false, false);
        }
        if (plan.isEmpty()) {
            long errors = problems.stream()
                    .filter(p -> p.severity() == PlanProblem.Severity.ERROR)
                    .count();
            return hasFile
                    ? new Page(
                            Texts.say("start.bad-plan"), Texts.say("start.bad-plan.detail", errors), rows, false, true)
                    : new Page(
                            Texts.say("start.choose-plan"), Texts.say("start.choose-plan.detail"), rows, false, true);
        }
        return new Page(
                Texts.say("start.ready", plan.get().box().name().toUpperCase(Locale.ROOT)),
                planned(box, plan.get()) || plan.get().box().vendor().isEmpty()
                        ? Texts.say("start.ready.detail")
                        : Texts.say("start.another", ids(plan.get())),
                rows,
                true,
                true);
    }

    /** The page while a recording is read; what is chosen meanwhile is begun instead. */
    public static Page reading(String file, double share, List<DeviceInfo> devices, Optional<Plan> plan) {
        return new Page(
                Texts.say("recording.reading", file),
                Texts.say("recording.share", Math.round(Math.floor(share * 100))),
                rows(devices, plan),
                false,
                false);
    }

    /** Those of the boxes that say the same of themselves as another, so that a press has to tell which is meant. */
    public static List<DeviceInfo> alike(List<DeviceInfo> devices) {
        return devices.stream()
                .filter(one -> one.readable()
                        && devices.stream().anyMatch(other -> other != one && other.readable() && one.looksLike(other)))
                .toList();
    }

    private static List<Row> rows(List<DeviceInfo> devices, Optional<Plan> plan) {
        List<DeviceInfo> alike = alike(devices);
        return devices.stream()
                .map(device -> row(device, plan, alike.contains(device)))
                .toList();
    }

    private static Row row(DeviceInfo device, Optional<Plan> plan, boolean alike) {
        String own = device.path().startsWith(SimulatedSource.PREFIX)
                ? Texts.say("start.box.simulated")
                : device.serial().isEmpty()
                        ? device.usbId() + ", " + device.path()
                        : Texts.say("start.box", device.usbId(), device.path(), device.serial());
        String detail = UsbPath.of(device.port())
                .filter(path -> alike)
                .map(path -> Texts.say("start.box.in", own, Outages.socket(path.steps())))
                .orElse(own);
        return new Row(
                device,
                device.name(),
                detail,
                device.readable() ? "" : device.problem(),
                plan.isPresent() && planned(device, plan.get()));
    }

    /** True where a plan names the box's USB ids, and its serial where it names one. */
    public static boolean planned(DeviceInfo device, Plan plan) {
        Plan.Box box = plan.box();
        return box.vendor().isPresent()
                && box.vendor().get() == device.vendorId()
                && box.product().isPresent()
                && box.product().get() == device.productId()
                && (box.serial().isEmpty()
                        || device.serial().isEmpty()
                        || box.serial().get().equals(device.serial()));
    }

    private static String ids(Plan plan) {
        return String.format(
                Locale.ROOT,
                "%04x:%04x",
                plan.box().vendor().orElse(0),
                plan.box().product().orElse(0));
    }

    /** The box to choose without being asked: the only one, or the only one the plan is for. */
    public static Optional<DeviceInfo> obvious(List<DeviceInfo> devices, Optional<Plan> plan) {
        if (devices.size() == 1) {
            return Optional.of(devices.get(0));
        }
        List<DeviceInfo> fitting = plan.map(
                        p -> devices.stream().filter(d -> planned(d, p)).toList())
                .orElse(List.of());
        return fitting.size() == 1 ? Optional.of(fitting.get(0)) : Optional.empty();
    }
}
