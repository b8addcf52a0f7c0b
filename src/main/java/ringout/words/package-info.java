/**
 * Everything Ringout says, in one room: what things are called ({@link ringout.words.Names}), faults as sentences
 * ({@link ringout.words.FaultWords}), and the bundle behind all of them ({@link ringout.words.Texts}). Whoever has a
 * result holds it as a {@link ringout.words.Phrase} and lets it be said where it is shown.
 *
 * <p>It must not know what is done with its words: no window, no terminal, no paper, no check and no diagnosis.
 */
package ringout.words;
