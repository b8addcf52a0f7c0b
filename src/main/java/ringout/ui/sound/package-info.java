/**
 * What is to be heard: tones, and steps spoken by the system's speech program.
 *
 * <p>It must not know any page: it is told what happened, and decides only whether and how that sounds.
 */
package ringout.ui.sound;
