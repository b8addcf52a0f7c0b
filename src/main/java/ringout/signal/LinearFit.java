package ringout.signal;

/**
 * A straight line through points by least squares.
 *
 * @param slope     change of y for one of x
 * @param intercept y at x = 0
 * @param error     standard error of the slope; 0 where all points lie on the line
 * @param points    how many, at least 3
 */
public record LinearFit(double slope, double intercept, double error, int points) {
    /** Largest number of degrees of freedom in the table; with more, the last value is on the safe side. */
    private static final int TABLE = 30;
    /**
     * Two-sided 99.9 % points of Student's t for 1 to 30 degrees of freedom, as in any table of the distribution; the
     * test compares them with an independent implementation.
     */
    private static final double[] T_999 = {
        636.619, 31.599, 12.924, 8.610, 6.869, 5.959, 5.408, 5.041, 4.781, 4.587, 4.437, 4.318, 4.221, 4.140, 4.073,
        4.015, 3.965, 3.922, 3.883, 3.850, 3.819, 3.792, 3.768, 3.745, 3.725, 3.707, 3.690, 3.674, 3.659, 3.646
    };

    /**
     * Fits a line.
     *
     * @throws IllegalArgumentException for fewer than 3 points, lists of different length, or where all x are the same
     */
    public static LinearFit of(double[] x, double[] y) {
        int n = x.length;
        if (n < 3 || y.length != n) {
            throw new IllegalArgumentException("a line needs 3 points or more, not " + n + " and " + y.length);
        }
        double meanX = 0;
        double meanY = 0;
        for (int i = 0; i < n; i++) {
            meanX += x[i] / n;
            meanY += y[i] / n;
        }
        double xx = 0;
        double xy = 0;
        for (int i = 0; i < n; i++) {
            xx += (x[i] - meanX) * (x[i] - meanX);
            xy += (x[i] - meanX) * (y[i] - meanY);
        }
        if (xx == 0) {
            throw new IllegalArgumentException("all points are at the same place");
        }
        double slope = xy / xx;
        double rest = 0;
        for (int i = 0; i < n; i++) {
            double off = y[i] - meanY - slope * (x[i] - meanX);
            rest += off * off;
        }
        return new LinearFit(slope, meanY - slope * meanX, Math.sqrt(rest / (n - 2) / xx), n);
    }

    /** True where a slope like this would come of pure chance less than once in a thousand times. */
    public boolean isSure() {
        return Math.abs(slope) > T_999[Math.min(points - 2, TABLE) - 1] * error;
    }

    /** The line's y at that x. */
    public double at(double x) {
        return intercept + slope * x;
    }
}
