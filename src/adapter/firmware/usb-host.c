#include "usb-host.h"

#include "chip.h"
#include "usb-registers.h"

#define PACKET_BYTES 64u
#define REPORT_BYTES USB_REPORT_MAX_BYTES

/* Apart, so that a packet that is far too long spoils nothing but its own room. */
#define BUFFER_AT 0x400u

/* A stage may take 500 ms (USB 2.0 section 9.2.6.4), the whole 5 s (9.2.6.1); a packet is tried three times (4.5.2). */
#define STAGE_MS 500u
#define TRANSFER_MS 5000u
#define TRIES 3u

/* So many polls in a row that nobody answers: the endpoint is dead. One frame out of many may be spoilt by a spark. */
#define DEAD_POLLS 8u
/* A spoilt poll is followed by another this soon, whatever the interval: what a dead pad held is not held for long. */
#define SPOILT_POLL_FRAMES 8u

#define ERRORS                                                                                                         \
    (USB_SIE_STATUS_CRC_ERROR | USB_SIE_STATUS_BIT_STUFF_ERROR | USB_SIE_STATUS_RX_TIMEOUT)
#define ALL_STATUS                                                                                                     \
    (ERRORS | USB_SIE_STATUS_RX_OVERFLOW | USB_SIE_STATUS_NAK_REC | USB_SIE_STATUS_STALL_REC | USB_SIE_STATUS_ACK_REC | \
     USB_SIE_STATUS_DATA_SEQ_ERROR | USB_SIE_STATUS_TRANS_COMPLETE)
#define ENDS                                                                                                           \
    (USB_INT_TRANS_COMPLETE | USB_INT_ERROR_DATA_SEQ | USB_INT_ERROR_RX_TIMEOUT | USB_INT_ERROR_RX_OVERFLOW |           \
     USB_INT_ERROR_BIT_STUFF | USB_INT_ERROR_CRC | USB_INT_STALL)

typedef uint32_t __attribute__((may_alias)) word;

static enum usb_line line;
static bool line_changed; /* since the main loop asked */
static bool for_main_loop; /* whether this interrupt brought anything for it */
static void (*device_gone)(void);
static uint32_t sie_ctrl; /* without what starts and ends by itself */

/* Whose transaction goes on. */
static enum { NOBODY, REQUEST, POLL } under_way;

static struct {
    struct usb_request asked;
    enum { SETUP, DATA, STATUS_STAGE } stage;
    volatile enum usb_outcome outcome;
    uint16_t got;
    bool data1;
    uint8_t tries;
    volatile bool moved; /* since the main loop looked */
    uint32_t stage_ms;
    uint32_t began_ms;
} transfer;

static struct {
    struct usb_pipe of;
    bool listens;
    bool data1;
    bool out_of_step; /* the last packet had the wrong toggle */
    uint8_t frames;   /* until it is asked again */
    uint8_t dead;
    volatile enum usb_listening how;
    uint16_t count;
    /* Whole words: what is pressed waits while it is copied. */
    uint8_t report[(REPORT_BYTES + 3u) & ~3u] __attribute__((aligned(4)));
} pipe;

/* ---- One transaction ---- */

/* Longer than a cycle of clk_usb at every clk_sys that there is (datasheet section 4.1.2.5.1). */
static void let_settle(void)
{
    for (uint8_t k = 0; k < 12; k++) __asm volatile("nop" ::: "memory");
}

static void give_buffer(uint32_t type, uint32_t word)
{
    USB_RAM(USB_EPX_CONTROL_AT) = USB_EP_ENABLE | USB_EP_INTERRUPT_EACH_BUFFER | type | BUFFER_AT;
    USB_RAM(USB_EPX_BUFFER_CONTROL_AT) = word;
    let_settle();
    USB_RAM(USB_EPX_BUFFER_CONTROL_AT) = word | USB_BUFFER_AVAILABLE;
}

static void transact(uint8_t address, uint8_t endpoint, uint32_t direction)
{
    USB_REG(USB_SIE_STATUS) = ALL_STATUS;
    USB_REG(USB_BUFF_STATUS) = 1;
    USB_REG(USB_ADDR_ENDP) = address | (uint32_t)endpoint << 16;
    USB_REG(USB_SIE_CTRL) = sie_ctrl | direction;
    let_settle();
    USB_REG(USB_SIE_CTRL) = sie_ctrl | direction | USB_SIE_CTRL_START_TRANS;
}

