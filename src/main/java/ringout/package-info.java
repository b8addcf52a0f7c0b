/**
 * The program: chooses between window and terminal, and starts what was asked for.
 *
 * <p>It must not know what any of them does.
 */
package ringout;
