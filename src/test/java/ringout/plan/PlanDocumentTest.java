package ringout.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;
import org.snakeyaml.engine.v2.api.LoadSettings;
import org.snakeyaml.engine.v2.scanner.ScannerImpl;
import org.snakeyaml.engine.v2.scanner.StreamReader;
import org.snakeyaml.engine.v2.tokens.CommentToken;
import org.snakeyaml.engine.v2.tokens.Token;
import ringout.hid.Input;

class PlanDocumentTest {
    /** Every style a builder might mix, with comments in awkward places. */
    private static final String MIXED = """
            # A plan written by hand.
            ringout: 1   # the version

            box:
              name: 'Test desk'   # single quotes
            panel: { width: 200 mm, height: 10 cm } # flow
            lines:
              rows:    { R1: pin 2,  R2: pin 3 }
              columns:
                C1: 4  # block
                C2: "pin 5"
              direct: { D1: pin 6,
                        D2: pin 7 }
            scan: { drive: rows, active: low, diodes: per-contact, cathode: row }

            # The controls.
            controls:
              # the horn comes first
              - { id: horn,  label: "Horn: low", kind: push, at: [R1, C1], input: button 1, place: [20 mm, 3 cm] }  # loud
              - id: bell      # in block style
                kind: push
                at:
                  - C2        # column first
                  - R1
                input: button 2
                # nothing below belongs to bell

              - { id: lamp, kind: toggle, at: [R2, C1], # half
                  input: button 3 }
              - kind: encoder
                id: notch
                a: D1
                b: { at: D2 }
                cw: button 5
                ccw: button 6
            order:
              R1: [bell, horn]   # short wire
              C1:
                - lamp   # nearest
                - horn
            # The end.
            """;

    private static PlanDocument mixed() {
        PlanDocument document = PlanDocument.of(MIXED, "test.yaml");
        assertEquals(List.of(), document.reading().problems());
        return document;
    }