static void break_off(void)
{
    under_way = NOBODY;
    SET(USB_REG(USB_SIE_CTRL)) = USB_SIE_CTRL_STOP_TRANS;
    /* What is on the wire runs to its end: 80 us at full speed, eight times that at low speed. */
    for (uint32_t patience = 200000; (USB_REG(USB_SIE_CTRL) & USB_SIE_CTRL_STOP_TRANS) && patience > 0; patience--) continue;
    USB_REG(USB_SIE_CTRL) = sie_ctrl;
    USB_REG(USB_SIE_STATUS) = ALL_STATUS;
    USB_RAM(USB_EPX_BUFFER_CONTROL_AT) = 0;
}

/* What came, bytes; more than there was room for is RX_OVERFLOW. Erratum RP2040-E4: either half may tell. */
static uint16_t received(void)
{
    const uint32_t word = USB_RAM(USB_EPX_BUFFER_CONTROL_AT);
    return (uint16_t)((word >> 16 & USB_BUFFER_FULL ? word >> 16 : word) & USB_BUFFER_LENGTH);
}

/* ---- Control transfers ---- */

static void begin_stage(void)
{
    const struct usb_request *asked = &transfer.asked;
    const uint32_t toggle = transfer.data1 ? USB_BUFFER_DATA1 : 0;
    under_way = REQUEST;
    switch (transfer.stage) {
    case SETUP:
        USB_RAM(USB_SETUP_AT) = asked->request_type | (uint32_t)asked->request << 8 | (uint32_t)asked->value << 16;
        USB_RAM(USB_SETUP_AT + 4) = asked->index | (uint32_t)asked->length << 16;
        transact(asked->address, 0, USB_SIE_CTRL_SEND_SETUP);
        break;
    case DATA:
        give_buffer(USB_EP_TYPE_CONTROL, toggle | USB_BUFFER_LAST | PACKET_BYTES);
        transact(asked->address, 0, USB_SIE_CTRL_RECEIVE_DATA);
        break;
    case STATUS_STAGE:
        /* Against the data, or to the host where there are none; always DATA1. */
        if (asked->length > 0) {
            give_buffer(USB_EP_TYPE_CONTROL, USB_BUFFER_DATA1 | USB_BUFFER_LAST | USB_BUFFER_FULL);
            transact(asked->address, 0, USB_SIE_CTRL_SEND_DATA);
        } else {
            give_buffer(USB_EP_TYPE_CONTROL, USB_BUFFER_DATA1 | USB_BUFFER_LAST | PACKET_BYTES);
            transact(asked->address, 0, USB_SIE_CTRL_RECEIVE_DATA);
        }
        break;
    }
}

static void end_transfer(enum usb_outcome outcome)
{
    under_way = NOBODY;
    transfer.outcome = outcome;
    for_main_loop = true;
}

static void next_stage(void)
{
    transfer.tries = 0;
    transfer.moved = true;
    begin_stage();
}

/* A packet of the data stage. The stage ends with what was asked for, or with a packet that is not full (section 8.5.3.2). */
static void take_data(void)
{
    const uint16_t came = received();
    /* Before the packet size is known, no more is asked for than the smallest packet holds, and a longer one may come. */
    const bool size_known = transfer.asked.length > transfer.asked.packet_bytes;
    if (came > transfer.asked.packet_bytes && size_known) {
        end_transfer(USB_FAILED);
        return;
    }
    for (uint16_t k = 0; k < came && transfer.got < transfer.asked.length; k++)
        transfer.asked.into[transfer.got++] = USB_RAM_BYTES(BUFFER_AT)[k];
    transfer.data1 = !transfer.data1;
    if (came < transfer.asked.packet_bytes || transfer.got == transfer.asked.length) transfer.stage = STATUS_STAGE;
    next_stage();
}

static void request_ended(uint32_t status)
{
    if (status & USB_SIE_STATUS_STALL_REC) {
        end_transfer(transfer.stage == SETUP ? USB_FAILED : USB_STALLED);
    } else if (status & (ERRORS | USB_SIE_STATUS_RX_OVERFLOW | USB_SIE_STATUS_DATA_SEQ_ERROR)) {
        if (++transfer.tries < TRIES) begin_stage();
        else end_transfer(USB_FAILED);
    } else if (transfer.stage == SETUP) {
        transfer.data1 = true;
        transfer.stage = transfer.asked.length > 0 ? DATA : STATUS_STAGE;
        next_stage();
    } else if (transfer.stage == DATA) {
        take_data();
    } else {
        end_transfer(USB_DONE_WELL);
    }
}

/* ---- Reports ---- */

static void poll(void)
{
    under_way = POLL;
    give_buffer(USB_EP_TYPE_INTERRUPT, (pipe.data1 ? USB_BUFFER_DATA1 : 0) | USB_BUFFER_LAST | pipe.of.packet_bytes);
    transact(pipe.of.address, pipe.of.endpoint, USB_SIE_CTRL_RECEIVE_DATA);
}

