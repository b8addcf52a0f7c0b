package ringout.ui.model;

import java.util.List;
import java.util.stream.Collectors;
import ringout.circuit.Fault;
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
        return faults.stream().map(fault -> of(plan, fault)).distinct().collect(Collectors.joining(" "));
    }

    private static String of(Plan plan, Fault fault) {
        if (fault instanceof Fault.LineOpen open) {
            return Texts.say(
                    "remedy.line-open",
                    open.line(),
                    plan.line(open.line()).map(Line::pin).orElse("?"));
        } else if (fault instanceof Fault.LineBroken broken) {
            return Texts.say("remedy.line-broken", broken.line());
        } else if (fault instanceof Fault.ChainBroken chain) {
            return Texts.say("remedy.chain-broken", chain.line(), chain.register());
        } else if (fault instanceof Fault.ContactOpen open) {
            return Texts.say("remedy.contact-open", name(plan, open.contact()));
        } else if (fault instanceof Fault.ContactClosed closed) {
            return Texts.say("remedy.contact-closed", name(plan, closed.contact()));
        } else if (fault instanceof Fault.LinesShorted shorted) {
            return Texts.say("remedy.shorted", shorted.first(), shorted.second());
        } else if (fault instanceof Fault.LinesExchanged exchanged) {
            return Texts.say("remedy.lines-exchanged", exchanged.first(), exchanged.second());
        } else if (fault instanceof Fault.ContactsExchanged exchanged) {
            return Texts.say(
                    "remedy.contacts-exchanged", name(plan, exchanged.first()), name(plan, exchanged.second()));
        } else if (fault instanceof Fault.DiodeOpen open) {
            return Texts.say("remedy.diode-open", name(plan, open.contact()));
        } else if (fault instanceof Fault.DiodeShort bridged) {
            return Texts.say("remedy.diode-short", name(plan, bridged.contact()));
        } else if (fault instanceof Fault.DiodeReversed reversed) {
            return Texts.say("remedy.diode-reversed", name(plan, reversed.contact()));
        } else if (fault instanceof Fault.PhasesExchanged phases) {
            return Texts.say(
                    "remedy.phases",
                    plan.control(phases.control()).map(c -> c.label()).orElse(phases.control()));
        } else if (fault instanceof Fault.NormallyClosed inverted) {
            return Texts.say("remedy.normally-closed", name(plan, inverted.contact()));
        } else if (fault instanceof Fault.WrongPin wrong) {
            return Texts.say("remedy.wrong-pin", wrong.line());
        } else if (fault instanceof Fault.Intermittent intermittent) {
            return of(plan, intermittent.fault()) + " " + Texts.say("remedy.intermittent");
        }
        throw new IllegalArgumentException("no remedy for " + fault.text());
    }

    private static String name(Plan plan, String contact) {
        return LoomModel.contactName(plan, contact);
    }
}
