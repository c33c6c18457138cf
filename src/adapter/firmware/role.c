#include "role.h"

#include "chip.h"
#include "enumerate.h"
#include "pad-memory.h"
#include "pins.h"
#include "player.h"
#include "ticks.h"
#include "usb-host.h"
#include "usb.h"

/* VBUS of a computer that was plugged in together with the power has come by then. */
#define SETTLE_MS 150u
/* What hangs on VBUS keeps it up for a while after the switch is off; what is still up then comes from outside. */
#define FALL_MS 250u
/* And has to stay down for so long before it is given again. */
#define OFF_MS 20u
/* By then the switch has ramped up. */
#define RAMP_MS 50u

/*
 * While VBUS is given and nobody is there, a computer may have been plugged in, which shows only while it is not given. The standard
 * gives a device 100 ms to show itself (USB 2.0 section 7.1.7.3); those that take longer are awaited every other time.
 */
#define LOOK_SHORT_MS 500u
#define LOOK_LONG_MS 1500u

/* The fault line has to be down for so long: plugging in draws a surge. */
#define FAULT_MS 3u
#define FAULT_PAUSE_MS 2000u
/* A device that would not come up is tried again by itself. */
#define FAILED_PAUSE_MS 4000u

static volatile enum {
    LOOKING, /* the switch is off, and so was VBUS when last looked at */
    DEVICE,  /* VBUS comes from outside */
    RAMPING, /* the switch was turned on */
    HOST,
    FALLING  /* the switch was turned off: VBUS has to go before anything can be said of it */
} role;

static uint32_t since_ms;
static uint32_t wait_ms; /* of LOOKING */
static enum role_power power;
static const char *serial_number;
static enum device_state device;
static uint32_t device_ms; /* since when it is in this state */
static bool long_look;
static bool once_more; /* the power is off for the sake of a device that would not come up */
static uint8_t fault_ms;
static enum led_trouble trouble;
static bool pad_known;

/* The last report, for those who may take their time. */
static struct {
    volatile bool fresh;
    uint16_t count;
    uint8_t bytes[ACTIVITY_MAX_REPORT_BYTES];
} last;

static void go_to(uint8_t next, uint32_t now_ms)
{
    role = next;
    since_ms = now_ms;
}

bool role_vbus(void)
{
    return (SIO_GPIO_IN >> PIN_VBUS_SENSE & 1u) != 0;
}

static bool fault(void)
{
    return (SIO_GPIO_IN >> PIN_VBUS_FAULT & 1u) == 0;
}

static void look(uint32_t for_ms, uint32_t now_ms)
{
    wait_ms = for_ms;
    go_to(LOOKING, now_ms);
}

/* ---- What is kept of pads ---- */

/* What is kept of the device that is plugged in, and of what has become of it. */
static void note_pad(enum pad_outcome outcome)
{
    uint16_t length;
    const uint8_t *descriptor = enumerate_descriptor(&length);
    pad_memory_add(enumerate_identity(), outcome, descriptor, length);
}

static void note_report(uint32_t now_ms)
{
    uint8_t bytes[ACTIVITY_MAX_REPORT_BYTES];
    interrupts_off();
    const uint16_t count = last.fresh ? last.count : 0;
    for (uint16_t k = 0; k < count; k++) bytes[k] = last.bytes[k];
    last.fresh = false;
    interrupts_on();
    if (count > 0) pad_memory_report(bytes, count, now_ms);
}

/* Whether the image at work has an entry for the pad may change with every bank. */
static void note_whether_known(void)
{
    const bool known = player_pad_known();
    if (known == pad_known) return;
    pad_known = known;
    note_pad(known ? OUTCOME_SERVED : OUTCOME_NO_LAYOUT);
}

static void begin_serving(uint32_t now_ms)
{
    player_pad_plugged(enumerate_identity(), now_ms);
    pad_known = player_pad_known();
    last.fresh = false;
    note_pad(pad_known ? OUTCOME_SERVED : OUTCOME_NO_LAYOUT);
}

