/**
 * Panel, loom and crossings as strokes, for the window and for paper alike.
 *
 * <p>It must not know the toolkit, nor what is printed on.
 */
package ringout.drawing;
