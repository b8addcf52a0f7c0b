/* An emulated box: runs a firmware for the ATmega32U4 in libsimavr, holds the voltages of its wires at its pins, and plays
 * the USB host, or serves its USB to another computer's kernel by USB/IP.
 *
 *   host FW.elf                 speaks on stdin and stdout only, in the time of the emulated chip, as fast as it can
 *   host FW.elf serve PORT      the same in real time, and a USB/IP server on 127.0.0.1:PORT for one box, bus id 1-1
 *
 * One command a line on stdin:
 *   net ID … end                a network of wires: how the box is soldered while certain contacts are closed; see read_net
 *   use MICROSECONDS ID         from that time on (0: now) the wires are so
 *   axis CHANNEL MILLIVOLTS     an analogue input
 *   enumerate                   as a host does; answers "d VENDOR PRODUCT REPORT-DESCRIPTOR", hexadecimal
 *   run MICROSECONDS            until then, or until a report comes; answers "r MICROSECONDS REPORT" or "t MICROSECONDS"
 *   quiet MILLISECONDS          nothing happens that was not there before once the wires and reports stood still for so long:
 *                               then run passes the time in whole milliseconds without emulating it
 *   reset                       a brown-out: the chip starts again, and the box is off the bus until it is enumerated
 *   unplug, plug                serve only: the box leaves and comes back
 *   quit
 *
 * libsimavr is under the GPL 3: this is a tool of the tests, built by them, never shipped.
 *
 * Sources: simavr 1.6's headers; ATmega16U4/32U4 data sheet (register addresses); USB 2.0 chapters 5 and 9;
 * Documentation/usb/usbip_protocol.rst of the Linux kernel. */
#define _GNU_SOURCE
#include <arpa/inet.h>
#include <endian.h>
#include <errno.h>
#include <math.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>
#include "avr_adc.h"
#include "avr_ioport.h"
#include "avr_usb.h"
#include "sim_avr.h"
#include "sim_elf.h"

#define HERTZ 16000000
#define CYCLES_PER_US (HERTZ / 1000000)
#define PORTS 5                                 /* B to F */
#define PINS (8 * PORTS)
#define MOST_NODES 128

static avr_t *avr;
/* Cycles that were passed without being emulated, in whole frames; all times that are said and told count them. */
static avr_cycle_count_t skipped, quiet, last_news;
static avr_cycle_count_t now_cycle(void) { return avr->cycle + skipped; }

__attribute__((format(printf, 1, 2), noreturn)) static void fail(const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    vfprintf(stderr, format, arguments);
    fputc('\n', stderr);
    exit(1);
}

/* ------------------------------------------------------------------ wires */
struct element { char kind; int a, b; double x, y; };
struct known { uint64_t key; uint8_t level[PORTS]; bool used; };
struct net {
    int nodes, count;
    struct element *elements;
    int node_of[PINS];                          /* −1: nothing is soldered to it */
    double leak_volts[PINS], leak_ohms[PINS];   /* 0 ohms: its pull works */
    double pull, drive, threshold, volts;
    bool slow;                                  /* the time since the last change decides */
    char shifted[PINS][260];                    /* inputs of the registers that end at a pin, in the order of reading */
    struct known cache[64];
};
static struct net **nets;
static int net_count;
static struct net *wires;
static double volts_at[MOST_NODES];
static avr_cycle_count_t solved_at;
static uint8_t ddr[PORTS], port[PORTS];

static double matrix[MOST_NODES][MOST_NODES], right[MOST_NODES];

/* Nodal analysis: diodes linearised (Shockley, parameters as commonly published for a 1N4148, from memory) with the junction
 * limiting of SPICE2, capacitors by backward Euler; step 0 is the state of rest. Node 0 is ground. */
