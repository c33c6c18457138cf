#include "enumerate.h"

#include "bytes.h"
#include "configuration.h"
#include "crc32.h"
#include "hid-scan.h"
#include "usb-host.h"

/* USB 2.0 sections 7.1.7.3, 7.1.7.5 and 9.2.6.3; a millisecond more, because the first may be all but over. */
#define DEBOUNCE_MS 101u
/* The controller may let the lines go in between, for less than 1 ms each time (usb_host_reset_bus): 50 ms have to be left. */
#define RESET_MS 60u
#define RESET_RECOVERY_MS 11u
#define ADDRESS_RECOVERY_MS 3u

#define TRIES 3u
/* Stalls, each cleared, after which the device is taken for broken; a device that was well for so long begins to count again. */
#define MAX_HALTS 3u
#define WELL_MS 1000u

#define ADDRESS 1u
#define SMALLEST_PACKET 8u
#define FULL_SPEED_PACKET 64u
#define LOW_SPEED_PACKET 8u

enum { CLEAR_FEATURE = 1, SET_ADDRESS = 5, GET_DESCRIPTOR = 6, SET_CONFIGURATION = 9, SET_IDLE = 10, SET_PROTOCOL = 11 };
enum { TYPE_DEVICE = 1, TYPE_CONFIGURATION = 2, TYPE_REPORT = 0x22 };
enum { TO_DEVICE = 0x00, TO_ENDPOINT = 0x02, CLASS_TO_INTERFACE = 0x21, OF_DEVICE = 0x80, OF_INTERFACE = 0x81 };
#define CLASS_HUB 9u
#define REPORT_PROTOCOL 1u
#define DEVICE_DESCRIPTOR_BYTES 18u
#define CONFIGURATION_HEAD_BYTES 9u

/* In order; each is what is waited for. */
enum step {
    EMPTY,
    DEBOUNCE,
    RESET,
    RESET_RECOVERY,
    FIRST_LOOK, /* eight bytes of the device descriptor: the packet size of endpoint 0 */
    NEW_ADDRESS,
    ADDRESS_RECOVERY,
    DEVICE,
    CONFIGURATION_HEAD,
    CONFIGURATION,
    CONFIGURE,
    REPORT_DESCRIPTOR,
    PROTOCOL,
    IDLE,
    READY, /* the reports can be prepared for */
    SERVED,
    CLEAR_HALT,
    SETTLED /* `verdict` says how */
};

/* All that is known of the device and of how far it has come up. */
static struct {
    enum step step;
    enum device_state verdict;
    uint32_t since_ms; /* in this step */
    uint8_t tries;
    bool last_chance; /* power was off in between */
    uint8_t halts;
    enum usb_line speed;

    uint8_t packet_bytes; /* of endpoint 0 */
    struct configuration configuration;
    uint8_t looked_at; /* the interface whose report descriptor is being read */
    uint8_t chosen;
    bool keyboard_seen;
    struct hid_scan scan;
    struct pad_identity identity;
    usb_take_report *take_report;
    uint8_t data[CONFIGURATION_MAX_BYTES];
    uint8_t descriptor[DESCRIPTOR_MAX_BYTES];
    uint16_t descriptor_bytes;
} device;

static void go_to(enum step next, uint32_t now_ms)
{
    device.step = next;
    device.since_ms = now_ms;
}

static void settle(enum device_state how)
{
    device.step = SETTLED;
    device.verdict = how;
}

static void begin(usb_take_report *take_report, bool last)
{
    device.take_report = take_report;
    device.step = EMPTY;
    device.tries = 0;
    device.last_chance = last;
    device.identity = (struct pad_identity){0};
    device.descriptor_bytes = 0;
}

void enumerate_start(usb_take_report *take_report)
{
    begin(take_report, false);
}

void enumerate_once_more(usb_take_report *take_report)
{
    begin(take_report, true);
}

const struct pad_identity *enumerate_identity(void)
{
    return &device.identity;
}

const uint8_t *enumerate_descriptor(uint16_t *length)
{
    *length = device.descriptor_bytes;
    return device.descriptor;
}

