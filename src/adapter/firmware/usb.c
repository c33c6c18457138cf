#include "usb.h"

#include "byte-ring.h"
#include "chip.h"
#include "usb-control.h"
#include "usb-descriptors.h"
#include "usb-registers.h"

/* One half of an endpoint. */
struct pipe {
    uint8_t number;
    bool in;        /* towards the host */
    bool data1;     /* packet identifier of the next packet */
    bool armed;     /* the controller has a buffer of it */
    uint16_t buffer_at;
};

static struct pipe control_in = {.number = 0, .in = true, .buffer_at = USB_EP0_BUFFER_AT};
static struct pipe control_out = {.number = 0, .in = false, .buffer_at = USB_EP0_BUFFER_AT};
static struct pipe notice_in = {.number = USB_NOTICE_IN & 15, .in = true, .buffer_at = USB_FREE_AT};
static struct pipe data_out = {.number = USB_DATA_OUT & 15, .in = false, .buffer_at = USB_FREE_AT + 0x40};
static struct pipe data_in = {.number = USB_DATA_IN & 15, .in = true, .buffer_at = USB_FREE_AT + 0x80};

static struct usb_control control;

/* The control transfer that is going on. */
static struct {
    enum { NOTHING, GIVING, TAKING, STATUS } stage;
    const uint8_t *data;
    uint16_t left;
    bool short_packet_due; /* less is given than was asked for, so the last packet must be short (section 5.5.3) */
    bool sets_address;
} transfer;

static struct byte_ring from_host;
static struct byte_ring to_host;
static bool full_packet_sent; /* the host waits for a shorter one to know that this was all */
static bool attached; /* shown to the host */
static bool closed;

/* ---- Pipes ---- */

static volatile uint32_t *buffer_control(const struct pipe *pipe)
{
    return &USB_RAM(USB_BUFFER_CONTROL_AT + 8u * pipe->number + (pipe->in ? 0u : 4u));
}

static uint32_t buffer_bit(const struct pipe *pipe)
{
    return 1u << (2u * pipe->number + (pipe->in ? 0u : 1u));
}

/*
 * Gives a buffer to the controller. AVAILABLE comes after the rest, and later by at least one cycle of clk_usb,
 * which is slower than the processor (section 4.1.2.5.1): 12 cycles are plenty at every clk_sys that there is.
 */
static void arm(struct pipe *pipe, uint16_t length)
{
    uint32_t word = length | USB_BUFFER_LAST;
    if (pipe->in) word |= USB_BUFFER_FULL;
    if (pipe->data1) word |= USB_BUFFER_DATA1;
    pipe->armed = true;
    pipe->data1 = !pipe->data1;
    *buffer_control(pipe) = word;
    for (uint8_t k = 0; k < 12; k++) __asm volatile("nop" ::: "memory");
    *buffer_control(pipe) = word | USB_BUFFER_AVAILABLE;
}

static void arm_with(struct pipe *pipe, const uint8_t *data, uint16_t count)
{
    for (uint16_t k = 0; k < count; k++) USB_RAM_BYTES(pipe->buffer_at)[k] = data[k];
    arm(pipe, count);
}

/* Takes the buffer back. The host is not asking for it: it has begun something else or given up. */
static void disarm(struct pipe *pipe)
{
    *buffer_control(pipe) = 0;
    pipe->armed = false;
}

/*
 * What endpoint control says of a pipe other than that of endpoint 0: how it works, or nothing and so that it
 * is not there.
 */
static void set_up(const struct pipe *pipe, uint32_t type)
{
    const uint32_t at = USB_EP_CONTROL_AT + 8u * (pipe->number - 1u) + (pipe->in ? 0u : 4u);
    const bool there = control.configuration != 0;
    USB_RAM(at) = there ? USB_EP_ENABLE | USB_EP_INTERRUPT_EACH_BUFFER | type | pipe->buffer_at : 0;
}

/* ---- The serial port ---- */

static void listen_on_data_out(void)
{
    const bool may = control.configuration != 0 && !(control.halted & USB_HALT_DATA_OUT);
    if (may && !data_out.armed && ring_room(&from_host) >= USB_PACKET_BYTES) arm(&data_out, USB_PACKET_BYTES);
}

static void send_data_in(void)
{
    const bool may = control.configuration != 0 && !(control.halted & USB_HALT_DATA_IN);
    if (!may || data_in.armed || (ring_count(&to_host) == 0 && !full_packet_sent)) return;
    uint16_t count = 0;
    while (count < USB_PACKET_BYTES && ring_count(&to_host) > 0)
        USB_RAM_BYTES(data_in.buffer_at)[count++] = ring_take(&to_host);
    full_packet_sent = count == USB_PACKET_BYTES;
    arm(&data_in, count);
}

static void take_data_out(void)
{
    const uint16_t count = (uint16_t)(*buffer_control(&data_out) & USB_BUFFER_LENGTH);
    data_out.armed = false;
    for (uint16_t k = 0; k < count; k++) ring_put(&from_host, USB_RAM_BYTES(data_out.buffer_at)[k]);
    listen_on_data_out();
}

