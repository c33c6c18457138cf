#include "last-activity.h"

#include <stdatomic.h>
#include <string.h>

#include "flash-map.h"
#include "flash.h"
#include "pad-record.h"

enum {
    RING = 2 * ACTIVITY_LAST, /* so that a snapshot and what comes meanwhile have room */

    PLACE_BYTES = 5 * FLASH_PAGE_BYTES,
    PLACES_EACH = FLASH_SECTOR_BYTES / PLACE_BYTES,
    PLACES = PLACES_EACH * FLASH_ACTIVITY_SECTORS,
    NOWHERE = PLACES,
};

_Static_assert(RECORD_HEADER_BYTES + MAX_ACTIVITY_BYTES <= PLACE_BYTES, "a snapshot fits its place");

/* A place that does not come out right is passed over, so often all in all. */
#define MAX_TRIES 3u

/* When a snapshot is taken, in ms since the pad was plugged in; then again and again after the last of these. */
static const uint32_t due_ms[] = {10000, 60000, 600000};
#define DUES (sizeof due_ms / sizeof *due_ms)

/* A plug that comes and goes must not wear the flash: the end is written no sooner than this after another end. */
#define END_GAP_MS 10000u

/* ---- In RAM ---- */

struct report {
    uint32_t ms;
    uint8_t count;
    uint8_t bytes[ACTIVITY_MAX_REPORT_BYTES];
};

struct read {
    uint32_t ms;
    uint16_t rises;
};

/*
 * Reports, reads and ticks may come in interrupts, each of its own: what one of them writes no other does, and the
 * number of entries is raised when the entry stands.
 */
static struct {
    bool any;
    volatile bool watching;
    volatile uint8_t generation; /* counts pads */
    struct pad_identity identity;
    uint8_t outcome;
    uint32_t plugged_ms;
    uint32_t ms; /* since then, as long as it was there */
    uint32_t controls;
    uint16_t inputs;
    uint32_t report_count;
    volatile uint32_t read_count;
    volatile uint16_t most_rises;
    volatile uint32_t reports_end;
    volatile uint32_t reads_end;
    struct report reports[RING];
    struct read reads[RING];
} activity;

/* One state of it, with the last entries that belong to it. */
struct view {
    uint8_t head[ACTIVITY_HEAD_BYTES];
    uint32_t reports_from, reports_end;
    uint32_t reads_from, reads_end;
};

static struct {
    volatile bool held; /* the entries of `view` must not be written over */
    uint8_t generation;
    bool of_the_end;
    struct view view;
} snapshot;

static struct {
    uint8_t taken; /* of due_ms; the last is taken again and again */
    uint32_t next_ms;
    bool end_to_write;
    bool end_written; /* ever */
    uint32_t end_written_ms;
    uint32_t now_ms;
} schedule;

static void in_order(void)
{
    atomic_signal_fence(memory_order_seq_cst);
}

void activity_begin(const struct pad_identity *identity, uint8_t outcome, uint32_t now_ms)
{
    if (activity.watching && same_pad(&activity.identity, identity)) {
        activity.outcome = outcome;
        return;
    }
    const uint8_t generation = (uint8_t)(activity.generation + 1u);
    activity.watching = false;
    in_order();
    memset((void *)&activity, 0, sizeof activity);
    activity.generation = generation;
    activity.any = true;
    activity.identity = *identity;
    activity.outcome = outcome;
    activity.plugged_ms = now_ms;
    schedule.taken = 0;
    schedule.next_ms = due_ms[0];
    in_order();
    activity.watching = true;
}

void activity_end(uint32_t now_ms)
{
    if (!activity.watching) return;
    activity.ms = now_ms - activity.plugged_ms;
    activity.watching = false;
    schedule.end_to_write = true;
}

/* Whether an entry can be added without one being lost that is being written to the flash. */
static bool room_for(uint32_t end, uint32_t held_from)
{
    return !snapshot.held || end - held_from < RING;
}

void pad_memory_report(const uint8_t *bytes, uint16_t count, uint32_t now_ms)
{
    if (!activity.watching) return;
    activity.report_count++;
    if (count > ACTIVITY_MAX_REPORT_BYTES) count = ACTIVITY_MAX_REPORT_BYTES;
    const uint32_t end = activity.reports_end;
    const struct report *last = &activity.reports[(end - 1u) % RING];
    if (end > 0 && last->count == count && memcmp(last->bytes, bytes, count) == 0) return;
    if (!room_for(end, snapshot.view.reports_from)) return;
    struct report *report = &activity.reports[end % RING];
    report->ms = now_ms - activity.plugged_ms;
    report->count = (uint8_t)count;
    memcpy(report->bytes, bytes, count);
    memset(report->bytes + count, 0, ACTIVITY_MAX_REPORT_BYTES - count);
    in_order();
    activity.reports_end = end + 1u;
}

