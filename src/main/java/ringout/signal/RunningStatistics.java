package ringout.signal;

/**
 * Mean, spread and extremes of values as they come, in constant memory, each with a weight.
 *
 * <p>Source: D. H. D. West, "Updating mean and variance estimates: an improved method", Communications of the ACM 22
 * (1979), which stays accurate where the mean is large against the spread.
 */
public final class RunningStatistics {
    private long count;
    private double weight;
    private double mean;
    private double squares;
    private double least = Double.POSITIVE_INFINITY;
    private double most = Double.NEGATIVE_INFINITY;

    /** Adds a value of weight 1. */
    public void add(double value) {
        add(value, 1);
    }

    /**
     * Adds a value. Allocates nothing.
     *
     * @param weight how much it counts, such as how long it stood; a weight of 0 or less adds nothing
     */
    public void add(double value, double weight) {
        if (weight <= 0) {
            return;
        }
        count++;
        this.weight += weight;
        if (count == 1) {
            mean = value; // Exactly: a step from zero would leave a rounding error that the step itself magnifies.
        } else {
            double step = value - mean;
            mean += step * weight / this.weight;
            squares += weight * step * (value - mean);
        }
        least = Math.min(least, value);
        most = Math.max(most, value);
    }

    /** How many values were added. */
    public long count() {
        return count;
    }

    /** The weighted mean; 0 where there is no value. */
    public double mean() {
        return mean;
    }

    /** The weighted standard deviation of the values themselves, not an estimate of a larger population's. */
    public double deviation() {
        return weight == 0 ? 0 : Math.sqrt(Math.max(0, squares / weight));
    }

    /** The least value; 0 where there is none. */
    public double least() {
        return count == 0 ? 0 : least;
    }

    /** The greatest value; 0 where there is none. */
    public double most() {
        return count == 0 ? 0 : most;
    }
}