#define SATURATION 2.52e-9
#define THERMAL (1.752 * 0.02585)
static void solve(const struct net *n, double *v, double step) {
    const double critical = THERMAL * log(THERMAL / (sqrt(2) * SATURATION));
    double before[MOST_NODES], across[n->count + 1];
    memcpy(before, v, sizeof before);
    int diodes = 0;
    for (int i = 0; i < n->count; i++) {
        if (n->elements[i].kind == 'd') {
            across[i] = fmin(v[n->elements[i].a] - v[n->elements[i].b], critical);
            diodes++;
        }
    }
    for (int round = 0; round < 200; round++) {
        for (int i = 0; i < n->nodes; i++) {
            memset(matrix[i], 0, n->nodes * sizeof(double));
            matrix[i][i] = 1e-12;
            right[i] = 0;
        }
        for (int i = 0; i < n->count; i++) {
            const struct element *e = &n->elements[i];
            int a = e->a, b = e->b;
            double g = 0, current = 0;
            switch (e->kind) {
            case 'r': g = 1 / e->x; break;
            case 'd': {
                double power = exp(fmax(across[i], -10) / THERMAL);
                g = SATURATION / THERMAL * power + 1e-12;
                current = SATURATION * (power - 1) - g * across[i];
                break;
            }
            case 's': matrix[a][a] += 1 / e->y; right[a] += e->x / e->y; continue;
            case 'c':
                if (step > 0) { matrix[a][a] += e->x / step; right[a] += e->x / step * before[a]; }
                continue;
            }
            matrix[a][a] += g; matrix[b][b] += g; matrix[a][b] -= g; matrix[b][a] -= g;
            right[a] -= current; right[b] += current;
        }
        for (int p = 0; p < PINS; p++) {
            int node = n->node_of[p];
            if (node <= 0) continue;
            bool is_out = ddr[p / 8] >> p % 8 & 1, high = port[p / 8] >> p % 8 & 1;
            double ohms = is_out ? n->drive : n->leak_ohms[p] > 0 ? n->leak_ohms[p] : high ? n->pull : 0;
            double to = is_out || n->leak_ohms[p] == 0 ? high ? n->volts : 0 : n->leak_volts[p];
            if (ohms > 0) { matrix[node][node] += 1 / ohms; right[node] += to / ohms; }
        }
        for (int i = 1; i < n->nodes; i++) for (int j = i + 1; j < n->nodes; j++) {
            double f = matrix[j][i] / matrix[i][i];
            if (f == 0) continue;
            for (int k = i; k < n->nodes; k++) matrix[j][k] -= f * matrix[i][k];
            right[j] -= f * right[i];
        }
        double moved = 0;
        double next[MOST_NODES] = {0};
        for (int i = n->nodes - 1; i > 0; i--) {
            double sum = right[i];
            for (int k = i + 1; k < n->nodes; k++) sum -= matrix[i][k] * next[k];
            next[i] = sum / matrix[i][i];
            moved = fmax(moved, fabs(next[i] - v[i]));
        }
        memcpy(v, next, n->nodes * sizeof(double));
        bool limited = false;
        for (int i = 0; i < n->count; i++) {
            if (n->elements[i].kind != 'd') continue;
            double wanted = v[n->elements[i].a] - v[n->elements[i].b], limit = wanted;
            if (wanted > critical && fabs(wanted - across[i]) > 2 * THERMAL) {
                double ratio = 1 + (wanted - across[i]) / THERMAL;
                limit = across[i] > 0 ? ratio > 0 ? across[i] + THERMAL * log(ratio) : critical : THERMAL * log(wanted / THERMAL);
            }
            limited |= fabs(limit - wanted) > 1e-5;
            across[i] = limit;
        }
        if ((moved < 1e-5 && !limited) || !diodes) return;
    }
    fail("the wires do not settle");
}

/* Brings the voltages up to a time, with the pins as they are. */
static void let_pass(avr_cycle_count_t until) {
    if (wires && wires->slow && until > solved_at) {
        double seconds = (double)(until - solved_at) / HERTZ, step = seconds / 127;
        for (int i = 0; i < 7; i++, step *= 2) solve(wires, volts_at, step);
    }
    if (until > solved_at) solved_at = until;
}

/* Changes of the wires to come, by time. */
static struct change { avr_cycle_count_t at; int net; } changes[100000];
static int change_first, change_count;

