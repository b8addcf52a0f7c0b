/**
 * The page of the long watch.
 *
 * <p>It must not know the other pages, nor keep more of hours than a page can show.
 */
package ringout.ui.watch;
