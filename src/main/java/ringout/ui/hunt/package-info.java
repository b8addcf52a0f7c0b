/**
 * The page that finds out why one control is dead.
 *
 * <p>It must not know the other pages, but for the notices it shares with the check.
 */
package ringout.ui.hunt;