void pad_memory_read(uint16_t rises, uint32_t now_ms)
{
    if (!activity.watching) return;
    activity.read_count++;
    if (rises > activity.most_rises) activity.most_rises = rises;
    const uint32_t end = activity.reads_end;
    if (!room_for(end, snapshot.view.reads_from)) return;
    activity.reads[end % RING] = (struct read){now_ms - activity.plugged_ms, rises};
    in_order();
    activity.reads_end = end + 1u;
}

void activity_tick(uint32_t now_ms, uint32_t controls, uint16_t inputs)
{
    schedule.now_ms = now_ms;
    if (!activity.watching) return;
    activity.ms = now_ms - activity.plugged_ms;
    activity.controls = controls;
    activity.inputs = inputs;
}

/* ---- As bytes ---- */

static uint32_t from_of(uint32_t end)
{
    return end < ACTIVITY_LAST ? 0 : end - ACTIVITY_LAST;
}

static void look(struct view *view)
{
    view->reports_end = activity.reports_end;
    view->reads_end = activity.reads_end;
    view->reports_from = from_of(view->reports_end);
    view->reads_from = from_of(view->reads_end);
    uint8_t *at = view->head;
    put_pad(at, &activity.identity, activity.outcome);
    put_u16(at + ACTIVITY_AT_MOST_RISES, activity.most_rises);
    at[ACTIVITY_AT_READS] = (uint8_t)(view->reads_end - view->reads_from);
    at[ACTIVITY_AT_REPORTS] = (uint8_t)(view->reports_end - view->reports_from);
    put_u32(at + ACTIVITY_AT_TAKEN_MS, activity.ms);
    put_u32(at + ACTIVITY_AT_REPORT_COUNT, activity.report_count);
    put_u32(at + ACTIVITY_AT_READ_COUNT, activity.read_count);
    put_u32(at + ACTIVITY_AT_CONTROLS, activity.controls);
    put_u16(at + ACTIVITY_AT_INPUTS, activity.inputs);
    at[ACTIVITY_AT_THERE] = activity.watching ? 1 : 0;
    at[ACTIVITY_AT_ZERO] = 0;
}

static uint16_t view_bytes(const struct view *view)
{
    return (uint16_t)(ACTIVITY_HEAD_BYTES + ACTIVITY_READ_BYTES * (view->reads_end - view->reads_from) +
                      ACTIVITY_REPORT_BYTES * (view->reports_end - view->reports_from));
}

/* A part of the whole that is laid out from front to back. */
struct window {
    uint16_t from;
    uint16_t end;
    uint8_t *into;
    uint16_t at; /* what has been laid out */
};

static void lay(struct window *window, const uint8_t *bytes, uint16_t count)
{
    const uint16_t end = (uint16_t)(window->at + count);
    const uint16_t from = window->at > window->from ? window->at : window->from;
    const uint16_t to = end < window->end ? end : window->end;
    if (from < to) memcpy(window->into + (from - window->from), bytes + (from - window->at), (size_t)(to - from));
    window->at = end;
}

static void view_part(const struct view *view, uint16_t offset, uint8_t *into, uint16_t count)
{
    struct window window = {offset, (uint16_t)(offset + count), into, 0};
    lay(&window, view->head, ACTIVITY_HEAD_BYTES);
    for (uint32_t k = view->reads_from; k != view->reads_end; k++) {
        uint8_t bytes[ACTIVITY_READ_BYTES];
        put_u32(bytes, activity.reads[k % RING].ms);
        put_u16(bytes + 4, activity.reads[k % RING].rises);
        lay(&window, bytes, sizeof bytes);
    }
    for (uint32_t k = view->reports_from; k != view->reports_end; k++) {
        const struct report *report = &activity.reports[k % RING];
        uint8_t bytes[5];
        put_u32(bytes, report->ms);
        bytes[4] = report->count;
        lay(&window, bytes, sizeof bytes);
        lay(&window, report->bytes, ACTIVITY_MAX_REPORT_BYTES);
    }
}

/* ---- In flash ---- */

static struct {
    struct record_header places[PLACES];
    uint8_t newest; /* place that counts; NOWHERE when there is none */
    uint8_t next;   /* place to be written */
    uint8_t target; /* place that is being written, or made to count no more */
    uint8_t tries;
    uint32_t sequence; /* of what is being written */
} log;

static uint32_t place_at(uint8_t place)
{
    return FLASH_ACTIVITY_AT + place / PLACES_EACH * FLASH_SECTOR_BYTES + place % PLACES_EACH * PLACE_BYTES;
}

static uint8_t after(uint8_t place)
{
    return (uint8_t)((place + 1u) % PLACES);
}

