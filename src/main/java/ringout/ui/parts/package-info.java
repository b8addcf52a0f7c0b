/**
 * What several pages are put together of: lettering, lists, cards, the big sentence, and the one stylesheet.
 *
 * <p>It must not know boxes, files or pages: it shows plain values of {@link ringout.ui.model} and tells what was clicked.
 */
package ringout.ui.parts;
