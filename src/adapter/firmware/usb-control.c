#include "usb-control.h"

#include <string.h>

/* bmRequestType: USB 2.0 table 9-2. The direction is looked at through the request itself. */
enum {
    TO_HOST = 0x80,
    KIND_MASK = 0x60,
    KIND_STANDARD = 0x00,
    KIND_CLASS = 0x20,
    RECIPIENT_MASK = 0x1F,
    OF_DEVICE = 0,
    OF_INTERFACE = 1,
    OF_ENDPOINT = 2,
};

/* Standard requests: USB 2.0 table 9-4. */
enum {
    GET_STATUS = 0,
    CLEAR_FEATURE = 1,
    SET_FEATURE = 3,
    SET_ADDRESS = 5,
    GET_DESCRIPTOR = 6,
    GET_CONFIGURATION = 8,
    SET_CONFIGURATION = 9,
    GET_INTERFACE = 10,
    SET_INTERFACE = 11,
};

/* Serial port requests: PSTN 1.2 table 13. */
enum { SET_LINE_CODING = 0x20, GET_LINE_CODING = 0x21, SET_CONTROL_LINE_STATE = 0x22 };

enum { DESCRIPTOR_DEVICE = 1, DESCRIPTOR_CONFIGURATION = 2, DESCRIPTOR_STRING = 3 };
enum { FEATURE_ENDPOINT_HALT = 0, LINE_STATE_DTR = 1, MAX_ADDRESS = 127, LINE_CODING_BYTES = 7 };

static const uint8_t first_line_coding[LINE_CODING_BYTES] = {0x00, 0xC2, 0x01, 0x00, 0, 0, 8}; /* 115200 8N1 */

static const struct usb_answer refused = {.stage = USB_REFUSED};
static const struct usb_answer done = {.stage = USB_DONE};

static struct usb_answer changed(int what)
{
    struct usb_answer answer = done;
    answer.changed = what;
    return answer;
}

/* Never more than the host asked for. */
static struct usb_answer give(const struct usb_setup *setup, const uint8_t *data, uint16_t count)
{
    const uint16_t given = count < setup->length ? count : setup->length;
    return (struct usb_answer){.stage = USB_GIVES, .data = data, .count = given};
}

static struct usb_answer give_word(struct usb_control *control, const struct usb_setup *setup, uint8_t low,
                                    uint8_t bytes)
{
    control->scratch[0] = low;
    control->scratch[1] = 0;
    return give(setup, control->scratch, bytes);
}

void usb_control_reset(struct usb_control *control)
{
    control->address = 0;
    control->configuration = 0;
    control->halted = 0;
    control->terminal_ready = false;
    memcpy(control->line_coding, first_line_coding, sizeof first_line_coding);
}

/* ---- Standard requests ---- */

static struct usb_answer get_descriptor(struct usb_control *control, const struct usb_setup *setup)
{
    const uint8_t index = (uint8_t)setup->value;
    switch (setup->value >> 8) {
    case DESCRIPTOR_DEVICE: return give(setup, usb_device_descriptor, USB_DEVICE_DESCRIPTOR_BYTES);
    case DESCRIPTOR_CONFIGURATION:
        return index == 0 ? give(setup, usb_configuration_descriptor, USB_CONFIGURATION_BYTES) : refused;
    case DESCRIPTOR_STRING: {
        const uint8_t bytes = usb_string_descriptor(index, control->serial, control->scratch);
        return bytes > 0 ? give(setup, control->scratch, bytes) : refused;
    }
    default: return refused; /* a device of full speed alone has no other (section 9.6.2) */
    }
}

static struct usb_answer set_configuration(struct usb_control *control, uint16_t value)
{
    if (value > USB_CONFIGURATION) return refused;
    control->configuration = (uint8_t)value;
    control->halted = 0;
    control->terminal_ready = false;
    return changed(USB_CHANGED_CONFIGURATION);
}

static struct usb_answer of_device(struct usb_control *control, const struct usb_setup *setup)
{
    switch (setup->request_type << 8 | setup->request) {
    case TO_HOST << 8 | GET_STATUS: return give_word(control, setup, 0, 2); /* powered by the bus, no wake-up */
    case SET_ADDRESS:
        if (setup->value > MAX_ADDRESS) return refused;
        control->address = (uint8_t)setup->value;
        return changed(USB_CHANGED_ADDRESS);
    case TO_HOST << 8 | GET_DESCRIPTOR: return get_descriptor(control, setup);
    case TO_HOST << 8 | GET_CONFIGURATION: return give_word(control, setup, control->configuration, 1);
    case SET_CONFIGURATION: return set_configuration(control, setup->value);
    default: return refused; /* there is no feature of the whole device to set or clear */
    }
}

