package ringout.plan;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringout.hid.Input;

/** The parts of a plan as YAML trees, the opposite of {@link PlanReader}. */
final class PlanYaml {
    private PlanYaml() {}

    /**
     * A length as plans write it, to the hundredth of a millimetre.
     *
     * @param mm millimetres, 0 to 10,000
     */
    static String length(double mm) {
        return BigDecimal.valueOf(mm)
                        .setScale(2, RoundingMode.HALF_UP)
                        .stripTrailingZeros()
                        .toPlainString() + " mm";
    }

    /** {@code [30 mm, 25 mm]}. */
    static List<Object> place(Mount.Place place) {
        return List.of(length(place.x()), length(place.y()));
    }

    /** The outline of the board and what is known of it. */
    static Map<String, Object> board(Inside.Board board) {
        Map<String, Object> map = new LinkedHashMap<>();
        shape(map, board.outline());
        board.tall().ifPresent(mm -> map.put("tall", length(mm)));
        if (board.on() == Inside.On.PANEL) {
            map.put("from", board.on().word());
        }
        board.connector().ifPresent(side -> map.put("connector", side.word()));
        return map;
    }

    /** An entry of the keep-outs. */
    static Map<String, Object> keepOut(Inside.KeepOut keepOut) {
        Map<String, Object> map = new LinkedHashMap<>();
        map.put("name", keepOut.name());
        shape(map, keepOut.shape());
        keepOut.tall().ifPresent(mm -> map.put("tall", length(mm)));
        if (keepOut.on() == Inside.On.PANEL) {
            map.put("from", keepOut.on().word());
        }
        return map;
    }

    private static void shape(Map<String, Object> map, Inside.Shape shape) {
        if (shape instanceof Inside.Shape.Disc disc) {
            map.put("place", place(disc.centre()));
            map.put("round", length(disc.diameter()));
        } else if (shape instanceof Inside.Shape.Block block) {
            map.put("place", place(block.centre()));
            map.put("width", length(block.width()));
            map.put("height", length(block.height()));
        } else if (shape instanceof Inside.Shape.Rim rim) {
            map.put("rim", length(rim.width()));
        }
    }

    /** The value of {@code at}; empty where the wiring is unknown. */
    static Optional<Object> wiring(Wiring wiring) {
        if (wiring instanceof Wiring.Crossing x) {
            return Optional.of(List.of(x.row(), x.column()));
        }
        if (wiring instanceof Wiring.Direct d) {
            return Optional.of(d.line());
        }
        if (wiring instanceof Wiring.Shift s) {
            return Optional.of(List.of(s.line(), String.valueOf(s.register()), String.valueOf(s.bit())));
        }
        return Optional.empty();
    }

    /** The names of the lines a contact is on. */
    static List<String> lines(Wiring wiring) {
        if (wiring instanceof Wiring.Crossing x) {
            return List.of(x.row(), x.column());
        }
        if (wiring instanceof Wiring.Direct d) {
            return List.of(d.line());
        }
        return wiring instanceof Wiring.Shift s ? List.of(s.line()) : List.of();
    }

    /**
     * A control.
     *
     * @param usual the diode that matrix contacts of the plan have unless they say otherwise
     */
    static Map<String, Object> control(Control control, Contact.Diode usual) {
        Map<String, Object> map = new LinkedHashMap<>();
        map.put("id", control.id());
        map.put("label", control.label());
        map.put("kind", control.kind());
        control.fold(new Wired(map, usual));
        Mount mount = control.mount();
        mount.place().ifPresent(p -> map.put("place", place(p)));
        mount.hole().ifPresent(mm -> map.put("hole", length(mm)));
        mount.nut().ifPresent(mm -> map.put("nut", length(mm)));
        mount.body().ifPresent(mm -> map.put("body", length(mm)));
        mount.depth().ifPresent(mm -> map.put("depth", length(mm)));
        return map;
    }

    /** Writes what is wired to a control, and its inputs. */
    private record Wired(Map<String, Object> map, Contact.Diode usual) implements Control.Fold<Void> {
        @Override
        public Void push(Control.Push push) {
            contact(map, push.contact(), usual, true);
            return null;
        }

        @Override
        public Void toggle(Control.Toggle toggle) {
            if (toggle.contacts().size() == 1) {
                contact(map, toggle.contacts().get(0), usual, true);
            } else {
                map.put("up", contact(new LinkedHashMap<>(), toggle.contacts().get(0), usual, true));
                map.put("down", contact(new LinkedHashMap<>(), toggle.contacts().get(1), usual, true));
            }
            return null;
        }

        @Override
        public Void selector(Control.Selector selector) {
            List<Object> positions = new ArrayList<>();
            selector.contacts().forEach(c -> positions.add(contact(new LinkedHashMap<>(), c, usual, true)));
            map.put("positions", positions);
            return null;
        }

        @Override
        public Void encoder(Control.Encoder encoder) {
            if (!(encoder.a().wiring() instanceof Wiring.Unknown)
                    || !(encoder.b().wiring() instanceof Wiring.Unknown)) {
                map.put("a", part(encoder.a(), usual));
                map.put("b", part(encoder.b(), usual));
            }
            map.put("cw", encoder.cw().text());
            map.put("ccw", encoder.ccw().text());
            map.put("detents", String.valueOf(encoder.detents()));
            return null;
        }

        @Override
        public Void hat(Control.Hat hat) {
            PlanYaml.hat(map, hat, usual);
            return null;
        }

        @Override
        public Void axis(Control.Axis axis) {
            map.put("input", axis.input().text());
            axis.pin().ifPresent(pin -> map.put("pin", pin));
            axis.high().ifPresent(high -> map.put("high", high));
            axis.range().ifPresent(range -> map.put("range", range + " %"));
            return null;
        }
    }

    private static void hat(Map<String, Object> map, Control.Hat hat, Contact.Diode usual) {
        Optional<Integer> one = hat.ways().entrySet().stream()
                .map(e -> e.getValue()
                        .input()
                        .flatMap(i -> i instanceof Input.Hat h && h.direction() == e.getKey() && h.collection() == 1
                                ? Optional.of(h.number())
                                : Optional.empty()))
                .reduce((a, b) -> a.equals(b) ? a : Optional.empty())
                .orElseThrow();
        one.ifPresent(number -> map.put("input", "hat " + number));
        hat.ways()
                .forEach((way, contact) -> map.put(
                        way.word(),
                        one.isPresent() ? part(contact, usual) : contact(new LinkedHashMap<>(), contact, usual, true)));
        hat.push().ifPresent(c -> map.put("push", contact(new LinkedHashMap<>(), c, usual, true)));
    }

    /** Just the wiring where that says all. */
    private static Object part(Contact contact, Contact.Diode usual) {
        Map<String, Object> map = contact(new LinkedHashMap<>(), contact, usual, false);
        return map.size() == 1 && map.containsKey("at") ? map.get("at") : map;
    }

    private static Map<String, Object> contact(
            Map<String, Object> map, Contact contact, Contact.Diode usual, boolean input) {
        wiring(contact.wiring()).ifPresent(at -> map.put("at", at));
        if (input) {
            contact.input().ifPresent(i -> map.put("input", i.text()));
        }
        if (contact.wiring() instanceof Wiring.Crossing && contact.diode() != usual) {
            map.put("diode", diode(contact.diode()));
        }
        return map;
    }

    /** The word for a diode. */
    static String diode(Contact.Diode diode) {
        return switch (diode) {
            case NONE -> "none";
            case CATHODE_ROW -> "row";
            case CATHODE_COLUMN -> "column";
        };
    }
}
