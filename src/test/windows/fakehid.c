/*
 * Lets Wine see game controllers that a test plays: no device, no driver, no root. Preloaded into Wine (LD_PRELOAD), it
 * answers what Wine's bus driver (winebus) asks of /dev, hidraw and libudev from the Unix sockets in the folder
 * $RINGOUT_BOXES. A socket hidrawN there is the node /dev/hidrawN; who listens there is the box:
 *
 *   on connecting it says: bus (4 bytes), vendor, product, release (2 each), then report descriptor, name, physical path,
 *   serial and manufacturer, each with its length before it (2 bytes); then reports, each with its length before it.
 *   All little endian. Unplugging: the socket's file is removed, then the connections are closed.
 *
 * The requests are those of linux/hidraw.h, the names those of libudev.h; what winebus does with them was read off
 * Wine 8.0's dlls/winebus.sys/bus_udev.c, by what it asks.
 *
 * gcc -shared -fPIC -O1 -Wall -o fakehid.so fakehid.c -ldl
 */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <linux/hidraw.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#define NODE "/dev/hidraw"
#define SYSFS "/sys/class/hidraw/"
#define MOST_FILES 4096
#define LONGEST 4096 /* HID_MAX_DESCRIPTOR_SIZE of linux/hid.h */

/* The C library's own function of that name. */
#define REAL(result, name, ...) \
    static result (*real)(__VA_ARGS__); \
    if (!real) real = (result (*)(__VA_ARGS__))dlsym(RTLD_NEXT, #name)

enum text { DESCRIPTOR, NAME, PHYSICAL, SERIAL, MANUFACTURER, TEXTS };

struct box {
    uint32_t bus;
    uint16_t vendor, product, release;
    uint16_t length[TEXTS];
    unsigned char text[TEXTS][LONGEST + 1];
};

/* By file descriptor: the box at its other end, or none. */
static struct box *open_boxes[MOST_FILES];

static const char *folder(void) { return getenv("RINGOUT_BOXES"); }

static struct box *box_of(int fd) { return fd >= 0 && fd < MOST_FILES ? open_boxes[fd] : NULL; }

static int take(int fd, void *into, size_t length) {
    return length == 0 || recv(fd, into, length, MSG_WAITALL) == (ssize_t)length;
}

static int connect_to(const char *node) {
    struct sockaddr_un address = {.sun_family = AF_UNIX};
    if (snprintf(address.sun_path, sizeof address.sun_path, "%s/%s", folder(), node) >= (int)sizeof address.sun_path) {
        errno = ENAMETOOLONG;
        return -1;
    }
    int fd = socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (fd < 0) return -1;
    struct box *box = calloc(1, sizeof *box);
    int there = box && fd < MOST_FILES && !connect(fd, (struct sockaddr *)&address, sizeof address)
        && take(fd, &box->bus, 4) && take(fd, &box->vendor, 2) && take(fd, &box->product, 2) && take(fd, &box->release, 2);
    for (int i = 0; there && i < TEXTS; i++) {
        there = take(fd, &box->length[i], 2) && box->length[i] <= LONGEST && take(fd, box->text[i], box->length[i]);
    }
    if (!there) {
        close(fd);
        free(box);
        errno = ENXIO;
        return -1;
    }
    open_boxes[fd] = box;
    return fd;
}

int open(const char *path, int flags, ...) {
    REAL(int, open, const char *, int, ...);
    va_list rest;
    va_start(rest, flags);
    int mode = va_arg(rest, int);
    va_end(rest);
    return folder() && !strncmp(path, NODE, strlen(NODE)) ? connect_to(path + strlen("/dev/")) : real(path, flags, mode);
}

DIR *opendir(const char *path) {
    REAL(DIR *, opendir, const char *);
    return real(folder() && !strcmp(path, "/dev") ? folder() : path);
}

int inotify_add_watch(int fd, const char *path, uint32_t mask) {
    REAL(int, inotify_add_watch, int, const char *, uint32_t);
    return real(fd, folder() && !strcmp(path, "/dev") ? folder() : path, mask);
}

int ioctl(int fd, unsigned long request, ...) {
    REAL(int, ioctl, int, unsigned long, ...);
    va_list rest;
    va_start(rest, request);
    void *argument = va_arg(rest, void *);
    va_end(rest);
    struct box *box = box_of(fd);
    if (!box) return real(fd, request, argument);
    if (request == HIDIOCGRDESCSIZE) {
        *(int *)argument = box->length[DESCRIPTOR];
        return 0;
    }
    if (request == HIDIOCGRDESC) {
        struct hidraw_report_descriptor *descriptor = argument;
        unsigned room = descriptor->size, length = box->length[DESCRIPTOR];
        memcpy(descriptor->value, box->text[DESCRIPTOR], room < length ? room : length);
        return 0;
    }
    if (request == HIDIOCGRAWINFO) {
        struct hidraw_devinfo *info = argument;
        info->bustype = box->bus;
        info->vendor = box->vendor;
        info->product = box->product;
        return 0;
    }
    /* Those with a length in the request: name 4, physical path 5, serial 8 (HIDIOCGRAWNAME and its like). */
    if (_IOC_TYPE(request) == 'H' && (_IOC_NR(request) == 4 || _IOC_NR(request) == 5 || _IOC_NR(request) == 8)) {
        enum text which = _IOC_NR(request) == 4 ? NAME : _IOC_NR(request) == 5 ? PHYSICAL : SERIAL;
        unsigned length = box->length[which] + 1;
        if (length > _IOC_SIZE(request)) length = _IOC_SIZE(request);
        memcpy(argument, box->text[which], length);
        return length;
    }
    errno = EINVAL;
    return -1;
}

/* One report, as hidraw hands them out. */
ssize_t read(int fd, void *into, size_t room) {
    REAL(ssize_t, read, int, void *, size_t);
    if (!box_of(fd)) return real(fd, into, room);
    uint16_t length;
    unsigned char report[LONGEST];
    if (!take(fd, &length, 2) || length > sizeof report || !take(fd, report, length)) {
        errno = EIO;
        return -1;
    }
    size_t taken = length < room ? length : room;
    memcpy(into, report, taken);
    return taken;
}

int close(int fd) {
    REAL(int, close, int);
    struct box *box = box_of(fd);
    if (box) {
        open_boxes[fd] = NULL;
        free(box);
    }
    return real(fd);
}

char *realpath(const char *path, char *out) {
    REAL(char *, realpath, const char *, char *);
    if (!folder() || strncmp(path, SYSFS, strlen(SYSFS))) return real(path, out);
    return out ? strcpy(out, path) : strdup(path);
}

/* libudev: a node with the parents that winebus looks for. */
struct udev;
struct udev_device {
    enum { HIDRAW, HID, USB } kind;
    struct box box;
    char path[64], node[32], text[4 * LONGEST];
    struct udev_device *hid, *usb;
};

static struct udev_device *device(int kind, const struct box *box, const char *name) {
    static const char *const below[] = {"", "/hid", "/usb"};
    struct udev_device *device = calloc(1, sizeof *device);
    if (!device) abort();
    device->kind = kind;
    device->box = *box;
    snprintf(device->path, sizeof device->path, SYSFS "%s%s", name, below[kind]);
    snprintf(device->node, sizeof device->node, "/dev/%s", name);
    return device;
}

struct udev_device *udev_device_new_from_syspath(struct udev *udev, const char *path) {
    const char *name = strrchr(path, '/') + 1;
    int fd = connect_to(name); /* only for what it says of itself */
    if (fd < 0) return NULL;
    struct udev_device *made = device(HIDRAW, box_of(fd), name);
    made->hid = device(HID, box_of(fd), name);
    made->usb = device(USB, box_of(fd), name);
    close(fd);
    return made;
}

struct udev_device *udev_device_ref(struct udev_device *device) { return device; }

/* Not freed: winebus keeps what it got from here. */
struct udev_device *udev_device_unref(struct udev_device *device) { return NULL; }

const char *udev_device_get_syspath(struct udev_device *device) { return device->path; }

const char *udev_device_get_devnode(struct udev_device *device) { return device->kind == HIDRAW ? device->node : NULL; }

const char *udev_device_get_subsystem(struct udev_device *device) {
    static const char *const names[] = {"hidraw", "hid", "usb"};
    return names[device->kind];
}

const char *udev_device_get_property_value(struct udev_device *device, const char *key) { return NULL; }

struct udev_device *udev_device_get_parent_with_subsystem_devtype(
    struct udev_device *device, const char *subsystem, const char *type) {
    if (!strcmp(subsystem, "hid")) return device->hid;
    return !strcmp(subsystem, "usb") && device->box.bus == 3 /* BUS_USB of linux/input.h */ ? device->usb : NULL;
}

const char *udev_device_get_sysattr_value(struct udev_device *device, const char *key) {
    struct box *box = &device->box;
    if (device->kind == HID) {
        if (strcmp(key, "uevent")) return NULL;
        snprintf(device->text, sizeof device->text, "DRIVER=hid-generic\nHID_ID=%04X:%08X:%08X\nHID_NAME=%s\nHID_PHYS=%s\nHID_UNIQ=%s\n",
            box->bus, box->vendor, box->product, box->text[NAME], box->text[PHYSICAL], box->text[SERIAL]);
        return device->text;
    }
    if (!strcmp(key, "manufacturer")) return (char *)box->text[MANUFACTURER];
    if (!strcmp(key, "product")) return (char *)box->text[NAME];
    if (!strcmp(key, "serial")) return (char *)box->text[SERIAL];
    int number = !strcmp(key, "idVendor") ? box->vendor
        : !strcmp(key, "idProduct")       ? box->product
        : !strcmp(key, "bcdDevice")       ? box->release
                                          : -1;
    if (number < 0) return NULL;
    snprintf(device->text, sizeof device->text, "%04x", number);
    return device->text;
}
