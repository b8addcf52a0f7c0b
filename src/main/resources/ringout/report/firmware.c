/* Firmware of a switch panel on an ATmega32U4 at 16 MHz: scans a matrix, direct pins and shift registers, turns encoder
 * steps into pulses, reads axes, and reports all of it as a USB game controller.
 *
 * Build:   avr-gcc -mmcu=atmega32u4 -Os -std=gnu11 -Wall -Wextra -o box.elf THIS_FILE
 *          avr-objcopy -O ihex -R .eeprom box.elf box.hex
 * and upload box.hex with the tool that the maker of your board gives for that; see docs/flashing.md.
 *
 * Sources: ATmega16U4/32U4 data sheet (registers, USB device controller), USB 2.0 chapter 9 (requests, descriptors),
 * Device Class Definition for HID 1.11 (class requests), HID Usage Tables (what the report descriptor says). */
#define F_CPU 16000000UL
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/pgmspace.h>
#include <avr/sleep.h>
#include <avr/wdt.h>
#include <util/delay.h>

/* A pin is its port (B is 0 … F is 4) times 8, and its bit. A place is one switch that can be read: first the crossings,
 * driven line by driven line, then the direct pins, then the inputs of the shift registers. What a place means: a button
 * from 0; 0x80 and up a phase of an encoder (twice its number, 1 more for b); 0xC0 and up a way of a hat (four times its
 * number, then up, right, down, left); 0xFF nothing. */
#define PIN(port, bit) ((uint8_t)(((port) - 'B') * 8 + (bit)))
#define PHASE 0x80
#define WAY 0xC0
#define NOTHING 0xFF

/*SETTINGS*/

#define CROSSINGS (DRIVEN * SENSED)
#define PLACES (CROSSINGS + DIRECT + SHIFTED)
#define BUTTON_BYTES ((BUTTONS + 7) / 8)
#define REPORT_BYTES (BUTTON_BYTES + HATS + 2 * AXES)
#define ENDPOINT0_BYTES 64
#define ENDPOINT1_BYTES 64
_Static_assert(PLACES > 0 && PLACES <= 255, "at most 255 places");
_Static_assert(REPORT_BYTES > 0 && REPORT_BYTES <= ENDPOINT1_BYTES, "a report fits into one packet");

/* ------------------------------------------------------------------ pins: PINx, DDRx and PORTx follow each other */
#define PIN_REGISTER(pin) _SFR_MEM8(0x23 + 3 * ((pin) >> 3))
#define DDR_REGISTER(pin) _SFR_MEM8(0x24 + 3 * ((pin) >> 3))
#define PORT_REGISTER(pin) _SFR_MEM8(0x25 + 3 * ((pin) >> 3))
#define BIT(pin) (uint8_t)(1 << ((pin) & 7))

#if CROSSINGS || SHIFTED
static void out(uint8_t pin, uint8_t high) {
    if (high) PORT_REGISTER(pin) |= BIT(pin); else PORT_REGISTER(pin) &= (uint8_t)~BIT(pin);
    DDR_REGISTER(pin) |= BIT(pin);
}
#endif

static void in(uint8_t pin, uint8_t pulled) {
    DDR_REGISTER(pin) &= (uint8_t)~BIT(pin);
    if (pulled) PORT_REGISTER(pin) |= BIT(pin); else PORT_REGISTER(pin) &= (uint8_t)~BIT(pin);
}

/* All ports at one moment, so that a line's inputs are as old as each other. */
static uint8_t sampled[5];

static void sample(void) {
    for (uint8_t port = 0; port < 5; port++) sampled[port] = _SFR_MEM8(0x23 + 3 * port);
}

static uint8_t is_high(uint8_t pin) {
    return sampled[pin >> 3] >> (pin & 7) & 1;
}

/* ------------------------------------------------------------------ what is closed */
static uint8_t believed[(PLACES + 7) / 8];
static uint8_t differs[PLACES];
static uint8_t news = 1;                                        /* something is to be reported that was not before */

static uint8_t is_on(uint8_t place) {
    return believed[place >> 3] >> (place & 7) & 1;
}

