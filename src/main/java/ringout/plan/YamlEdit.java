package ringout.plan;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import org.jspecify.annotations.Nullable;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.api.lowlevel.Compose;
import org.snakeyaml.engine.v2.api.lowlevel.Parse;
import org.snakeyaml.engine.v2.common.FlowStyle;
import org.snakeyaml.engine.v2.common.ScalarStyle;
import org.snakeyaml.engine.v2.events.AliasEvent;
import org.snakeyaml.engine.v2.events.Event;
import org.snakeyaml.engine.v2.exceptions.Mark;
import org.snakeyaml.engine.v2.exceptions.YamlEngineException;
import org.snakeyaml.engine.v2.nodes.CollectionNode;
import org.snakeyaml.engine.v2.nodes.MappingNode;
import org.snakeyaml.engine.v2.nodes.Node;
import org.snakeyaml.engine.v2.nodes.NodeTuple;
import org.snakeyaml.engine.v2.nodes.ScalarNode;
import org.snakeyaml.engine.v2.nodes.SequenceNode;
import ringout.words.Phrase;

/**
 * One YAML text with its nodes, and splices of it: each method gives the whole new text, the same outside the part that
 * had to change. Nodes belong to this text only; after a splice, compose the new one.
 */
final class YamlEdit {
    private final String text;
    private final String newline;
    private final MappingNode root;
    /** True where every code point is one UTF-16 unit. */
    private final boolean plain;
    /** Takes the splices where they are made together; null where each is made at once. */
    private final @Nullable List<Splice> collected;

    private YamlEdit(YamlEdit of, @Nullable List<Splice> collected) {
        text = of.text;
        newline = of.newline;
        root = of.root;
        plain = of.plain;
        this.collected = collected;
    }

    /** @throws PlanEditException where the text is not a mapping, or uses aliases, whose marks point elsewhere */
    YamlEdit(String text) {
        this.text = text;
        collected = null;
        plain = text.codePointCount(0, text.length()) == text.length();
        this.newline = text.contains("\r\n") ? "\r\n" : "\n";
        try {
            LoadSettings settings = YamlTree.settings(text).build();
            boolean perhaps = text.indexOf('*') >= 0;
            for (Event event : perhaps ? new Parse(settings).parseString(text) : List.<Event>of()) {
                if (event instanceof AliasEvent) {
                    throw new PlanEditException(Phrase.of("edit.aliases"));
                }
            }
            Optional<Node> node = new Compose(settings).composeString(text);
            if (node.isEmpty() || !(node.get() instanceof MappingNode map)) {
                throw new PlanEditException(Phrase.of("edit.no-plan"));
            }
            root = map;
        } catch (YamlEngineException notYaml) {
            throw new PlanEditException(Phrase.of("edit.not-yaml", String.valueOf(notYaml.getMessage())));
        }
    }

    String text() {
        return text;
    }

    MappingNode root() {
        return root;
    }

    /** The value of a key, nothing included. */
    static Optional<Node> get(Node map, String key) {
        return tuple(map, key).map(NodeTuple::getValueNode);
    }

    /** The text of a scalar; empty where it is none or blank. */
    static Optional<String> text(Node node) {
        return node instanceof ScalarNode scalar && !scalar.getValue().isBlank()
                ? Optional.of(scalar.getValue().strip())
                : Optional.empty();
    }

    private static Optional<NodeTuple> tuple(Node map, String key) {
        return map instanceof MappingNode mapping
                ? mapping.getValue().stream().filter(t -> key(t).equals(key)).findFirst()
                : Optional.empty();
    }

    static String key(NodeTuple tuple) {
        return tuple.getKeyNode() instanceof ScalarNode scalar ? scalar.getValue() : "";
    }

    // Marks

    /** Marks count code points, strings count UTF-16 units. */
    private int offset(Mark mark) {
        return plain ? mark.getIndex() : text.offsetByCodePoints(0, mark.getIndex());
    }

    private int start(Node node) {
        return offset(node.getStartMark().orElseThrow());
    }

    /** Just behind the node's last character; a block collection's own mark is at the next token, past comments. */
    private int end(Node node) {
        if (node instanceof MappingNode map && map.getFlowStyle() == FlowStyle.BLOCK) {
            return endOfValue(map.getValue().get(map.getValue().size() - 1));
        }
        if (node instanceof SequenceNode list && list.getFlowStyle() == FlowStyle.BLOCK) {
            Node last = list.getValue().get(list.getValue().size() - 1);
            return isNothing(last) ? lastDash(list) + 1 : end(last);
        }
        int end = offset(node.getEndMark().orElseThrow());
        while (node instanceof ScalarNode && end > start(node) && Character.isWhitespace(text.charAt(end - 1))) {
            end--;
        }
        return end;
    }

    private int lastDash(SequenceNode list) {
        int from = list.getValue().size() < 2
                ? start(list)
                : end(list.getValue().get(list.getValue().size() - 2));
        return text.indexOf('-', from);
    }

    private int endOfValue(NodeTuple tuple) {
        return isNothing(tuple.getValueNode()) ? afterColon(tuple) : end(tuple.getValueNode());
    }

