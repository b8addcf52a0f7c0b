/**
 * The simulated desk, and what hands, plug and meter do to it.
 *
 * <p>It must not know any page: to them it is a box like others.
 */
package ringout.ui.practice;
