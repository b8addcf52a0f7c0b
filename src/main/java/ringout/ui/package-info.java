/**
 * The JavaFX window: pages, their parts, and how it goes from one to another.
 *
 * <p>It must not decide what is wrong with a box, nor make sentences: it shows what the core found, in the words of
 * {@link ringout.words}.
 */
package ringout.ui;
