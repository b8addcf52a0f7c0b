/**
 * Everything Ringout says, in one room: the bundle ({@link ringout.words.Texts}), and what is to be said as data ({@link
 * ringout.words.Phrase}). Whoever has a result holds it as a phrase and lets it be said where it is shown.
 *
 * <p>It knows nothing of Ringout, so that everybody may speak by it.
 */
package ringout.words;
