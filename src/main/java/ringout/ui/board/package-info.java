/**
 * The page on which a board is proved before anything is soldered to it: two pins at a time, and what all of it tells.
 *
 * <p>It must not know the other pages.
 */
package ringout.ui.board;
