package ringout.ui.model;

import java.util.List;
import java.util.Set;
import ringout.hid.Input;
import ringout.words.Texts;

/** Which strips a tape shows. */
public enum TapeFilter {
    EVERYTHING,
    /** Those on which anything happened. */
    CHANGED,
    /** Those that a finding is about. */
    FOUND,
    /** Those of one control. */
    CONTROL;

    /** An axis that trembled by no more than this was not moved, as a share of its range. Common practice, no source. */
    private static final double TREMBLE = 0.02;

    /** As it is called in a list. */
    public String words() {
        return switch (this) {
            case EVERYTHING -> Texts.say("tape.filter.everything");
            case CHANGED -> Texts.say("tape.filter.changed");
            case FOUND -> Texts.say("tape.filter.found");
            case CONTROL -> Texts.say("tape.filter.control");
        };
    }

    /** What stands on the paper where no strip is left. */
    public String nothing() {
        return this == FOUND ? Texts.say("tape.filter.found.none") : Texts.say("tape.filter.none");
    }

    /**
     * The strips that are left, in their order.
     *
     * @param found  inputs that findings are about
     * @param chosen the strip that is chosen, whose control is meant
     */
    public List<TapeRow> of(List<TapeRow> rows, TapeStore store, Set<Input> found, TapeRow chosen) {
        return rows.stream()
                .filter(row -> switch (this) {
                    case EVERYTHING -> true;
                    case CHANGED -> changed(store, row.input());
                    case FOUND -> found.contains(row.input());
                    case CONTROL ->
                        row.equals(chosen) || row.planned() && row.control().equals(chosen.control());
                })
                .toList();
    }

    private static boolean changed(TapeStore store, Input input) {
        Strip strip = store.strip(input);
        Wave wave = store.wave(input);
        return strip != null && strip.size() > 0 || wave != null && wave.travel() > TREMBLE;
    }
}
