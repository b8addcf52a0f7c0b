package ringout.diagnosis;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;
import ringout.plan.Contact;
import ringout.plan.Control;
import ringout.plan.Known;
import ringout.plan.Plan;

/**
 * Numbers for every two contacts that can be exchanged, one after the other by the first and then the second of them; not
 * for the two phases of one encoder, whose exchange is a fault of its own. Worked out, never listed: their number grows
 * with the square of the contacts.
 */
final class Exchanges {
    static final Exchanges NONE = new Exchanges(Integer.MAX_VALUE, 0);

    private final int from;
    private final int contacts;
    private final int count;
    /** By contact, pairs with a lower first contact. */
    private final int[] before;
    /** By contact, the other phase of its encoder, where that comes later; else a number that no contact has. */
    private final int[] phase;

    private @Nullable Priors priors;
    private double odds;
    /** The logarithm of the odds of a pair that has nothing to do with each other. */
    private double apart;

    private double likeliest;

    private Exchanges(int from, int contacts) {
        this.from = from;
        this.contacts = contacts;
        count = 0;
        before = new int[0];
        phase = new int[0];
    }

    /** @param from the number of the first pair */
    Exchanges(Plan plan, int from) {
        this.from = from;
        List<Contact> all = plan.contacts();
        contacts = all.size();
        Map<String, Integer> index = new HashMap<>();
        all.forEach(c -> index.put(c.id(), index.size()));
        phase = new int[contacts];
        Arrays.fill(phase, Integer.MAX_VALUE);
        for (Control control : plan.controls()) {
            if (control instanceof Control.Encoder e) {
                int a = Known.in(index, e.a().id());
                int b = Known.in(index, e.b().id());
                phase[a] = b > a ? b : phase[a];
            }
        }
        before = new int[contacts];
        int sum = 0;
        for (int i = 0; i < contacts; i++) {
            before[i] = sum;
            sum += contacts - 1 - i - (phase[i] < contacts ? 1 : 0);
        }
        count = sum;
    }

    /** The number of the first pair. */
    int from() {
        return from;
    }

    /** How many pairs there are. */
    int count() {
        return count;
    }

    /** True for the number of a pair. */
    boolean has(int f) {
        return f >= from && f - from < count;
    }

    /** The two contacts, the lower first. */
    int[] contacts(int f) {
        int at = f - from;
        int first = Arrays.binarySearch(before, at);
        if (first < 0) {
            first = -first - 2;
        } else {
            // Contacts at the end may have no pair of their own.
            while (first + 1 < contacts && before[first + 1] == at) {
                first++;
            }
        }
        int second = first + 1 + at - before[first];
        return new int[] {first, second >= phase[first] ? second + 1 : second};
    }

    /** The number of a pair; -1 for the phases of one encoder. */
    int number(int first, int second) {
        int a = Math.min(first, second);
        int b = Math.max(first, second);
        return phase[a] == b ? -1 : from + before[a] + b - a - 1 - (b > phase[a] ? 1 : 0);
    }

    /** All pairs of one contact, ascending. */
    int[] of(int contact) {
        int[] of = new int[countOf(contact)];
        int n = 0;
        for (int other = 0; other < contacts && n < of.length; other++) {
            int f = other == contact ? -1 : number(contact, other);
            if (f >= 0) {
                of[n++] = f;
            }
        }
        return of;
    }

    /** How many {@link #of} has. */
    int countOf(int contact) {
        if (count == 0) {
            return 0;
        }
        boolean phases = phase[contact] < contacts;
        for (int i = 0; i < contact && !phases; i++) {
            phases = phase[i] == contact;
        }
        return contacts - (phases ? 2 : 1);
    }

    /** Learns how likely they are. */
    void weigh(Priors priors) {
        this.priors = priors;
        apart = log(priors.apartExchanged());
        likeliest = apart;
        int close = 0;
        for (int a = 0; a < contacts; a++) {
            for (int b : priors.close(a)) {
                if (b > a && phase[a] != b) {
                    double log = log(priors.contactsExchanged(a, b));
                    odds += Math.exp(log);
                    likeliest = Math.max(likeliest, log);
                    close++;
                }
            }
        }
        odds += (count - close) * Math.exp(apart);
    }

    private static double log(double p) {
        return Math.log(p / (1 - p));
    }

    /** The sum of the odds of all. */
    double odds() {
        return odds;
    }

    /** The logarithm of the odds of the likeliest. */
    double likeliest() {
        return likeliest;
    }

    /** The logarithm of the odds of one. */
    double logOdds(int f) {
        int[] pair = contacts(f);
        Priors known = Objects.requireNonNull(priors);
        double p = known.contactsExchanged(pair[0], pair[1]);
        return p == known.apartExchanged() ? apart : log(p);
    }
}
