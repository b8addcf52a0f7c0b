package ringout.hid;

import java.util.Optional;

/**
 * The axes a game controller can declare, with usage page and usage.
 *
 * <p>Source: HID Usage Tables, Generic Desktop page (0x01) and Simulation Controls page (0x02).
 */
public enum AxisUsage {
    X(0x01, 0x30, "X"),
    Y(0x01, 0x31, "Y"),
    Z(0x01, 0x32, "Z"),
    RX(0x01, 0x33, "Rx"),
    RY(0x01, 0x34, "Ry"),
    RZ(0x01, 0x35, "Rz"),
    SLIDER(0x01, 0x36, "Slider"),
    DIAL(0x01, 0x37, "Dial"),
    WHEEL(0x01, 0x38, "Wheel"),
    VX(0x01, 0x40, "Vx"),
    VY(0x01, 0x41, "Vy"),
    VZ(0x01, 0x42, "Vz"),
    VBRX(0x01, 0x43, "Vbrx"),
    VBRY(0x01, 0x44, "Vbry"),
    VBRZ(0x01, 0x45, "Vbrz"),
    VNO(0x01, 0x46, "Vno"),
    AILERON(0x02, 0xB0, "Aileron"),
    AILERON_TRIM(0x02, 0xB1, "Aileron Trim"),
    ANTI_TORQUE(0x02, 0xB2, "Anti-Torque Control"),
    COLLECTIVE(0x02, 0xB5, "Collective Control"),
    DIVE_BRAKE(0x02, 0xB6, "Dive Brake"),
    ELEVATOR(0x02, 0xB8, "Elevator"),
    ELEVATOR_TRIM(0x02, 0xB9, "Elevator Trim"),
    RUDDER(0x02, 0xBA, "Rudder"),
    THROTTLE(0x02, 0xBB, "Throttle"),
    TOE_BRAKE(0x02, 0xBF, "Toe Brake"),
    WING_FLAPS(0x02, 0xC3, "Wing Flaps"),
    ACCELERATOR(0x02, 0xC4, "Accelerator"),
    BRAKE(0x02, 0xC5, "Brake"),
    CLUTCH(0x02, 0xC6, "Clutch"),
    SHIFTER(0x02, 0xC7, "Shifter"),
    STEERING(0x02, 0xC8, "Steering"),
    TURRET_DIRECTION(0x02, 0xC9, "Turret Direction"),
    BARREL_ELEVATION(0x02, 0xCA, "Barrel Elevation"),
    DIVE_PLANE(0x02, 0xCB, "Dive Plane"),
    BALLAST(0x02, 0xCC, "Ballast"),
    BICYCLE_CRANK(0x02, 0xCD, "Bicycle Crank"),
    HANDLE_BARS(0x02, 0xCE, "Handle Bars"),
    FRONT_BRAKE(0x02, 0xCF, "Front Brake"),
    REAR_BRAKE(0x02, 0xD0, "Rear Brake");

    private static final AxisUsage[] ALL = values();

    private final int page;
    private final int usage;
    private final String word;

    AxisUsage(int page, int usage, String word) {
        this.page = page;
        this.usage = usage;
        this.word = word;
    }

    /** HUT usage page. */
    public int page() {
        return page;
    }

    /** HUT usage within {@link #page()}. */
    public int usage() {
        return usage;
    }

    /** The HUT name, as written in plans: {@code Rx}, {@code Slider}. */
    public String word() {
        return word;
    }

    /** The axis with that page and usage, or empty where the pair is no axis. */
    public static Optional<AxisUsage> of(int page, int usage) {
        for (AxisUsage axis : ALL) {
            if (axis.page == page && axis.usage == usage) {
                return Optional.of(axis);
            }
        }
        return Optional.empty();
    }

    /** The axis of that name, in any letter case. */
    public static Optional<AxisUsage> named(String word) {
        for (AxisUsage axis : ALL) {
            if (axis.word.equalsIgnoreCase(word)) {
                return Optional.of(axis);
            }
        }
        return Optional.empty();
    }
}