/* Vendor-class pads send other things between their reports. */
static void take_vendor_packet(const uint8_t *bytes, uint16_t count)
{
    if (count >= 2 && bytes[0] == 0x00 && bytes[1] == 0x14) device.take_report(bytes, count);
}

/* ---- Requests ---- */

static void ask(uint8_t type, uint8_t request, uint16_t value, uint16_t index, uint16_t length, uint8_t *into, uint32_t now_ms)
{
    const struct usb_request asked = {
        .address = device.step > NEW_ADDRESS ? ADDRESS : 0,
        .packet_bytes = device.packet_bytes,
        .request_type = type,
        .request = request,
        .value = value,
        .index = index,
        .length = length,
        .into = into,
    };
    usb_host_request(&asked, now_ms);
}

static void ask_for(enum step next, uint8_t type, uint16_t length, uint32_t now_ms)
{
    go_to(next, now_ms);
    ask(OF_DEVICE, GET_DESCRIPTOR, (uint16_t)(type << 8), 0, length, device.data, now_ms);
}

static void start_reset(uint32_t now_ms)
{
    usb_host_stop_listening();
    go_to(RESET, now_ms);
    usb_host_reset_bus(true);
}

/* Once more from the reset on, then with power off in between, then never. */
static void fail(uint32_t now_ms)
{
    if (device.step == SERVED && now_ms - device.since_ms > WELL_MS) {
        device.tries = 0;
        device.last_chance = false;
    }
    if (++device.tries < (device.last_chance ? 1u : TRIES - 1u)) start_reset(now_ms);
    else settle(device.last_chance ? DEVICE_FAILED : DEVICE_NEEDS_POWER);
}

/* ---- What the answers say ---- */

static uint16_t report_bytes(uint8_t first)
{
    if (device.identity.via == PAD_VIA_HID) return hid_report_bytes(&device.scan, first);
    return device.configuration.interfaces[device.chosen].packet_bytes;
}

static void begin_listening(uint32_t now_ms)
{
    const struct interface *interface = &device.configuration.interfaces[device.chosen];
    const struct usb_pipe to = {
        .address = ADDRESS,
        .endpoint = interface->endpoint,
        .packet_bytes = interface->packet_bytes,
        .interval_ms = interface->interval_ms,
        .report_bytes = report_bytes,
        .take_report = device.identity.via == PAD_VIA_HID ? device.take_report : take_vendor_packet,
    };
    go_to(SERVED, now_ms);
    usb_host_listen(&to);
}

static void ask_for_idle(uint32_t now_ms)
{
    go_to(IDLE, now_ms);
    /* Reports come when something changes, and not before (HID 1.11 section 7.2.4). */
    ask(CLASS_TO_INTERFACE, SET_IDLE, 0, device.configuration.interfaces[device.chosen].number, 0, device.data, now_ms);
}

static void take_pad(uint32_t now_ms)
{
    device.identity.via = PAD_VIA_HID;
    device.identity.descriptor_crc32 = crc32(device.descriptor, device.descriptor_bytes);
    const struct interface *interface = &device.configuration.interfaces[device.chosen];
    if (!interface->boot) {
        ask_for_idle(now_ms);
        return;
    }
    go_to(PROTOCOL, now_ms);
    ask(CLASS_TO_INTERFACE, SET_PROTOCOL, REPORT_PROTOCOL, interface->number, 0, device.data, now_ms);
}

/* None of the HID interfaces is a pad's. */
static void look_elsewhere(uint32_t now_ms)
{
    device.descriptor_bytes = 0;
    for (uint8_t k = 0; k < device.configuration.count; k++) {
        if (device.configuration.interfaces[k].kind != INTERFACE_VENDOR) continue;
        device.chosen = k;
        device.identity.via = PAD_VIA_VENDOR_CLASS;
        device.identity.descriptor_crc32 = 0;
        go_to(READY, now_ms);
        return;
    }
    settle(device.keyboard_seen ? DEVICE_IS_KEYBOARD : DEVICE_IS_OTHER);
}

