/**
 * The box as drawings that can be worked: panel, loom and tape, and the three together.
 *
 * <p>It must not know where what it draws comes from, nor the page it stands on.
 */
package ringout.ui.sheets;
