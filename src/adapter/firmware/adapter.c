#include "adapter.h"

#include "pad-memory.h"
#include "pad-record.h"
#include "player.h"
#include "role.h"
#include "store.h"
#include "ticks.h"
#include "trial-slot.h"

/* How often the flash is asked whether it has done what was begun. */
#define FLASH_POLL_US 50u
/* What is kept of pads is in no hurry. */
#define PAD_MEMORY_POLL_US 200u

/* What the store and the pad memory do for the link; both also work of their own accord, the store also for the player. */
static struct {
    enum { NO_WORK, COMMIT, SELECT, FORGET, ARM, FORGET_TRIAL } kind;
    uint8_t bank;
} work;
static enum adapter_outcome outcome; /* of that work, until it is taken */

/* The trial slot answers, and is not marked as used yet. */
static bool trial_unmarked;

uint16_t adapter_bank_length(uint8_t bank)
{
    return bank == ADAPTER_TRIAL_SLOT ? trial_slot_length() : store_length(bank);
}

uint32_t adapter_bank_crc32(uint8_t bank)
{
    return bank == ADAPTER_TRIAL_SLOT ? trial_slot_crc32() : store_crc32(bank);
}

void adapter_bank_read(uint8_t bank, uint16_t offset, uint8_t *into, uint16_t count)
{
    if (bank == ADAPTER_TRIAL_SLOT) trial_slot_read(offset, into, count);
    else store_read(bank, offset, into, count);
}

enum trial_state adapter_trial_state(void)
{
    if (player_trial()) return TRIAL_IN_USE;
    if (trial_slot_length() == 0) return TRIAL_EMPTY;
    return trial_slot_armed() ? TRIAL_ARMED : TRIAL_USED;
}

uint8_t adapter_active_bank(void)
{
    return player_bank();
}

bool adapter_at_work(void)
{
    return store_at_work() || trial_slot_at_work() || pad_memory_holds_flash() || work.kind == FORGET;
}

enum adapter_outcome adapter_take_outcome(void)
{
    const enum adapter_outcome taken = outcome;
    outcome = ADAPTER_NO_OUTCOME;
    return taken;
}

void adapter_begin_commit(uint8_t bank, const uint8_t *image, uint16_t length)
{
    work.bank = bank;
    if (bank == ADAPTER_TRIAL_SLOT) {
        work.kind = ARM;
        trial_slot_begin_arm(image, length);
    } else {
        work.kind = COMMIT;
        store_begin_commit(bank, image, length);
    }
}

void adapter_begin_select(uint8_t bank)
{
    work.kind = SELECT;
    work.bank = bank;
    store_begin_select(bank);
}

void adapter_begin_forget_trial(void)
{
    work.kind = FORGET_TRIAL;
    trial_slot_begin_forget();
}

uint8_t adapter_history_count(void)
{
    return pad_memory_count();
}

void adapter_history_pad(uint8_t which, uint8_t *into)
{
    const struct known_pad pad = pad_memory_pad(which);
    put_pad(into, &pad.identity, pad.outcome);
    put_u16(into + PAD_RECORD_BYTES, pad.descriptor_bytes);
}

uint16_t adapter_memory_length(uint8_t which)
{
    if (which == ADAPTER_LAST_ACTIVITY) return pad_memory_activity_bytes();
    return which <= pad_memory_count() ? pad_memory_pad((uint8_t)(which - 1u)).descriptor_bytes : 0;
}

void adapter_memory_read(uint8_t which, uint16_t offset, uint8_t *into, uint16_t count)
{
    if (which == ADAPTER_LAST_ACTIVITY) pad_memory_activity(offset, into, count);
    else pad_memory_descriptor((uint8_t)(which - 1u), offset, into, count);
}

void adapter_begin_forget(void)
{
    work.kind = FORGET;
    pad_memory_begin_forget();
}

void adapter_host_holds(uint32_t controls)
{
    player_report(controls, ticks_ms());
}

void adapter_host_releases(void)
{
    player_let_go(ticks_ms());
}

/* ---- The work ---- */

static void end_work(bool done)
{
    outcome = done ? ADAPTER_DONE : ADAPTER_FAILED;
    work.kind = NO_WORK;
}

/* Of the store. What a computer makes the active bank, or its content, answers from then on, in the place of a trial too. */
static void finish_work(bool done)
{
    const bool runs = work.kind == COMMIT ? work.bank == player_bank() || player_bank() == ADAPTER_NO_BANK
                                          : work.bank != player_bank() || player_trial();
    if (done && runs) player_load(work.bank, ticks_ms());
    end_work(done);
}

/* ---- The trial slot ---- */

void adapter_start(uint32_t now_ms)
{
    trial_unmarked = trial_slot_armed() && !role_vbus() && player_start_trial(now_ms);
    if (!trial_unmarked) player_start(now_ms);
}

/* The bank has its turn again. */
static void end_trial(void)
{
    trial_unmarked = false;
    if (player_trial()) player_load(store_active(), ticks_ms());
}

static void mark_trial(void)
{
    switch (role_power()) {
    case ROLE_POWER_UNTOLD: break;
    case ROLE_POWER_COMPUTER: end_trial(); break;
    case ROLE_POWER_CONSOLE:
        if (adapter_at_work()) break;
        trial_unmarked = false;
        trial_slot_begin_use();
        break;
    }
}

static void step_trial_slot(void)
{
    if (trial_unmarked) mark_trial();
    const enum trial_slot_work state = trial_slot_poll();
    if (state != TRIAL_SLOT_DONE && state != TRIAL_SLOT_FAILED) return;
    if (work.kind == ARM || work.kind == FORGET_TRIAL) end_work(state == TRIAL_SLOT_DONE);
    else if (state == TRIAL_SLOT_FAILED) end_trial();
}

/* The banks come first; what is kept of pads is written when they need nothing. */
static void step_pad_memory(void)
{
    const enum pad_memory_work state = pad_memory_step();
    if (state != PAD_MEMORY_FORGOTTEN && state != PAD_MEMORY_NOT_FORGOTTEN) return;
    end_work(state == PAD_MEMORY_FORGOTTEN);
}

void adapter_step(void)
{
    const enum store_work state = store_poll();
    if (work.kind != NO_WORK && (state == STORE_DONE || state == STORE_FAILED)) finish_work(state == STORE_DONE);
    if (!store_at_work()) step_trial_slot();
    if (!store_at_work() && !trial_slot_at_work()) step_pad_memory();
    if (store_at_work() || trial_slot_at_work()) ticks_nudge_in_us(FLASH_POLL_US);
    else if (pad_memory_at_work()) ticks_nudge_in_us(PAD_MEMORY_POLL_US);
}

void adapter_change_bank(uint32_t now_ms)
{
    if (adapter_at_work() || outcome != ADAPTER_NO_OUTCOME) return;
    const uint8_t bank = player_change_bank(now_ms);
    if (bank != ADAPTER_NO_BANK) store_begin_select(bank);
}
