package ringout.ui;

import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.zip.CRC32;
import java.util.zip.Deflater;
import java.util.zip.DeflaterOutputStream;
import javafx.geometry.Bounds;
import javafx.scene.Group;
import javafx.scene.Node;
import javafx.scene.Parent;
import javafx.scene.Scene;
import javafx.scene.control.ButtonBase;
import javafx.scene.control.Labeled;
import javafx.scene.control.ScrollBar;
import javafx.scene.control.ScrollPane;
import javafx.scene.image.PixelFormat;
import javafx.scene.image.WritableImage;
import javafx.scene.layout.Pane;
import javafx.scene.layout.Region;
import javafx.scene.shape.Shape;
import javafx.scene.text.Text;
import ringout.ui.parts.Greyed;
import ringout.ui.sheets.TapePane;

/** Pictures of the window, and what the scene graph says about their faults. On the application thread. */
public final class Pictures {
    public static final Path FOLDER = Path.of("target", "screenshots");

    private Pictures() {}

    /** Writes what the scene shows to {@code target/screenshots}. */
    public static void shoot(Scene scene, String name) {
        WritableImage image = scene.snapshot(null);
        int width = (int) image.getWidth();
        int height = (int) image.getHeight();
        int[] pixels = new int[width * height];
        image.getPixelReader().getPixels(0, 0, width, height, PixelFormat.getIntArgbInstance(), pixels, 0, width);
        try {
            Files.createDirectories(FOLDER);
            Files.write(FOLDER.resolve(name + ".png"), png(pixels, width, height));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /**
     * As ISO/IEC 15948 (PNG) has it, true colour, no filter. Hundreds of pictures are taken in a run, and ImageIO takes more
     * processor time to press one than the window to draw it.
     */
    private static byte[] png(int[] pixels, int width, int height) throws IOException {
        ByteArrayOutputStream pressed = new ByteArrayOutputStream();
        Deflater fast = new Deflater(Deflater.BEST_SPEED);
        try (DeflaterOutputStream rows = new DeflaterOutputStream(pressed, fast, 1 << 16)) {
            byte[] row = new byte[1 + 3 * width];
            for (int y = 0; y < height; y++) {
                for (int x = 0; x < width; x++) {
                    int pixel = pixels[y * width + x];
                    row[1 + 3 * x] = (byte) (pixel >> 16);
                    row[2 + 3 * x] = (byte) (pixel >> 8);
                    row[3 + 3 * x] = (byte) pixel;
                }
                rows.write(row);
            }
        } finally {
            fast.end();
        }
        ByteArrayOutputStream file = new ByteArrayOutputStream();
        DataOutputStream out = new DataOutputStream(file);
        out.write(new byte[] {(byte) 0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'});
        // Eight bits of each colour.
        ByteBuffer head = ByteBuffer.allocate(13)
                .putInt(width)
                .putInt(height)
                .put((byte) 8)
                .put((byte) 2);
        chunk(out, "IHDR", head.array());
        chunk(out, "IDAT", pressed.toByteArray());
        chunk(out, "IEND", new byte[0]);
        return file.toByteArray();
    }

    private static void chunk(DataOutputStream out, String type, byte[] data) throws IOException {
        byte[] name = type.getBytes(StandardCharsets.US_ASCII);
        CRC32 sum = new CRC32();
        sum.update(name);
        sum.update(data);
        out.writeInt(data.length);
        out.write(name);
        out.write(data);
        out.writeInt((int) sum.getValue());
    }

    /** Every label whose text is cut short, every grey button that does not say why, and every two siblings that lie on one another, in words; empty for none. */
    public static List<String> faults(Scene scene) {
        List<String> faults = new ArrayList<>();
        scene.getRoot().applyCss();
        scene.getRoot().layout();
        look(scene.getRoot(), scene, faults);
        return faults;
    }

    private static void look(Node node, Scene scene, List<String> faults) {
        if (!node.isVisible()) {
            return;
        }
        if (node instanceof Labeled labeled) {
            truncated(labeled, faults);
        }
        if (node instanceof ButtonBase button && button.isDisable()) {
            String why = Greyed.why(button);
            if (why.isBlank() || !why.equals(button.getAccessibleHelp())) {
                faults.add("grey without a word why: \"" + button.getText() + "\" in " + path(button));
            }
        }
        if (node instanceof TapePane tape) {
            canvas(tape, faults);
        }
        if (node instanceof ScrollPane scroll
                && scroll.isFitToWidth()
                && scroll.getContent() != null
                && scroll.getContent().getLayoutBounds().getWidth()
                        > scroll.getViewportBounds().getWidth() + 1) {
            faults.add("wider than its window: " + path(scroll) + " by "
                    + (scroll.getContent().getLayoutBounds().getWidth()
                            - scroll.getViewportBounds().getWidth()));
        }
        if (node instanceof Parent parent && !(node instanceof ScrollBar)) {
            if (!(parent instanceof Group) && !parent.getStyleClass().contains("page")) {
                overlaps(parent, faults);
            }
            if (parent.getStyleClass().contains("page")) {
                lettering(parent, faults);
            }
            parent.getChildrenUnmodifiable().forEach(child -> look(child, scene, faults));
        }
    }

    /** The text node inside a label shows what fits (a space at the end of a line may stick out); where that differs from the label's text, it was cut. */
    private static void truncated(Labeled labeled, List<String> faults) {
        String wanted = labeled.getText();
        if (wanted == null || wanted.isEmpty()) {
            return;
        }
        for (Node child : labeled.getChildrenUnmodifiable()) {
            if (child instanceof Text text && child.getStyleClass().contains("text")) {
                if (!text.getText()
                        .replace("\n", " ")
                        .strip()
                        .equals(wanted.replace("\n", " ").strip())) {
                    faults.add("cut: \"" + wanted + "\" shows \"" + text.getText() + "\" in " + path(labeled));
                }
                Bounds bounds = text.getBoundsInParent();
                if (bounds.getMaxX()
                                > labeled.getWidth() + 0.35 * text.getFont().getSize()
                        || bounds.getMaxY() > labeled.getHeight() + 2.5
                        || bounds.getMinY() < -2.5) {
                    faults.add("spills: \"" + wanted + "\" in " + path(labeled) + " " + bounds + " of "
                            + labeled.getWidth() + "x" + labeled.getHeight());
                }
            }
        }
    }

    /** What is lettered on the tape's canvas: inside it, and no two on one another. */
    private static void canvas(TapePane tape, List<String> faults) {
        Region paper = (Region) tape.lookup("#tape-paper");
        List<TapePane.Written> written = tape.written();
        for (int i = 0; i < written.size(); i++) {
            TapePane.Written a = written.get(i);
            if (a.x() < -0.5
                    || a.x() + a.width() > paper.getWidth() + 0.5
                    || a.y() < -0.5
                    || a.y() + a.height() > paper.getHeight() + 0.5) {
                faults.add("outside the tape: \"" + a.text() + "\"");
            }
            for (TapePane.Written b : written.subList(i + 1, written.size())) {
                double w = Math.min(a.x() + a.width(), b.x() + b.width()) - Math.max(a.x(), b.x());
                double h = Math.min(a.y() + a.height(), b.y() + b.height()) - Math.max(a.y(), b.y());
                if (w > 1 && h > 0.3 * Math.min(a.height(), b.height())) {
                    faults.add("lettering on lettering on the tape: \"" + a.text() + "\" and \"" + b.text() + "\"");
                }
            }
        }
    }

    private static void overlaps(Parent parent, List<String> faults) {
        List<Node> children = parent.getChildrenUnmodifiable().stream()
                .filter(n -> n.isVisible() && n.isManaged() && n instanceof Region && !(parent instanceof ScrollPane))
                .toList();
        for (int i = 0; i < children.size(); i++) {
            for (int k = i + 1; k < children.size(); k++) {
                Bounds a = area((Region) children.get(i));
                Bounds b = area((Region) children.get(k));
                double w = Math.min(a.getMaxX(), b.getMaxX()) - Math.max(a.getMinX(), b.getMinX());
                double h = Math.min(a.getMaxY(), b.getMaxY()) - Math.max(a.getMinY(), b.getMinY());
                if (w > 0.5 && h > 0.5) {
                    faults.add("overlap: " + path(children.get(i)) + " and " + path(children.get(k)) + " by " + w + "x"
                            + h);
                }
            }
        }
    }

    /** What layout gave to a region, without shadows and what its letters overhang. */
    private static Bounds area(Region region) {
        return region.localToParent(new javafx.geometry.BoundingBox(0, 0, region.getWidth(), region.getHeight()));
    }

    /** Lettering of a drawing: no two texts on one another, none outside the page. */
    private static void lettering(Parent page, List<String> faults) {
        List<Text> texts = new ArrayList<>();
        collect(page, texts);
        for (int i = 0; i < texts.size(); i++) {
            Bounds a = page.sceneToLocal(texts.get(i).localToScene(texts.get(i).getBoundsInLocal()));
            if (a.getMinX() < -1
                    || a.getMinY() < -1
                    || a.getMaxX() > ((Pane) page).getWidth() + 1
                    || a.getMaxY() > ((Pane) page).getHeight() + 1) {
                faults.add("outside its page: \"" + texts.get(i).getText() + "\" " + a);
            }
            for (int k = i + 1; k < texts.size(); k++) {
                Bounds b =
                        page.sceneToLocal(texts.get(k).localToScene(texts.get(k).getBoundsInLocal()));
                double w = Math.min(a.getMaxX(), b.getMaxX()) - Math.max(a.getMinX(), b.getMinX());
                double h = Math.min(a.getMaxY(), b.getMaxY()) - Math.max(a.getMinY(), b.getMinY());
                // Lines of one name are set closer than their logical height.
                if (w > 1 && h > 0.45 * Math.min(a.getHeight(), b.getHeight())) {
                    faults.add("lettering on lettering: \"" + texts.get(i).getText() + "\" and \""
                            + texts.get(k).getText() + "\"");
                }
            }
        }
    }

    private static void collect(Node node, List<Text> texts) {
        if (!node.isVisible() || node.getStyleClass().contains("corrections")) {
            return;
        }
        if (node instanceof Text text && !text.getText().isBlank()) {
            texts.add(text);
        } else if (node instanceof Parent parent && !(node instanceof Shape)) {
            parent.getChildrenUnmodifiable().forEach(child -> collect(child, texts));
        }
    }

    private static String path(Node node) {
        StringBuilder path = new StringBuilder();
        for (Node n = node; n != null && path.length() < 160; n = n.getParent()) {
            path.insert(
                    0,
                    "/" + n.getClass().getSimpleName() + (n.getId() == null ? "" : "#" + n.getId())
                            + (n.getStyleClass().isEmpty()
                                    ? ""
                                    : "."
                                            + n.getStyleClass()
                                                    .get(n.getStyleClass().size() - 1)));
        }
        return path.toString();
    }
}