static void use(int id) {
    struct net *next = nets[id];
    if (next == wires) return;
    double carried[MOST_NODES] = {0};
    if (wires) for (int p = 0; p < PINS; p++)
        if (wires->node_of[p] > 0 && next->node_of[p] > 0) carried[next->node_of[p]] = volts_at[wires->node_of[p]];
    wires = next;
    memcpy(volts_at, carried, sizeof volts_at);
}

static void catch_up(avr_cycle_count_t now) {
    while (change_first < change_count && changes[change_first].at <= now + skipped) {
        let_pass(changes[change_first].at - skipped);
        use(changes[change_first++].net);
    }
    if (change_first == change_count) change_first = change_count = 0;
    let_pass(now);
}

/* 74HC165 and its kin: loading copies the inputs, each rise of the clock brings out the next. */
static int shift_position[PINS], shift_clock = -1, shift_load = -1;

static uint8_t levels(int p) {
    catch_up(avr->cycle);
    /* Of a reset the pins' signals say nothing. */
    for (int i = 0; i < PORTS; i++) { ddr[i] = avr->data[0x24 + 3 * i]; port[i] = avr->data[0x25 + 3 * i]; }
    uint8_t unwired = (uint8_t)((ddr[p] & port[p]) | (~ddr[p] & port[p]));
    if (!wires) return unwired;
    if (!wires->slow) {
        uint64_t key = 1469598103934665603ull;
        for (int i = 0; i < PORTS; i++) key = (key ^ ddr[i]) * 1099511628211ull, key = (key ^ port[i]) * 1099511628211ull;
        struct known *k = &wires->cache[key % 64];
        if (!k->used || k->key != key) {
            double v[MOST_NODES] = {0};
            solve(wires, v, 0);
            k->used = true;
            k->key = key;
            for (int q = 0; q < PORTS; q++) {
                k->level[q] = (uint8_t)port[q];
                for (int bit = 0; bit < 8; bit++) {
                    int node = wires->node_of[8 * q + bit];
                    if (node < 0) continue;
                    if (v[node] > wires->threshold) k->level[q] |= 1 << bit; else k->level[q] &= (uint8_t)~(1 << bit);
                }
            }
        }
        unwired = k->level[p];
    } else for (int bit = 0; bit < 8; bit++) {
        int node = wires->node_of[8 * p + bit];
        if (node < 0) continue;
        if (volts_at[node] > wires->threshold) unwired |= 1 << bit; else unwired &= (uint8_t)~(1 << bit);
    }
    for (int bit = 0; bit < 8; bit++) {
        const char *inputs = wires->shifted[8 * p + bit];
        if (!*inputs) continue;
        int at = shift_position[8 * p + bit], length = (int)strlen(inputs);
        if (at >= length || inputs[at] == '0') unwired |= 1 << bit; else unwired &= (uint8_t)~(1 << bit);
    }
    return unwired;
}

/* Reading PINx gives what the wires do; simavr's own idea of pulled-up pins never comes into it. */
static uint8_t read_pins(struct avr_t *a, avr_io_addr_t address, void *unused) {
    (void)unused;
    return a->data[address] = levels((address - 0x23) / 3);
}

static void pin_written(uint8_t *registers, int p, uint8_t value) {
    catch_up(avr->cycle);
    uint8_t before = registers[p];
    registers[p] = value;
    if (registers != port) return;
    for (int bit = 0; bit < 8; bit++) {
        int pin = 8 * p + bit;
        bool was = before >> bit & 1, is = value >> bit & 1;
        if (pin == shift_load && !is) memset(shift_position, 0, sizeof shift_position);
        if (pin == shift_clock && is && !was) for (int i = 0; i < PINS; i++) shift_position[i]++;
    }
}
static void on_port(struct avr_irq_t *irq, uint32_t value, void *p) { (void)irq; pin_written(port, (int)(long)p, (uint8_t)value); }
static void on_ddr(struct avr_irq_t *irq, uint32_t value, void *p) { (void)irq; pin_written(ddr, (int)(long)p, (uint8_t)value); }

/* net ID, then lines until "end":
 *   nodes N | chip PULL-OHMS DRIVE-OHMS THRESHOLD-VOLTS SUPPLY-VOLTS SLOW | pin PIN NODE | leak PIN VOLTS OHMS
 *   r A B OHMS | d ANODE CATHODE | s NODE VOLTS OHMS | c NODE FARADS | shift DATA-PIN CLOCK-PIN LOAD-PIN INPUTS (1: closed) */