static void read_next_descriptor(uint32_t now_ms)
{
    for (; device.looked_at < device.configuration.count; device.looked_at++) {
        const struct interface *interface = &device.configuration.interfaces[device.looked_at];
        if (interface->kind != INTERFACE_HID) continue;
        device.keyboard_seen = device.keyboard_seen || interface->keyboard_or_mouse;
        const uint16_t length = interface->descriptor_bytes;
        if (length == 0 || length > DESCRIPTOR_MAX_BYTES) continue;
        go_to(REPORT_DESCRIPTOR, now_ms);
        ask(OF_INTERFACE, GET_DESCRIPTOR, TYPE_REPORT << 8, interface->number, length, device.descriptor, now_ms);
        return;
    }
    look_elsewhere(now_ms);
}

static void take_descriptor(uint32_t now_ms)
{
    device.descriptor_bytes = usb_host_got();
    device.scan = hid_scan(device.descriptor, device.descriptor_bytes);
    if (device.scan.kind == HID_PAD && device.scan.report_bytes > 0) {
        device.chosen = device.looked_at;
        take_pad(now_ms);
        return;
    }
    if (device.scan.kind == HID_KEYBOARD_OR_MOUSE) device.keyboard_seen = true;
    device.looked_at++;
    read_next_descriptor(now_ms);
}

static void take_configuration(uint32_t now_ms)
{
    const uint8_t most = device.speed == USB_LINE_LOW_SPEED ? LOW_SPEED_PACKET : FULL_SPEED_PACKET;
    if (!configuration_read(device.data, usb_host_got(), most, &device.configuration)) {
        fail(now_ms);
        return;
    }
    if (device.configuration.hub) {
        settle(DEVICE_IS_HUB);
        return;
    }
    go_to(CONFIGURE, now_ms);
    ask(TO_DEVICE, SET_CONFIGURATION, device.configuration.value, 0, 0, device.data, now_ms);
}

static void take_device(uint32_t now_ms)
{
    if (usb_host_got() < DEVICE_DESCRIPTOR_BYTES || device.data[1] != TYPE_DEVICE) {
        fail(now_ms);
        return;
    }
    device.identity = (struct pad_identity){
        .vendor = get_u16(device.data + 8),
        .product = get_u16(device.data + 10),
        .release = get_u16(device.data + 12),
    };
    device.descriptor_bytes = 0;
    if (device.data[4] == CLASS_HUB) settle(DEVICE_IS_HUB);
    else ask_for(CONFIGURATION_HEAD, TYPE_CONFIGURATION, CONFIGURATION_HEAD_BYTES, now_ms);
}

static void take_configuration_head(uint32_t now_ms)
{
    const uint16_t total = get_u16(device.data + 2);
    if (usb_host_got() < CONFIGURATION_HEAD_BYTES || device.data[1] != TYPE_CONFIGURATION || total < CONFIGURATION_HEAD_BYTES) {
        fail(now_ms);
        return;
    }
    /* What is beyond our room is beyond the first few interfaces. */
    const uint16_t most = total < CONFIGURATION_MAX_BYTES ? total : CONFIGURATION_MAX_BYTES;
    ask_for(CONFIGURATION, TYPE_CONFIGURATION, most, now_ms);
}

static void take_first_look(uint32_t now_ms)
{
    const uint8_t size = device.data[7];
    const bool sound = size == 8 || (device.speed == USB_LINE_FULL_SPEED && (size == 16 || size == 32 || size == 64));
    if (usb_host_got() < SMALLEST_PACKET || device.data[1] != TYPE_DEVICE || !sound) {
        fail(now_ms);
        return;
    }
    device.packet_bytes = size;
    go_to(NEW_ADDRESS, now_ms);
    ask(TO_DEVICE, SET_ADDRESS, ADDRESS, 0, 0, device.data, now_ms);
}

