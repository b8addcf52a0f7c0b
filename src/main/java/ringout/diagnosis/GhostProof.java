package ringout.diagnosis;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import ringout.hid.Input;
import ringout.naming.Names;
import ringout.plan.Contact;
import ringout.plan.Known;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.plan.Wiring;
import ringout.words.Phrase;

/**
 * The chords a matrix cannot tell from other presses, and the chords that prove its diodes block.
 *
 * <p>Both follow from one rule (common practice, no source): three closed corners of a rectangle make the fourth look
 * closed, unless a diode at the corner opposite the fourth blocks the way back. Longer ways round exist where crossings
 * are empty; they are found too. A chord holds at most one thing per control, save that a hat can point between two
 * neighbouring directions. A latched toggle counts as held and needs no finger.
 *
 * @param ghosts   every smallest chord that makes another planned input come on, fewest fingers first; smallest: nothing
 *                 else comes on with any one of its controls let go
 * @param cut      true where there are more than {@link #MOST_GHOSTS} of them, so that the list is not whole
 * @param tests    chords of at most three fingers that together prove every diode that can be proved: while one is held,
 *                 the inputs it names must stay off
 * @param unproved ids of contacts with a diode that no such chord reaches
 * @param fewest   no set with fewer tests can do; where {@code tests} has just as many, it is a smallest one
 */
public record GhostProof(List<Ghost> ghosts, boolean cut, List<DiodeTest> tests, List<String> unproved, int fewest) {
    /** More ghosts than anybody can read; beyond, the list is cut. */
    public static final int MOST_GHOSTS = 100_000;
    /** Contacts in the longest chord looked at. */
    public static final int MOST_CONTACTS = 7;

    private static final int FINGERS = 3;
    /** Corners looked at for each diode where a chord may prove several; a matrix of 20 x 20 has fewer. */
    private static final int MOST_CORNERS = 400;

    /**
     * A chord that ghosts in a box wired just as planned.
     *
     * @param hold    ids of the actions held
     * @param fingers how many of them need a finger
     * @param seen    id of the contact that looks closed
     * @param input   what comes on with it; empty for an encoder's phase
     * @param said    the same for people
     */
    public record Ghost(List<String> hold, int fingers, String seen, Optional<Input> input, Phrase said) {
        public Ghost {
            hold = List.copyOf(hold);
        }

        /** The same for people. */
        public String text() {
            return said.text();
        }
    }

    /**
     * A chord that proves diodes.
     *
     * @param hold   ids of the actions held, latched ones included
     * @param proves ids of the contacts whose diodes it proves
     * @param off    inputs that must stay off
     * @param said   the same for people
     */
    public record DiodeTest(List<String> hold, List<String> proves, List<Input> off, Phrase said) {
        public DiodeTest {
            hold = List.copyOf(hold);
            proves = List.copyOf(proves);
            off = List.copyOf(off);
        }

        /** The same for people. */
        public String text() {
            return said.text();
        }
    }

    public GhostProof {
        ghosts = List.copyOf(ghosts);
        tests = List.copyOf(tests);
        unproved = List.copyOf(unproved);
    }

    /** Looks at all of a plan's matrix. */
    public static GhostProof of(Plan plan) {
        return new Search(plan).proof();
    }

    /** Only {@link #tests}, which is much quicker where nothing blocks and ghosts are many. */
    static List<DiodeTest> tests(Plan plan) {
        return new DiodeTests(new Search(plan)).prove(List.of(), false).tests();
    }

    /** One matrix as grids of contact numbers; lines are numbered by side: those driven and those read. */
    private static final class Search {
        private final Chords chords;
        private final Names names;
        private final Contact.Diode forward;
        private final List<Contact> contacts = new ArrayList<>();
        private final int[] driven;
        private final int[] read;
        private final int[][] at;
        private final List<Ghost> ghosts = new ArrayList<>();
        private final int[] path = new int[MOST_CONTACTS];
        private boolean cut;

