#include <stdbool.h>
#include <stdint.h>

#include "adapter.h"
#include "chip.h"
#include "flash.h"
#include "handlers.h"
#include "identity.h"
#include "pad-memory.h"
#include "led.h"
#include "link.h"
#include "pins.h"
#include "player.h"
#include "reply.h"
#include "role.h"
#include "usb-link.h"
#include "store.h"
#include "ticks.h"
#include "trial-slot.h"
#include "watchdog.h"

static volatile bool round_due; /* an interrupt has come since the main loop began its round */

/* ---- Interrupts ---- */

void on_tick(void)
{
    ticks_next();
    round_due = true;
}

void on_nudge(void)
{
    ticks_nudged();
    round_due = true;
}

void on_usb(void)
{
    if (role_interrupt()) round_due = true;
}

void on_idle_reset(void)
{
    const uint16_t rises = player_idle_reset();
    if (rises > 0) pad_memory_read(rises, ticks_ms());
    round_due = true;
}

/* The console sees nothing pressed, and the watchdog restarts the chip. */
void on_fault(void)
{
    reply_stop();
    for (;;) {
    }
}

static void set_up_interrupts(void)
{
    /* Two bits each, zero comes first: the idle reset waits for nobody. */
    NVIC_IPR(TIMER_IRQ_0) = 0x00008080u;
    NVIC_IPR(USBCTRL_IRQ) = 0x00008000u;
    NVIC_IPR(PIO1_IRQ_0) = 0;
    NVIC_ISER = 1u << TIMER_IRQ_0 | 1u << TIMER_IRQ_1 | 1u << USBCTRL_IRQ | 1u << PIO1_IRQ_0;
}

/* ---- The main loop ---- */

static void show_light(uint32_t now_ms)
{
    static bool bitten;
    bitten = bitten || watchdog_bit();
    const struct console_activity console = player_console(now_ms);
    const struct led_state state = {
        .fault = bitten || player_fault() || store_worn() || trial_slot_worn(),
        .trouble = role_trouble(),
        .pad = player_has_pad(),
        .trial = player_trial(),
        .reading = console.reading,
        .six_buttons = console.six_buttons,
        .bank = player_bank() == ADAPTER_NO_BANK || player_trial() ? 0 : (uint8_t)(player_bank() + 1u),
        .bank_since_ms = player_bank_since_ms(),
    };
    if (led_on(&state, now_ms)) SIO_GPIO_OUT_SET = 1u << PIN_LED;
    else SIO_GPIO_OUT_CLR = 1u << PIN_LED;
}

/* Once a millisecond. A tick that stops, or a main loop that never comes round, is what the watchdog waits for. */
static void take_tick(uint32_t now_ms)
{
    watchdog_feed();
    role_tick(now_ms);
    player_tick(now_ms);
    const struct port_state state = player_state();
    pad_memory_tick(now_ms, state.controls, state.inputs);
    show_light(now_ms);
}

static void sleep(void)
{
    interrupts_off();
    while (!round_due) {
        wait_for_interrupt();
        interrupts_on();
        interrupts_off();
    }
    interrupts_on();
}

static void set_up_board(void)
{
    SIO_GPIO_OUT_CLR = 1u << PIN_LED;
    SIO_GPIO_OE_SET = 1u << PIN_LED;
    IO_BANK0_GPIO_CTRL(PIN_LED) = FUNCTION_SIO;
}

static void start_up(void)
{
    watchdog_start();
    reply_init();
    set_up_board();
    role_set_up_pins();
    set_up_interrupts();
    flash_init();
    /* A reset in the midst of an erase finds the flash still at it. */
    while (flash_busy()) watchdog_feed();
    store_init();
    trial_slot_init();
    ticks_init();
    adapter_start(ticks_ms());
    pad_memory_init();
    const struct link_identity *identity = identity_make();
    link_init(identity);
    role_start(identity->serial);
}

void run(void)
{
    start_up();
    for (uint32_t seen_ms = ticks_ms();; sleep()) {
        round_due = false;
        const uint32_t now_ms = ticks_ms();
        adapter_step();
        const struct port_state state = player_state();
        /* The link has to hear how work ended that a computer asked for and did not wait for: nothing else begins before. */
        if (!role_is_device()) link_poll(now_ms, &state);
        else if (usb_link_step(now_ms, &state)) round_due = true;
        role_work(now_ms);
        adapter_change_bank(now_ms);
        if (now_ms != seen_ms) take_tick(now_ms);
        seen_ms = now_ms;
    }
}