static void read_net(int id) {
    if (id >= net_count) {
        nets = realloc(nets, (id + 1) * sizeof *nets);
        net_count = id + 1;
    }
    struct net *n = nets[id] = calloc(1, sizeof *n);
    for (int p = 0; p < PINS; p++) n->node_of[p] = -1;
    char line[400];
    int room = 0;
    while (fgets(line, sizeof line, stdin) && strncmp(line, "end", 3)) {
        int p, node, slow, clock, load;
        double x, y, z, w;
        struct element e = {0};
        if (sscanf(line, "nodes %d", &n->nodes) == 1) {
            if (n->nodes > MOST_NODES) fail("too many nodes");
            continue;
        }
        if (sscanf(line, "chip %lf %lf %lf %lf %d", &x, &y, &z, &w, &slow) == 5) {
            n->pull = x; n->drive = y; n->threshold = z; n->volts = w; n->slow = slow;
            continue;
        }
        if (sscanf(line, "pin %d %d", &p, &node) == 2) { n->node_of[p] = node; continue; }
        if (sscanf(line, "leak %d %lf %lf", &p, &x, &y) == 3) { n->leak_volts[p] = x; n->leak_ohms[p] = y; continue; }
        char inputs[260];
        if (sscanf(line, "shift %d %d %d %259s", &p, &clock, &load, inputs) == 4) {
            strcpy(n->shifted[p], inputs); shift_clock = clock; shift_load = load;
            continue;
        }
        if (sscanf(line, "r %d %d %lf", &e.a, &e.b, &e.x) == 3) e.kind = 'r';
        else if (sscanf(line, "d %d %d", &e.a, &e.b) == 2) e.kind = 'd';
        else if (sscanf(line, "s %d %lf %lf", &e.a, &e.x, &e.y) == 3) e.kind = 's';
        else if (sscanf(line, "c %d %lf", &e.a, &e.x) == 2) e.kind = 'c';
        else fail("no element of a network: %s", line);
        if (n->count == room) n->elements = realloc(n->elements, (room = room ? 2 * room : 32) * sizeof e);
        n->elements[n->count++] = e;
    }
}

/* ------------------------------------------------------------------ the chip */
/* simavr 1.6 says a bank may be written while the host has not fetched it yet: bit RWAL of UEINTX is right here. */
#define R_UEINTX 0xE8
#define R_UENUM 0xE9
static uint8_t (*simavr_ueintx)(struct avr_t *, avr_io_addr_t, void *);
static uint8_t read_ueintx(struct avr_t *a, avr_io_addr_t address, void *param) {
    uint8_t flags = simavr_ueintx(a, address, param);
    return a->data[R_UENUM] && !(flags & 0x80) ? flags & (uint8_t)~0x20 : flags;
}

static void do_not_sleep(avr_t *a, avr_cycle_count_t cycles) { (void)a; (void)cycles; }

static void start(const char *file) {
    elf_firmware_t firmware;
    memset(&firmware, 0, sizeof firmware);
    if (elf_read_firmware(file, &firmware)) fail("cannot read %s", file);
    avr = avr_make_mcu_by_name("atmega32u4");
    if (!avr) fail("libsimavr has no atmega32u4");
    avr_init(avr);
    avr->frequency = HERTZ;
    avr->vcc = avr->avcc = avr->aref = 5000;
    avr->log = LOG_ERROR;
    avr_load_firmware(avr, &firmware);
    avr->sleep = do_not_sleep;
    simavr_ueintx = avr->io[AVR_DATA_TO_IO(R_UEINTX)].r.c;
    avr->io[AVR_DATA_TO_IO(R_UEINTX)].r.c = read_ueintx;
    for (int p = 0; p < PORTS; p++) {
        avr_irq_t *irq = avr_io_getirq(avr, AVR_IOCTL_IOPORT_GETIRQ('B' + p), 0);
        if (!irq) continue;
        avr_irq_register_notify(irq + IOPORT_IRQ_REG_PORT, on_port, (void *)(long)p);
        avr_irq_register_notify(irq + IOPORT_IRQ_DIRECTION_ALL, on_ddr, (void *)(long)p);
        avr->io[AVR_DATA_TO_IO(0x23 + 3 * p)].r.c = read_pins;
    }
}

