/**
 * The pages a plan is made on: new box, editor, learning from a box.
 *
 * <p>It must not know how a plan is written: edits are those of {@link ringout.plan.PlanDocument}.
 */
package ringout.ui.planning;
