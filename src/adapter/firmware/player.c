#include "player.h"

#include "chip.h"
#include "factory-image.h"
#include "input-state.h"
#include "image.h"
#include "pad-reader.h"
#include "reply.h"
#include "store.h"
#include "sweep.h"
#include "trial-slot.h"

/* The console reads when it has done so within this time. */
#define READING_MS 500u

/* The rise after which the extra buttons answer: nobody goes so far who does not know of six buttons. */
#define SIX_BUTTON_RISES 3u

static struct input_state input;

/* The image at work, which `input` reads all the time, and one that is being fetched. */
static uint8_t room[2][IMAGE_MAX_BYTES];
static uint8_t room_in_use;
static uint8_t bank = STORE_NO_BANK;
static uint32_t bank_since_ms;
static bool fault;
static bool trial; /* the image at work is that of the trial slot */

/* Who holds something: the host of the link, and the pad. */
static bool host_holds;
static uint32_t held_by_host;
static struct pad_reader pad;
static uint16_t inputs_shown;
static bool kept_to_first_cycle;

/* A bank that waits to be changed to between reads. */
static struct {
    bool waits;
    bool remembered;
    uint8_t bank;
} change;

static volatile uint32_t ended_reads;
static volatile uint16_t most_rises; /* in one read, since player_console() looked */

/* What is held reaches the reply engine. Interrupts are off: an idle reset does the same. */
static void show(void)
{
    if (input_state_first_cycle_only(&input) && !kept_to_first_cycle) {
        kept_to_first_cycle = true;
        reply_keep_first_cycle();
    }
    const uint16_t inputs = sweep_passes(input_state_inputs(&input));
    if (inputs == inputs_shown) return;
    inputs_shown = inputs;
    reply_set_inputs(inputs);
}

/* ---- Images ---- */

/* Reads a bank without touching the image at work. Returns it, or the factory image where the bank holds none that runs. */
static const uint8_t *fetch(uint8_t from)
{
    const uint16_t length = from == STORE_NO_BANK ? 0 : store_length(from);
    uint8_t *into = room[room_in_use ^ 1u];
    if (length == 0) return factory_image;
    store_read(from, 0, into, length);
    return image_check(into, length) ? into : factory_image;
}

static uint8_t bank_number(uint8_t of_bank)
{
    return of_bank == STORE_NO_BANK ? 0 : (uint8_t)(of_bank + 1u);
}

static void put_to_work(const uint8_t *next, uint8_t from, uint32_t now_ms)
{
    struct chart chart;
    image_chart(next, &chart);
    fault = next == factory_image && from != STORE_NO_BANK;
    bank = from;
    bank_since_ms = now_ms;
    trial = false;
    change.waits = false;
    if (next != factory_image) room_in_use ^= 1u;
    struct sweep sweep;
    image_sweep(next, &sweep);
    inputs_shown = input_state_inputs(&input) & (uint16_t)~(sweep.steps == 0 ? 0 : 1u << sweep.input);
    kept_to_first_cycle = input_state_first_cycle_only(&input);
    if (kept_to_first_cycle) chart_keep_first_cycle(&chart);
    reply_load(&chart, inputs_shown);
    sweep_load(&sweep);
}

static void start(const uint8_t *next, uint8_t from, uint32_t now_ms)
{
    interrupts_off();
    input_state_power_on(&input, next, bank_number(from));
    put_to_work(next, from, now_ms);
    interrupts_on();
}

void player_start(uint32_t now_ms)
{
    const uint8_t from = store_active();
    start(fetch(from), from, now_ms);
}

bool player_start_trial(uint32_t now_ms)
{
    const uint16_t length = trial_slot_length();
    uint8_t *into = room[room_in_use ^ 1u];
    trial_slot_read(0, into, length);
    if (!image_check(into, length)) return false;
    start(into, store_active(), now_ms);
    trial = true;
    return true;
}

bool player_trial(void)
{
    return trial;
}

/*
 * What is held stays so; what the pad holds is what the new image makes of it, and that before the image is loaded: what is
 * held then passes. Interrupts are off.
 */
static void exchange(const uint8_t *next, uint8_t from, uint32_t now_ms)
{
    pad_reader_load(&pad, next);
    /* What is read again is a report of the pad, and may be the first that can be read. */
    const uint32_t held = held_by_host | pad.held;
    if (pad.known && pad.last_count > 0) input_state_report(&input, held, now_ms);
    else input_state_left(&input, held, now_ms);
    input_state_load(&input, next, bank_number(from), now_ms);
    put_to_work(next, from, now_ms);
}