static void run_cycles(avr_cycle_count_t cycles) {
    avr_cycle_count_t end = avr->cycle + cycles;
    while (avr->cycle < end) {
        int state = avr_run(avr);
        if (state == cpu_Done || state == cpu_Crashed) fail("the chip stopped, state %d, pc %x", state, avr->pc);
    }
}

static double microseconds(void) { return (double)now_cycle() / CYCLES_PER_US; }

/* ------------------------------------------------------------------ the USB host */
static bool configured;
static int usb(uint32_t what, int endpoint, void *data, uint32_t *bytes) {
    struct avr_io_usb packet = { .pipe = endpoint, .sz = *bytes, .buf = data };
    int result = avr_ioctl(avr, what, &packet);
    *bytes = packet.sz;
    return result;
}

#define STEP (20 * CYCLES_PER_US)
#define GAVE_UP (-100)
static int again(uint32_t what, void *data, uint32_t bytes, uint32_t *got, avr_cycle_count_t end) {
    for (;;) {
        uint32_t n = bytes;
        int result = usb(what, 0, data, &n);
        *got = n;
        if (result != AVR_IOCTL_USB_NAK) return result;
        if (avr->cycle > end) return GAVE_UP;
        run_cycles(STEP);
    }
}

/* A whole control transfer; the bytes moved, AVR_IOCTL_USB_STALL, or GAVE_UP after a second. */
static int control(const uint8_t setup[8], uint8_t *data) {
    avr_cycle_count_t end = avr->cycle + HERTZ;
    uint8_t packet[64];
    uint32_t n;
    int wanted = setup[6] | setup[7] << 8, done = 0, result;
    memcpy(packet, setup, 8);
    if ((result = again(AVR_IOCTL_USB_SETUP, packet, 8, &n, end))) return GAVE_UP;
    if (setup[0] & 0x80) {
        while (done < wanted) {
            run_cycles(STEP);
            if ((result = again(AVR_IOCTL_USB_READ, packet, 64, &n, end))) return result;
            if ((int)n > wanted - done) n = wanted - done;
            memcpy(data + done, packet, n);
            done += n;
            if (n < 64) break;
        }
        run_cycles(STEP);
        result = again(AVR_IOCTL_USB_WRITE, packet, 0, &n, end);
    } else {
        while (done < wanted) {
            run_cycles(STEP);
            n = wanted - done > 64 ? 64 : wanted - done;
            if ((result = again(AVR_IOCTL_USB_WRITE, data + done, n, &n, end))) return result;
            done += n;
        }
        run_cycles(STEP);
        result = again(AVR_IOCTL_USB_READ, packet, 0, &n, end);
    }
    run_cycles(STEP);
    if (setup[0] == 0 && setup[1] == 9 && !result) configured = true;
    return result ? result : done;
}

static int request(uint8_t type, uint8_t code, uint16_t value, uint16_t bytes, uint8_t *data) {
    uint8_t setup[8] = { type, code, value & 255, value >> 8, 0, 0, bytes & 255, bytes >> 8 };
    return control(setup, data);
}

static void bus_reset(void) {
    configured = false;
    avr_ioctl(avr, AVR_IOCTL_USB_RESET, NULL);
    run_cycles(HERTZ / 100);
}

static uint8_t device[18], configuration[512];
static int configuration_bytes, report_endpoint = 1;

