#include "trial-slot.h"

#include <string.h>

#include "bytes.h"
#include "flash-map.h"
#include "flash.h"
#include "image.h"
#include "record.h"

/* What does not come out right is written again so often, all in all. */
#define MAX_TRIES 3u

_Static_assert(RECORD_HEADER_BYTES + IMAGE_MAX_BYTES <= FLASH_TRIAL_USED_AT, "the image ends before the mark");
_Static_assert(FLASH_TRIAL_USED_AT + FLASH_TRIAL_USED_BYTES <= FLASH_SECTOR_BYTES, "the mark lies in the sector");

static bool worn;

static struct {
    uint16_t length; /* 0: there is nothing sound */
    uint32_t crc;
    bool used;
} slot;

enum step { NOTHING, SPOIL, CHECK_SPOILED, WRITE, USE, CHECK_USED, SUCCEED, FAIL };

static struct {
    enum step step;
    enum what { ARM, MARK_USED, FORGET } what;
    uint8_t tries;
    const uint8_t *image;
    uint16_t length;
    struct record_work record;
} work;

/* ---- What is there ---- */

static bool mark_blank(void)
{
    uint8_t bytes[FLASH_TRIAL_USED_BYTES];
    flash_read(FLASH_TRIAL_AT + FLASH_TRIAL_USED_AT, bytes, sizeof bytes);
    for (uint8_t k = 0; k < sizeof bytes; k++)
        if (bytes[k] != 0xFF) return false;
    return true;
}

/* What an image carries in its last four bytes. */
static uint32_t carried_crc32(uint16_t length)
{
    uint8_t carried[4];
    flash_read(FLASH_TRIAL_AT + RECORD_HEADER_BYTES + length - sizeof carried, carried, sizeof carried);
    return get_u32(carried);
}

static void look(void)
{
    const struct record_header header = record_look(FLASH_TRIAL_AT, MAGIC_TRIAL, IMAGE_MAX_BYTES);
    const bool sound = header.sequence != 0 && header.length > 4 && record_sound(FLASH_TRIAL_AT, &header);
    slot.length = sound ? header.length : 0;
    slot.crc = sound ? carried_crc32(header.length) : 0;
    slot.used = !mark_blank();
}

void trial_slot_init(void)
{
    memset(&work, 0, sizeof work);
    worn = false;
    look();
}

uint16_t trial_slot_length(void)
{
    return slot.length;
}

uint32_t trial_slot_crc32(void)
{
    return slot.crc;
}

void trial_slot_read(uint16_t offset, uint8_t *into, uint16_t count)
{
    flash_read(FLASH_TRIAL_AT + RECORD_HEADER_BYTES + offset, into, count);
}

bool trial_slot_armed(void)
{
    return slot.length != 0 && !slot.used;
}

bool trial_slot_worn(void)
{
    return worn;
}

/* ---- Work ---- */

static uint16_t length_of_image(void)
{
    return work.length;
}

static void part_of_image(uint16_t offset, uint8_t *into, uint16_t count)
{
    memcpy(into, work.image + offset, count);
}

/* The header goes before the sector is erased: an erase that is cut may leave an image whole and its mark blank. */
static enum step begin_spoiling(void)
{
    record_begin_spoiling(FLASH_TRIAL_AT);
    return CHECK_SPOILED;
}

static enum step begin_writing(void)
{
    const struct record_job job = {
        .at = FLASH_TRIAL_AT,
        .erase = true,
        .magic = MAGIC_TRIAL,
        .sequence = 1,
        .length = length_of_image,
        .part = part_of_image,
    };
    record_begin(&work.record, &job);
    return WRITE;
}

static enum step check_spoiled(void)
{
    if (!record_spoiled(FLASH_TRIAL_AT)) return ++work.tries < MAX_TRIES ? SPOIL : FAIL;
    if (work.what == FORGET) return SUCCEED;
    return work.what == ARM && work.tries < MAX_TRIES ? begin_writing() : FAIL;
}

static enum step write_on(void)
{
    switch (record_step(&work.record)) {
    case RECORD_WRITTEN: break;
    case RECORD_WRONG:
        /* What was refused must not come to life later, by a bit that reads right another time. */
        work.tries++;
        return SPOIL;
    default: return WRITE;
    }
    if (mark_blank()) return SUCCEED;
    work.tries++;
    return SPOIL;
}

static enum step begin_mark(void)
{
    const uint8_t zeros[FLASH_TRIAL_USED_BYTES] = {0};
    flash_begin_program(FLASH_TRIAL_AT + FLASH_TRIAL_USED_AT, zeros, sizeof zeros);
    return CHECK_USED;
}

static enum step check_used(void)
{
    if (!mark_blank()) return SUCCEED;
    if (++work.tries < MAX_TRIES) return USE;
    /* What cannot be marked must not come again and again. */
    worn = true;
    work.tries = 0;
    return SPOIL;
}

static void begin(enum what what, enum step step)
{
    memset(&work, 0, sizeof work);
    work.what = what;
    work.step = step;
}

void trial_slot_begin_arm(const uint8_t *image, uint16_t length)
{
    begin(ARM, SPOIL);
    work.image = image;
    work.length = length;
}

void trial_slot_begin_use(void)
{
    begin(MARK_USED, USE);
}

void trial_slot_begin_forget(void)
{
    begin(FORGET, SPOIL);
}

bool trial_slot_at_work(void)
{
    return work.step != NOTHING;
}

static enum step take(void)
{
    switch (work.step) {
    case SPOIL: return begin_spoiling();
    case CHECK_SPOILED: return check_spoiled();
    case WRITE: return write_on();
    case USE: return begin_mark();
    case CHECK_USED: return check_used();
    default: return NOTHING;
    }
}

enum trial_slot_work trial_slot_poll(void)
{
    if (work.step == NOTHING) return TRIAL_SLOT_IDLE;
    /* With this work's last step, or with what others have begun. */
    if (flash_busy()) return TRIAL_SLOT_AT_WORK;
    const enum step step = work.step;
    work.step = take();
    if (step != SUCCEED && step != FAIL) return TRIAL_SLOT_AT_WORK;
    look();
    return step == SUCCEED ? TRIAL_SLOT_DONE : TRIAL_SLOT_FAILED;
}
