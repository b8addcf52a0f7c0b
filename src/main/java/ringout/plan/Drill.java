package ringout.plan;

import java.util.ArrayList;
import java.util.List;

/**
 * How a hole of a panel is drilled: what to begin with, and what makes it its size.
 *
 * <p>Sizes of twist drills are those of BS 328 (metric series; from memory the same steps as in ISO 235): every 0.05 mm
 * from 1 mm, every 0.1 mm from 3 mm, every 0.25 mm from 14 mm to 25 mm. Which drill for which hole is common practice, no
 * source: the thin sheet of a panel tears under a large twist drill, and common chucks take 13 mm.
 *
 * @param hole   diameter in millimetres
 * @param pilots diameters to drill first, in this order, in millimetres; none for small holes
 * @param last   the diameter that the last tool makes, in millimetres
 * @param tool   the last tool
 */
public record Drill(double hole, List<Double> pilots, double last, Tool tool) {
    /** What makes a hole its size. */
    public enum Tool {
        /** A twist drill of the next standard size. */
        TWIST,
        /** A step drill, to the step of this size. */
        STEP,
        /** A step drill to the step below, and then a round file or a reamer. */
        STEP_AND_FILE,
        /** A hole saw, whose own drill goes into the pilot. */
        SAW
    }

    /** The first hole, which keeps larger drills from walking: common practice, no source. */
    public static final double PILOT_MM = 3;

    /** Larger twist drills are begun in two steps: common practice, no source. */
    private static final double SECOND_FROM_MM = 8;

    private static final double SECOND_MM = 5;

    /** Up to here a twist drill, as common chucks take: common practice, no source. */
    private static final double TWIST_MM = 13;

    /** The last step of common step drills, whose steps are 2 mm apart: common practice, no source. */
    private static final double STEP_MM = 30;

    private static final double STEPS_MM = 2;

    private static final double ROUNDING = 1e-6;

    public Drill {
        pilots = List.copyOf(pilots);
    }

    /**
     * How to drill a hole.
     *
     * @param hole diameter in millimetres, more than 0
     */
    public static Drill of(double hole) {
        List<Double> pilots = new ArrayList<>();
        if (hole > PILOT_MM + 1) {
            pilots.add(PILOT_MM);
        }
        if (hole <= TWIST_MM) {
            double size = standard(hole);
            if (hole > SECOND_FROM_MM) {
                pilots.add(SECOND_MM);
            }
            return new Drill(hole, pilots, size, Tool.TWIST);
        }
        if (hole <= STEP_MM) {
            double step = Math.floor(hole / STEPS_MM + ROUNDING) * STEPS_MM;
            return new Drill(hole, pilots, step, hole - step < ROUNDING ? Tool.STEP : Tool.STEP_AND_FILE);
        }
        return new Drill(hole, pilots, hole, Tool.SAW);
    }

    /**
     * The smallest standard twist drill that is no smaller, in millimetres.
     *
     * @param hole diameter in millimetres, at most 25
     */
    static double standard(double hole) {
        double step = hole <= 2.95 + ROUNDING ? 0.05 : hole <= 13.9 + ROUNDING ? 0.1 : 0.25;
        return Math.max(1, Math.round(Math.ceil(hole / step - ROUNDING) * step * 100) / 100.0);
    }
}
