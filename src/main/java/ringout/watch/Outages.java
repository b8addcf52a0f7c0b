package ringout.watch;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringout.words.Phrase;

/**
 * Why boxes go away, told from which go together, which stay, and what comes back: what all that went have in common and
 * nothing that stayed has. A loose hub takes its boxes along, a loose cable only one.
 *
 * <p>A pure state machine: it is told who is there and who is not, and never asks the clock. Not thread-safe.
 */
public final class Outages {
    /**
     * Boxes that go within so long of each other went together, in nanoseconds. A system tells of the boxes on a hub one by
     * one, and those that nobody reads are looked for once a second.
     */
    static final long TOGETHER = 1_500_000_000L;
    /** No hand pulls a plug out and puts it back as fast as this, in nanoseconds: common practice, no source. */
    static final long HAND = 1_000_000_000L;
    /** Another box in the socket of one that went so long ago has nothing to do with it any more. */
    static final long RESTART = 30_000_000_000L;

    private static final long NEVER = Long.MAX_VALUE;

    /** What is at fault, as far as that can be told. */
    public enum Cause {
        /** The computer's side: sleep, its supply, the USB controller. */
        COMPUTER,
        /** A hub, its cable or its supply. */
        HUB,
        /** Something that all that went share; which is not known here. */
        SHARED,
        /** The box' own cable, plug or board. */
        BOX,
        /** Nothing tells. */
        UNKNOWN,
        /** The board began anew as something else. */
        RESTART
    }

    /**
     * What can be said of boxes that went.
     *
     * @param ids of them, as given
     */
    public record Outage(List<String> ids, Cause cause, Phrase said) {
        public Outage {
            ids = List.copyOf(ids);
        }
    }

    /**
     * A box.
     *
     * @param id       what tells it from others that are connected now
     * @param name     for people
     * @param identity what it says it is, the same after a replug
     * @param steps    from the host controller to its socket; empty where not known
     */
    public record Box(String id, String name, String identity, List<String> steps) {
        public Box {
            steps = List.copyOf(steps);
        }

        private List<String> hub() {
            return steps.isEmpty() ? List.of() : steps.subList(0, steps.size() - 1);
        }
    }

    /** A box from when it came to when it went. */
    private static final class Stay {
        final Box box;
        final long since;
        long gone = NEVER;
        long back = NEVER;
        boolean judged;

        Stay(Box box, long since) {
            this.box = box;
            this.since = since;
        }
    }

    private final List<Stay> stays = new ArrayList<>();
    private final List<Outage> told = new ArrayList<>();

    private Optional<Stay> there(String id) {
        return stays.stream()
                .filter(stay -> stay.gone == NEVER && stay.box.id().equals(id))
                .findFirst();
    }

    /** A box is there, new or again. Saying so twice is harmless. */
    public void present(long nanos, Box box) {
        if (there(box.id()).isPresent()) {
            return;
        }
        stays.stream()
                .filter(stay -> stay.gone != NEVER && stay.back == NEVER && nanos - stay.gone <= RESTART)
                .filter(stay -> sameSocket(stay.box, box)
                        || stay.box.identity().equals(box.identity())
                                && (stay.box.steps().isEmpty() || stay.box.id().equals(box.id())))
                .findFirst()
                .ifPresent(stay -> back(stay, nanos, box));
        stays.add(new Stay(box, nanos));
    }

    private void back(Stay stay, long nanos, Box box) {
        stay.back = nanos;
        if (!stay.box.identity().equals(box.identity())) {
            told.add(new Outage(
                    List.of(stay.box.id(), box.id()),
                    Cause.RESTART,
                    Phrase.of("outage.restart", stay.box.name(), box.name())));
        }
    }

    private static boolean sameSocket(Box one, Box other) {
        return !one.steps().isEmpty() && one.steps().equals(other.steps());
    }

    /** A box is not there any more. Saying so twice is harmless. */
    public void gone(long nanos, String id) {
        there(id).ifPresent(stay -> stay.gone = nanos);
    }

    /** When {@link #tick} has something to tell; {@link Long#MAX_VALUE} for not yet. */
    public long deadline() {
        return stays.stream()
                .filter(stay -> stay.gone != NEVER && !stay.judged)
                .mapToLong(stay -> stay.gone + 2 * TOGETHER)
                .min()
                .orElse(NEVER);
    }

