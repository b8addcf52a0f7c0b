package ringout.signal;

import java.util.ArrayList;
import java.util.List;

/** Places on an axis' track where something odd was seen, and in how many passes. Constant memory. */
final class AxisSpots {
    /** More places than this are no spots but a bad track. */
    private static final int MOST = 64;

    private static final class Place {
        final AxisSpot.Kind kind;
        final long from;
        final long to;
        int seen = 1;
        int pass;

        Place(AxisSpot.Kind kind, long from, long to, int pass) {
            this.kind = kind;
            this.from = from;
            this.to = to;
            this.pass = pass;
        }
    }

    private final List<Place> places = new ArrayList<>();
    private final long near;

    /** @param near places no further apart than this are the same */
    AxisSpots(long near) {
        this.near = near;
    }

    void add(AxisSpot.Kind kind, long from, long to, int pass) {
        for (Place place : places) {
            if (place.kind == kind && near(place, from, to)) {
                if (place.pass != pass) {
                    place.seen++;
                    place.pass = pass;
                }
                return;
            }
        }
        if (places.size() < MOST) {
            places.add(new Place(kind, from, to, pass));
        }
    }

    /** The places seen often enough to be the track's doing, not the hand's. */
    List<AxisSpot> agreed(int passes) {
        List<Place> often = places.stream()
                .filter(p -> p.seen >= (p.kind == AxisSpot.Kind.JUMP ? 2 : 3) && 2 * p.seen > passes)
                .toList();
        return often.stream()
                .filter(p -> p.kind != AxisSpot.Kind.FLAT || often.stream().noneMatch(j -> besideJump(p, j)))
                .map(p -> new AxisSpot(p.kind, p.from, p.to, p.seen))
                .toList();
    }

    /** A reading that stands still and then jumps has one bad place, not two. */
    private boolean besideJump(Place flat, Place other) {
        return other.kind == AxisSpot.Kind.JUMP && near(flat, other.from, other.to);
    }

    private boolean near(Place place, long from, long to) {
        return from <= place.to + near && to >= place.from - near;
    }
}
