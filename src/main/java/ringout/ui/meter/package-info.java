/**
 * The page of the multimeter checklist.
 *
 * <p>It must not know a box: the checklist comes before the first power-on.
 */
package ringout.ui.meter;