    /** Time passed: what can be told by now. */
    public List<Outage> tick(long nanos) {
        for (long due = deadline(); due <= nanos; due = deadline()) {
            judge(due - 2 * TOGETHER);
        }
        stays.removeIf(stay -> stay.judged && nanos - stay.gone > RESTART);
        List<Outage> now = List.copyOf(told);
        told.clear();
        return now;
    }

    /** Judges the boxes that went first, and all that went with them. */
    private void judge(long first) {
        List<Stay> went = stays.stream()
                .filter(stay -> stay.gone != NEVER && !stay.judged && stay.gone - first <= TOGETHER)
                .toList();
        List<Box> stayed = stays.stream()
                .filter(stay -> stay.since <= first && !went.contains(stay) && stay.gone > first)
                .map(stay -> stay.box)
                .toList();
        told.add(went.size() == 1 ? alone(went.get(0), stayed) : together(went, stayed));
        went.forEach(stay -> stay.judged = true);
    }

    private static Outage alone(Stay one, List<Box> stayed) {
        Box box = one.box;
        List<Box> beside = box.hub().size() > 1
                ? stayed.stream().filter(other -> other.hub().equals(box.hub())).toList()
                : List.of();
        Phrase said;
        Cause cause = Cause.BOX;
        if (!beside.isEmpty()) {
            said = Phrase.of("outage.box", box.name(), names(beside));
        } else if (box.hub().size() > 1 && !stayed.isEmpty()) {
            said = Phrase.of("outage.box-or-hub", box.name(), socket(box.hub()));
        } else if (!stayed.isEmpty()) {
            said = Phrase.of("outage.box-alone", box.name());
        } else {
            cause = Cause.UNKNOWN;
            said = Phrase.of("outage.unknown", box.name());
        }
        if (one.back != NEVER && one.back - one.gone < HAND) {
            said = Phrase.sentences(List.of(
                    said, Phrase.of("outage.quick", Phrase.decimal((one.back - one.gone) / 1e9, 1))));
        }
        return new Outage(List.of(box.id()), cause, said);
    }

    private static Outage together(List<Stay> went, List<Box> stayed) {
        List<Box> boxes = went.stream().map(one -> one.box).toList();
        List<String> ids = boxes.stream().map(Box::id).toList();
        String names = names(boxes);
        if (boxes.stream().anyMatch(box -> box.steps().isEmpty())) {
            return new Outage(ids, Cause.SHARED, Phrase.of("outage.shared", names));
        }
        List<String> common = common(boxes);
        List<Box> on = stayed.stream()
                .filter(box -> box.steps().size() > common.size()
                        && box.steps().subList(0, common.size()).equals(common))
                .toList();
        if (common.size() < 2) {
            return new Outage(ids, Cause.COMPUTER, Phrase.of("outage.computer", names));
        }
        return new Outage(
                ids,
                Cause.HUB,
                on.isEmpty()
                        ? Phrase.of("outage.hub", names, socket(common))
                        : Phrase.of("outage.hub.partly", names, socket(common), names(on)));
    }

    private static List<String> common(List<Box> boxes) {
        List<String> common = boxes.get(0).hub();
        for (Box box : boxes) {
            int same = 0;
            while (same < Math.min(common.size(), box.hub().size())
                    && common.get(same).equals(box.hub().get(same))) {
                same++;
            }
            common = common.subList(0, same);
        }
        return common;
    }

    private static String names(List<Box> boxes) {
        return String.join(", ", boxes.stream().map(Box::name).toList());
    }

    /**
     * A place on the bus in words.
     *
     * @param steps the host controller, then the socket of each hub on the way; at least the controller
     */
    public static Phrase socket(List<String> steps) {
        int last = steps.size() - 1;
        return switch (last) {
            case 0 -> Phrase.of("socket.controller", steps.get(0));
            case 1 -> Phrase.of("socket.computer", steps.get(1), steps.get(0));
            default -> Phrase.of("socket.hub", steps.get(last), socket(steps.subList(0, last)));
        };
    }
}