/* A change is believed once it stood for DEBOUNCE_MS; phases of an encoder at once, they come faster than that. */
static void seen(uint8_t place, uint8_t closed) {
    if (closed == is_on(place)) {
        differs[place] = 0;
        return;
    }
    uint8_t means = pgm_read_byte(meaning + place);
    uint8_t wanted = means >= PHASE && means < WAY ? 1 : DEBOUNCE_MS;
    if (++differs[place] >= wanted) {
        differs[place] = 0;
        news = 1;
        believed[place >> 3] ^= (uint8_t)(1 << (place & 7));
    }
}

static void scan(void) {
#if DIRECT
    sample();
    for (uint8_t k = 0; k < DIRECT; k++) seen(CROSSINGS + k, is_high(pgm_read_byte(direct + k)) == DIRECT_HIGH);
#endif
#if SHIFTED
    for (uint8_t k = 0, before = NOTHING; k < SHIFTED; k++) {
        uint8_t data = pgm_read_byte(shift_data + k / 8);
        if (data != before) {                                   /* chains share the clock: each is loaded in its turn */
            out(SHIFT_LOAD, 0);
            _delay_us(1);
            out(SHIFT_LOAD, 1);
            before = data;
        }
        _delay_us(1);
        sample();
        seen(CROSSINGS + DIRECT + k, !is_high(data));
        out(SHIFT_CLOCK, 1);
        out(SHIFT_CLOCK, 0);
    }
#endif
#if CROSSINGS
    for (uint8_t d = 0, place = 0; d < DRIVEN; d++) {
        uint8_t line = pgm_read_byte(driven + d);
        out(line, ACTIVE_HIGH);
        _delay_us(SETTLE_US);
        sample();
        in(line, IDLE_PULLED);
        for (uint8_t s = 0; s < SENSED; s++, place++) seen(place, is_high(pgm_read_byte(sensed + s)) == ACTIVE_HIGH);
    }
#endif
}

/* ------------------------------------------------------------------ encoders: a leads b by a quarter turned clockwise */
#if ENCODERS
static uint8_t stood[ENCODERS], ticks[ENCODERS];
static uint8_t phase_at[ENCODERS][2];
static int8_t quarters[ENCODERS], pulsing[ENCODERS], owed[ENCODERS];

static void find_phases(void) {
    for (uint8_t k = 0; k < PLACES; k++) {
        uint8_t means = pgm_read_byte(meaning + k);
        if (means >= PHASE && means < WAY) phase_at[(means - PHASE) >> 1][means & 1] = k;
    }
}

static void turn(void) {
    for (uint8_t e = 0; e < ENCODERS; e++) {
        uint8_t a = is_on(phase_at[e][0]), b = is_on(phase_at[e][1]);
        uint8_t at = a ? b ? 2 : 1 : b ? 3 : 0, step = (uint8_t)(at - stood[e]) & 3;
        stood[e] = at;
        int8_t pulse_before = pulsing[e];
        quarters[e] += step == 1 ? 1 : step == 3 ? -1 : 0;
        if (at == 0) {
            if (quarters[e] >= 3 && owed[e] < 100) owed[e]++;
            if (quarters[e] <= -3 && owed[e] > -100) owed[e]--;
            quarters[e] = 0;
        }
        if (ticks[e]) ticks[e]--;
        else if (pulsing[e]) { pulsing[e] = 0; ticks[e] = PULSE_MS - 1; }
        else if (owed[e]) { pulsing[e] = owed[e] > 0 ? 1 : -1; owed[e] -= pulsing[e]; ticks[e] = PULSE_MS - 1; }
        news |= pulsing[e] != pulse_before;
    }
}
#endif

/* ------------------------------------------------------------------ axes, one conversion a millisecond */
#if AXES
static uint16_t axis_at[AXES];

