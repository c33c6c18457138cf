#include <stdbool.h>
#include <stdint.h>

#include "box.h"
#include "chip.h"
#include "flash.h"
#include "handlers.h"
#include "identity.h"
#include "kept.h"
#include "led.h"
#include "link.h"
#include "pad-record.h"
#include "pins.h"
#include "player.h"
#include "reply.h"
#include "role.h"
#include "serve.h"
#include "store.h"
#include "ticks.h"
#include "watchdog.h"

/* How often the flash is asked whether it has done what it was told. */
#define FLASH_POLL_US 50u
/* What is kept of pads is in no hurry. */
#define KEPT_POLL_US 200u

static volatile bool stirred; /* an interrupt has come since the main loop began its round */

/* What the store and what is kept do for the link; both also work of their own accord, the store also for the player. */
static struct {
    enum { NO_WORK, COMMIT, SELECT, FORGET } kind;
    uint8_t bank;
} work;
static enum box_task outcome; /* of that work; told once */

/* ---- Interrupts ---- */

void on_tick(void)
{
    ticks_next();
    stirred = true;
}

void on_nudge(void)
{
    ticks_nudged();
    stirred = true;
}

void on_usb(void)
{
    if (role_interrupt()) stirred = true;
}

void on_idle_reset(void)
{
    const uint16_t rises = player_idle_reset();
    if (rises > 0) kept_read(rises, ticks_ms());
    stirred = true;
}

/* The console sees nothing pressed, and the watchdog starts the chip afresh. */
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

/* ---- What the link asks of the box ---- */

uint16_t box_bank_length(uint8_t bank)
{
    return store_length(bank);
}

uint32_t box_bank_crc32(uint8_t bank)
{
    return store_crc32(bank);
}

void box_bank_read(uint8_t bank, uint16_t offset, uint8_t *into, uint16_t count)
{
    store_read(bank, offset, into, count);
}

uint8_t box_active_bank(void)
{
    return player_bank();
}

/* Whether the flash cannot be read or given other work now. */
static bool memory_at_work(void)
{
    return store_at_work() || kept_holds_flash() || work.kind == FORGET;
}

enum box_task box_task(void)
{
    const enum box_task told = outcome;
    outcome = BOX_IDLE;
    if (told != BOX_IDLE) return told;
    return memory_at_work() ? BOX_AT_WORK : BOX_IDLE;
}

void box_begin_commit(uint8_t bank, const uint8_t *image, uint16_t length)
{
    work.kind = COMMIT;
    work.bank = bank;
    store_begin_commit(bank, image, length);
}

void box_begin_select(uint8_t bank)
{
    work.kind = SELECT;
    work.bank = bank;
    store_begin_select(bank);
}

uint8_t box_pads_met(void)
{
    return kept_met_count();
}

void box_pad_met(uint8_t which, uint8_t *into)
{
    const struct kept_met pad = kept_met(which);
    put_pad(into, &pad.identity, pad.outcome);
    put_u16(into + PAD_RECORD_BYTES, pad.descriptor_bytes);
}

uint16_t box_kept_length(uint8_t which)
{
    if (which == BOX_LAST_SEEN) return kept_seen_bytes();
    return which <= kept_met_count() ? kept_met((uint8_t)(which - 1u)).descriptor_bytes : 0;
}

void box_kept_read(uint8_t which, uint16_t offset, uint8_t *into, uint16_t count)
{
    if (which == BOX_LAST_SEEN) kept_seen(offset, into, count);
    else kept_descriptor((uint8_t)(which - 1u), offset, into, count);
}

void box_begin_forget(void)
{
    work.kind = FORGET;
    kept_begin_forget();
}

void box_host_holds(uint32_t controls)
{
    player_report(controls, ticks_ms());
}

void box_host_lets_go(void)
{
    player_let_go(ticks_ms());
}

/* ---- The main loop ---- */

static void finish_work(bool done)
{
    const bool runs = work.kind == COMMIT ? work.bank == player_bank() || player_bank() == BOX_NO_BANK
                                          : work.bank != player_bank();
    if (done && runs) player_load(work.bank, ticks_ms());
    outcome = done ? BOX_DONE : BOX_FAILED;
    work.kind = NO_WORK;
}

/* The banks come first; what is kept of pads is written when they need nothing. */
static void work_on_kept(void)
{
    const enum kept_work state = kept_work();
    if (state != KEPT_FORGOTTEN && state != KEPT_NOT_FORGOTTEN) return;
    outcome = state == KEPT_FORGOTTEN ? BOX_DONE : BOX_FAILED;
    work.kind = NO_WORK;
}

static void work_on(void)
{
    const enum store_work state = store_poll();
    if (work.kind != NO_WORK && (state == STORE_DONE || state == STORE_FAILED)) finish_work(state == STORE_DONE);
    if (!store_at_work()) work_on_kept();
    if (store_at_work()) ticks_nudge_in_us(FLASH_POLL_US);
    else if (kept_at_work()) ticks_nudge_in_us(KEPT_POLL_US);
}

static void change_bank(uint32_t now_ms)
{
    if (memory_at_work() || outcome != BOX_IDLE) return;
    const uint8_t bank = player_change_bank(now_ms);
    if (bank != BOX_NO_BANK) store_begin_select(bank);
}

static void show_light(uint32_t now_ms)
{
    static bool bitten;
    bitten = bitten || watchdog_bit();
    const struct console_news console = player_console(now_ms);
    const struct led_news news = {
        .fault = bitten || player_fault() || store_worn(),
        .trouble = role_trouble(),
        .pad = player_has_pad(),
        .reading = console.reading,
        .six_buttons = console.six_buttons,
        .bank = player_bank() == BOX_NO_BANK ? 0 : (uint8_t)(player_bank() + 1u),
        .bank_since_ms = player_bank_since_ms(),
    };
    if (led_on(&news, now_ms)) SIO_GPIO_OUT_SET = 1u << PIN_LED;
    else SIO_GPIO_OUT_CLR = 1u << PIN_LED;
}

/* Once a millisecond. A tick that stops, or a main loop that never comes round, is what the watchdog waits for. */
static void take_tick(uint32_t now_ms)
{
    watchdog_feed();
    role_tick(now_ms);
    player_tick(now_ms);
    const struct link_state state = player_state();
    kept_tick(now_ms, state.controls, state.inputs);
    show_light(now_ms);
}

static void sleep(void)
{
    interrupts_off();
    while (!stirred) {
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
    set_up_interrupts();
    flash_init();
    /* A reset in the midst of an erase finds the flash still at it. */
    while (flash_busy()) watchdog_feed();
    store_init();
    ticks_init();
    player_start(ticks_ms());
    kept_init();
    const struct link_identity *identity = identity_make();
    link_init(identity);
    role_start(identity->serial);
}

void run(void)
{
    start_up();
    for (uint32_t seen_ms = ticks_ms();; sleep()) {
        stirred = false;
        const uint32_t now_ms = ticks_ms();
        work_on();
        const struct link_state state = player_state();
        /* The link has to hear how work ended that a computer asked for and did not wait for: nothing else begins before. */
        if (!role_is_device()) link_poll(now_ms, &state);
        else if (serve_link(now_ms, &state)) stirred = true;
        role_work(now_ms);
        change_bank(now_ms);
        if (now_ms != seen_ms) take_tick(now_ms);
        seen_ms = now_ms;
    }
}
