package ringout.cli;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.PrintWriter;
import picocli.CommandLine.Option;

/** Where a sub-command prints that can give its results as one JSON document, too. */
final class JsonOutput extends Output {
    @Option(names = "--json", descriptionKey = "help.option.json")
    private boolean json;

    /** True where {@link #print} is to be called, once, and {@link #out} left alone. */
    boolean asJson() {
        return json;
    }

    /** Prints the document of this sub-command. */
    void print(ObjectNode document) {
        print(name(), document);
    }

    /** @param name of its shape, which is docs/json/NAME.schema.json */
    void print(String name, ObjectNode document) {
        Json.print(out(), name, document);
    }

    /** Where to tell what goes on meanwhile. */
    PrintWriter talk() {
        return json ? err() : out();
    }
}
