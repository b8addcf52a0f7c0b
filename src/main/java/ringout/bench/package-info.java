/**
 * One live box: its reports to snapshots for window and terminal; recordings read back the same way.
 *
 * <p>It must not know how a snapshot is shown.
 */
package ringout.bench;
