#ifndef NINEPIN_PAD_MEMORY_H
#define NINEPIN_PAD_MEMORY_H

#include <stdbool.h>
#include <stdint.h>

#include "link-numbers.h"
#include "pad-identity.h"

/*
 * The pad history and the last activity, for the app to read when the adapter is back at a computer: the last eight pads
 * with their report descriptors, and what the last pad and the console did last. STORE.md specifies how it lies in flash,
 * LINK.md how it is read.
 *
 * Nothing here waits. Work on the flash is done by pad_memory_step(), one short step at a time, and only while the store has
 * none. pad_memory_add, pad_memory_gone and pad_memory_report are called by one and the same (the main loop, or one interrupt); pad_memory_read may
 * come from any interrupt.
 */

/* Looks at what is there. The flash is not busy. Writes nothing. */
void pad_memory_init(void);

/*
 * A pad was plugged in, or what became of it has changed. The descriptor is copied; of a longer one the first
 * HISTORY_MAX_DESCRIPTOR_BYTES are kept. Where there is none, `length` is 0. With the outcomes 0 and 1 what it does is watched
 * from now on, until pad_memory_gone().
 */
void pad_memory_add(const struct pad_identity *identity, uint8_t outcome, const uint8_t *descriptor, uint16_t length);

/* It has gone. */
void pad_memory_gone(uint32_t now_ms);

/* The pad has reported. Call it when the report has been acted on. */
void pad_memory_report(const uint8_t *bytes, uint16_t count, uint32_t now_ms);

/* A read of the console has ended. */
void pad_memory_read(uint16_t rises, uint32_t now_ms);

/* Once a millisecond: the time, the controls held and the inputs pressed. */
void pad_memory_tick(uint32_t now_ms, uint32_t controls, uint16_t inputs);

/* ---- Work on the flash ---- */

enum pad_memory_work { PAD_MEMORY_IDLE, PAD_MEMORY_AT_WORK, PAD_MEMORY_FORGOTTEN, PAD_MEMORY_NOT_FORGOTTEN };

/*
 * Takes the next step, if the flash is ready for one. Not while the store is at work. After each step that the flash takes time
 * for there is one in which it is free, so that others can have it. How forgetting has ended is returned once.
 */
enum pad_memory_work pad_memory_step(void);

/* Whether pad_memory_step() has something to do. */
bool pad_memory_at_work(void);

/* Whether the flash may be busy with what was begun here: then it cannot be read. */
bool pad_memory_holds_flash(void);

/* Begins to forget all that is kept. Not between another beginning and its end. */
void pad_memory_begin_forget(void);

/* ---- What is kept; to be read while pad_memory_holds_flash() is false ---- */

struct known_pad {
    struct pad_identity identity;
    uint8_t outcome;
    uint16_t descriptor_bytes;
};

/* How many pads are kept, HISTORY_MAX_PADS at most. */
uint8_t pad_memory_count(void);

/* One of them; 0 is the one that was written last. */
struct known_pad pad_memory_pad(uint8_t which);

/* A part of its descriptor, which lies within it. */
void pad_memory_descriptor(uint8_t which, uint16_t offset, uint8_t *into, uint16_t count);

/* Bytes of what was seen last, as LINK.md has it: since power came on, else from the flash; 0 where there is nothing. */
uint16_t pad_memory_activity_bytes(void);
void pad_memory_activity(uint16_t offset, uint8_t *into, uint16_t count);

#endif