/* Behind what came before; as much of it as there is room for. */
static void keep_packet(uint16_t came)
{
    uint16_t at = 0;
    if ((pipe.count & 3u) == 0) {
        for (; at < came && pipe.count + at < REPORT_BYTES; at = (uint16_t)(at + 4u))
            *(word *)(void *)(pipe.report + pipe.count + at) = USB_RAM(BUFFER_AT + at);
    } else {
        for (; at < came && pipe.count + at < REPORT_BYTES; at++)
            pipe.report[pipe.count + at] = USB_RAM_BYTES(BUFFER_AT)[at];
    }
    pipe.count = (uint16_t)(pipe.count + came);
}

/* A packet; with it, perhaps, a whole report: as long as one of its number is, or ended by a packet that is not full. */
static void take_packet(void)
{
    const uint16_t came = received();
    if (came > pipe.of.packet_bytes) return;
    keep_packet(came);
    pipe.data1 = !pipe.data1;
    if (came == pipe.of.packet_bytes && pipe.count < pipe.of.report_bytes(pipe.report[0])) return;
    const uint16_t count = pipe.count < REPORT_BYTES ? pipe.count : REPORT_BYTES;
    pipe.count = 0;
    if (count == 0) return;
    pipe.of.take_report(pipe.report, count);
    for_main_loop = true;
}

/*
 * The wrong toggle: either this packet came before and the device missed that it was taken, or both sides are out of step. It is
 * dropped (USB 2.0 section 8.6.4). Should the next one be wrong too, then the controller has not acknowledged the first.
 */
static void step_over(void)
{
    if (pipe.out_of_step) pipe.data1 = !pipe.data1;
    pipe.out_of_step = !pipe.out_of_step;
}

static void stop_polling(enum usb_listening how)
{
    pipe.listens = false;
    pipe.how = how;
    for_main_loop = true;
}

static void poll_ended(uint32_t status)
{
    under_way = NOBODY;
    const bool spoilt = (status & (ERRORS | USB_SIE_STATUS_RX_OVERFLOW)) != 0;
    pipe.dead = spoilt ? (uint8_t)(pipe.dead + 1u) : 0;
    if (status & USB_SIE_STATUS_STALL_REC) stop_polling(USB_PIPE_HALTED);
    else if (pipe.dead >= DEAD_POLLS) stop_polling(USB_PIPE_BROKEN);
    else if (spoilt) {
        if (pipe.frames > SPOILT_POLL_FRAMES) pipe.frames = SPOILT_POLL_FRAMES;
    } else if (status & USB_SIE_STATUS_NAK_REC) return;
    else if (status & USB_SIE_STATUS_DATA_SEQ_ERROR) step_over();
    else {
        pipe.out_of_step = false;
        take_packet();
    }
}

static void frame_began(void)
{
    (void)USB_REG(USB_SOF_RD);
    if (!pipe.listens || under_way != NOBODY) return;
    if (pipe.frames > 1) {
        pipe.frames--;
        return;
    }
    pipe.frames = pipe.of.interval_ms;
    poll();
}

/* ---- Interrupt ---- */

static void look_at_line(void)
{
    USB_REG(USB_SIE_STATUS) = USB_SIE_STATUS_SPEED_BITS;
    const enum usb_line was = line;
    line = (enum usb_line)USB_SIE_STATUS_SPEED(USB_REG(USB_SIE_STATUS));
    if (line == was) return;
    line_changed = for_main_loop = true;
    if (was == USB_LINE_EMPTY) return;
    /* Whatever was going on was with a device that is gone. */
    if (under_way != NOBODY) break_off();
    if (transfer.outcome == USB_UNDER_WAY) transfer.outcome = USB_FAILED;
    pipe.listens = false;
    device_gone();
}

bool usb_host_interrupt(void)
{
    const uint32_t why = USB_REG(USB_INTS);
    for_main_loop = false;
    if (why & USB_INT_HOST_CONN_DIS) look_at_line();
    if (why & ENDS) {
        const uint32_t status = USB_REG(USB_SIE_STATUS);
        USB_REG(USB_SIE_STATUS) = ALL_STATUS;
        if (under_way == REQUEST) request_ended(status);
        else if (under_way == POLL) poll_ended(status);
    }
    if (why & USB_INT_HOST_SOF) frame_began();
    return for_main_loop;
}

/* ---- For the main loop ---- */

static void reset_controller(void)
{
    SET(RESETS_RESET) = RESETS_USBCTRL;
    CLEAR(RESETS_RESET) = RESETS_USBCTRL;
    while (!(RESETS_RESET_DONE & RESETS_USBCTRL)) continue;
}

