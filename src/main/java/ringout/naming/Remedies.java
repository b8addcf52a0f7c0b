package ringout.naming;

import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import ringout.circuit.Fault;
import ringout.plan.Control;
import ringout.plan.Line;
import ringout.plan.Plan;
import ringout.words.Texts;

/**
 * What to do about a fault, in a sentence or two: what docs/fault-guide.md tells at length. Common practice, no source.
 */
public final class Remedies {
    private Remedies() {}

    /** What to do about a set of faults. */
    public static String of(Plan plan, List<Fault> faults) {
        boolean alone = faults.stream().map(Fault::kind).distinct().count() == 1;
        return faults.stream()
                .map(fault -> fault instanceof Fault.Misordered && !alone
                        // Of the rest something may well need soldering.
                        ? Texts.say("remedy.misordered.besides")
                        : of(plan, fault))
                .distinct()
                .collect(Collectors.joining(" "));
    }

    private static String of(Plan plan, Fault fault) {
        return fault.fold(new Texted(plan));
    }

    private record Texted(Plan plan) implements Fault.Fold<String> {
        @Override
        public String lineOpen(Fault.LineOpen f) {
            return Texts.say(
                    "remedy.line-open",
                    f.line(),
                    plan.line(f.line()).map(Line::pin).orElse("?"));
        }

        @Override
        public String lineBroken(Fault.LineBroken f) {
            return Texts.say("remedy.line-broken", f.line());
        }

        @Override
        public String chainBroken(Fault.ChainBroken f) {
            return Texts.say("remedy.chain-broken", f.line(), f.register());
        }

        @Override
        public String contactOpen(Fault.ContactOpen f) {
            return Texts.say("remedy.contact-open", name(plan, f.contact()));
        }

        @Override
        public String contactClosed(Fault.ContactClosed f) {
            return Texts.say("remedy.contact-closed", name(plan, f.contact()));
        }

        @Override
        public String linesShorted(Fault.LinesShorted f) {
            return Texts.say("remedy.shorted", f.first(), f.second());
        }

        @Override
        public String linesExchanged(Fault.LinesExchanged f) {
            return Texts.say("remedy.lines-exchanged", f.first(), f.second());
        }

        @Override
        public String contactsExchanged(Fault.ContactsExchanged f) {
            return Texts.say("remedy.contacts-exchanged", name(plan, f.first()), name(plan, f.second()));
        }

        @Override
        public String diodeOpen(Fault.DiodeOpen f) {
            return Texts.say("remedy.diode-open", name(plan, f.contact()));
        }

        @Override
        public String diodeShort(Fault.DiodeShort f) {
            return Texts.say("remedy.diode-short", name(plan, f.contact()));
        }

        @Override
        public String diodeReversed(Fault.DiodeReversed f) {
            return Texts.say("remedy.diode-reversed", name(plan, f.contact()));
        }

        @Override
        public String phasesExchanged(Fault.PhasesExchanged f) {
            return Texts.say(
                    "remedy.phases",
                    plan.control(f.control()).map(c -> c.label()).orElse(f.control()));
        }

        @Override
        public String normallyClosed(Fault.NormallyClosed f) {
            return Texts.say("remedy.normally-closed", name(plan, f.contact()));
        }

        @Override
        public String wrongPin(Fault.WrongPin f) {
            return Texts.say("remedy.wrong-pin", f.line());
        }

        @Override
        public String intermittent(Fault.Intermittent f) {
            return f.fault().fold(this) + " " + Texts.say("remedy.intermittent");
        }

        @Override
        public String misordered(Fault.Misordered f) {
            return Texts.say("remedy.misordered");
        }

        @Override
        public String scannedOtherWay(Fault.ScannedOtherWay f) {
            return Texts.say("remedy.scanned-other-way");
        }

        @Override
        public String scanHurried(Fault.ScanHurried f) {
            return Texts.say("remedy.scan-hurried");
        }

        @Override
        public String silent(Fault.Silent f) {
            return Texts.say("remedy.silent");
        }

        @Override
        public String contactWeak(Fault.ContactWeak f) {
            return Texts.say("remedy.contact-weak", name(plan, f.contact()));
        }

        @Override
        public String lineWeak(Fault.LineWeak f) {
            return Texts.say(
                    "remedy.line-weak",
                    f.line(),
                    plan.line(f.line()).map(Line::pin).orElse("?"));
        }

        @Override
        public String linesLeak(Fault.LinesLeak f) {
            return Texts.say("remedy.leak", f.first(), f.second());
        }

        @Override
        public String contactLeak(Fault.ContactLeak f) {
            return Texts.say("remedy.contact-leak", name(plan, f.contact()));
        }

        private String pin(String axis) {
            return plan.control(axis)
                    .flatMap(c -> c instanceof Control.Axis a ? a.pin() : Optional.empty())
                    .orElse("?");
        }

        @Override
        public String axisOpen(Fault.AxisOpen f) {
            return switch (f.wire()) {
                case WIPER -> Texts.say("remedy.axis-open.wiper", label(plan, f.axis()), pin(f.axis()));
                case GROUND -> Texts.say("remedy.axis-open.ground", label(plan, f.axis()));
                case SUPPLY -> Texts.say("remedy.axis-open.supply", label(plan, f.axis()));
            };
        }

        @Override
        public String axisExchanged(Fault.AxisExchanged f) {
            return f.pair() == Fault.AxisExchanged.Pair.ENDS
                    ? Texts.say("remedy.axis-exchange.ends", label(plan, f.axis()))
                    : Texts.say("remedy.axis-exchange.wiper", label(plan, f.axis()));
        }

        @Override
        public String axisWorn(Fault.AxisWorn f) {
            return Texts.say("remedy.axis-worn", label(plan, f.axis()));
        }

        @Override
        public String axesExchanged(Fault.AxesExchanged f) {
            return Texts.say("remedy.axes-exchanged", label(plan, f.first()), label(plan, f.second()));
        }

        @Override
        public String pullLost(Fault.PullLost f) {
            return Texts.say("remedy.pull-lost", f.line());
        }
    }

    private static String label(Plan plan, String control) {
        return plan.control(control).map(c -> c.label()).orElse(control);
    }

    private static String name(Plan plan, String contact) {
        return Names.contact(plan, contact);
    }
}