/* What every host does first; the interrupt endpoint is polled from then on. */
static int enumerate(uint8_t *report_descriptor) {
    run_cycles(HERTZ / 50);
    bus_reset();
    if (request(0x80, 6, 0x0100, 18, device) != 18) fail("no device descriptor");
    if (request(0x00, 5, 7, 0, NULL) < 0) fail("no address");
    configuration_bytes = request(0x80, 6, 0x0200, sizeof configuration, configuration);
    if (configuration_bytes < 9) fail("no configuration descriptor");
    int bytes = 0;
    for (int i = 0; i + 8 < configuration_bytes + 2; i += configuration[i] ? configuration[i] : 1) {
        if (configuration[i + 1] == 0x21) bytes = configuration[i + 7] | configuration[i + 8] << 8;
        if (configuration[i + 1] == 5) report_endpoint = configuration[i + 2] & 15;
    }
    if (request(0x00, 9, configuration[5], 0, NULL) < 0) fail("not configured");
    request(0x21, 0x0A, 0, 0, NULL);
    int got = request(0x81, 6, 0x2200, bytes, report_descriptor);
    if (got != bytes) fail("%d bytes of report descriptor instead of %d", got, bytes);
    return got;
}

static void print_hex(const uint8_t *bytes, int n) {
    for (int i = 0; i < n; i++) printf("%02x", bytes[i]);
}

/* A host's frame ends at every whole millisecond. */
static bool next_frame(avr_cycle_count_t limit, uint8_t *report, uint32_t *bytes) {
    avr_cycle_count_t frame = (avr->cycle / (HERTZ / 1000) + 1) * (HERTZ / 1000);
    if (frame > limit) {
        if (limit > avr->cycle) run_cycles(limit - avr->cycle);
        *bytes = 0;
        return false;
    }
    run_cycles(frame - avr->cycle);
    *bytes = 64;
    if (!configured || usb(AVR_IOCTL_USB_READ, report_endpoint, report, bytes)) *bytes = 0;
    return true;
}

/* ------------------------------------------------------------------ USB/IP */
static int listener = -1, client = -1;
static bool imported, plugged = true;
static struct { uint32_t sequence; uint32_t bytes; bool used; } pending[16];
static struct { uint8_t bytes[64]; uint32_t n; } kept[256];
static int kept_first, kept_count;
static bool polled;

static void put32(uint8_t *p, uint32_t v) { v = htobe32(v); memcpy(p, &v, 4); }
static void put16(uint8_t *p, uint16_t v) { v = htobe16(v); memcpy(p, &v, 2); }
static uint32_t get32(const uint8_t *p) { uint32_t v; memcpy(&v, p, 4); return be32toh(v); }

static void drop(const char *why) {
    if (client >= 0) { printf("gone %s\n", why); close(client); }
    client = -1;
    imported = polled = false;
    kept_count = 0;
    memset(pending, 0, sizeof pending);
}
static bool all_out(const void *bytes, size_t n) {
    for (const char *p = bytes; n;) {
        ssize_t k = send(client, p, n, MSG_NOSIGNAL);
        if (k < 0 && errno == EINTR) continue;
        if (k <= 0) { drop("the connection broke"); return false; }
        p += k; n -= k;
    }
    return true;
}
static bool all_in(void *bytes, size_t n) {
    for (char *p = bytes; n;) {
        ssize_t k = recv(client, p, n, 0);
        if (k < 0 && errno == EINTR) continue;
        if (k <= 0) { drop("the other side closed"); return false; }
        p += k; n -= k;
    }
    return true;
}

static void describe(uint8_t b[312]) {
    memset(b, 0, 312);
    strcpy((char *)b, "/sys/devices/emulated/1-1");
    strcpy((char *)b + 256, "1-1");
    put32(b + 288, 1); put32(b + 292, 2); put32(b + 296, 2);    /* bus 1, device 2, full speed */
    put16(b + 300, device[8] | device[9] << 8);
    put16(b + 302, device[10] | device[11] << 8);
    put16(b + 304, device[12] | device[13] << 8);
    b[306] = device[4]; b[307] = device[5]; b[308] = device[6];
    b[310] = device[17]; b[311] = configuration[4];
}

static void answer(uint32_t sequence, int status, const uint8_t *data, int n, int actual) {
    uint8_t h[48 + 4096] = {0};
    put32(h, 3); put32(h + 4, sequence); put32(h + 20, status); put32(h + 24, actual);
    if (n) memcpy(h + 48, data, n);
    all_out(h, 48 + n);
}

