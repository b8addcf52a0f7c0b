/**
 * Work that takes longer than a frame, done beside the window's thread.
 *
 * <p>It must not know what it is that takes long, nor who waits for it.
 */
package ringout.ui.background;