void usb_host_start(void (*gone)(void))
{
    device_gone = gone;
    reset_controller();
    for (uint32_t at = 0; at < USB_DPRAM_BYTES; at += 4) USB_RAM(at) = 0;
    line = USB_LINE_EMPTY;
    line_changed = false;
    under_way = NOBODY;
    transfer.outcome = USB_FAILED;
    pipe.listens = false;
    sie_ctrl = USB_SIE_CTRL_PULLDOWN_EN;
    USB_REG(USB_MUXING) = USB_MUXING_TO_PHY | USB_MUXING_SOFTCON;
    USB_REG(USB_MAIN_CTRL) = USB_MAIN_CTRL_CONTROLLER_EN | USB_MAIN_CTRL_HOST;
    USB_REG(USB_SIE_CTRL) = sie_ctrl;
    USB_REG(USB_INTE) = USB_INT_HOST_CONN_DIS | USB_INT_HOST_SOF | ENDS;
    interrupt_on(USBCTRL_IRQ);
}

void usb_host_stop(void)
{
    interrupt_off(USBCTRL_IRQ);
    const bool had_one = line != USB_LINE_EMPTY;
    reset_controller();
    NVIC_ICPR = 1u << USBCTRL_IRQ;
    line = USB_LINE_EMPTY;
    under_way = NOBODY;
    pipe.listens = false;
    if (had_one) device_gone();
}

enum usb_line usb_host_line(void)
{
    return line;
}

bool usb_host_line_changed(void)
{
    interrupt_off(USBCTRL_IRQ);
    const bool any = line_changed;
    line_changed = false;
    interrupt_on(USBCTRL_IRQ);
    return any;
}

void usb_host_reset_bus(bool drive)
{
    interrupt_off(USBCTRL_IRQ);
    if (under_way != NOBODY) break_off();
    /* How long the controller drives the lines before it ends by itself is not documented: it is asked again. */
    if (drive) USB_REG(USB_SIE_CTRL) = sie_ctrl | USB_SIE_CTRL_RESET_BUS;
    else USB_REG(USB_SIE_CTRL) = sie_ctrl;
    interrupt_on(USBCTRL_IRQ);
}

void usb_host_run_frames(enum usb_line of)
{
    interrupt_off(USBCTRL_IRQ);
    sie_ctrl = USB_SIE_CTRL_PULLDOWN_EN;
    if (of == USB_LINE_FULL_SPEED) sie_ctrl |= USB_SIE_CTRL_SOF_EN;
    if (of == USB_LINE_LOW_SPEED) sie_ctrl |= USB_SIE_CTRL_KEEP_ALIVE_EN;
    USB_REG(USB_SIE_CTRL) = sie_ctrl;
    interrupt_on(USBCTRL_IRQ);
}

void usb_host_request(const struct usb_request *request, uint32_t now_ms)
{
    interrupt_off(USBCTRL_IRQ);
    transfer.asked = *request;
    transfer.stage = SETUP;
    transfer.got = 0;
    transfer.tries = 0;
    transfer.moved = false;
    transfer.began_ms = transfer.stage_ms = now_ms;
    transfer.outcome = line == USB_LINE_EMPTY ? USB_FAILED : USB_UNDER_WAY;
    if (line != USB_LINE_EMPTY) begin_stage();
    interrupt_on(USBCTRL_IRQ);
}

enum usb_outcome usb_host_outcome(uint32_t now_ms)
{
    interrupt_off(USBCTRL_IRQ);
    if (transfer.outcome == USB_UNDER_WAY) {
        if (transfer.moved) {
            transfer.moved = false;
            transfer.stage_ms = now_ms;
        }
        if (now_ms - transfer.stage_ms > STAGE_MS || now_ms - transfer.began_ms > TRANSFER_MS) {
            break_off();
            transfer.outcome = USB_FAILED;
        }
    }
    const enum usb_outcome outcome = transfer.outcome;
    interrupt_on(USBCTRL_IRQ);
    return outcome;
}

uint16_t usb_host_got(void)
{
    return transfer.got;
}

void usb_host_listen(const struct usb_pipe *to)
{
    interrupt_off(USBCTRL_IRQ);
    pipe.of = *to;
    pipe.data1 = pipe.out_of_step = false;
    pipe.count = 0;
    pipe.frames = 0;
    pipe.dead = 0;
    pipe.how = USB_LISTENS;
    pipe.listens = line != USB_LINE_EMPTY;
    interrupt_on(USBCTRL_IRQ);
}

void usb_host_stop_listening(void)
{
    interrupt_off(USBCTRL_IRQ);
    pipe.listens = false;
    if (under_way == POLL) break_off();
    interrupt_on(USBCTRL_IRQ);
}

enum usb_listening usb_host_listening(void)
{
    return pipe.how;
}