static struct usb_answer of_interface(struct usb_control *control, const struct usb_setup *setup)
{
    if (control->configuration == 0 || setup->index >= USB_INTERFACES) return refused;
    switch (setup->request_type << 8 | setup->request) {
    case (TO_HOST | OF_INTERFACE) << 8 | GET_STATUS: return give_word(control, setup, 0, 2);
    case (TO_HOST | OF_INTERFACE) << 8 | GET_INTERFACE: return give_word(control, setup, 0, 1);
    case OF_INTERFACE << 8 | SET_INTERFACE: return setup->value == 0 ? done : refused;
    default: return refused;
    }
}

static uint8_t halt_bit(uint16_t endpoint)
{
    switch (endpoint) {
    case USB_NOTICE_IN: return USB_HALT_NOTICE_IN;
    case USB_DATA_OUT: return USB_HALT_DATA_OUT;
    case USB_DATA_IN: return USB_HALT_DATA_IN;
    default: return 0;
    }
}

static struct usb_answer of_endpoint(struct usb_control *control, const struct usb_setup *setup)
{
    const bool is_control_pipe = (setup->index & ~(uint16_t)TO_HOST) == 0;
    const uint8_t bit = halt_bit(setup->index);
    if (!is_control_pipe && (bit == 0 || control->configuration == 0)) return refused;
    struct usb_answer answer = changed(USB_CHANGED_HALTS);
    answer.endpoints = bit;
    switch (setup->request_type << 8 | setup->request) {
    case (TO_HOST | OF_ENDPOINT) << 8 | GET_STATUS:
        return give_word(control, setup, control->halted & bit ? 1 : 0, 2);
    case OF_ENDPOINT << 8 | CLEAR_FEATURE:
        if (setup->value != FEATURE_ENDPOINT_HALT) return refused;
        control->halted &= (uint8_t)~bit;
        return answer;
    case OF_ENDPOINT << 8 | SET_FEATURE:
        if (setup->value != FEATURE_ENDPOINT_HALT || is_control_pipe) return refused;
        control->halted |= bit;
        return answer;
    default: return refused;
    }
}

/* ---- Serial port requests ---- */

static struct usb_answer set_line_state(struct usb_control *control, uint16_t value)
{
    control->terminal_ready = (value & LINE_STATE_DTR) != 0;
    return changed(USB_CHANGED_LINE);
}

static struct usb_answer of_serial_port(struct usb_control *control, const struct usb_setup *setup)
{
    if (control->configuration == 0 || setup->index != USB_CONTROL_INTERFACE) return refused;
    switch (setup->request_type << 8 | setup->request) {
    case (KIND_CLASS | OF_INTERFACE) << 8 | SET_LINE_CODING:
        if (setup->length != LINE_CODING_BYTES) return refused;
        return (struct usb_answer){.stage = USB_TAKES, .count = LINE_CODING_BYTES};
    case (TO_HOST | KIND_CLASS | OF_INTERFACE) << 8 | GET_LINE_CODING:
        return give(setup, control->line_coding, LINE_CODING_BYTES);
    case (KIND_CLASS | OF_INTERFACE) << 8 | SET_CONTROL_LINE_STATE: return set_line_state(control, setup->value);
    default: return refused;
    }
}

/* ---- */

static struct usb_answer answer_to(struct usb_control *control, const struct usb_setup *setup)
{
    switch (setup->request_type & (KIND_MASK | RECIPIENT_MASK)) {
    case KIND_STANDARD | OF_DEVICE: return of_device(control, setup);
    case KIND_STANDARD | OF_INTERFACE: return of_interface(control, setup);
    case KIND_STANDARD | OF_ENDPOINT: return of_endpoint(control, setup);
    case KIND_CLASS | OF_INTERFACE: return of_serial_port(control, setup);
    default: return refused;
    }
}

struct usb_answer usb_control_setup(struct usb_control *control, const struct usb_setup *setup)
{
    const struct usb_answer answer = answer_to(control, setup);
    /* Without a data stage the status goes to the host, whatever the direction bit says (section 9.3.1). */
    return answer.stage == USB_GIVES && setup->length == 0 ? done : answer;
}

bool usb_control_take(struct usb_control *control, const uint8_t *data, uint16_t count)
{
    if (count != LINE_CODING_BYTES) return false;
    memcpy(control->line_coding, data, LINE_CODING_BYTES);
    return true;
}
