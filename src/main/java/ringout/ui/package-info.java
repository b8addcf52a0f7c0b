/**
 * The window as a program: it starts, shows one page, and goes from one to another. What happens on a page is the work of
 * the room below that is named for it.
 *
 * <p>Nothing below may know it. It must not decide what is wrong with a box, nor make sentences: it shows what the core
 * found, in the words of {@link ringout.words}.
 */
package ringout.ui;
