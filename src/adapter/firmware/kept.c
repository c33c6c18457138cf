#include "kept.h"

#include <string.h>

#include "flash.h"
#include "met.h"
#include "record.h"
#include "seen.h"

static uint32_t clock_ms;

static struct {
    enum { NOTHING, WRITE_MET, WRITE_SEEN, SPOIL_MET, SPOIL_SEEN } job;
    bool flash_busy; /* as far as is known */
    bool forget;     /* when what is being written is done */
    bool forgetting;
    bool failed; /* to forget something */
    uint32_t spoiled_at;
} work;

void kept_init(void)
{
    memset(&work, 0, sizeof work);
    clock_ms = 0;
    met_init();
    seen_init();
}

void kept_pad(const struct pad_identity *identity, uint8_t outcome, const uint8_t *descriptor, uint16_t length)
{
    met_add(identity, outcome, descriptor, length);
    if (outcome == KEPT_SERVED || outcome == KEPT_NO_LAYOUT) seen_begin(identity, outcome, clock_ms);
}

void kept_gone(uint32_t now_ms)
{
    seen_end(now_ms);
}

void kept_tick(uint32_t now_ms, uint32_t controls, uint16_t inputs)
{
    clock_ms = now_ms;
    seen_tick(now_ms, controls, inputs);
}

void kept_begin_forget(void)
{
    work.forget = true;
}

bool kept_holds_flash(void)
{
    return work.flash_busy;
}

bool kept_at_work(void)
{
    return work.job != NOTHING || work.flash_busy || work.forget || met_has_job() || seen_has_job();
}

/* ---- Forgetting ---- */

static bool begin_spoiling(void)
{
    if (met_next_to_forget(&work.spoiled_at)) work.job = SPOIL_MET;
    else if (seen_next_to_forget(&work.spoiled_at)) work.job = SPOIL_SEEN;
    else return false;
    record_begin_spoiling(work.spoiled_at);
    work.flash_busy = true;
    return true;
}

static enum kept_work forget_on(void)
{
    if (!work.forgetting) seen_forget_ram();
    work.forgetting = true;
    if (begin_spoiling()) return KEPT_AT_WORK;
    const bool failed = work.failed;
    work.forget = work.forgetting = work.failed = false;
    return failed ? KEPT_NOT_FORGOTTEN : KEPT_FORGOTTEN;
}

static void end_spoiling(void)
{
    if (!record_spoiled(work.spoiled_at)) work.failed = true;
    if (work.job == SPOIL_MET) met_forgotten();
    else seen_forgotten();
    work.job = NOTHING;
}

/* ---- Writing ---- */

static enum kept_work begin_writing(void)
{
    struct record_job job;
    if (met_next_job(&job)) work.job = WRITE_MET;
    else if (seen_next_job(&job)) work.job = WRITE_SEEN;
    else return KEPT_IDLE;
    record_begin(&job);
    return KEPT_AT_WORK;
}

static void write_on(void)
{
    const bool stale = work.job == WRITE_SEEN && seen_job_is_stale();
    const enum record_state state = stale ? RECORD_WRONG : record_step();
    if (state == RECORD_BUSY) work.flash_busy = true;
    if (state == RECORD_BUSY || state == RECORD_ON) return;
    if (work.job == WRITE_MET) met_job_done(state == RECORD_WRITTEN);
    else seen_job_done(state == RECORD_WRITTEN);
    work.job = NOTHING;
}

enum kept_work kept_work(void)
{
    if (work.flash_busy) {
        work.flash_busy = flash_busy();
        return KEPT_AT_WORK;
    }
    switch (work.job) {
    case NOTHING: return work.forget ? forget_on() : begin_writing();
    case SPOIL_MET:
    case SPOIL_SEEN: end_spoiling(); break;
    default: write_on(); break;
    }
    return KEPT_AT_WORK;
}
