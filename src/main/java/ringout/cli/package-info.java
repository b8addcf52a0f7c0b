/**
 * One thin class for each sub-command: arguments in, the core's results out as words or as one JSON document.
 *
 * <p>It must not know the window, nor work out anything itself.
 */
package ringout.cli;