static void measure(void) {
    static uint8_t axis;
    if (ADCSRA & (1 << ADSC)) return;
    uint16_t now = ADC;
    uint16_t was = axis_at[axis];
    /* One step of noise is no movement, but the ends are the ends. */
    if (now != was && (now > was + 1 || was > now + 1 || now == 0 || now == 1023)) {
        axis_at[axis] = now;
        news = 1;
    }
    axis = (uint8_t)(axis + 1) % AXES;
    uint8_t channel = pgm_read_byte(axis_channel + axis);
    ADMUX = (1 << REFS0) | (channel & 7);
    ADCSRB = channel & 8 ? 1 << MUX5 : 0;
    ADCSRA |= 1 << ADSC;
}
#endif

/* ------------------------------------------------------------------ the report */
static uint8_t report[REPORT_BYTES];
static volatile uint8_t unsent, configured;
static uint8_t idle_rate;

#if HATS
/* Eighths clockwise from up by which ways are closed; opposite ways cancel each other; 8 is none. */
static const uint8_t compass[16] PROGMEM = {8, 0, 2, 1, 4, 8, 3, 2, 6, 7, 8, 0, 5, 6, 4, 8};
#endif

static void compose(void) {
    if (!news) return;
    news = 0;
    uint8_t next[REPORT_BYTES] = {0};
#if HATS
    uint8_t ways[HATS] = {0};
#endif
    for (uint8_t k = 0; k < PLACES; k++) {
        if (!is_on(k)) continue;
        uint8_t means = pgm_read_byte(meaning + k);
        if (means < PHASE) next[means >> 3] |= (uint8_t)(1 << (means & 7));
#if HATS
        else if (means >= WAY && means != NOTHING) ways[(means - WAY) >> 2] |= (uint8_t)(1 << (means & 3));
#endif
    }
#if ENCODERS
    for (uint8_t e = 0; e < ENCODERS; e++) {
        if (pulsing[e]) {
            uint8_t button = pgm_read_byte(&pulse[e][pulsing[e] < 0]);
            next[button >> 3] |= (uint8_t)(1 << (button & 7));
        }
    }
#endif
#if HATS
    for (uint8_t h = 0; h < HATS; h++) next[BUTTON_BYTES + h] = pgm_read_byte(compass + ways[h]);
#endif
#if AXES
    for (uint8_t a = 0; a < AXES; a++) {
        next[BUTTON_BYTES + HATS + 2 * a] = (uint8_t)axis_at[a];
        next[BUTTON_BYTES + HATS + 2 * a + 1] = (uint8_t)(axis_at[a] >> 8);
    }
#endif
    for (uint8_t k = 0; k < REPORT_BYTES; k++) {
        if (report[k] != next[k]) {
            report[k] = next[k];
            unsent = 1;
        }
    }
}

/* ------------------------------------------------------------------ USB */
static const uint8_t device_descriptor[] PROGMEM = {
    18, 1, 0x00, 0x02, 0, 0, 0, ENDPOINT0_BYTES,
    VENDOR & 255, VENDOR >> 8, PRODUCT & 255, PRODUCT >> 8, 0x00, 0x01, 0, 1, SERIAL_INDEX, 1};

#define CONFIGURATION_BYTES (9 + 9 + 9 + 7)
static const uint8_t configuration_descriptor[] PROGMEM = {
    9, 2, CONFIGURATION_BYTES, 0, 1, 1, 0, 0x80, 50,                                /* bus powered, 100 mA */
    9, 4, 0, 0, 1, 3, 0, 0, 0,                                                      /* one HID interface */
    9, 0x21, 0x11, 0x01, 0, 1, 0x22, sizeof report_descriptor & 255, sizeof report_descriptor >> 8,
    7, 5, 0x81, 3, ENDPOINT1_BYTES, 0, 1};                                          /* interrupt in, every millisecond */

static const uint8_t language_string[] PROGMEM = {4, 3, 0x09, 0x04};

static void acknowledge(void) {
    UEINTX = (uint8_t)~(1 << TXINI);
}