        Search(Plan plan) {
            chords = new Chords(plan);
            names = new Names(plan);
            forward = plan.scan().conducting();
            boolean rows = plan.scan().drive() == ringout.plan.Scan.Drive.ROWS;
            Map<String, Integer> drivenLines = number(plan.lines(rows ? Line.Kind.ROW : Line.Kind.COLUMN));
            Map<String, Integer> readLines = number(plan.lines(rows ? Line.Kind.COLUMN : Line.Kind.ROW));
            at = new int[drivenLines.size()][readLines.size()];
            for (int[] line : at) {
                Arrays.fill(line, -1);
            }
            List<int[]> places = new ArrayList<>();
            for (Contact contact : plan.contacts()) {
                if (contact.wiring() instanceof Wiring.Crossing crossing) {
                    int d = Known.in(drivenLines, rows ? crossing.row() : crossing.column());
                    int r = Known.in(readLines, rows ? crossing.column() : crossing.row());
                    at[d][r] = contacts.size();
                    places.add(new int[] {d, r});
                    contacts.add(contact);
                }
            }
            driven = places.stream().mapToInt(p -> p[0]).toArray();
            read = places.stream().mapToInt(p -> p[1]).toArray();
        }

        private static Map<String, Integer> number(List<Line> lines) {
            Map<String, Integer> numbers = new HashMap<>();
            lines.forEach(l -> numbers.put(l.name(), numbers.size()));
            return numbers;
        }

        /** Lets the input's current through to the driven line. */
        private boolean passes(int k) {
            return contacts.get(k).diode() == Contact.Diode.NONE
                    || contacts.get(k).diode() == forward;
        }

        /** Lets it back from a driven line to one that is read. */
        private boolean leaks(int k) {
            return contacts.get(k).diode() != forward;
        }

        private String id(int k) {
            return contacts.get(k).id();
        }

        GhostProof proof() {
            for (int k = 0; k < contacts.size() && !cut; k++) {
                if (passes(k) && chords.canHold(id(k))) {
                    path[0] = k;
                    extend(1);
                }
            }
            ghosts.sort(Comparator.comparingInt(Ghost::fingers)
                    .thenComparing(g -> g.hold().size()));
            return new DiodeTests(this).prove(ghosts, cut);
        }

        /** The path so far runs from the input of its first contact's read line to the driven line of its last. */
        private void extend(int length) {
            if (length + 2 > MOST_CONTACTS || cut) {
                return;
            }
            int from = driven[path[length - 1]];
            for (int r = 0; r < at[from].length; r++) {
                int back = at[from][r];
                if (back < 0 || !leaks(back) || !joins(back, length)) {
                    continue;
                }
                path[length] = back;
                for (int d = 0; d < at.length; d++) {
                    int on = at[d][r];
                    if (on < 0 || !passes(on) || !joins(on, length + 1)) {
                        continue;
                    }
                    path[length + 1] = on;
                    int seen = at[d][read[path[0]]];
                    if (seen >= 0) {
                        emit(length + 2, seen);
                    } else if (smallest(length + 2)) {
                        extend(length + 2);
                    }
                }
            }
        }

        private boolean joins(int k, int length) {
            List<String> all = new ArrayList<>();
            for (int i = 0; i < length; i++) {
                if (path[i] == k) {
                    return false;
                }
                all.add(id(path[i]));
            }
            all.add(id(k));
            return chords.together(all);
        }

        /** True where no inner stretch of the path ghosts by itself. */
        private boolean smallest(int length) {
            int last = driven[path[length - 1]];
            for (int i = 2; i + 3 <= length; i += 2) {
                if (at[last][read[path[i]]] >= 0) {
                    return false;
                }
            }
            // The other way round current flows only where there is no diode.
            int before = read[path[length - 2]];
            for (int i = length - 2; i > 0 && passes(path[i]) && leaks(path[i]); i--) {
                if (i % 2 == 1 && i + 4 <= length && at[driven[path[i]]][before] >= 0) {
                    return false;
                }
            }
            return true;
        }

