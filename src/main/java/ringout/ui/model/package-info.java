/**
 * What the pages show, as plain values made from snapshots of the core.
 *
 * <p>It must not know the toolkit, nor any page.
 */
package ringout.ui.model;
