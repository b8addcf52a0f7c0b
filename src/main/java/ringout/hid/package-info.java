/**
 * From report descriptor and report bytes to input states. Pure: no I/O, clock or threads.
 *
 * <p>"HID 1.11" is the Device Class Definition for Human Interface Devices, version 1.11, 27 June 2001; "HUT" the HID
 * Usage Tables. Their page numbers are cited from memory. "The kernel" is Linux 6.1, drivers/hid/hid-core.c and
 * hid-input.c, read for its behaviour.
 */
package ringout.hid;