void player_load(uint8_t from, uint32_t now_ms)
{
    const uint8_t *next = fetch(from);
    interrupts_off();
    exchange(next, from, now_ms);
    interrupts_on();
}

uint8_t player_bank(void)
{
    return bank;
}

uint32_t player_bank_since_ms(void)
{
    return bank_since_ms;
}

bool player_fault(void)
{
    return fault;
}

/* ---- What is held ---- */

static void report(uint32_t now_ms)
{
    input_state_report(&input, held_by_host | pad.held, now_ms);
    show();
}

static void holder_left(uint32_t now_ms)
{
    input_state_left(&input, held_by_host | pad.held, now_ms);
    show();
}

void player_report(uint32_t held, uint32_t now_ms)
{
    interrupts_off();
    host_holds = true;
    held_by_host = held;
    report(now_ms);
    interrupts_on();
}

void player_let_go(uint32_t now_ms)
{
    interrupts_off();
    host_holds = false;
    held_by_host = 0;
    holder_left(now_ms);
    interrupts_on();
}

void player_pad_plugged(const struct pad_identity *identity, uint32_t now_ms)
{
    pad_reader_plug(&pad, identity, input.image);
    interrupts_off();
    holder_left(now_ms);
    interrupts_on();
}

bool player_pad_known(void)
{
    return pad.known;
}

void player_pad_report(const uint8_t *bytes, uint16_t count, uint32_t now_ms)
{
    pad_reader_report(&pad, bytes, count);
    if (!pad.known || count == 0) return;
    interrupts_off();
    report(now_ms);
    interrupts_on();
}

void player_pad_gone(uint32_t now_ms)
{
    pad_reader_unplug(&pad);
    interrupts_off();
    holder_left(now_ms);
    interrupts_on();
}

bool player_has_pad(void)
{
    return host_holds || pad.known;
}

void player_tick(uint32_t now_ms)
{
    interrupts_off();
    input_state_tick(&input, now_ms);
    sweep_tick(input_state_inputs(&input), now_ms);
    show();
    interrupts_on();
}

uint16_t player_idle_reset(void)
{
    const uint16_t rises = reply_state().rises;
    if (!reply_take_reset()) return 0;
    input_state_read_ended(&input);
    show();
    ended_reads++;
    if (rises > most_rises) most_rises = rises;
    return rises;
}

/* ---- Change of bank ---- */

static void take_wish(void)
{
    interrupts_off();
    const struct bank_wish wish = input_state_take_wish(&input, reply_state().rises == 0);
    interrupts_on();
    if (wish.bank == 0 || store_length((uint8_t)(wish.bank - 1u)) == 0) return;
    change.waits = true;
    change.bank = (uint8_t)(wish.bank - 1u);
    change.remembered = wish.remembered;
}

/* What was asked for in play is changed to with nothing held. */
static bool may_change(void)
{
    return !change.remembered || input.held == 0;
}

uint8_t player_change_bank(uint32_t now_ms)
{
    if (!change.waits) take_wish();
    if (!change.waits || !may_change()) return STORE_NO_BANK;
    /* Fetching takes a while: only then does it show whether a read goes on, or something was pressed. */
    const uint8_t *next = fetch(change.bank);
    bool changed = false;
    interrupts_off();
    if (reply_state().rises == 0 && may_change()) {
        exchange(next, change.bank, now_ms);
        changed = true;
    }
    interrupts_on();
    return changed && change.remembered ? change.bank : STORE_NO_BANK;
}

/* ---- State ---- */

struct port_state player_state(void)
{
    interrupts_off();
    const struct reply_state reply = reply_state();
    const struct port_state state = {
        .controls = input.held,
        .inputs = inputs_shown,
        .rises = reply.rises,
        .select = reply.high ? 1 : 0,
    };
    interrupts_on();
    return state;
}

struct console_activity player_console(uint32_t now_ms)
{
    static uint32_t reads_seen;
    static uint32_t read_ms;
    static uint32_t six_ms;
    static bool ever_read;
    static bool ever_six;
    interrupts_off();
    uint16_t rises = reply_state().rises;
    if (most_rises > rises) rises = most_rises;
    most_rises = 0;
    const uint32_t reads = ended_reads;
    interrupts_on();
    if (rises > 0 || reads != reads_seen) {
        ever_read = true;
        read_ms = now_ms;
        reads_seen = reads;
    }
    if (rises >= SIX_BUTTON_RISES) {
        ever_six = true;
        six_ms = now_ms;
    }
    return (struct console_activity){
        .reading = ever_read && now_ms - read_ms < READING_MS,
        .six_buttons = ever_six && now_ms - six_ms < READING_MS,
    };
}
