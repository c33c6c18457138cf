#include "adapter.h"

#include "pad-memory.h"
#include "pad-record.h"
#include "player.h"
#include "store.h"
#include "ticks.h"

/* How often the flash is asked whether it has done what was begun. */
#define FLASH_POLL_US 50u
/* What is kept of pads is in no hurry. */
#define PAD_MEMORY_POLL_US 200u

/* What the store and the pad memory do for the link; both also work of their own accord, the store also for the player. */
static struct {
    enum { NO_WORK, COMMIT, SELECT, FORGET } kind;
    uint8_t bank;
} work;
static enum adapter_outcome outcome; /* of that work, until it is taken */

uint16_t adapter_bank_length(uint8_t bank)
{
    return store_length(bank);
}

uint32_t adapter_bank_crc32(uint8_t bank)
{
    return store_crc32(bank);
}

void adapter_bank_read(uint8_t bank, uint16_t offset, uint8_t *into, uint16_t count)
{
    store_read(bank, offset, into, count);
}

uint8_t adapter_active_bank(void)
{
    return player_bank();
}

bool adapter_at_work(void)
{
    return store_at_work() || pad_memory_holds_flash() || work.kind == FORGET;
}

enum adapter_outcome adapter_take_outcome(void)
{
    const enum adapter_outcome taken = outcome;
    outcome = ADAPTER_NO_OUTCOME;
    return taken;
}

void adapter_begin_commit(uint8_t bank, const uint8_t *image, uint16_t length)
{
    work.kind = COMMIT;
    work.bank = bank;
    store_begin_commit(bank, image, length);
}

void adapter_begin_select(uint8_t bank)
{
    work.kind = SELECT;
    work.bank = bank;
    store_begin_select(bank);
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

static void finish_work(bool done)
{
    const bool runs = work.kind == COMMIT ? work.bank == player_bank() || player_bank() == ADAPTER_NO_BANK
                                          : work.bank != player_bank();
    if (done && runs) player_load(work.bank, ticks_ms());
    outcome = done ? ADAPTER_DONE : ADAPTER_FAILED;
    work.kind = NO_WORK;
}

/* The banks come first; what is kept of pads is written when they need nothing. */
static void step_pad_memory(void)
{
    const enum pad_memory_work state = pad_memory_step();
    if (state != PAD_MEMORY_FORGOTTEN && state != PAD_MEMORY_NOT_FORGOTTEN) return;
    outcome = state == PAD_MEMORY_FORGOTTEN ? ADAPTER_DONE : ADAPTER_FAILED;
    work.kind = NO_WORK;
}

void adapter_step(void)
{
    const enum store_work state = store_poll();
    if (work.kind != NO_WORK && (state == STORE_DONE || state == STORE_FAILED)) finish_work(state == STORE_DONE);
    if (!store_at_work()) step_pad_memory();
    if (store_at_work()) ticks_nudge_in_us(FLASH_POLL_US);
    else if (pad_memory_at_work()) ticks_nudge_in_us(PAD_MEMORY_POLL_US);
}

void adapter_change_bank(uint32_t now_ms)
{
    if (adapter_at_work() || outcome != ADAPTER_NO_OUTCOME) return;
    const uint8_t bank = player_change_bank(now_ms);
    if (bank != ADAPTER_NO_BANK) store_begin_select(bank);
}
