#ifndef NINEPIN_TRIAL_SLOT_H
#define NINEPIN_TRIAL_SLOT_H

#include <stdbool.h>
#include <stdint.h>

#include "image-layout.h"

/*
 * One image that is to answer for one session, next to the banks and without touching them. STORE.md specifies it. It waits for
 * nothing: trial_slot_poll() takes one step at a time, and not while the store is at work.
 */

/* Looks at what is there. The flash is not busy. Writes nothing. */
void trial_slot_init(void);

/* Length of the image; 0 where there is none. */
uint16_t trial_slot_length(void);

/* CRC-32 of the image, where there is one. */
uint32_t trial_slot_crc32(void);

/* Reads a part of the image, from the flash. The part lies within the image. Not while at work. */
void trial_slot_read(uint16_t offset, uint8_t *into, uint16_t count);

/* Whether there is an image that has not been used yet. */
bool trial_slot_armed(void);

/* The mark could not be written since power came on. */
bool trial_slot_worn(void);

enum trial_slot_work { TRIAL_SLOT_IDLE, TRIAL_SLOT_AT_WORK, TRIAL_SLOT_DONE, TRIAL_SLOT_FAILED };

/* Takes the next step, if the flash is ready for one. How work has ended is returned once. */
enum trial_slot_work trial_slot_poll(void);

/* Whether trial_slot_poll() has something to do. */
bool trial_slot_at_work(void);

/* The three below begin work. Not between another beginning and its end. */

/* Puts an image there and arms it: 1 to IMAGE_MAX_BYTES bytes that stay as they are until the work is over. */
void trial_slot_begin_arm(const uint8_t *image, uint16_t length);

/* Marks what is armed as used; where the mark cannot be written, the slot is emptied, and the work has failed. */
void trial_slot_begin_use(void);

/* Empties the slot. */
void trial_slot_begin_forget(void);

#endif