static void submit(const uint8_t h[48]) {
    uint32_t sequence = get32(h + 4), in = get32(h + 12), endpoint = get32(h + 16), bytes = get32(h + 24);
    uint8_t data[4096];
    if (bytes > sizeof data) { drop("a transfer too long"); return; }
    if (!in && bytes && !all_in(data, bytes)) return;
    if (endpoint == 0) {
        int n = control(h + 40, data);
        if (n < 0) answer(sequence, n == AVR_IOCTL_USB_STALL ? -EPIPE : -ETIMEDOUT, NULL, 0, 0);
        else if (in) answer(sequence, 0, data, n > (int)bytes ? (int)bytes : n, n);
        else answer(sequence, 0, NULL, 0, n);
        return;
    }
    for (int i = 0; i < 16; i++) if (!pending[i].used) {
        pending[i].used = true; pending[i].sequence = sequence; pending[i].bytes = bytes;
        polled = true;
        return;
    }
    drop("too many transfers");
}

static void from_client(void) {
    uint8_t h[48], b[8 + 4 + 312 + 4] = {0};
    if (imported) {
        if (!all_in(h, 48)) return;
        if (get32(h) == 1) { submit(h); return; }
        if (get32(h) != 2) { drop("an unknown command"); return; }
        int status = 0;
        for (int i = 0; i < 16; i++) if (pending[i].used && pending[i].sequence == get32(h + 20)) {
            pending[i].used = false; status = -ECONNRESET; polled = false; kept_count = 0;
        }
        put32(b, 4); put32(b + 4, get32(h + 4)); put32(b + 20, status);
        all_out(b, 48);
        return;
    }
    if (!all_in(h, 8)) return;
    int operation = h[2] << 8 | h[3];
    put16(b, 0x0111);
    if (operation == 0x8003) {
        char id[32];
        if (!all_in(id, 32)) return;
        bool ours = !strncmp(id, "1-1", 32) && plugged;
        put16(b + 2, 0x0003); put32(b + 4, !ours); describe(b + 8);
        if (all_out(b, ours ? 320 : 8) && ours) { imported = true; bus_reset(); printf("imported\n"); }
        if (!ours) drop("asked for a box that is not there");
    } else drop("an unknown operation");
}

/* Polls on while the next transfer is on its way: a real host controller would not make the box wait either. */
static void give_reports(const uint8_t *report, uint32_t n) {
    if (n && polled && kept_count < 256) {
        int at = (kept_first + kept_count++) % 256;
        memcpy(kept[at].bytes, report, n);
        kept[at].n = n;
    }
    while (kept_count && client >= 0) {
        int first = -1;
        for (int i = 0; i < 16; i++)
            if (pending[i].used && (first < 0 || pending[i].sequence < pending[first].sequence)) first = i;
        if (first < 0) return;
        pending[first].used = false;
        int at = kept_first;
        kept_first = (kept_first + 1) % 256; kept_count--;
        answer(pending[first].sequence, 0, kept[at].bytes, kept[at].n, kept[at].n);
    }
}

/* ------------------------------------------------------------------ commands */
static void run_until(double until) {
    avr_cycle_count_t limit = (avr_cycle_count_t)(until * CYCLES_PER_US);
    uint8_t report[64];
    uint32_t n;
    while (now_cycle() < limit) {
        if (quiet && change_first == change_count && now_cycle() > last_news + quiet) {
            skipped += (limit - now_cycle()) / (HERTZ / 1000) * (HERTZ / 1000);
            if (now_cycle() >= limit) break;
        }
        if (next_frame(limit - skipped, report, &n) && n) {
            last_news = now_cycle();
            printf("r %.3f ", microseconds());
            print_hex(report, n);
            putchar('\n');
            return;
        }
    }
    printf("t %.3f\n", microseconds());
}

