#include "record.h"

#include <string.h>

#include "bytes.h"
#include "crc32.h"
#include "flash-map.h"
#include "flash.h"

enum { MAGIC_BYTES = RECORD_AT_SEQUENCE };

/* So many bytes at once: some 10 us on the wires to the flash. */
#define PIECE_BYTES 32u

_Static_assert(FLASH_PAGE_BYTES % PIECE_BYTES == 0, "a piece lies within a page");

struct record_header record_look(uint32_t at, uint32_t magic, uint16_t most)
{
    const struct record_header none = {0, 0, 0};
    uint8_t bytes[RECORD_HEADER_BYTES];
    flash_read(at, bytes, sizeof bytes);
    const struct record_header header = {get_u32(bytes + RECORD_AT_SEQUENCE), get_u16(bytes + RECORD_AT_LENGTH), get_u32(bytes + RECORD_AT_CONTENT_CRC)};
    const bool sound = get_u32(bytes) == magic && get_u16(bytes + RECORD_AT_ZERO) == 0 &&
                       get_u32(bytes + RECORD_AT_HEADER_CRC) == crc32(bytes, RECORD_AT_HEADER_CRC) && header.length <= most;
    return sound ? header : none;
}

/* How much of the content is taken at once: up to the end of a piece of the flash. */
static uint16_t piece_at(uint32_t at, uint16_t left)
{
    const uint16_t room = (uint16_t)(PIECE_BYTES - at % PIECE_BYTES);
    return left < room ? left : room;
}

bool record_sound(uint32_t at, const struct record_header *header)
{
    uint32_t crc = 0;
    uint16_t left = header->length;
    at += RECORD_HEADER_BYTES;
    while (left > 0) {
        uint8_t bytes[PIECE_BYTES];
        const uint16_t count = piece_at(at, left);
        flash_read(at, bytes, count);
        crc = crc32_more(crc, bytes, count);
        at += count;
        left = (uint16_t)(left - count);
    }
    return crc == header->crc;
}

bool record_blank(uint32_t at)
{
    uint8_t bytes[RECORD_HEADER_BYTES];
    flash_read(at, bytes, sizeof bytes);
    for (uint8_t k = 0; k < sizeof bytes; k++)
        if (bytes[k] != 0xFF) return false;
    return true;
}

void record_begin(struct record_work *work, const struct record_job *job)
{
    work->job = *job;
    work->step = job->erase ? RECORD_ERASE : RECORD_MARK;
    work->at = 0;
    work->crc = 0;
}

static void make_header(struct record_work *work)
{
    put_u32(work->header, work->job.magic);
    put_u32(work->header + RECORD_AT_SEQUENCE, work->job.sequence);
    put_u16(work->header + RECORD_AT_LENGTH, work->length);
    put_u16(work->header + RECORD_AT_ZERO, 0);
    put_u32(work->header + RECORD_AT_CONTENT_CRC, work->crc);
    put_u32(work->header + RECORD_AT_HEADER_CRC, crc32(work->header, RECORD_AT_HEADER_CRC));
}

/* Where the next piece of the content goes; 0 bytes when there is none. */
static uint16_t next_piece(const struct record_work *work, uint32_t *at)
{
    *at = work->job.at + RECORD_HEADER_BYTES + work->at;
    return piece_at(*at, (uint16_t)(work->length - work->at));
}

static enum record_state write_piece(struct record_work *work)
{
    uint32_t at;
    uint8_t bytes[PIECE_BYTES];
    const uint16_t count = next_piece(work, &at);
    if (count == 0) {
        make_header(work);
        work->step = RECORD_CHECK_CONTENT;
        work->at = 0;
        work->crc = 0;
        return RECORD_ON;
    }
    work->job.part(work->at, bytes, count);
    work->crc = crc32_more(work->crc, bytes, count);
    work->at = (uint16_t)(work->at + count);
    flash_begin_program(at, bytes, count);
    return RECORD_BUSY;
}

static enum record_state check_piece(struct record_work *work)
{
    uint32_t at;
    uint8_t bytes[PIECE_BYTES];
    const uint16_t count = next_piece(work, &at);
    if (count == 0) {
        work->step = RECORD_HEADER;
        return work->crc == get_u32(work->header + RECORD_AT_CONTENT_CRC) ? RECORD_ON : RECORD_WRONG;
    }
    flash_read(at, bytes, count);
    work->crc = crc32_more(work->crc, bytes, count);
    work->at = (uint16_t)(work->at + count);
    return RECORD_ON;
}

static enum record_state check_header(const struct record_work *work)
{
    uint8_t bytes[RECORD_HEADER_BYTES];
    flash_read(work->job.at, bytes, sizeof bytes);
    return memcmp(bytes, work->header, sizeof bytes) == 0 ? RECORD_WRITTEN : RECORD_WRONG;
}

enum record_state record_step(struct record_work *work)
{
    switch (work->step) {
    case RECORD_ERASE:
        flash_begin_erase(work->job.at);
        work->step = RECORD_MARK;
        return RECORD_BUSY;
    case RECORD_MARK:
        /* The magic alone says that this place is spent, should power go. */
        work->length = work->job.length();
        put_u32(work->header, work->job.magic);
        flash_begin_program(work->job.at, work->header, MAGIC_BYTES);
        work->step = RECORD_CONTENT;
        return RECORD_BUSY;
    case RECORD_CONTENT: return write_piece(work);
    case RECORD_CHECK_CONTENT: return check_piece(work);
    case RECORD_HEADER:
        flash_begin_program(work->job.at + MAGIC_BYTES, work->header + MAGIC_BYTES, RECORD_HEADER_BYTES - MAGIC_BYTES);
        work->step = RECORD_CHECK_HEADER;
        return RECORD_BUSY;
    default: return check_header(work);
    }
}

void record_begin_spoiling(uint32_t at)
{
    const uint8_t zeros[RECORD_HEADER_BYTES] = {0};
    flash_begin_program(at, zeros, sizeof zeros);
}

bool record_spoiled(uint32_t at)
{
    uint8_t bytes[RECORD_HEADER_BYTES];
    flash_read(at, bytes, sizeof bytes);
    for (uint8_t k = 0; k < sizeof bytes; k++)
        if (bytes[k] != 0) return false;
    return true;
}