    /** What an edit does to the text: from, to. */
    static Stream<Arguments> edits() {
        return Stream.of(
                edit(d -> d.setLabel("horn", "Horn"), "label: \"Horn: low\"", "label: \"Horn\""),
                edit(
                        d -> d.setLabel("bell", "Bell # 2"),
                        "    kind: push\n    at:\n",
                        "    label: \"Bell # 2\"\n    kind: push\n    at:\n"),
                edit(d -> d.setLabel("lamp", "Lampe à arc"), "id: lamp, kind", "id: lamp, label: Lampe à arc, kind"),
                edit(d -> d.setPlace("horn", new Mount.Place(20, 31.255)), "[20 mm, 3 cm]", "[20 mm, 31.26 mm]"),
                edit(d -> d.setPlace("horn", new Mount.Place(25, 30)), "[20 mm, 3 cm]", "[25 mm, 3 cm]"),
                edit(
                        d -> d.setPlace("bell", new Mount.Place(60, 30)),
                        "    input: button 2\n",
                        "    input: button 2\n    place: [60 mm, 30 mm]\n"),
                edit(d -> d.setHole("lamp", 12), "input: button 3 }", "input: button 3, hole: 12 mm }"),
                edit(
                        d -> d.renameControl("horn", "horn-low"),
                        "id: horn,",
                        "id: horn-low,",
                        "[bell, horn]",
                        "[bell, horn-low]",
                        "    - horn\n",
                        "    - horn-low\n"),
                edit(
                        d -> d.setWiring("horn", new Wiring.Crossing("R2", "C2")),
                        "at: [R1, C1]",
                        "at: [R2, C2]",
                        "R1: [bell, horn]",
                        "R1: [bell]",
                        "    - horn\n",
                        ""),
                edit(
                        d -> d.setWiring("bell", new Wiring.Crossing("R2", "C2")),
                        "- R1\n",
                        "- R2\n",
                        "R1: [bell, horn]",
                        "R1: [horn]"),
                edit(d -> d.setWiring("notch.b", new Wiring.Unknown()), "b: { at: D2 }", "b: { }"),
                edit(d -> d.setWiring("notch.a", new Wiring.Unknown()), "a: D1\n", "a: {}\n"),
                edit(
                        d -> d.setWiring("horn", new Wiring.Unknown()),
                        "at: [R1, C1], input",
                        "input",
                        "R1: [bell, horn]",
                        "R1: [bell]",
                        "    - horn\n",
                        ""),
                edit(d -> d.setInput("bell", new Input.Button(9)), "button 2", "button 9"),
                edit(d -> d.setInput("notch.ccw", new Input.Button(9)), "button 6", "button 9"),
                edit(
                        d -> d.removeControl("horn"),
                        "  - { id: horn,  label: \"Horn: low\", kind: push, at: [R1, C1], input: button 1, place: [20 mm, 3 cm] }  # loud\n",
                        "",
                        "[bell, horn]",
                        "[bell]",
                        "    - horn\n",
                        ""),
                edit(
                        d -> d.removeControl("notch"),
                        "  - kind: encoder\n    id: notch\n    a: D1\n    b: { at: D2 }\n    cw: button 5\n    ccw: button 6\n",
                        ""),
                edit(d -> d.setOrder("R1", List.of("horn", "bell")), "[bell, horn]", "[horn, bell]"),
                edit(
                        d -> d.setOrder("C1", List.of("horn", "lamp")),
                        "- lamp   # nearest\n    - horn",
                        "- horn   # nearest\n    - lamp"),
                edit(d -> d.setPin("C1", "pin 14"), "C1: 4  #", "C1: pin 14  #"),
                edit(d -> d.setPin("C2", "A3"), "\"pin 5\"", "\"A3\""),
                edit(
                        d -> d.addLine(Line.Kind.COLUMN, "C3", "pin 8"),
                        "C2: \"pin 5\"\n",
                        "C2: \"pin 5\"\n    C3: pin 8\n"),
                edit(d -> d.addLine(Line.Kind.ROW, "R3", "pin 8"), "R2: pin 3 }", "R2: pin 3, R3: pin 8 }"),
                edit(
                        d -> d.addLine(Line.Kind.SHIFT, "S1", "pin 8"),
                        "D2: pin 7 }\n",
                        "D2: pin 7 }\n  shift: { S1: { pin: pin 8 } }\n"),
                edit(
                        d -> d.renameLine("C2", "COL2"),
                        "C2: \"pin 5\"",
                        "COL2: \"pin 5\"",
                        "- C2        #",
                        "- COL2        #"),
                edit(d -> d.renameLine("D2", "D9"), "D2: pin 7", "D9: pin 7", "at: D2", "at: D9"),
                edit(
                        d -> d.renameLine("R1", "ROW"),
                        "R1: pin 2",
                        "ROW: pin 2",
                        "[R1, C1]",
                        "[ROW, C1]",
                        "- R1\n",
                        "- ROW\n",
                        "R1: [bell",
                        "ROW: [bell"),
                edit(
                        d -> d.removeLine("R2"),
                        ",  R2: pin 3",
                        "",
                        "at: [R2, C1], # half\n",
                        "# half\n",
                        "    - lamp   # nearest\n",
                        ""),
                edit(d -> d.setDrive(Scan.Drive.COLUMNS), "drive: rows", "drive: columns"),
                edit(d -> d.setDirectTo(Scan.DirectTo.SUPPLY), "cathode: row }", "cathode: row, direct: supply }"),
                edit(d -> d.setDebounce(2_500_000), "cathode: row }", "cathode: row, debounce: 2.5 ms }"),
                edit(d -> d.setSupply(Scan.Supply.V3_3), "cathode: row }", "cathode: row, supply: 3.3 V }"),
                edit(
                        d -> d.setStuckAfter(90_000_000_000L),
                        "cathode: row }\n",
                        "cathode: row }\n\nlisten: { stuck-after: 90 s }\n"),
                edit(d -> d.setBoxName("It's mine"), "'Test desk'", "'It''s mine'"),
                edit(
                        d -> d.setPanel(
                                new Plan.Panel(200, 100, Optional.of(45.5), Optional.of(new Mount.Place(90, 80)))),
                        "height: 10 cm }",
                        "height: 10 cm, depth: 45.5 mm, board: [90 mm, 80 mm] }"));
    }

    private static Arguments edit(UnaryOperator<PlanDocument> edit, String... fromTo) {
        return Arguments.of(edit, List.of(fromTo));
    }

    @ParameterizedTest
    @MethodSource("edits")
    void rewritesOnlyWhatItMust(UnaryOperator<PlanDocument> edit, List<String> fromTo) {
        for (String newline : List.of("\n", "\r\n")) {
            String expected = MIXED;
            for (int i = 0; i < fromTo.size(); i += 2) {
                assertTrue(expected.contains(fromTo.get(i)), fromTo.get(i));
                expected = expected.replace(fromTo.get(i), fromTo.get(i + 1));
            }
            PlanDocument before = PlanDocument.of(MIXED.replace("\n", newline), "test.yaml");
            PlanDocument after = edit.apply(before);
            assertEquals(expected.replace("\n", newline), after.text());
            assertTrue(
                    after.reading().plan().isPresent(),
                    () -> after.reading().problems().toString());
            assertEquals(before.text(), after.undo().text());
            assertEquals(after.text(), after.undo().redo().text());
        }
    }

