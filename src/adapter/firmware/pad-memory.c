#include "pad-memory.h"

#include <string.h>

#include "flash.h"
#include "pad-history.h"
#include "record.h"
#include "last-activity.h"

static uint32_t clock_ms;

static struct {
    enum { NOTHING, WRITE_HISTORY, WRITE_ACTIVITY, SPOIL_HISTORY, SPOIL_ACTIVITY } job;
    bool flash_busy; /* as far as is known */
    bool forget;     /* when what is being written is done */
    bool forgetting;
    bool failed; /* to forget something */
    uint32_t spoiled_at;
    struct record_work record;
} work;

void pad_memory_init(void)
{
    memset(&work, 0, sizeof work);
    clock_ms = 0;
    history_init();
    activity_init();
}

void pad_memory_add(const struct pad_identity *identity, uint8_t outcome, const uint8_t *descriptor, uint16_t length)
{
    history_add(identity, outcome, descriptor, length);
    if (outcome == OUTCOME_SERVED || outcome == OUTCOME_NO_LAYOUT) activity_begin(identity, outcome, clock_ms);
}

void pad_memory_gone(uint32_t now_ms)
{
    activity_end(now_ms);
}

void pad_memory_tick(uint32_t now_ms, uint32_t controls, uint16_t inputs)
{
    clock_ms = now_ms;
    activity_tick(now_ms, controls, inputs);
}

void pad_memory_begin_forget(void)
{
    work.forget = true;
}

bool pad_memory_holds_flash(void)
{
    return work.flash_busy;
}

bool pad_memory_at_work(void)
{
    return work.job != NOTHING || work.flash_busy || work.forget || history_has_job() || activity_has_job();
}

/* ---- Forgetting ---- */

static bool begin_spoiling(void)
{
    if (history_next_to_forget(&work.spoiled_at)) work.job = SPOIL_HISTORY;
    else if (activity_next_to_forget(&work.spoiled_at)) work.job = SPOIL_ACTIVITY;
    else return false;
    record_begin_spoiling(work.spoiled_at);
    work.flash_busy = true;
    return true;
}

static enum pad_memory_work forget_on(void)
{
    if (!work.forgetting) activity_forget_ram();
    work.forgetting = true;
    if (begin_spoiling()) return PAD_MEMORY_AT_WORK;
    const bool failed = work.failed;
    work.forget = work.forgetting = work.failed = false;
    return failed ? PAD_MEMORY_NOT_FORGOTTEN : PAD_MEMORY_FORGOTTEN;
}

static void end_spoiling(void)
{
    if (!record_spoiled(work.spoiled_at)) work.failed = true;
    if (work.job == SPOIL_HISTORY) history_forgotten();
    else activity_forgotten();
    work.job = NOTHING;
}

/* ---- Writing ---- */

static enum pad_memory_work begin_writing(void)
{
    struct record_job job;
    if (history_next_job(&job)) work.job = WRITE_HISTORY;
    else if (activity_next_job(&job)) work.job = WRITE_ACTIVITY;
    else return PAD_MEMORY_IDLE;
    record_begin(&work.record, &job);
    return PAD_MEMORY_AT_WORK;
}

static void write_on(void)
{
    const bool stale = work.job == WRITE_ACTIVITY && activity_job_is_stale();
    const enum record_state state = stale ? RECORD_WRONG : record_step(&work.record);
    if (state == RECORD_BUSY) work.flash_busy = true;
    if (state == RECORD_BUSY || state == RECORD_ON) return;
    if (work.job == WRITE_HISTORY) history_job_done(state == RECORD_WRITTEN);
    else activity_job_done(state == RECORD_WRITTEN);
    work.job = NOTHING;
}

enum pad_memory_work pad_memory_step(void)
{
    if (work.flash_busy) {
        work.flash_busy = flash_busy();
        return PAD_MEMORY_AT_WORK;
    }
    switch (work.job) {
    case NOTHING: return work.forget ? forget_on() : begin_writing();
    case SPOIL_HISTORY:
    case SPOIL_ACTIVITY: end_spoiling(); break;
    default: write_on(); break;
    }
    return PAD_MEMORY_AT_WORK;
}
