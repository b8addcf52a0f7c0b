/**
 * Boxes as streams of bytes: finding them, opening them, reading them, noticing that they went and came back.
 *
 * <p>Read {@link ringout.device.DeviceSource} first. A source lists boxes and opens one;
 * {@link ringout.device.DeviceConnection} is an open box; {@link ringout.device.DeviceReader} owns the thread that
 * reads it and stamps every report; {@link ringout.device.ReportRing} hands reports to a slower thread;
 * {@link ringout.device.DeviceWatch} notices boxes that come and go; {@link ringout.device.DeviceCatalog} puts several
 * sources behind one and turns what a person typed into one box.
 *
 * <p>This package makes the only native calls of the project. It deals in bytes: what they mean is said by the report
 * descriptor, which {@code ringout.hid} reads.
 */
package ringout.device;
