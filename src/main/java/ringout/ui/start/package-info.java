/**
 * The page one begins on: which box, and which plan.
 *
 * <p>It must not know what comes after it; it says what was chosen.
 */
package ringout.ui.start;