    @Test
    void whatSaysTheSameIsNoEdit() {
        PlanDocument document = mixed();
        assertSame(document, document.setLabel("horn", "Horn: low"));
        assertSame(document, document.setPlace("horn", new Mount.Place(20, 30)));
        assertSame(document, document.setWiring("bell", new Wiring.Crossing("R1", "C2")));
        assertSame(document, document.setDrive(Scan.Drive.ROWS));
        assertSame(document, document.setOrder("R1", List.of("bell", "horn")));
        assertFalse(document.canUndo());
    }

    @Test
    void historyBranchesLikeAnEditor() {
        PlanDocument three = mixed().setLabel("horn", "A").setLabel("horn", "B").setLabel("horn", "C");
        PlanDocument back = three.undo().undo();
        assertTrue(back.canRedo());
        assertEquals(
                "A",
                back.reading()
                        .plan()
                        .orElseThrow()
                        .control("horn")
                        .orElseThrow()
                        .label());
        assertEquals(three.text(), back.redo().redo().text());
        PlanDocument other = back.setLabel("horn", "D");
        assertFalse(other.canRedo());
        assertEquals(MIXED, other.undo().undo().text());
        assertEquals(
                MIXED,
                mixed().together(d -> d.setLabel("horn", "A").removeControl("bell"))
                        .undo()
                        .text());
    }

    /** Only what differs from what the control and the scan part say is written. */
    @Test
    void aDiodeIsWrittenWhereItDiffers() {
        String yaml = """
                ringout: 1
                box: { name: Desk }
                lines:
                  rows: { R1: pin 4, R2: pin 5 }
                  columns: { C1: pin 8, C2: pin 9, C3: pin 10, C4: pin 14 }
                scan: { diodes: per-contact }
                controls:
                  - { id: horn, label: Horn, kind: push, at: [R1, C1], input: button 1 } # loud
                  - { id: look, label: Look, kind: hat4, input: hat 1, up: [R2, C1], right: { at: [R2, C2] }, down: [R2, C3], left: [R2, C4] }
                  - { id: lamp, label: Lamp, kind: toggle, up: { at: [R1, C2], input: button 2 }, down: { at: [R1, C3], input: button 3 }, diode: no }
                """;
        PlanDocument document = PlanDocument.of(yaml, "x");
        for (String contact : List.of("horn", "look.up", "look.right", "lamp.up", "lamp.down")) {
            Contact.Diode before =
                    after(document).contact(contact).orElseThrow().diode();
            for (Contact.Diode diode : Contact.Diode.values()) {
                PlanDocument next = document.setDiode(contact, diode);
                assertEquals(
                        List.of(),
                        next.reading().problems().stream()
                                .filter(p -> p.severity() == PlanProblem.Severity.ERROR)
                                .toList());
                for (Contact is : after(next).contacts()) {
                    Contact was = after(document).contact(is.id()).orElseThrow();
                    assertEquals(
                            is.id().equals(contact) ? diode : was.diode(), is.diode(), is.id() + " in\n" + next.text());
                    assertEquals(was.wiring(), is.wiring());
                    assertEquals(was.input(), is.input());
                }
                assertEquals(1, comments(next.text()));
                assertEquals(diode == before, next == document, "nothing to do, nothing to undo");
                assertEquals(yaml, next.undo().text());
                PlanDocument back = next.setDiode(contact, before);
                assertEquals(
                        yaml.replace("up: [R2, C1]", "up: { at: [R2, C1] }"),
                        contact.equals("look.up") && diode != before
                                ? back.text()
                                : back.text().replace("up: [R2, C1]", "up: { at: [R2, C1] }"));
            }
        }
        PlanDocument bare = document.setDiode("look.down", Contact.Diode.NONE).removeDiodes();
        assertFalse(bare.text().contains("diode:"), bare.text());
        assertTrue(after(bare).contacts().stream().allMatch(c -> c.diode() == Contact.Diode.CATHODE_ROW));
    }