static void end_serving(uint32_t now_ms)
{
    player_pad_gone(now_ms);
    pad_memory_gone(now_ms);
}

/* Called in the interrupt: what is pressed reaches the pins before anything else is done. */
static void take_report(const uint8_t *bytes, uint16_t count)
{
    player_pad_report(bytes, count, ticks_ms());
    last.count = count < ACTIVITY_MAX_REPORT_BYTES ? count : ACTIVITY_MAX_REPORT_BYTES;
    for (uint16_t k = 0; k < last.count; k++) last.bytes[k] = bytes[k];
    last.fresh = true;
}

static void device_gone(void)
{
    player_pad_gone(ticks_ms());
}

/* ---- Giving VBUS ---- */

static void give_vbus(uint32_t now_ms)
{
    SIO_GPIO_OUT_SET = 1u << PIN_VBUS_SWITCH;
    fault_ms = 0;
    go_to(RAMPING, now_ms);
}

/* The controller is a device again, hidden: whatever VBUS turns out to be, nothing is missed. */
static void take_vbus(uint32_t now_ms)
{
    SIO_GPIO_OUT_CLR = 1u << PIN_VBUS_SWITCH;
    if (role == HOST) usb_host_stop();
    if (device == DEVICE_SERVED) end_serving(now_ms);
    device = DEVICE_ABSENT;
    /* Before the controller may interrupt: the handler goes by the role. */
    go_to(FALLING, now_ms);
    usb_init(serial_number);
}

static void begin_host(uint32_t now_ms)
{
    if (once_more) enumerate_once_more(take_report);
    else enumerate_start(take_report);
    once_more = false;
    device = DEVICE_ABSENT;
    device_ms = now_ms;
    /* The handler goes by the role: what the controller raises as a device would never be taken. */
    interrupt_off(USBCTRL_IRQ);
    go_to(HOST, now_ms);
    usb_host_start(device_gone);
}

/* ---- The host's device ---- */

static void refuse(enum led_trouble why, enum pad_outcome outcome)
{
    trouble = why;
    note_pad(outcome);
}

static void watch_device(uint32_t now_ms)
{
    const enum device_state was = device;
    device = enumerate_step(now_ms);
    if (device == was) return;
    device_ms = now_ms;
    if (was == DEVICE_SERVED) end_serving(now_ms);
    switch (device) {
    case DEVICE_COMES_UP:
        /* One that has failed before has yet to show that it can. */
        if (trouble != LED_PAD_FAILED) trouble = LED_NO_TROUBLE;
        break;
    case DEVICE_SERVED:
        trouble = LED_NO_TROUBLE;
        begin_serving(now_ms);
        break;
    case DEVICE_IS_HUB: refuse(LED_HUB, OUTCOME_HUB); break;
    case DEVICE_IS_KEYBOARD: refuse(LED_KEYBOARD, OUTCOME_KEYBOARD); break;
    case DEVICE_IS_OTHER: refuse(LED_NOT_A_PAD, OUTCOME_NO_PAD); break;
    case DEVICE_FAILED: refuse(LED_PAD_FAILED, OUTCOME_FAILED); break;
    case DEVICE_NEEDS_POWER:
        once_more = true;
        take_vbus(now_ms);
        break;
    case DEVICE_LEFT:
        /* Some leave by themselves and come back as another: they may, for as long as anybody is awaited. */
        trouble = LED_NO_TROUBLE;
        long_look = false;
        device = DEVICE_ABSENT;
        enumerate_start(take_report);
        break;
    case DEVICE_ABSENT: break;
    }
}

void role_work(uint32_t now_ms)
{
    if (role != HOST) return;
    watch_device(now_ms);
    if (role != HOST || device != DEVICE_SERVED) return;
    note_whether_known();
    note_report(now_ms);
}

/* ---- Once a millisecond ---- */

