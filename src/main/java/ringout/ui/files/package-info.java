/**
 * Plans and recordings as they are opened, dropped and written.
 *
 * <p>It must not know any page: what was read is handed to who asked for it.
 */
package ringout.ui.files;
