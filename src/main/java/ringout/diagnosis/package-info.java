/**
 * From what a box reported to what is wrong with its wiring: ranked explanations, and the press, chord or probe that
 * would settle which of them is true.
 *
 * <p>Model-based diagnosis after J. de Kleer and B. C. Williams, "Diagnosing multiple faults", and R. Reiter, "A theory of
 * diagnosis from first principles", both Artificial Intelligence 32 (1987). The method, the priors and the measured
 * figures stand in {@code docs/diagnosis.md}.
 */
package ringout.diagnosis;