/* What was on its way in either direction was for a host that is gone. */
static void close_port(void)
{
    closed = true;
    ring_clear(&from_host);
    ring_clear(&to_host);
    listen_on_data_out();
}

static void configure(void)
{
    disarm(&notice_in);
    disarm(&data_out);
    disarm(&data_in);
    notice_in.data1 = data_out.data1 = data_in.data1 = false;
    full_packet_sent = false;
    set_up(&notice_in, USB_EP_TYPE_INTERRUPT);
    set_up(&data_out, USB_EP_TYPE_BULK);
    set_up(&data_in, USB_EP_TYPE_BULK);
    close_port();
}

static void change_halt(struct pipe *pipe, enum usb_halt bit)
{
    disarm(pipe);
    if (control.halted & bit) *buffer_control(pipe) = USB_BUFFER_STALL;
    else pipe->data1 = false; /* section 9.4.5 */
}

static void change_halts(uint8_t endpoints)
{
    if (endpoints & USB_HALT_NOTICE_IN) change_halt(&notice_in, USB_HALT_NOTICE_IN);
    if (endpoints & USB_HALT_DATA_OUT) change_halt(&data_out, USB_HALT_DATA_OUT);
    if (endpoints & USB_HALT_DATA_IN) change_halt(&data_in, USB_HALT_DATA_IN);
    listen_on_data_out();
    send_data_in();
}

/* ---- Control transfers ---- */

static void give_next_packet(void)
{
    const uint16_t count = transfer.left < USB_PACKET_BYTES ? transfer.left : USB_PACKET_BYTES;
    arm_with(&control_in, transfer.data, count);
    transfer.data += count;
    transfer.left = (uint16_t)(transfer.left - count);
    if (count < USB_PACKET_BYTES) transfer.short_packet_due = false;
}

static void send_status(void)
{
    transfer.stage = STATUS;
    control_in.data1 = true;
    arm(&control_in, 0);
}

static void refuse(void)
{
    transfer.stage = NOTHING;
    USB_REG(USB_EP_STALL_ARM) = USB_EP_STALL_ARM_EP0_IN | USB_EP_STALL_ARM_EP0_OUT;
    *buffer_control(&control_in) = USB_BUFFER_STALL;
    *buffer_control(&control_out) = USB_BUFFER_STALL;
}

static void begin_transfer(const struct usb_setup *setup, const struct usb_answer *answer)
{
    transfer.data = answer->data;
    transfer.left = answer->count;
    transfer.short_packet_due = answer->count < setup->length;
    transfer.sets_address = answer->changed == USB_CHANGED_ADDRESS;
    switch (answer->stage) {
    case USB_GIVES:
        transfer.stage = GIVING;
        /* The host may end the data stage at any time by its status stage. */
        arm(&control_out, 0);
        give_next_packet();
        break;
    case USB_TAKES:
        transfer.stage = TAKING;
        arm(&control_out, USB_PACKET_BYTES);
        break;
    case USB_DONE: send_status(); break;
    case USB_REFUSED: refuse(); break;
    }
}

static void apply(const struct usb_answer *answer, bool was_ready)
{
    switch (answer->changed) {
    case USB_CHANGED_CONFIGURATION: configure(); break;
    case USB_CHANGED_HALTS: change_halts(answer->endpoints); break;
    case USB_CHANGED_LINE:
        if (was_ready && !control.terminal_ready) close_port();
        break;
    default: break; /* the address waits for the status stage */
    }
}

static void handle_setup(void)
{
    USB_REG(USB_SIE_STATUS) = USB_SIE_STATUS_SETUP_REC;
    const uint32_t first = USB_RAM(USB_SETUP_AT);
    const uint32_t second = USB_RAM(USB_SETUP_AT + 4);
    const struct usb_setup setup = {
        .request_type = (uint8_t)first,
        .request = (uint8_t)(first >> 8),
        .value = (uint16_t)(first >> 16),
        .index = (uint16_t)second,
        .length = (uint16_t)(second >> 16),
    };
    /* A setup packet ends whatever control transfer there was, and DATA1 follows it. */
    disarm(&control_in);
    disarm(&control_out);
    control_in.data1 = control_out.data1 = true;
    const bool was_ready = control.terminal_ready;
    const struct usb_answer answer = usb_control_setup(&control, &setup);
    apply(&answer, was_ready);
    begin_transfer(&setup, &answer);
}

static void control_in_sent(void)
{
    control_in.armed = false;
    if (transfer.stage == GIVING && (transfer.left > 0 || transfer.short_packet_due)) give_next_packet();
    else if (transfer.stage == STATUS) {
        if (transfer.sets_address) USB_REG(USB_ADDR_ENDP) = control.address;
        transfer.stage = NOTHING;
    }
}

static void control_out_came(void)
{
    control_out.armed = false;
    if (transfer.stage == GIVING) {
        transfer.stage = NOTHING;
        disarm(&control_in);
    } else if (transfer.stage == TAKING) {
        uint8_t data[USB_PACKET_BYTES];
        const uint16_t count = (uint16_t)(*buffer_control(&control_out) & USB_BUFFER_LENGTH);
        for (uint16_t k = 0; k < count; k++) data[k] = USB_RAM_BYTES(control_out.buffer_at)[k];
        if (usb_control_take(&control, data, count)) send_status();
        else refuse();
    }
}

