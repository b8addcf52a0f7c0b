package ringout.plan;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.LoadSettingsBuilder;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.api.lowlevel.Parse;
import org.snakeyaml.engine.v2.events.CollectionEndEvent;
import org.snakeyaml.engine.v2.events.CollectionStartEvent;
import org.snakeyaml.engine.v2.events.Event;
import org.snakeyaml.engine.v2.exceptions.Mark;
import org.snakeyaml.engine.v2.exceptions.MarkedYamlEngineException;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import org.snakeyaml.engine.v2.nodes.Tag;
import org.snakeyaml.engine.v2.schema.CoreSchema;
import ringout.words.Phrase;

/**
 * Reads values out of a YAML document without ever stopping at a problem: each is noted with its position, and the
 * caller goes on with what is there.
 */
final class YamlTree {
    private static final int MOST_PROBLEMS = 200;
    private static final int MOST_DEPTH = 50;

    private final String file;
    private final List<PlanProblem> problems = new ArrayList<>();

    YamlTree(String file) {
        this.file = file;
    }

    /** Everything noted so far, in file order. */
    List<PlanProblem> problems() {
        List<PlanProblem> sorted = new ArrayList<>(problems);
        sorted.sort(java.util.Comparator.comparingInt(PlanProblem::line).thenComparingInt(PlanProblem::column));
        return sorted;
    }

    boolean hasErrors() {
        return problems.stream().anyMatch(p -> p.severity() == PlanProblem.Severity.ERROR);
    }

    void error(Spot spot, Phrase what) {
        note(PlanProblem.Severity.ERROR, spot, what);
    }

    void warn(Spot spot, Phrase what) {
        note(PlanProblem.Severity.WARNING, spot, what);
    }

    private void note(PlanProblem.Severity severity, Spot spot, Phrase what) {
        if (problems.size() < MOST_PROBLEMS) {
            problems.add(new PlanProblem(severity, file, spot.line(), spot.column(), what));
        }
    }

    /** The document's root mapping; empty, with the problem noted, where there is none. */
    Optional<Mapping> root(String yaml) {
        try {
            LoadSettings settings =
                    settings(yaml).setLabel(file).setSchema(new CoreSchema()).build();
            if (nestsTooDeep(settings, yaml)) {
                return Optional.empty();
            }
            Optional<Node> node = new Compose(settings).composeString(yaml);
            if (node.isEmpty()) {
                error(Spot.START, Phrase.of("problem.empty"));
                return Optional.empty();
            }
            return mapping(node.get(), Phrase.of("problem.a-plan"));
        } catch (MarkedYamlEngineException problem) {
            Spot spot = problem.getProblemMark().map(Spot::of).orElse(Spot.START);
            error(
                    spot,
                    problem.getContext() == null
                            ? Phrase.of("problem.not-yaml", problem.getProblem())
                            : Phrase.of("problem.not-yaml.where", problem.getProblem(), problem.getContext()));
            return Optional.empty();
        } catch (YamlEngineException problem) {
            error(Spot.START, Phrase.of("problem.not-yaml", String.valueOf(problem.getMessage())));
            return Optional.empty();
        }
    }

    /**
     * How plans are read. The whole text is one buffer: snakeyaml-engine 2.9 fails with an IndexOutOfBoundsException where a
     * character of two UTF-16 units lies across the end of a buffer.
     */
    static LoadSettingsBuilder settings(String yaml) {
        return LoadSettings.builder().setAllowDuplicateKeys(true).setBufferSize(yaml.length() + 1);
    }

    /** The composer calls itself once per level and would run out of stack; the parser below it does not. */
    private boolean nestsTooDeep(LoadSettings settings, String yaml) {
        int depth = 0;
        for (Event event : new Parse(settings).parseString(yaml)) {
            if (event instanceof CollectionStartEvent && ++depth > MOST_DEPTH) {
                error(event.getStartMark().map(Spot::of).orElse(Spot.START), Phrase.of("problem.too-deep", MOST_DEPTH));
                return true;
            } else if (event instanceof CollectionEndEvent) {
                depth--;
            }
        }
        return false;
    }

    private Optional<Mapping> mapping(Node node, Phrase what) {
        if (!(node instanceof MappingNode map)) {
            error(Spot.of(node), Phrase.of("problem.no-mapping", what, kind(node)));
            return Optional.empty();
        }
        Map<String, Entry> entries = new LinkedHashMap<>();
        for (NodeTuple tuple : map.getValue()) {
            if (!(tuple.getKeyNode() instanceof ScalarNode key)) {
                error(Spot.of(tuple.getKeyNode()), Phrase.of("problem.no-key", kind(tuple.getKeyNode())));
                continue;
            }
            Entry first = entries.putIfAbsent(key.getValue(), new Entry(Spot.of(key), tuple.getValueNode()));
            if (first != null) {
                error(Spot.of(key), Phrase.of("problem.key-twice", key.getValue(), first.spot.number()));
            }
        }
        return Optional.of(new Mapping(Spot.of(node), what, entries));
    }

    private static Phrase kind(Node node) {
        if (node instanceof MappingNode) {
            return Phrase.of("problem.a-mapping");
        }
        return node instanceof SequenceNode ? Phrase.of("problem.a-list") : Phrase.of("problem.a-value");
    }

    /** A position in the file, both from 1. */
    record Spot(int line, int column) {
        static final Spot START = new Spot(1, 1);

        /** The line as it is said: without the marks that some languages put between thousands. */
        String number() {
            return String.valueOf(line);
        }

