package ringout.report;

import java.awt.geom.Path2D;
import java.awt.geom.Point2D;
import java.awt.geom.Rectangle2D;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import org.apache.pdfbox.contentstream.PDFGraphicsStreamEngine;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.graphics.image.PDImage;

/** What is drawn on a page, as PDFBox reads it back, in millimetres from the upper left corner of the paper. */
final class PdfGeometry extends PDFGraphicsStreamEngine {
    /** A stroked sub-path. */
    record Stroke(double left, double top, double width, double height, boolean curved) {
        double centreX() {
            return left + width / 2;
        }

        double centreY() {
            return top + height / 2;
        }
    }

    private final List<Stroke> strokes = new ArrayList<>();
    private final double pageHeight;
    private Path2D.Double path = new Path2D.Double();
    private boolean curved;
    private Point2D current = new Point2D.Double();

    private PdfGeometry(PDPage page) {
        super(page);
        pageHeight = page.getMediaBox().getHeight();
    }

    static List<Stroke> strokes(PDPage page) throws IOException {
        PdfGeometry geometry = new PdfGeometry(page);
        geometry.processPage(page);
        return geometry.strokes;
    }

    private static double millimetres(double points) {
        return points / 72 * 25.4;
    }

    @Override
    public void appendRectangle(Point2D a, Point2D b, Point2D c, Point2D d) {
        moveTo((float) a.getX(), (float) a.getY());
        for (Point2D p : List.of(b, c, d)) {
            lineTo((float) p.getX(), (float) p.getY());
        }
        closePath();
    }

    @Override
    public void moveTo(float x, float y) {
        path.moveTo(x, y);
        current = new Point2D.Double(x, y);
    }

    @Override
    public void lineTo(float x, float y) {
        path.lineTo(x, y);
        current = new Point2D.Double(x, y);
    }

    @Override
    public void curveTo(float x1, float y1, float x2, float y2, float x3, float y3) {
        path.curveTo(x1, y1, x2, y2, x3, y3);
        curved = true;
        current = new Point2D.Double(x3, y3);
    }

    @Override
    public Point2D getCurrentPoint() {
        return current;
    }

    @Override
    public void closePath() {
        path.closePath();
    }

    @Override
    public void endPath() {
        path = new Path2D.Double();
        curved = false;
    }

    @Override
    public void strokePath() {
        Rectangle2D box = path.getBounds2D();
        strokes.add(new Stroke(
                millimetres(box.getX()),
                millimetres(pageHeight - box.getMaxY()),
                millimetres(box.getWidth()),
                millimetres(box.getHeight()),
                curved));
        endPath();
    }

    @Override
    public void fillPath(int windingRule) {
        endPath();
    }

    @Override
    public void fillAndStrokePath(int windingRule) {
        strokePath();
    }

    @Override
    public void drawImage(PDImage image) {
        throw new AssertionError("a sheet has no images");
    }

    @Override
    public void clip(int windingRule) {
        endPath();
    }

    @Override
    public void shadingFill(COSName name) {
        throw new AssertionError("a sheet has no shadings");
    }
}
