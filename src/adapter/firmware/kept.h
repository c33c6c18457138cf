#ifndef NINEPIN_KEPT_H
#define NINEPIN_KEPT_H

#include <stdbool.h>
#include <stdint.h>

#include "link-numbers.h"
#include "pad-identity.h"

/*
 * What the adapter keeps of the pads it met, for the app to read when the adapter is back at a computer: the last eight pads
 * with their report descriptors, and what the last pad and the console did last. STORE.md specifies how it lies in flash,
 * LINK.md how it is read.
 *
 * Nothing here waits. Work on the flash is done by kept_work(), one short step at a time, and only while the store has
 * none. kept_pad, kept_gone and kept_report are called by one and the same (the main loop, or one interrupt); kept_read may
 * come from any interrupt.
 */

/* Looks at what is there. The flash is not busy. Writes nothing. */
void kept_init(void);

/*
 * A pad was met, or what became of it has changed. The descriptor is copied; of a longer one the first
 * KEPT_MAX_DESCRIPTOR_BYTES are kept. Where there is none, `length` is 0. With the outcomes 0 and 1 what it does is watched
 * from now on, until kept_gone().
 */
void kept_pad(const struct pad_identity *identity, uint8_t outcome, const uint8_t *descriptor, uint16_t length);

/* It has gone. */
void kept_gone(uint32_t now_ms);

/* The pad has reported. Call it when the report has been acted on. */
void kept_report(const uint8_t *bytes, uint16_t count, uint32_t now_ms);

/* A read of the console has ended. */
void kept_read(uint16_t rises, uint32_t now_ms);

/* Once a millisecond: the time, the controls held and the inputs pressed. */
void kept_tick(uint32_t now_ms, uint32_t controls, uint16_t inputs);

/* ---- Work on the flash ---- */

enum kept_work { KEPT_IDLE, KEPT_AT_WORK, KEPT_FORGOTTEN, KEPT_NOT_FORGOTTEN };

/*
 * Takes the next step, if the flash is ready for one. Not while the store is at work. After each step that the flash takes time
 * for there is one in which it is free, so that others can have it. How forgetting has ended is told once.
 */
enum kept_work kept_work(void);

/* Whether kept_work() has something to do. */
bool kept_at_work(void);

/* Whether the flash may be busy with what was begun here: then it cannot be read. */
bool kept_holds_flash(void);

/* Begins to forget all that is kept. Not between another beginning and its end. */
void kept_begin_forget(void);

/* ---- What is kept; to be read while kept_holds_flash() is false ---- */

struct kept_met {
    struct pad_identity identity;
    uint8_t outcome;
    uint16_t descriptor_bytes;
};

/* How many pads are kept, KEPT_MAX_PADS_MET at most. */
uint8_t kept_met_count(void);

/* One of them; 0 is the one that was written last. */
struct kept_met kept_met(uint8_t which);

/* A part of its descriptor, which lies within it. */
void kept_descriptor(uint8_t which, uint16_t offset, uint8_t *into, uint16_t count);

/* Bytes of what was seen last, as LINK.md has it: since power came on, else from the flash; 0 where there is nothing. */
uint16_t kept_seen_bytes(void);
void kept_seen(uint16_t offset, uint8_t *into, uint16_t count);

#endif
