/**
 * What the window keeps of its user's choices, and in which folders.
 *
 * <p>It must not know the toolkit, nor any page.
 */
package ringout.ui.settings;