static uint8_t place_before(uint32_t sequence)
{
    uint8_t newest = NOWHERE;
    for (uint8_t k = 0; k < PLACES; k++) {
        const uint32_t own = log.places[k].sequence;
        if (own == 0 || own >= sequence) continue;
        if (newest == NOWHERE || own > log.places[newest].sequence) newest = k;
    }
    return newest;
}

void activity_init(void)
{
    memset((void *)&activity, 0, sizeof activity);
    memset((void *)&snapshot, 0, sizeof snapshot);
    memset(&schedule, 0, sizeof schedule);
    memset(&log, 0, sizeof log);
    for (uint8_t k = 0; k < PLACES; k++) log.places[k] = record_look(place_at(k), MAGIC_ACTIVITY, MAX_ACTIVITY_BYTES);
    log.newest = place_before(UINT32_MAX);
    log.next = log.newest == NOWHERE ? 0 : after(log.newest);
    while (log.newest != NOWHERE && !record_sound(place_at(log.newest), &log.places[log.newest])) {
        log.places[log.newest].sequence = 0;
        log.newest = place_before(UINT32_MAX);
    }
}

uint16_t pad_memory_activity_bytes(void)
{
    if (activity.any) {
        struct view view;
        look(&view);
        return view_bytes(&view);
    }
    return log.newest == NOWHERE ? 0 : log.places[log.newest].length;
}

void pad_memory_activity(uint16_t offset, uint8_t *into, uint16_t count)
{
    if (!activity.any) {
        flash_read(place_at(log.newest) + RECORD_HEADER_BYTES + offset, into, count);
        return;
    }
    struct view view;
    look(&view);
    view_part(&view, offset, into, count);
}

static void snapshot_part(uint16_t offset, uint8_t *into, uint16_t count)
{
    view_part(&snapshot.view, offset, into, count);
}

bool activity_has_job(void)
{
    if (activity.watching) return activity.ms >= schedule.next_ms;
    return schedule.end_to_write &&
           (!schedule.end_written || schedule.now_ms - schedule.end_written_ms >= END_GAP_MS);
}

static void set_next(void)
{
    if (schedule.taken + 1u < DUES) schedule.next_ms = due_ms[++schedule.taken];
    else schedule.next_ms += due_ms[DUES - 1u];
}

/* From here on the snapshot stays as it is. */
static uint16_t hold(void)
{
    look(&snapshot.view);
    snapshot.of_the_end = !activity.watching;
    in_order();
    snapshot.held = true;
    log.places[log.target].length = view_bytes(&snapshot.view);
    return log.places[log.target].length;
}

static bool begins_sector(uint8_t place)
{
    return place % PLACES_EACH == 0;
}

/* Whether a place can be written: a new sector is erased, whatever is there, unless what counts is. */
static bool can_be_written(uint8_t place)
{
    if (!begins_sector(place)) return record_blank(place_at(place));
    return log.newest == NOWHERE || log.newest / PLACES_EACH != place / PLACES_EACH;
}

bool activity_next_job(struct record_job *job)
{
    if (!activity_has_job()) return false;
    while (!can_be_written(log.next)) log.next = after(log.next);
    log.target = log.next;
    log.next = after(log.next);
    const bool fresh = begins_sector(log.target);
    for (uint8_t k = 0; fresh && k < PLACES_EACH; k++) log.places[log.target + k].sequence = 0;
    log.sequence = log.newest == NOWHERE ? 1u : log.places[log.newest].sequence + 1u;
    snapshot.generation = activity.generation;
    *job = (struct record_job){
        .at = place_at(log.target),
        .erase = fresh,
        .magic = MAGIC_ACTIVITY,
        .sequence = log.sequence,
        .length = hold,
        .part = snapshot_part,
    };
    return true;
}

bool activity_job_is_stale(void)
{
    return snapshot.generation != activity.generation;
}

void activity_job_done(bool written)
{
    snapshot.held = false;
    if (activity_job_is_stale()) return;
    if (!written && ++log.tries < MAX_TRIES) return;
    log.tries = 0;
    if (written) {
        log.places[log.target].sequence = log.sequence;
        log.newest = log.target;
    }
    if (snapshot.of_the_end) {
        schedule.end_to_write = false;
        schedule.end_written = true;
        schedule.end_written_ms = schedule.now_ms;
    } else {
        set_next();
    }
}

/* ---- Forgetting ---- */

bool activity_next_to_forget(uint32_t *at)
{
    uint8_t oldest = NOWHERE;
    for (uint8_t k = place_before(UINT32_MAX); k != NOWHERE; k = place_before(log.places[k].sequence)) oldest = k;
    log.target = oldest;
    if (oldest == NOWHERE) return false;
    *at = place_at(oldest);
    return true;
}

void activity_forgotten(void)
{
    if (log.newest == log.target) log.newest = NOWHERE;
    log.places[log.target].sequence = 0;
}

void activity_forget_ram(void)
{
    activity.watching = false;
    activity.any = false;
    schedule.end_to_write = false;
}
