package ringout.journal;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.TreeSet;
import ringout.check.Finding;
import ringout.check.FindingKind;
import ringout.check.KeptCheck;
import ringout.hid.Input;
import ringout.signal.Bounce;
import ringout.signal.ContactTiming;
import ringout.signal.EdgeTiming;
import ringout.signal.Measured;
import ringout.signal.Resolution;
import ringout.signal.TimingLimits;
import ringout.words.Phrase;
import ringout.words.RefusedException;
import ringout.words.Texts;

/** Kept checks to and from JSON; all times in nanoseconds. */
final class KeptCheckText {
    private KeptCheckText() {}

    static ObjectNode write(KeptCheck check, ObjectMapper mapper) {
        ObjectNode node = mapper.createObjectNode().put("when", check.when().toString());
        node.putObject("limits")
                .put("resolution", check.limits().resolution().nanos())
                .put("measured", check.limits().resolution().measured())
                .put("debounce", check.limits().debounceNanos());
        new TreeSet<>(check.answered()).forEach(node.putArray("answered")::add);
        ArrayNode findings = node.putArray("findings");
        for (Finding finding : check.findings()) {
            ObjectNode one = findings.addObject().put("kind", finding.kind().word());
            finding.controls().forEach(one.putArray("controls")::add);
            finding.actions().forEach(one.putArray("actions")::add);
            inputs(one.putArray("expected"), finding.expected());
            inputs(one.putArray("actual"), finding.actual());
            one.put("evidence", finding.evidence());
            finding.figure()
                    .ifPresent(figure -> one.putObject("figure")
                            .put("value", figure.value())
                            .put("unit", figure.unit().symbol())
                            .put("resolution", figure.resolution())
                            .put("measured", figure.known()));
        }
        ObjectNode contacts = node.putObject("contacts");
        check.contacts().forEach((action, timing) -> {
            ObjectNode contact = contacts.putObject(action);
            edge(contact.putObject("press"), timing.press());
            edge(contact.putObject("release"), timing.release());
            contact.put("dropouts", timing.dropouts()).put("longestDropout", timing.longestDropout());
        });
        return node;
    }

    private static void inputs(ArrayNode array, List<Input> inputs) {
        inputs.forEach(input -> array.add(input.text()));
    }

    private static void edge(ObjectNode node, EdgeTiming.Summary edge) {
        node.put("edges", edge.edges())
                .put("bounced", edge.bounced())
                .put("transitions", edge.transitions())
                .put("worstTransitions", edge.worst().transitions())
                .put("worst", edge.worst().spanNanos())
                .put("settle", edge.settle())
                .put("spread", edge.spread());
    }

    static KeptCheck read(JsonNode node) throws JournalException {
        try {
            List<Finding> findings = new ArrayList<>();
            for (JsonNode one : node.path("findings")) {
                findings.add(new Finding(
                        kind(one.path("kind").asText()),
                        texts(one.path("controls")),
                        texts(one.path("actions")),
                        inputs(one.path("expected")),
                        inputs(one.path("actual")),
                        Phrase.verbatim(one.path("evidence").asText()),
                        figure(one.path("figure"))));
            }
            SortedMap<String, ContactTiming.Summary> contacts = new TreeMap<>();
            for (Map.Entry<String, JsonNode> one : node.path("contacts").properties()) {
                contacts.put(
                        one.getKey(),
                        new ContactTiming.Summary(
                                edge(one.getValue().path("press")),
                                edge(one.getValue().path("release")),
                                one.getValue().path("dropouts").asInt(),
                                one.getValue().path("longestDropout").asLong()));
            }
            JsonNode limits = node.path("limits");
            return new KeptCheck(
                    Instant.parse(node.path("when").asText()),
                    new HashSet<>(texts(node.path("answered"))),
                    findings,
                    contacts,
                    new TimingLimits(
                            new Resolution(
                                    limits.path("resolution").asLong(),
                                    limits.path("measured").asBoolean()),
                            limits.path("debounce").asLong()));
        } catch (DateTimeException | IllegalArgumentException damaged) {
            throw new JournalException(Texts.say("kept.damaged", String.valueOf(damaged.getMessage())), damaged);
        }
    }

    private static EdgeTiming.Summary edge(JsonNode node) {
        return new EdgeTiming.Summary(
                node.path("edges").asLong(),
                node.path("bounced").asInt(),
                node.path("transitions").asLong(),
                new Bounce(
                        node.path("worstTransitions").asInt(),
                        node.path("worst").asLong()),
                node.path("settle").asDouble(),
                node.path("spread").asDouble());
    }

    private static Optional<Measured> figure(JsonNode node) {
        if (!node.isObject()) {
            return Optional.empty();
        }
        String symbol = node.path("unit").asText();
        for (Measured.Unit unit : Measured.Unit.values()) {
            if (unit.symbol().equals(symbol)) {
                return Optional.of(new Measured(
                        node.path("value").asDouble(),
                        unit,
                        node.path("resolution").asDouble(),
                        node.path("measured").asBoolean()));
            }
        }
        throw new RefusedException(Phrase.of("kept.no-unit", symbol));
    }

    private static FindingKind kind(String word) {
        for (FindingKind kind : FindingKind.values()) {
            if (kind.word().equals(word)) {
                return kind;
            }
        }
        throw new RefusedException(Phrase.of("kept.no-finding", word));
    }

    private static List<Input> inputs(JsonNode array) {
        return texts(array).stream()
                .map(text ->
                        Input.parse(text).orElseThrow(() -> new RefusedException(Phrase.of("kept.no-input", text))))
                .toList();
    }

    private static List<String> texts(JsonNode array) {
        List<String> texts = new ArrayList<>();
        array.forEach(node -> texts.add(node.asText()));
        return texts;
    }
}