    @Test
    void saysWhyItCannotEdit() {
        assertThrows(PlanEditException.class, () -> mixed().setLabel("gong", "Gong"));
        assertThrows(PlanEditException.class, () -> mixed().setWiring("horn.up", new Wiring.Direct("D1")));
        assertThrows(PlanEditException.class, () -> mixed().setPin("R9", "pin 1"));
        assertThrows(PlanEditException.class, () -> PlanDocument.of("[", "x").setBoxName("x"));
        assertThrows(
                PlanEditException.class,
                () -> PlanDocument.of(MIXED.replace("[R1, C1]", "&x [R1, C1]").replace("b: { at: D2 }", "b: *x"), "x")
                        .setLabel("horn", "Horn"));
    }

    @Test
    void buildsAPlanFromNothingButItsVersion() {
        PlanDocument document = PlanDocument.of("ringout: 1\n", "new.yaml")
                .setBoxName("New box")
                .addLine(Line.Kind.ROW, "R1", "pin 1")
                .addLine(Line.Kind.COLUMN, "C1", "pin 2")
                .addControl(push("horn", new Wiring.Crossing("R1", "C1"), 1))
                .addControl(push("bell", new Wiring.Unknown(), 2))
                .addLine(Line.Kind.ROW, "R2", "pin 3")
                .setWiring("bell", new Wiring.Crossing("R2", "C1"))
                .setOrder("C1", List.of("bell", "horn"))
                .setDiodes(true);
        assertEquals("""
                ringout: 1
                box: { name: New box }
                lines: { rows: { R1: pin 1, R2: pin 3 }, columns: { C1: pin 2 } }
                scan: { diodes: per-contact }
                controls:
                  - { id: horn, label: horn, kind: push, at: [R1, C1], input: button 1 }
                  - { id: bell, label: bell, kind: push, at: [R2, C1], input: button 2 }
                order: { C1: [bell, horn] }
                """, document.text());
        assertEquals(List.of(), document.reading().problems());
        PlanDocument empty = document.removeControl("horn")
                .removeControl("bell")
                .removeLine("R1")
                .removeLine("R2")
                .removeLine("C1");
        assertEquals("ringout: 1\nbox: { name: New box }\nscan: { diodes: per-contact }\ncontrols: []\n", empty.text());
    }

    private static Control push(String id, Wiring wiring, int button) {
        return new Control.Push(
                id,
                id,
                Mount.UNKNOWN,
                new Contact(id, id, wiring, Contact.Diode.NONE, Optional.of(new Input.Button(button))));
    }

    static Stream<String> plans() throws IOException {
        List<String> texts = new ArrayList<>();
        texts.add(MIXED);
        texts.add(MIXED.replace("\n", "\r\n"));
        try (Stream<Path> files = Files.list(Path.of("fixtures/plans"))) {
            for (Path file : files.sorted().toList()) {
                texts.add(Files.readString(file));
            }
        }
        return texts.stream();
    }

    /** A control taken out and put back must read the same, whatever its kind. */
    @ParameterizedTest
    @MethodSource("plans")
    void writesEveryControlAsTheReaderReadsIt(String yaml) {
        Plan plan = PlanReader.read(yaml, "x").plan().orElseThrow();
        for (Control control : plan.controls()) {
            PlanDocument again =
                    PlanDocument.of(yaml, "x").removeControl(control.id()).addControl(control);
            assertEquals(
                    Optional.of(control),
                    again.reading().plan().flatMap(p -> p.control(control.id())),
                    () -> again.reading().problems() + "\n" + again.text());
        }
    }

    /** Long random walks: always a plan, always the values asked for, never a lost comment, and undo to the first letter. */
    @ParameterizedTest
    @MethodSource("plans")
    void randomEditsKeepThePlanAndTheComments(String yaml) {
        Random random = new Random(11);
        for (int walk = 0; walk < 8; walk++) {
            PlanDocument document = PlanDocument.of(yaml, "x");
            long comments = comments(yaml);
            List<String> texts = new ArrayList<>();
            for (int step = 0; step < 20; step++) {
                Plan plan = document.reading().plan().orElseThrow();
                PlanDocument next = randomEdit(random, document, plan, step);
                if (next != document) {
                    texts.add(document.text());
                }
                document = next;
                String text = document.text();
                assertTrue(
                        document.reading().plan().isPresent(),
                        () -> PlanReader.read(text, "x").problems() + "\n" + text);
                long left = comments(text);
                // Only what stood beside something taken out may go with it.
                assertTrue(
                        left == comments
                                || left < comments
                                        && !plan.lines().equals(after(document).lines()),
                        text);
                comments = left;
                assertEquals(yaml.contains("\r\n"), text.contains("\r\n"));
            }
            for (int i = texts.size() - 1; i >= 0; i--) {
                document = document.undo();
                assertEquals(texts.get(i), document.text());
            }
            assertFalse(document.canUndo());
        }
    }

