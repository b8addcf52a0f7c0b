/**
 * The page on which controls are found by feel: a name, the time it took, and what all of it tells.
 *
 * <p>It must not know the other pages.
 */
package ringout.ui.feel;