        private void emit(int length, int seen) {
            List<String> hold = new ArrayList<>();
            for (int i = 0; i < length; i++) {
                if (path[i] == seen) {
                    return;
                }
                hold.add(id(path[i]));
            }
            if (!smallest(length)) {
                return;
            }
            if (ghosts.size() >= MOST_GHOSTS) {
                cut = true;
                return;
            }
            List<String> latched = hold.stream().filter(chords::latching).toList();
            List<String> held = hold.stream().filter(a -> !chords.latching(a)).toList();
            Phrase on = names.actions(latched);
            Phrase under = names.actions(held);
            Phrase said = held.isEmpty()
                    ? Phrase.of("next.ghost.on", on, seen(seen), name(path[1]))
                    : latched.isEmpty()
                            ? Phrase.of("next.ghost.held", under, seen(seen), name(path[1]))
                            : Phrase.of("next.ghost.both", on, under, seen(seen), name(path[1]));
            ghosts.add(new Ghost(
                    hold, chords.fingers(hold), id(seen), contacts.get(seen).input(), said));
        }

        private Phrase seen(int k) {
            return contacts.get(k)
                    .input()
                    .map(i -> Phrase.of("input.owned", i.words(), name(k)))
                    .orElse(name(k));
        }

        private Phrase name(int k) {
            return names.action(id(k));
        }
    }

    /** Covers the diodes with chords. */
    private static final class DiodeTests {
        private final Search matrix;
        private final List<Integer> latches = new ArrayList<>();

        DiodeTests(Search matrix) {
            this.matrix = matrix;
            for (int k = 0; k < matrix.contacts.size(); k++) {
                if (matrix.chords.canHold(matrix.id(k)) && matrix.chords.latching(matrix.id(k))) {
                    latches.add(k);
                }
            }
        }

        GhostProof prove(List<Ghost> ghosts, boolean cut) {
            List<DiodeTest> tests = new ArrayList<>();
            List<String> unproved = new ArrayList<>();
            Set<Integer> open = new TreeSet<>();
            for (int k = 0; k < matrix.contacts.size(); k++) {
                if (matrix.contacts.get(k).diode() != matrix.forward) {
                    continue;
                }
                if (corners(k, 1).isEmpty()) {
                    unproved.add(matrix.id(k));
                } else {
                    open.add(k);
                }
            }
            int fewest = fewest(open);
            boolean many = most(open) > 1;
            Set<Integer> all = new TreeSet<>(open);
            while (!open.isEmpty()) {
                int k = open.iterator().next();
                Set<Integer> best = Set.of();
                Set<Integer> bestProved = Set.of();
                for (Set<Integer> corner : corners(k, many ? MOST_CORNERS : 1)) {
                    Set<Integer> chord = widened(corner, open);
                    Set<Integer> proved = proved(chord, open);
                    if (proved.size() > bestProved.size()) {
                        best = chord;
                        bestProved = proved;
                    }
                }
                tests.add(test(best, bestProved));
                open.removeAll(bestProved);
            }
            if (tests.size() > fewest) {
                List<Set<Integer>> smaller = new Cover(this, all).fewerThan(tests.size(), fewest);
                if (!smaller.isEmpty()) {
                    tests.clear();
                    for (Set<Integer> chord : smaller) {
                        Set<Integer> proved = proved(chord, all);
                        tests.add(test(chord, proved));
                        all.removeAll(proved);
                    }
                }
            }
            tests.sort(Comparator.comparing(t -> t.hold().stream()
                    .filter(matrix.chords::latching)
                    .sorted()
                    .toList()
                    .toString()));
            return new GhostProof(ghosts, cut, tests, unproved, fewest);
        }

        /** Some chords of three contacts at whose corner that diode is. */
        private List<Set<Integer>> corners(int k, int most) {
            List<Set<Integer>> found = new ArrayList<>();
            int d = matrix.driven[k];
            int r = matrix.read[k];
            for (int otherRead = 0; otherRead < matrix.at[d].length; otherRead++) {
                for (int otherDriven = 0; otherDriven < matrix.at.length && found.size() < most; otherDriven++) {
                    int first = matrix.at[d][otherRead];
                    int last = matrix.at[otherDriven][r];
                    if (otherRead != r && otherDriven != d && first >= 0 && last >= 0) {
                        Set<Integer> chord = new TreeSet<>(List.of(first, k, last));
                        if (holdable(chord) && proved(chord, Set.of(k)).contains(k)) {
                            found.add(chord);
                        }
                    }
                }
            }
            return found;
        }

        private boolean holdable(Set<Integer> chord) {
            List<String> ids = chord.stream().map(matrix::id).toList();
            return matrix.chords.together(ids) && matrix.chords.fingers(ids) <= FINGERS;
        }