static bool host_gives_up(uint32_t now_ms)
{
    const uint32_t waited_ms = now_ms - device_ms;
    if (device == DEVICE_FAILED) return waited_ms >= FAILED_PAUSE_MS;
    /* Somebody is there as soon as a line is up, even before it counts. */
    if (device != DEVICE_ABSENT || usb_host_line() != USB_LINE_EMPTY) return false;
    if (waited_ms < (long_look ? LOOK_LONG_MS : LOOK_SHORT_MS)) return false;
    long_look = !long_look;
    trouble = LED_NO_TROUBLE;
    return true;
}

/* Too much current: it is up to the user now; what is tried again is tried slowly. */
static void overload(uint32_t now_ms)
{
    trouble = LED_OVER_CURRENT;
    take_vbus(now_ms);
}

static bool overloaded(uint32_t now_ms)
{
    fault_ms = fault() ? (uint8_t)(fault_ms + 1u) : 0;
    if (fault_ms < FAULT_MS) return false;
    overload(now_ms);
    return true;
}

static void fall(uint32_t now_ms)
{
    if (role_vbus() && now_ms - since_ms < FALL_MS) return;
    look(trouble == LED_OVER_CURRENT ? FAULT_PAUSE_MS : OFF_MS, now_ms);
}

static void look_for_vbus(uint32_t now_ms)
{
    if (role_vbus()) {
        if (power == ROLE_POWER_UNTOLD) power = ROLE_POWER_COMPUTER;
        trouble = LED_NO_TROUBLE;
        once_more = long_look = false;
        usb_vbus(true);
        go_to(DEVICE, now_ms);
    } else if (now_ms - since_ms >= wait_ms) {
        if (power == ROLE_POWER_UNTOLD) power = ROLE_POWER_CONSOLE;
        give_vbus(now_ms);
    }
}

void role_tick(uint32_t now_ms)
{
    switch (role) {
    case LOOKING: look_for_vbus(now_ms); break;
    case DEVICE:
        if (role_vbus()) break;
        usb_vbus(false);
        look(SETTLE_MS, now_ms);
        break;
    case RAMPING:
        if (overloaded(now_ms)) break;
        if (role_vbus()) begin_host(now_ms);
        else if (now_ms - since_ms >= RAMP_MS) overload(now_ms);
        break;
    case HOST:
        if (!overloaded(now_ms) && host_gives_up(now_ms)) take_vbus(now_ms);
        break;
    case FALLING: fall(now_ms); break;
    }
}

bool role_is_device(void)
{
    return role != HOST;
}

bool role_interrupt(void)
{
    if (role == HOST) return usb_host_interrupt();
    usb_interrupt();
    return true;
}

enum led_trouble role_trouble(void)
{
    return role == HOST && device == DEVICE_SERVED && !pad_known ? LED_PAD_UNKNOWN : trouble;
}

void role_set_up_pins(void)
{
    SIO_GPIO_OUT_CLR = 1u << PIN_VBUS_SWITCH;
    SIO_GPIO_OE_SET = 1u << PIN_VBUS_SWITCH;
    IO_BANK0_GPIO_CTRL(PIN_VBUS_SWITCH) = FUNCTION_SIO;
    PADS_BANK0_GPIO(PIN_VBUS_FAULT) = PAD_INPUT_ENABLE | PAD_SCHMITT | PAD_PULL_UP;
    IO_BANK0_GPIO_CTRL(PIN_VBUS_FAULT) = FUNCTION_SIO;
    PADS_BANK0_GPIO(PIN_VBUS_SENSE) = PAD_INPUT_ENABLE | PAD_SCHMITT | PAD_PULL_DOWN;
    IO_BANK0_GPIO_CTRL(PIN_VBUS_SENSE) = FUNCTION_SIO;
}

enum role_power role_power(void)
{
    return power;
}

void role_start(const char *serial)
{
    serial_number = serial;
    usb_init(serial);
    look(SETTLE_MS, ticks_ms());
}
