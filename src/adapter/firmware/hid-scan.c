#include "hid-scan.h"

/* Items: type and tag with the size left out (HID 1.11 section 6.2.2.2 and following). */
enum {
    INPUT = 0x80,
    COLLECTION = 0xA0,
    END_COLLECTION = 0xC0,
    USAGE_PAGE = 0x04,
    REPORT_SIZE = 0x74,
    REPORT_ID = 0x84,
    REPORT_COUNT = 0x94,
    PUSH = 0xA4,
    POP = 0xB4,
    USAGE = 0x08,
    USAGE_MINIMUM = 0x18,
};
#define LONG_ITEM 0xFEu
#define APPLICATION 1u

/* Usages of the page Generic Desktop (HUT 1.12 section 4). */
#define GENERIC_DESKTOP 1u
enum { MOUSE = 2, JOYSTICK = 4, GAME_PAD = 5, KEYBOARD = 6, KEYPAD = 7, MULTI_AXIS = 8 };

#define MAX_PUSHED 8u
#define MAX_BITS (8u * HID_MAX_REPORT_BYTES)

struct globals {
    uint16_t page;
    uint8_t report;
    uint32_t size;
    uint32_t count;
};

struct state {
    struct globals now;
    struct globals pushed[MAX_PUSHED];
    uint8_t depth;
    bool has_usage; /* of the item that comes: the first counts */
    bool has_page;  /* in its upper half; else the page at the main item counts (section 6.2.2.8) */
    uint32_t usage;
    bool numbered;
    struct {
        uint8_t number;
        uint32_t bits;
    } reports[HID_MAX_REPORTS];
    uint8_t reports_seen;
    enum hid_kind best;
};

static void take_usage(struct state *state, uint32_t value, uint8_t size)
{
    if (state->has_usage) return;
    state->has_usage = true;
    state->has_page = size == 4;
    state->usage = value;
}

static void take_collection(struct state *state, uint32_t kind)
{
    if (kind != APPLICATION) return;
    enum hid_kind found = HID_OTHER;
    const uint32_t page = state->has_page ? state->usage >> 16 : state->now.page;
    if (state->has_usage && page == GENERIC_DESKTOP) {
        switch (state->usage & 0xFFFFu) {
        case JOYSTICK:
        case GAME_PAD:
        case MULTI_AXIS: found = HID_PAD; break;
        case MOUSE:
        case KEYBOARD:
        case KEYPAD: found = HID_KEYBOARD_OR_MOUSE; break;
        default: break;
        }
    }
    if (found > state->best) state->best = found;
}

static void take_input(struct state *state)
{
    uint8_t at = 0;
    while (at < state->reports_seen && state->reports[at].number != state->now.report) at++;
    if (at == HID_MAX_REPORTS) return;
    if (at == state->reports_seen) {
        state->reports[at].number = state->now.report;
        state->reports[at].bits = 0;
        state->reports_seen++;
    }
    /* Both are below MAX_BITS or the product is beyond it anyway. */
    const uint32_t size = state->now.size < MAX_BITS ? state->now.size : MAX_BITS;
    const uint32_t count = state->now.count < MAX_BITS ? state->now.count : MAX_BITS;
    const uint32_t bits = state->reports[at].bits + size * count;
    state->reports[at].bits = bits < MAX_BITS ? bits : MAX_BITS;
}

static void take_item(struct state *state, uint8_t item, uint32_t value, uint8_t size)
{
    switch (item) {
    case USAGE_PAGE: state->now.page = (uint16_t)value; return;
    case REPORT_SIZE: state->now.size = value; return;
    case REPORT_COUNT: state->now.count = value; return;
    case REPORT_ID:
        state->now.report = (uint8_t)value;
        state->numbered = true;
        return;
    case PUSH:
        if (state->depth < MAX_PUSHED) state->pushed[state->depth++] = state->now;
        return;
    case POP:
        if (state->depth > 0) state->now = state->pushed[--state->depth];
        return;
    case USAGE:
    case USAGE_MINIMUM: take_usage(state, value, size); return;
    case INPUT: take_input(state); break;
    case COLLECTION: take_collection(state, value); break;
    default: break;
    }
    /* A main item ends what was said of it alone. */
    if ((item & 0x0Cu) == 0) state->has_usage = false;
}

static struct hid_scan summary(const struct state *state)
{
    struct hid_scan scan = {.kind = state->best, .numbered = state->numbered, .reports = state->reports_seen};
    for (uint8_t k = 0; k < state->reports_seen; k++) {
        const uint32_t bytes = (state->reports[k].bits + 7u) / 8u;
        scan.report[k].number = state->reports[k].number;
        scan.report[k].bytes = (uint16_t)(bytes > 0 && state->numbered ? bytes + 1u : bytes);
        if (scan.report[k].bytes > scan.report_bytes) scan.report_bytes = scan.report[k].bytes;
    }
    return scan;
}

uint16_t hid_report_bytes(const struct hid_scan *scan, uint8_t first)
{
    for (uint8_t k = 0; scan->numbered && k < scan->reports; k++)
        if (scan->report[k].number == first) return scan->report[k].bytes;
    return scan->report_bytes;
}

struct hid_scan hid_scan(const uint8_t *descriptor, uint16_t count)
{
    struct state state = {.best = HID_NOTHING};
    for (uint16_t at = 0; at < count;) {
        const uint8_t prefix = descriptor[at];
        if (prefix == LONG_ITEM) {
            if (count - at < 2) break;
            at = (uint16_t)(count - at < 3 + descriptor[at + 1] ? count : at + 3 + descriptor[at + 1]);
            continue;
        }
        const uint8_t size = (prefix & 3u) == 3u ? 4u : prefix & 3u;
        if (count - at - 1 < size) break;
        uint32_t value = 0;
        for (uint8_t k = 0; k < size; k++) value |= (uint32_t)descriptor[at + 1 + k] << (8u * k);
        take_item(&state, prefix & 0xFCu, value, size);
        at = (uint16_t)(at + 1 + size);
    }
    return summary(&state);
}