static void take_answer(uint32_t now_ms)
{
    switch (device.step) {
    case FIRST_LOOK: take_first_look(now_ms); break;
    case NEW_ADDRESS: go_to(ADDRESS_RECOVERY, now_ms); break;
    case DEVICE: take_device(now_ms); break;
    case CONFIGURATION_HEAD: take_configuration_head(now_ms); break;
    case CONFIGURATION: take_configuration(now_ms); break;
    case CONFIGURE:
        device.looked_at = 0;
        device.keyboard_seen = false;
        read_next_descriptor(now_ms);
        break;
    case REPORT_DESCRIPTOR: take_descriptor(now_ms); break;
    case PROTOCOL: ask_for_idle(now_ms); break;
    case IDLE: go_to(READY, now_ms); break;
    case CLEAR_HALT: begin_listening(now_ms); break;
    default: break;
    }
}

/* A refusal is no fault where the request is one that a pad may refuse. */
static void take_refusal(uint32_t now_ms)
{
    if (device.step == PROTOCOL || device.step == IDLE) take_answer(now_ms);
    else if (device.step == REPORT_DESCRIPTOR) {
        device.looked_at++;
        read_next_descriptor(now_ms);
    } else fail(now_ms);
}

static void wait_for_answer(uint32_t now_ms)
{
    switch (usb_host_outcome(now_ms)) {
    case USB_UNDER_WAY: break;
    case USB_DONE_WELL: take_answer(now_ms); break;
    case USB_STALLED: take_refusal(now_ms); break;
    case USB_FAILED: fail(now_ms); break;
    }
}

static void watch_pipe(uint32_t now_ms)
{
    switch (usb_host_listening()) {
    case USB_LISTENS: break;
    case USB_PIPE_BROKEN: fail(now_ms); break;
    case USB_PIPE_HALTED:
        if (now_ms - device.since_ms > WELL_MS) device.halts = 0;
        if (++device.halts > MAX_HALTS) {
            fail(now_ms);
            break;
        }
        go_to(CLEAR_HALT, now_ms);
        ask(TO_ENDPOINT, CLEAR_FEATURE, 0, 0x80u | device.configuration.interfaces[device.chosen].endpoint, 0, device.data, now_ms);
        break;
    }
}

static enum device_state state_of(void)
{
    switch (device.step) {
    case EMPTY:
    case DEBOUNCE: return DEVICE_ABSENT;
    case READY:
    case SERVED:
    case CLEAR_HALT: return DEVICE_SERVED;
    case SETTLED: return device.verdict;
    default: return DEVICE_COMES_UP;
    }
}

enum device_state enumerate_step(uint32_t now_ms)
{
    /* Contacts bounce before the first reset, and the lines are ours during one; else, who has gone has gone. */
    const bool ours = device.step == RESET || device.step == RESET_RECOVERY;
    if (usb_host_line_changed() && !ours) {
        if (device.step > DEBOUNCE) return DEVICE_LEFT;
        go_to(EMPTY, now_ms);
    }
    const uint32_t waited_ms = now_ms - device.since_ms;
    switch (device.step) {
    case EMPTY:
        if (usb_host_line() != USB_LINE_EMPTY) go_to(DEBOUNCE, now_ms);
        break;
    case DEBOUNCE:
        if (waited_ms < DEBOUNCE_MS) break;
        device.speed = usb_host_line();
        start_reset(now_ms);
        break;
    case RESET:
        if (waited_ms < RESET_MS) {
            usb_host_reset_bus(true);
            break;
        }
        usb_host_reset_bus(false);
        usb_host_run_frames(device.speed);
        device.packet_bytes = SMALLEST_PACKET;
        device.halts = 0;
        go_to(RESET_RECOVERY, now_ms);
        break;
    case RESET_RECOVERY:
        if (waited_ms < RESET_RECOVERY_MS) break;
        if (usb_host_line() != device.speed) return DEVICE_LEFT;
        ask_for(FIRST_LOOK, TYPE_DEVICE, SMALLEST_PACKET, now_ms);
        break;
    case ADDRESS_RECOVERY:
        if (waited_ms >= ADDRESS_RECOVERY_MS) ask_for(DEVICE, TYPE_DEVICE, DEVICE_DESCRIPTOR_BYTES, now_ms);
        break;
    case READY: begin_listening(now_ms); break;
    case SERVED: watch_pipe(now_ms); break;
    case SETTLED: break;
    default: wait_for_answer(now_ms); break;
    }
    return state_of();
}