    /** Behind the colon; behind the key where flow style left the colon out. */
    private int afterColon(NodeTuple tuple) {
        int end = end(tuple.getKeyNode());
        int colon = text.indexOf(':', end);
        return colon >= 0 && text.substring(end, colon).isBlank() ? colon + 1 : end;
    }

    private boolean isNothing(Node node) {
        return node instanceof ScalarNode
                && start(node) == offset(node.getEndMark().orElseThrow());
    }

    private static boolean isFlow(Node node) {
        return node instanceof CollectionNode<?> collection && collection.getFlowStyle() == FlowStyle.FLOW;
    }

    private int lineStart(int at) {
        return text.lastIndexOf('\n', at - 1) + 1;
    }

    /** Before the line break. */
    private int lineEnd(int at) {
        int end = text.indexOf('\n', at);
        if (end < 0) {
            return text.length();
        }
        return end > 0 && text.charAt(end - 1) == '\r' ? end - 1 : end;
    }

    private int nextLine(int at) {
        int end = text.indexOf('\n', at);
        return end < 0 ? text.length() : end + 1;
    }

    private int column(Node node) {
        return node.getStartMark().orElseThrow().getColumn();
    }

    // Splices

    /** A part of the text to be replaced. */
    private record Splice(int from, int to, String with) {}

    /**
     * Several edits of this one text as one.
     *
     * @param edits calls methods of what it is given; what those return means nothing
     * @return empty where two of them change the same part, so that they have to be made one after the other
     */
    Optional<String> together(Consumer<YamlEdit> edits) {
        List<Splice> all = new ArrayList<>();
        edits.accept(new YamlEdit(this, all));
        all.sort(Comparator.comparingInt(Splice::from)); // stable: insertions at one place keep their order
        StringBuilder out = new StringBuilder();
        int done = 0;
        for (Splice splice : all) {
            if (splice.from < done) {
                return Optional.empty();
            }
            out.append(text, done, splice.from).append(splice.with);
            done = splice.to;
        }
        return Optional.of(out.append(text, done, text.length()).toString());
    }

    private String splice(int from, int to, String with) {
        if (collected != null) {
            collected.add(new Splice(from, to, with));
            return text;
        }
        return text.substring(0, from) + with + text.substring(to);
    }

    /** A scalar's value in the style it has; the same text where it already says so. */
    String replaceScalar(ScalarNode node, String value) {
        if (node.getValue().strip().equals(value)) {
            return text;
        }
        ScalarStyle style = node.getScalarStyle();
        return splice(start(node), end(node), YamlText.scalar(value, style));
    }

    String renameKey(Node map, String key, String newKey) {
        return tuple(map, key)
                .map(t -> replaceScalar((ScalarNode) t.getKeyNode(), newKey))
                .orElse(text);
    }

    /**
     * Sets a key, where it is or, new, behind the last of the keys that come before it.
     *
     * @param value see {@link YamlText#flow}
     * @param order the usual order of keys; a key not in it goes last
     */
    String set(MappingNode map, String key, Object value, List<String> order) {
        Optional<NodeTuple> there = tuple(map, key);
        if (there.isPresent()) {
            return replaceValue(there.get(), value);
        }
        NodeTuple before = null;
        for (NodeTuple tuple : map.getValue()) {
            boolean earlier = !order.contains(key) || order.indexOf(key(tuple)) < order.indexOf(key);
            before = earlier ? tuple : before;
        }
        String pair = YamlText.scalar(key) + ": " + YamlText.flow(value);
        if (isFlow(map)) {
            return insertIntoFlow(map, before == null ? -1 : endOfValue(before), pair);
        }
        String indent = " ".repeat(column(map));
        if (before == null) {
            int at = start(map.getValue().get(0).getKeyNode());
            return splice(at, at, pair + newline + indent);
        }
        int at = lineEnd(endOfValue(before));
        boolean airy = map == root && text.startsWith(newline + newline, at);
        return splice(at, at, newline + (airy ? newline : "") + indent + pair);
    }

    /** @param at just behind the value to follow, or -1 to come first */
    private String insertIntoFlow(Node collection, int at, String item) {
        if (at >= 0) {
            return splice(at, at, ", " + item);
        }
        int open = text.indexOf(collection instanceof MappingNode ? '{' : '[', start(collection));
        boolean empty = ((CollectionNode<?>) collection).getValue().isEmpty();
        if (!empty) {
            return splice(open + 1, open + 1, (collection instanceof MappingNode ? " " : "") + item + ",");
        }
        return splice(open + 1, end(collection) - 1, collection instanceof MappingNode ? " " + item + " " : item);
    }

