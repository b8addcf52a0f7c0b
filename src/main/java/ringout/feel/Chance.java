package ringout.feel;

/** What pure chance gives. */
final class Chance {
    private Chance() {}

    /**
     * The probability that of {@code n} tries {@code k} or more succeed, each with probability {@code p}, summed exactly
     * term by term.
     *
     * @param n 0 or more
     * @param p 0 to 1
     */
    static double atLeast(int k, int n, double p) {
        if (k <= 0) {
            return 1;
        }
        if (k > n || p <= 0) {
            return 0;
        }
        if (p >= 1) {
            return 1;
        }
        double sum = 0;
        double logChoose = 0;
        for (int i = 1; i <= n; i++) {
            logChoose += Math.log(n - i + 1.0) - Math.log(i);
            if (i >= k) {
                sum += Math.exp(logChoose + i * Math.log(p) + (n - i) * Math.log1p(-p));
            }
        }
        return Math.min(1, sum);
    }
}