    private static PlanDocument randomEdit(Random random, PlanDocument document, Plan plan, int step) {
        Control control = plan.controls().get(random.nextInt(plan.controls().size()));
        String id = control.id();
        switch (random.nextInt(8)) {
            case 0: {
                Mount.Place place = new Mount.Place(random.nextInt(2000) / 10.0, random.nextInt(1000) / 10.0);
                PlanDocument moved = document.setPlace(id, place);
                assertEquals(Optional.of(place), after(moved, id).mount().place());
                return moved;
            }
            case 1: {
                String label = List.of(
                                "Plain", "It's", "a: b # c", "\"quoted\" \\", "Ünï", "no", "- x", "[x]", "😀 gauge")
                        .get(random.nextInt(9));
                PlanDocument labelled = document.setLabel(id, label);
                assertEquals(label, after(labelled, id).label());
                return labelled;
            }
            case 2: {
                String name = "c" + step + "-" + random.nextInt(1000);
                PlanDocument renamed = document.renameControl(id, name);
                assertEquals(
                        control.contacts().size(),
                        after(renamed, name).contacts().size());
                return renamed;
            }
            case 3: {
                if (control.contacts().isEmpty()) {
                    return document;
                }
                Contact contact =
                        control.contacts().get(random.nextInt(control.contacts().size()));
                String line = "N" + step;
                PlanDocument rewired = document.addLine(Line.Kind.DIRECT, line, "pin " + (100 + step))
                        .setWiring(contact.id(), new Wiring.Direct(line));
                assertEquals(
                        new Wiring.Direct(line),
                        rewired.reading()
                                .plan()
                                .orElseThrow()
                                .contact(contact.id())
                                .orElseThrow()
                                .wiring());
                return document.withText(rewired.text());
            }
            case 4: {
                PlanDocument bored =
                        document.setHole(id, 1 + random.nextInt(200) / 10.0).setBodyDepth(id, 12.5);
                assertEquals(Optional.of(12.5), after(bored, id).mount().depth());
                return document.withText(bored.text());
            }
            case 5: {
                Line line = plan.lines().get(random.nextInt(plan.lines().size()));
                List<String> order = new ArrayList<>(line.contacts());
                java.util.Collections.shuffle(order, random);
                PlanDocument ordered = order.isEmpty() ? document : document.setOrder(line.name(), order);
                assertEquals(
                        order,
                        ordered.reading()
                                .plan()
                                .orElseThrow()
                                .line(line.name())
                                .orElseThrow()
                                .contacts());
                return ordered;
            }
            case 6: {
                if (control.contacts().isEmpty()) {
                    return document;
                }
                Contact contact =
                        control.contacts().get(random.nextInt(control.contacts().size()));
                if (!(contact.wiring() instanceof Wiring.Crossing)) {
                    return document;
                }
                Contact.Diode diode = Contact.Diode.values()[random.nextInt(3)];
                PlanDocument banded = document.setDiode(contact.id(), diode);
                assertEquals(
                        diode, after(banded).contact(contact.id()).orElseThrow().diode());
                return banded;
            }
            default: {
                Line line = plan.lines().get(random.nextInt(plan.lines().size()));
                PlanDocument renamed = document.renameLine(line.name(), "L" + step + "x" + random.nextInt(100));
                assertEquals(
                        plan.lines().size(),
                        renamed.reading().plan().orElseThrow().lines().size());
                return renamed;
            }
        }
    }

    private static Plan after(PlanDocument document) {
        return document.reading()
                .plan()
                .orElseThrow(() -> new AssertionError(document.reading().problems() + "\n" + document.text()));
    }

    private static Control after(PlanDocument document, String id) {
        return after(document).control(id).orElseThrow();
    }

    /** Counted by the YAML library's own scanner, so that a # inside quotes is none. */
    private static long comments(String yaml) {
        LoadSettings settings = YamlTree.settings(yaml).setParseComments(true).build();
        ScannerImpl scanner = new ScannerImpl(settings, new StreamReader(settings, yaml));
        long count = 0;
        while (scanner.hasNext()) {
            Token token = scanner.next();
            count +=
                    token instanceof CommentToken comment && !comment.getValue().isBlank() ? 1 : 0;
        }
        return count;
    }
}
