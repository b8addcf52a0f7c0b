/**
 * The wiring plan: its model, its file with positions of every mistake, edits, automatic wiring and numbering.
 *
 * <p>It must not know how a box is read, nor what can break in it.
 */
package ringout.plan;
