/**
 * What things are called to the builder ({@link ringout.naming.Names}), and faults, what was seen of them, remedies and
 * figures in those names.
 *
 * <p>It must not know where its words are shown: no window, no terminal, no paper, no check and no diagnosis.
 */
package ringout.naming;
