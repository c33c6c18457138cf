#ifndef NINEPIN_RECORD_H
#define NINEPIN_RECORD_H

#include <stdbool.h>
#include <stdint.h>

#include "flash-map.h"

/*
 * One record in flash: a header of 20 bytes and its content. STORE.md specifies it. Written in steps that are
 * short enough for a report of the pad to wait for: the content first, and the header that makes it count only when the
 * content has come out right.
 */

struct record_header {
    uint32_t sequence; /* from 1; 0: there is no sound header here */
    uint16_t length;
    uint32_t crc;
};

/* The header at a place, if it is one of this magic with no more content than `most`. */
struct record_header record_look(uint32_t at, uint32_t magic, uint16_t most);

/* Whether the content fits the header. Reads all of it. */
bool record_sound(uint32_t at, const struct record_header *header);

/* Whether nothing was written at a place since it was erased. */
bool record_blank(uint32_t at);

/* What is to be written. The content stays as it is from when its length was asked for to the end. */
struct record_job {
    uint32_t at;
    bool erase; /* the sector first; `at` is its start */
    uint32_t magic;
    uint32_t sequence;
    uint16_t (*length)(void); /* of the content; asked for once, when its place is ready */
    void (*part)(uint16_t offset, uint8_t *into, uint16_t count); /* of the content */
};

enum record_state { RECORD_ON, RECORD_BUSY, RECORD_WRITTEN, RECORD_WRONG };

/* How far a job has come. */
struct record_work {
    enum { RECORD_ERASE, RECORD_MARK, RECORD_CONTENT, RECORD_CHECK_CONTENT, RECORD_HEADER, RECORD_CHECK_HEADER } step;
    struct record_job job;
    uint16_t length;
    uint16_t at;  /* of the content */
    uint32_t crc; /* of the content up to there; when it is checked, as it reads back */
    uint8_t header[RECORD_HEADER_BYTES];
};

void record_begin(struct record_work *work, const struct record_job *job);

/* The next step; the flash is free. RECORD_BUSY: it is not from now on. */
enum record_state record_step(struct record_work *work);

/* Begins to make the record at a place count no more; the flash is busy from now on. */
void record_begin_spoiling(uint32_t at);

/* Whether that has come out right; the flash is free. */
bool record_spoiled(uint32_t at);

#endif