/* The data stage of a control read, in packets, with an empty one where the last is full but less than was asked for. */
static void answer(const uint8_t *from, uint16_t bytes, uint16_t wanted, uint8_t in_flash) {
    uint8_t short_one = bytes < wanted;
    if (bytes > wanted) bytes = wanted;
    uint8_t packet;
    do {
        uint8_t flags;
        do flags = UEINTX; while (!(flags & ((1 << TXINI) | (1 << RXOUTI) | (1 << RXSTPI))));
        if (flags & (1 << RXSTPI)) return;                      /* it has given up on this one and asks the next */
        if (flags & (1 << RXOUTI)) {                            /* the host has had enough */
            UEINTX = (uint8_t)~(1 << RXOUTI);
            return;
        }
        packet = bytes < ENDPOINT0_BYTES ? (uint8_t)bytes : ENDPOINT0_BYTES;
        for (uint8_t k = 0; k < packet; k++, from++) UEDATX = in_flash ? pgm_read_byte(from) : *from;
        bytes -= packet;
        acknowledge();
    } while (bytes || (packet == ENDPOINT0_BYTES && short_one));
}

#define ANSWER(descriptor) answer(descriptor, sizeof descriptor, wanted, 1)

ISR(USB_GEN_vect) {
    uint8_t flags = UDINT;
    UDINT = 0;
    if (flags & (1 << EORSTI)) {                                /* a bus reset: only endpoint 0 is left */
        UENUM = 0;
        UECONX = 1 << EPEN;
        UECFG0X = 0;
        UECFG1X = (3 << EPSIZE0) | (1 << ALLOC);
        UEIENX = 1 << RXSTPE;
        configured = 0;
    }
}

/* True where the request is known and was answered. */
static uint8_t request(uint8_t type, uint8_t code, uint16_t value, uint16_t wanted) {
    static uint8_t zero[2];
    if ((type & 0xE0) == 0x80 && code == 0) { answer(zero, 2, wanted, 0); return 1; }   /* GET_STATUS */
    if (type == 0x81 && code == 10) { answer(zero, 1, wanted, 0); return 1; }           /* GET_INTERFACE: the only one */
    if (type == 0x01 && code == 11) { if (value) return 0; acknowledge(); return 1; }   /* SET_INTERFACE */
    if (type == 0x02 && code == 1) { acknowledge(); return 1; }                         /* CLEAR_FEATURE: no halt stays */
    if (type == 0x00 && code == 5) {                            /* SET_ADDRESS: takes effect after the status stage */
        UDADDR = value & 0x7F;
        acknowledge();
        while (!(UEINTX & (1 << TXINI))) {}
        UDADDR = (value & 0x7F) | (1 << ADDEN);
        return 1;
    }
    if ((type & 0xE0) == 0x80 && code == 6) {                   /* GET_DESCRIPTOR */
        switch (value >> 8) {
        case 1: ANSWER(device_descriptor); return 1;
        case 2: ANSWER(configuration_descriptor); return 1;
        case 3:
            switch (value & 255) {
            case 0: ANSWER(language_string); return 1;
            case 1: ANSWER(name_string); return 1;
#if SERIAL_INDEX
            case SERIAL_INDEX: ANSWER(serial_string); return 1;
#endif
            }
            return 0;
        case 0x21: answer(configuration_descriptor + 18, 9, wanted, 1); return 1;
        case 0x22: ANSWER(report_descriptor); return 1;
        }
        return 0;
    }
    if (type == 0x80 && code == 8) { uint8_t now = configured; answer(&now, 1, wanted, 0); return 1; }
    if (type == 0x00 && code == 9) {                            /* SET_CONFIGURATION */
        configured = (uint8_t)value;
        acknowledge();
        UENUM = 1;
        UECONX = 1 << EPEN;
        UECFG0X = (3 << EPTYPE0) | (1 << EPDIR);
        UECFG1X = (3 << EPSIZE0) | (1 << ALLOC);
        UERST = 1 << 1;
        UERST = 0;
        unsent = 1;
        return 1;
    }
    if (type == 0x21 && code == 0x0A) { idle_rate = (uint8_t)(value >> 8); acknowledge(); return 1; }   /* SET_IDLE */
    if (type == 0xA1 && code == 0x02) { answer(&idle_rate, 1, wanted, 0); return 1; }                   /* GET_IDLE */
    if (type == 0xA1 && code == 0x01) { answer(report, REPORT_BYTES, wanted, 0); return 1; }            /* GET_REPORT */
    return 0;
}