    private String replaceValue(NodeTuple tuple, Object value) {
        Node old = tuple.getValueNode();
        if (isNothing(old)) {
            int at = afterColon(tuple);
            return splice(at, at, (text.charAt(at - 1) == ':' ? " " : ": ") + YamlText.flow(value));
        }
        if (old instanceof ScalarNode scalar && value instanceof String s) {
            return replaceScalar(scalar, s);
        }
        if (old instanceof SequenceNode list
                && value instanceof List<?> items
                && list.getValue().size() == items.size()
                && items.stream().allMatch(String.class::isInstance)
                && list.getValue().stream().allMatch(ScalarNode.class::isInstance)
                && list.getValue().stream().noneMatch(this::isNothing)) {
            return replaceItems(list, items);
        }
        int from = isFlow(old) || old instanceof ScalarNode ? start(old) : afterColon(tuple);
        return splice(from, end(old), (from == start(old) ? "" : " ") + YamlText.flow(value));
    }

    private String replaceItems(SequenceNode list, List<?> items) {
        if (collected == null) {
            return together(one -> one.replaceItems(list, items)).orElseThrow();
        }
        for (int i = 0; i < items.size(); i++) {
            ScalarNode node = (ScalarNode) list.getValue().get(i);
            if (!node.getValue().strip().equals(items.get(i))) {
                splice(start(node), end(node), YamlText.scalar((String) items.get(i), node.getScalarStyle()));
            }
        }
        return text;
    }

    /** Takes a key out with its value, and with the comment behind it on its line. */
    String remove(MappingNode map, String key) {
        Optional<NodeTuple> there = tuple(map, key);
        if (there.isEmpty()) {
            return text;
        }
        int index = map.getValue().indexOf(there.get());
        int from = start(there.get().getKeyNode());
        int to = endOfValue(there.get());
        boolean last = index == map.getValue().size() - 1;
        if (isFlow(map)) {
            return removeFromFlow(
                    from,
                    to,
                    last ? -1 : start(map.getValue().get(index + 1).getKeyNode()),
                    index == 0 ? -1 : endOfValue(map.getValue().get(index - 1)));
        }
        if (map.getValue().size() == 1) {
            // An empty block mapping cannot be written; an empty flow one can.
            return splice(from, to, "{}");
        }
        return removeLines(
                from, to, last ? -1 : start(map.getValue().get(index + 1).getKeyNode()));
    }

    private String removeFromFlow(int from, int to, int next, int previousEnd) {
        if (next < 0) {
            boolean plain =
                    previousEnd >= 0 && text.substring(previousEnd, from).indexOf('#') < 0;
            return plain ? splice(previousEnd, to, "") : splice(from, text.startsWith(" ", to) ? to + 1 : to, "");
        }
        if (text.substring(to, next).indexOf('\n') < 0) {
            return splice(from, next, "");
        }
        int comma = text.indexOf(',', to) + 1;
        return text.substring(lineStart(from), from).isBlank()
                ? splice(lineStart(from), nextLine(comma), "")
                : splice(from, text.startsWith(" ", comma) ? comma + 1 : comma, "");
    }

    /** Whole lines, but where something stands before it on its first line (the dash of an item), up to what comes next. */
    private String removeLines(int from, int to, int next) {
        if (text.substring(lineStart(from), from).isBlank()) {
            return splice(lineStart(from), nextLine(to), "");
        }
        return next >= 0 ? splice(from, next, "") : splice(from, to, "");
    }

    String removeItem(SequenceNode list, Node item) {
        int index = list.getValue().indexOf(item);
        boolean last = index == list.getValue().size() - 1;
        if (isFlow(list)) {
            return removeFromFlow(
                    start(item),
                    end(item),
                    last ? -1 : start(list.getValue().get(index + 1)),
                    index == 0 ? -1 : end(list.getValue().get(index - 1)));
        }
        int dash = text.lastIndexOf('-', start(item) - (isNothing(item) ? 0 : 1));
        if (list.getValue().size() == 1) {
            return splice(dash, end(item), "[]");
        }
        return splice(lineStart(dash), nextLine(end(item)), "");
    }

    /** Appends a mapping to a list, in the style of the mapping before it. */
    String append(SequenceNode list, Map<String, Object> item) {
        List<Node> items = list.getValue();
        if (items.isEmpty()) {
            int line = lineStart(start(list));
            int indent = 0;
            while (text.charAt(line + indent) == ' ') {
                indent++;
            }
            String dash = newline + " ".repeat(indent + 2) + "- ";
            int from = start(list);
            while (text.charAt(from - 1) == ' ') {
                from--;
            }
            return splice(from, end(list), dash + YamlText.flow(item));
        }
        Node last = items.get(items.size() - 1);
        if (isFlow(list)) {
            return insertIntoFlow(list, end(last), YamlText.flow(item));
        }
        String indent = " ".repeat(column(list));
        String body = isFlow(last) ? YamlText.flow(item) : String.join(newline + indent + "  ", YamlText.block(item));
        int at = lineEnd(end(last));
        return splice(at, at, newline + indent + "- " + body);
    }

    String appendScalar(SequenceNode list, String item) {
        List<Node> items = list.getValue();
        if (isFlow(list)) {
            return insertIntoFlow(list, items.isEmpty() ? -1 : end(items.get(items.size() - 1)), YamlText.scalar(item));
        }
        int at = lineEnd(end(items.get(items.size() - 1)));
        return splice(at, at, newline + " ".repeat(column(list)) + "- " + YamlText.scalar(item));
    }
}
