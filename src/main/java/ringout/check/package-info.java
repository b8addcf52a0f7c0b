/**
 * The guided check as a state machine: what is asked for, what came, and what differs from the plan.
 *
 * <p>It must not know what explains a finding, nor where reports come from; time comes in as nanoseconds.
 */
package ringout.check;
