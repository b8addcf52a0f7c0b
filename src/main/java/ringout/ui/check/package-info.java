/**
 * A box on the bench from opening to closing, or a recording that is looked at: the guided check, what it found, and
 * what is kept of it.
 *
 * <p>It must not know the other pages, nor explain anything itself: explanations come from {@link ringout.diagnosis}.
 */
package ringout.ui.check;
