package ringout.ui.files;

import ringout.bench.PlanInUse;
import ringout.device.DeviceInfo;
import ringout.device.DeviceSource;

/**
 * A box to be opened, and the plan to judge it by.
 *
 * @param source where it is opened
 */
public record PlannedBox(DeviceSource source, DeviceInfo device, PlanInUse plan) {}