/* ---- Interrupt ---- */

static void handle_buffers(void)
{
    const uint32_t ready = USB_REG(USB_BUFF_STATUS);
    USB_REG(USB_BUFF_STATUS) = ready;
    if (ready & buffer_bit(&control_in)) control_in_sent();
    if (ready & buffer_bit(&control_out)) control_out_came();
    if (ready & buffer_bit(&data_out)) take_data_out();
    if (ready & buffer_bit(&data_in)) {
        data_in.armed = false;
        send_data_in();
    }
}

/* As after power-on: no address, no configuration. */
static void restart(void)
{
    USB_REG(USB_ADDR_ENDP) = 0;
    USB_REG(USB_BUFF_STATUS) = USB_REG(USB_BUFF_STATUS);
    USB_REG(USB_SIE_STATUS) = USB_SIE_STATUS_SETUP_REC;
    disarm(&control_in);
    disarm(&control_out);
    transfer.stage = NOTHING;
    usb_control_reset(&control);
    configure();
}

static void handle_bus_reset(void)
{
    restart();
    /* Last: from here on a setup packet may come, and nothing of the reset may follow it. */
    USB_REG(USB_SIE_STATUS) = USB_SIE_STATUS_BUS_RESET;
}

void usb_interrupt(void)
{
    const uint32_t why = USB_REG(USB_INTS);
    if (why & USB_INT_BUS_RESET) {
        handle_bus_reset();
        return;
    }
    /* Buffers first: they belong to what came before the setup packet. */
    if (why & USB_INT_BUFF_STATUS) handle_buffers();
    if (why & USB_INT_SETUP_REQ) handle_setup();
    if (why & USB_INT_DEV_SUSPEND) {
        USB_REG(USB_SIE_STATUS) = USB_SIE_STATUS_SUSPENDED;
        close_port();
    }
}

void usb_init(const char *serial)
{
    control.serial = serial;
    usb_control_reset(&control);
    SET(RESETS_RESET) = RESETS_USBCTRL;
    CLEAR(RESETS_RESET) = RESETS_USBCTRL;
    while (!(RESETS_RESET_DONE & RESETS_USBCTRL)) continue;
    for (uint32_t at = 0; at < USB_DPRAM_BYTES; at += 4) USB_RAM(at) = 0;
    USB_REG(USB_MUXING) = USB_MUXING_TO_PHY | USB_MUXING_SOFTCON;
    /* The controller has no eye on VBUS: a pin of the chip has, and usb_vbus() hears of it. */
    USB_REG(USB_PWR) = USB_PWR_VBUS_DETECT | USB_PWR_VBUS_DETECT_OVERRIDE_EN;
    USB_REG(USB_MAIN_CTRL) = USB_MAIN_CTRL_CONTROLLER_EN;
    USB_REG(USB_SIE_CTRL) = USB_SIE_CTRL_EP0_INT1BUF;
    USB_REG(USB_INTE) = USB_INT_BUFF_STATUS | USB_INT_BUS_RESET | USB_INT_SETUP_REQ | USB_INT_DEV_SUSPEND;
    interrupt_on(USBCTRL_IRQ);
}

/* ---- For the main loop ---- */

void usb_vbus(bool present)
{
    interrupt_off(USBCTRL_IRQ);
    if (present && !attached) {
        SET(USB_REG(USB_SIE_CTRL)) = USB_SIE_CTRL_PULLUP_EN;
    } else if (!present && attached) {
        CLEAR(USB_REG(USB_SIE_CTRL)) = USB_SIE_CTRL_PULLUP_EN;
        restart();
    }
    attached = present;
    interrupt_on(USBCTRL_IRQ);
}

bool usb_take_closed(void)
{
    interrupt_off(USBCTRL_IRQ);
    const bool taken = closed;
    closed = false;
    interrupt_on(USBCTRL_IRQ);
    return taken;
}

bool usb_read(uint8_t *byte)
{
    interrupt_off(USBCTRL_IRQ);
    const bool any = !closed && ring_count(&from_host) > 0;
    if (any) {
        *byte = ring_take(&from_host);
        listen_on_data_out();
    }
    interrupt_on(USBCTRL_IRQ);
    return any;
}

uint16_t usb_room(void)
{
    interrupt_off(USBCTRL_IRQ);
    const uint16_t room = ring_room(&to_host);
    interrupt_on(USBCTRL_IRQ);
    return room;
}

void usb_write(uint8_t byte)
{
    interrupt_off(USBCTRL_IRQ);
    if (!closed && ring_room(&to_host) > 0) ring_put(&to_host, byte);
    if (ring_count(&to_host) >= USB_PACKET_BYTES) send_data_in();
    interrupt_on(USBCTRL_IRQ);
}

void usb_flush(void)
{
    interrupt_off(USBCTRL_IRQ);
    if (ring_count(&to_host) > 0) send_data_in();
    interrupt_on(USBCTRL_IRQ);
}