        /** Adds contacts as long as fingers and latches allow and each proves one more open diode. */
        private Set<Integer> widened(Set<Integer> corner, Set<Integer> open) {
            Set<Integer> chord = new TreeSet<>(corner);
            List<String> ids = chord.stream().map(matrix::id).toList();
            boolean room = !latches.isEmpty() || matrix.chords.fingers(ids) < FINGERS;
            int proves = proved(chord, open).size();
            while (room) {
                Set<Integer> best = null;
                for (int k = 0; k < matrix.contacts.size(); k++) {
                    if (chord.contains(k) || !fits(k, chord)) {
                        continue;
                    }
                    Set<Integer> wider = new TreeSet<>(chord);
                    wider.add(k);
                    if (holdable(wider) && proved(wider, open).size() > proves) {
                        proves = proved(wider, open).size();
                        best = wider;
                    }
                }
                room = best != null;
                if (best != null) {
                    chord = best;
                }
            }
            return chord;
        }

        /** False where one more finger would be needed than there are. */
        private boolean fits(int k, Set<Integer> chord) {
            return !matrix.chords.canHold(matrix.id(k))
                    || matrix.chords.latching(matrix.id(k))
                    || chord.size() < FINGERS
                    || chord.stream()
                            .anyMatch(c -> matrix.contacts
                                    .get(c)
                                    .control()
                                    .equals(matrix.contacts.get(k).control()))
                    || matrix.chords.fingers(chord.stream().map(matrix::id).toList()) < FINGERS;
        }

        /**
         * Of these diodes, those the chord proves: with such a one shorted, an input comes on that else stays off.
         */
        private Set<Integer> proved(Set<Integer> chord, Set<Integer> diodes) {
            Set<Integer> proved = new TreeSet<>();
            Set<Integer> healthy = on(chord, -1);
            for (int k : chord) {
                if (diodes.contains(k) && !on(chord, k).equals(healthy)) {
                    proved.add(k);
                }
            }
            return proved;
        }

        /** The contacts that look closed while these are, one diode shorted. */
        private Set<Integer> on(Set<Integer> chord, int shorted) {
            Set<Integer> on = new HashSet<>();
            // No current reaches a line that nothing of the chord is on.
            for (int r : chord.stream().mapToInt(k -> matrix.read[k]).distinct().toArray()) {
                boolean[] reads = new boolean[matrix.at[0].length];
                boolean[] drives = new boolean[matrix.at.length];
                reads[r] = true;
                for (boolean more = true; more; ) {
                    more = false;
                    for (int k : chord) {
                        int d = matrix.driven[k];
                        int c = matrix.read[k];
                        if (reads[c] && !drives[d] && (matrix.passes(k) || k == shorted)) {
                            drives[d] = true;
                            more = true;
                        }
                        if (drives[d] && !reads[c] && (matrix.leaks(k) || k == shorted)) {
                            reads[c] = true;
                            more = true;
                        }
                    }
                }
                for (int d = 0; d < drives.length; d++) {
                    if (drives[d] && matrix.at[d][r] >= 0) {
                        on.add(matrix.at[d][r]);
                    }
                }
            }
            return on;
        }

        /**
         * A bound below. Contacts held are the edges of a graph whose nodes are lines; only an edge with a neighbour at
         * either end can be proved, and a graph of m edges without a ring has at least two that are not. Up to five
         * edges a ring of four cannot do better, since the crossing that would show the leak is then held itself. So
         * without latches a chord of three proves one diode, and one test per diode is the least.
         */
        private int fewest(Set<Integer> diodes) {
            int most = most(diodes);
            return (diodes.size() + most - 1) / most;
        }

        /** No chord proves more of these diodes at once. */
        private int most(Set<Integer> diodes) {
            int contacts = FINGERS
                    + (int) latches.stream()
                            .map(k -> matrix.contacts.get(k).control())
                            .distinct()
                            .count();
            boolean hats = diodes.stream()
                    .anyMatch(k -> matrix.contacts.get(k).id().contains(".") && !matrix.chords.latching(matrix.id(k)));
            contacts += hats ? FINGERS : 0;
            return contacts <= 5 ? contacts - 2 : contacts;
        }