/* False at the end of the session. */
static bool command(const char *line, bool serving) {
    int id, channel, millivolts;
    double at;
    if (sscanf(line, "net %d", &id) == 1) read_net(id);
    else if (sscanf(line, "use %lf %d", &at, &id) == 2) {
        avr_cycle_count_t when = (avr_cycle_count_t)(at * CYCLES_PER_US);
        if (when < now_cycle()) when = now_cycle();
        last_news = when;
        if (change_count == 100000) fail("too many changes to come");
        int i = change_count++;
        for (; i > change_first && changes[i - 1].at > when; i--) changes[i] = changes[i - 1];
        changes[i].at = when; changes[i].net = id;
    } else if (sscanf(line, "axis %d %d", &channel, &millivolts) == 2)
        avr_raise_irq(avr_io_getirq(avr, AVR_IOCTL_ADC_GETIRQ, channel), millivolts), last_news = now_cycle();
    else if (sscanf(line, "quiet %d", &id) == 1) quiet = (avr_cycle_count_t)id * (HERTZ / 1000);
    else if (!strncmp(line, "enumerate", 9)) {
        uint8_t descriptor[4096];
        int n = enumerate(descriptor);
        printf("d %02x%02x %02x%02x ", device[9], device[8], device[11], device[10]);
        print_hex(descriptor, n);
        putchar('\n');
    } else if (sscanf(line, "run %lf", &at) == 1 && !serving) run_until(at);
    else if (!strncmp(line, "reset", 5)) {
        if (serving) drop("brown-out");
        avr_cycle_count_t before = now_cycle();
        configured = false;
        avr_reset(avr);                         /* its cycles count from 0 again */
        skipped = before - avr->cycle;
        solved_at = avr->cycle;
        last_news = now_cycle();
        printf("t %.3f\n", microseconds());
    } else if (!strncmp(line, "unplug", 6)) { plugged = false; drop("unplugged"); }
    else if (!strncmp(line, "plug", 4)) plugged = true;
    else if (!strncmp(line, "quit", 4)) return false;
    else fail("no command: %s", line);
    return true;
}

static double wall(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return t.tv_sec + t.tv_nsec / 1e9;
}

static void serve(int number) {
    uint8_t descriptor[4096], report[64];
    uint32_t n;
    int one = 1;
    enumerate(descriptor);
    listener = socket(AF_INET, SOCK_STREAM, 0);
    setsockopt(listener, SOL_SOCKET, SO_REUSEADDR, &one, sizeof one);
    struct sockaddr_in address = { .sin_family = AF_INET, .sin_port = htons(number), .sin_addr.s_addr = htonl(INADDR_LOOPBACK) };
    if (bind(listener, (void *)&address, sizeof address) || listen(listener, 2)) fail("port %d: %s", number, strerror(errno));
    socklen_t length = sizeof address;
    getsockname(listener, (void *)&address, &length);
    printf("ready %d\n", ntohs(address.sin_port));
    double wall0 = wall();
    avr_cycle_count_t cycle0 = avr->cycle;
    for (;;) {
        next_frame(avr->cycle + HERTZ, report, &n);
        give_reports(report, n);
        double ahead = (double)(avr->cycle - cycle0) / HERTZ - (wall() - wall0);
        if (ahead < -0.2) { wall0 = wall(); cycle0 = avr->cycle; ahead = 0; }      /* too busy a machine: go on from here */
        struct pollfd f[3] = {{ listener, POLLIN, 0 }, { client, POLLIN, 0 }, { 0, POLLIN, 0 }};
        if (poll(f, 3, ahead > 0.001 ? (int)(ahead * 1000) : 0) <= 0) continue;
        if (f[0].revents) {
            int k = accept(listener, NULL, NULL);
            if (client >= 0) close(k);
            else { client = k; setsockopt(k, IPPROTO_TCP, TCP_NODELAY, &one, sizeof one); }
        } else if (client >= 0 && f[1].revents) from_client();
        if (f[2].revents) {
            char line[400];
            if (!fgets(line, sizeof line, stdin) || !command(line, true)) return;
        }
    }
}

int main(int argc, char **argv) {
    setvbuf(stdout, NULL, _IOLBF, 0);
    setvbuf(stdin, NULL, argc > 3 ? _IONBF : _IOFBF, argc > 3 ? 0 : 1 << 16);
    if (argc < 2) fail("usage: host FW.elf [serve PORT]");
    start(argv[1]);
    if (argc > 3) { serve(atoi(argv[3])); return 0; }
    char line[400];
    while (fgets(line, sizeof line, stdin) && command(line, false)) {}
    return 0;
}
