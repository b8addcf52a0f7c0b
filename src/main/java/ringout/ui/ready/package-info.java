/**
 * The page that says whether a box that matches its plan will do for what it is to be used for.
 *
 * <p>It must not know the other pages, nor which of them a check comes from.
 */
package ringout.ui.ready;