        static Spot of(Mark mark) {
            return new Spot(mark.getLine() + 1, mark.getColumn() + 1);
        }

        static Spot of(Node node) {
            return node.getStartMark().map(Spot::of).orElse(START);
        }
    }

    /** A scalar with its position. */
    record Text(Spot spot, String value) {}

    private record Entry(Spot spot, Node value) {}

    /** A mapping whose keys are taken one by one; {@link #rejectOthers} notes those nobody asked for. */
    final class Mapping {
        private final Spot spot;
        private final Phrase what;
        private final Map<String, Entry> entries;
        private final Set<String> asked = new HashSet<>();
        private final Set<String> blamed = new HashSet<>();

        private Mapping(Spot spot, Phrase what, Map<String, Entry> entries) {
            this.spot = spot;
            this.what = what;
            this.entries = entries;
        }

        Spot spot() {
            return spot;
        }

        /** True where the key is there and has a value: not nothing, {@code null}, {@code ~} or blank text. */
        boolean has(String key) {
            asked.add(key);
            return entries.containsKey(key) && !isEmpty(Known.in(entries, key).value);
        }

        /** Notes that a key is missing, or where it is there without a value, that instead. */
        void missing(String key, Phrase message) {
            asked.add(key);
            if (!entries.containsKey(key)) {
                error(spot, message);
            } else if (blamed.add(key)) {
                error(
                        spot(key),
                        message.isEmpty()
                                ? Phrase.of("problem.no-value.spare", key)
                                : Phrase.of("problem.no-value", key));
            }
        }

        Set<String> keys() {
            return entries.keySet();
        }

        /** Where the key stands, else where the mapping starts. */
        Spot spot(String key) {
            Entry entry = entries.get(key);
            return entry == null ? spot : entry.spot;
        }

        /** Where the key's value stands, else where the mapping starts. */
        Spot valueSpot(String key) {
            Entry entry = entries.get(key);
            return entry == null ? spot : Spot.of(entry.value);
        }

        boolean isMapping(String key) {
            return has(key) && Known.in(entries, key).value instanceof MappingNode;
        }

        boolean isSequence(String key) {
            return has(key) && Known.in(entries, key).value instanceof SequenceNode;
        }

        Optional<Text> text(String key) {
            if (!has(key)) {
                return Optional.empty();
            }
            return scalar(Known.in(entries, key).value, Phrase.of("problem.key", key));
        }

        Text requiredText(String key) {
            Optional<Text> text = text(key);
            if (text.isEmpty() && !has(key)) {
                missing(key, Phrase.of("problem.lacks", what, key));
            }
            return text.orElse(new Text(valueSpot(key), ""));
        }

        /** A scalar turned into a value; where {@code parse} gives nothing, the problem says what was expected. */
        <T> Optional<T> value(String key, Phrase expected, Function<String, Optional<T>> parse) {
            Optional<Text> text = text(key);
            if (text.isEmpty()) {
                return Optional.empty();
            }
            Optional<T> value = parse.apply(text.get().value());
            if (value.isEmpty()) {
                error(
                        text.get().spot(),
                        Phrase.of("problem.expected", key, text.get().value(), expected));
            }
            return value;
        }

        Optional<Mapping> child(String key) {
            return child(key, Phrase.of("problem.key", key));
        }

        Optional<Mapping> child(String key, Phrase childWhat) {
            return has(key) ? mapping(Known.in(entries, key).value, childWhat) : Optional.empty();
        }

        /** The mappings of a list. */
        List<Mapping> children(String key, Phrase childWhat) {
            List<Mapping> result = new ArrayList<>();
            for (Node node : nodes(key)) {
                mapping(node, childWhat).ifPresent(result::add);
            }
            return result;
        }

        /** The scalars of a list. */
        List<Text> texts(String key) {
            List<Text> result = new ArrayList<>();
            for (Node node : nodes(key)) {
                scalar(node, Phrase.of("problem.an-entry", key)).ifPresent(result::add);
            }
            return result;
        }

        private List<Node> nodes(String key) {
            if (!has(key)) {
                return List.of();
            }
            if (!(Known.in(entries, key).value instanceof SequenceNode list)) {
                error(valueSpot(key), Phrase.of("problem.no-list", key));
                return List.of();
            }
            return list.getValue();
        }

        /** Notes every key without a value, and every one not asked for with the nearest that would have been understood. */
        void rejectOthers() {
            for (Map.Entry<String, Entry> entry : entries.entrySet()) {
                if (asked.contains(entry.getKey()) && !has(entry.getKey())) {
                    missing(entry.getKey(), Phrase.none());
                } else if (!asked.contains(entry.getKey())) {
                    String key = entry.getKey();
                    error(
                            entry.getValue().spot,
                            Nearest.of(key, asked)
                                    .map(near -> Phrase.of("problem.unknown-key.near", what, key, near))
                                    .orElseGet(() -> Phrase.of(
                                            "problem.unknown-key",
                                            what,
                                            key,
                                            Phrase.commas(
                                                    asked.stream().sorted().toList()))));
                }
            }
        }

        private Optional<Text> scalar(Node node, Phrase name) {
            if (node instanceof ScalarNode scalar) {
                return Optional.of(new Text(Spot.of(scalar), scalar.getValue().strip()));
            }
            error(Spot.of(node), Phrase.of("problem.no-single", name, kind(node)));
            return Optional.empty();
        }

        private static boolean isEmpty(Node node) {
            return node instanceof ScalarNode scalar
                    && (scalar.getTag().equals(Tag.NULL) || scalar.getValue().isBlank());
        }
    }
}