        private DiodeTest test(Set<Integer> chord, Set<Integer> proved) {
            Set<Integer> healthy = on(chord, -1);
            Set<Input> off = new TreeSet<>();
            for (int k : proved) {
                Set<Integer> leak = on(chord, k);
                leak.removeAll(healthy);
                leak.forEach(l -> matrix.contacts.get(l).input().ifPresent(off::add));
            }
            List<String> latched = chord.stream()
                    .map(matrix::id)
                    .filter(matrix.chords::latching)
                    .toList();
            List<String> held = chord.stream()
                    .map(matrix::id)
                    .filter(a -> !matrix.chords.latching(a))
                    .toList();
            List<String> hold = new ArrayList<>(latched);
            hold.addAll(held);
            Phrase quiet = Names.inputs(off);
            Phrase at = Phrase.and(proved.stream().map(matrix::name).toList());
            Phrase fingers = matrix.names.actions(held);
            Phrase said = latched.isEmpty()
                    ? Phrase.of("next.diode.held", fingers, quiet, proved.size(), at)
                    : Phrase.of("next.diode.both", matrix.names.actions(latched), fingers, quiet, proved.size(), at);
            return new DiodeTest(hold, proved.stream().map(matrix::id).toList(), List.copyOf(off), said);
        }
    }

    /** Tries all chords of three fingers, where they are few, for a smaller set that proves the same diodes. */
    private static final class Cover {
        private static final int MOST_CHORDS = 20_000;
        private static final int MOST_TRIED = 200_000;

        private record Proof(Set<Integer> chord, Set<Integer> proves) {}

        private final DiodeTests tests;
        private final Set<Integer> diodes;
        private final List<Proof> proofs = new ArrayList<>();
        private int looked;
        private int tried;

        Cover(DiodeTests tests, Set<Integer> diodes) {
            this.tests = tests;
            this.diodes = diodes;
            extend(new TreeSet<>(), 0);
            proofs.sort(Comparator.comparingInt((Proof p) -> -p.proves.size()).thenComparingInt(p -> p.chord.size()));
            for (int i = proofs.size() - 1; i >= 0; i--) {
                Proof proof = proofs.get(i);
                if (proofs.subList(0, i).stream().anyMatch(p -> p.proves.containsAll(proof.proves))) {
                    proofs.remove(i);
                }
            }
        }

        private void extend(Set<Integer> chord, int from) {
            for (int k = from; k < tests.matrix.contacts.size() && looked <= MOST_CHORDS; k++) {
                Set<Integer> wider = new TreeSet<>(chord);
                wider.add(k);
                if (tests.holdable(wider)) {
                    looked++;
                    Set<Integer> proves = tests.proved(wider, diodes);
                    if (!proves.isEmpty() && proofs.stream().noneMatch(p -> p.proves.equals(proves))) {
                        proofs.add(new Proof(wider, proves));
                    }
                    extend(wider, k + 1);
                }
            }
        }

        /** The smallest set of fewer than so many chords; empty where there is none, or too much would have to be tried. */
        List<Set<Integer>> fewerThan(int limit, int fewest) {
            for (int size = fewest; size < limit && looked <= MOST_CHORDS; size++) {
                List<Set<Integer>> chosen = new ArrayList<>();
                if (cover(diodes, size, chosen)) {
                    return chosen;
                }
            }
            return List.of();
        }

        private boolean cover(Set<Integer> open, int size, List<Set<Integer>> chosen) {
            if (open.isEmpty()) {
                return true;
            }
            if (proofs.isEmpty() || open.size() > size * proofs.get(0).proves.size() || ++tried > MOST_TRIED) {
                return false;
            }
            int hardest = open.stream()
                    .min(Comparator.comparingLong(k ->
                            proofs.stream().filter(p -> p.proves.contains(k)).count()))
                    .orElseThrow();
            for (Proof proof : proofs) {
                if (proof.proves.contains(hardest)) {
                    Set<Integer> left = new TreeSet<>(open);
                    left.removeAll(proof.proves);
                    chosen.add(proof.chord);
                    if (cover(left, size - 1, chosen)) {
                        return true;
                    }
                    chosen.remove(chosen.size() - 1);
                }
            }
            return false;
        }
    }
}