ISR(USB_COM_vect) {
    UENUM = 0;
    if (!(UEINTX & (1 << RXSTPI))) return;
    uint8_t type = UEDATX, code = UEDATX;
    uint16_t value = UEDATX; value |= (uint16_t)UEDATX << 8;
    uint16_t index = UEDATX; index |= (uint16_t)UEDATX << 8;
    uint16_t wanted = UEDATX; wanted |= (uint16_t)UEDATX << 8;
    (void)index;
    UEINTX = (uint8_t)~((1 << RXSTPI) | (1 << RXOUTI) | (1 << TXINI));
    if (!request(type, code, value, wanted)) UECONX = (1 << STALLRQ) | (1 << EPEN);
}

static void usb_start(void) {
    UHWCON = 1 << UVREGE;
    USBCON = (1 << USBE) | (1 << FRZCLK);
    PLLCSR = (1 << PINDIV) | (1 << PLLE);                       /* 16 MHz crystal */
    while (!(PLLCSR & (1 << PLOCK))) {}
    USBCON = (1 << USBE) | (1 << OTGPADE);
    UDCON = 0;                                                  /* full speed, attached */
    UDIEN = 1 << EORSTE;
}

static void usb_send(void) {
    uint8_t before = SREG;
    cli();
    UENUM = 1;
    if (configured && unsent && (UEINTX & (1 << TXINI))) {      /* the bank is free */
        for (uint8_t k = 0; k < REPORT_BYTES; k++) UEDATX = report[k];
        UEINTX = 0x3A;                                          /* hands it over: clears FIFOCON, NAKINI and TXINI */
        unsent = 0;
    }
    SREG = before;
}

/* ------------------------------------------------------------------ a millisecond at a time */
static volatile uint8_t tick;

ISR(TIMER0_COMPA_vect) {
    tick = 1;
}

int main(void) {
    MCUSR = 0;
    wdt_disable();
    CLKPR = 1 << CLKPCE;
    CLKPR = 0;
    MCUCR = 1 << JTD;                                           /* twice within four cycles: port F is for us */
    MCUCR = 1 << JTD;
#if CROSSINGS
    for (uint8_t k = 0; k < DRIVEN; k++) in(pgm_read_byte(driven + k), IDLE_PULLED);
    for (uint8_t k = 0; k < SENSED; k++) in(pgm_read_byte(sensed + k), !ACTIVE_HIGH);
#endif
#if DIRECT
    for (uint8_t k = 0; k < DIRECT; k++) in(pgm_read_byte(direct + k), !DIRECT_HIGH);
#endif
#if SHIFTED
    for (uint8_t k = 0; k < SHIFTED / 8; k++) in(pgm_read_byte(shift_data + k), 1);
    out(SHIFT_CLOCK, 0);
    out(SHIFT_LOAD, 1);
#endif
#if AXES
    ADMUX = (1 << REFS0) | (pgm_read_byte(axis_channel) & 7);
    ADCSRB = pgm_read_byte(axis_channel) & 8 ? 1 << MUX5 : 0;
    ADCSRA = (1 << ADEN) | (1 << ADSC) | (1 << ADPS2) | (1 << ADPS1) | (1 << ADPS0);
#endif
    TCCR0A = 1 << WGM01;
    TCCR0B = (1 << CS01) | (1 << CS00);
    OCR0A = 249;                                                /* 16 MHz / 64 / 250 = 1 kHz */
    TIMSK0 = 1 << OCIE0A;
#if HATS
    for (uint8_t h = 0; h < HATS; h++) report[BUTTON_BYTES + h] = 8;
#endif
#if ENCODERS
    find_phases();
#endif
    usb_start();
    set_sleep_mode(SLEEP_MODE_IDLE);
    sei();
    for (;;) {
        sleep_mode();
        if (!tick) continue;
        tick = 0;
        scan();
#if ENCODERS
        turn();
#endif
#if AXES
        measure();
#endif
        compose();
        usb_send();
    }
}
