#ifndef NINEPIN_ADAPTER_H
#define NINEPIN_ADAPTER_H

#include <stdbool.h>
#include <stdint.h>

#include "link-numbers.h"

/*
 * The adapter under the link: its banks, what it keeps of pads, what is held. adapter.c answers on the chip, a program of the tests
 * on a host.
 * Banks are 0 to 3 here, as on the line.
 */

#define ADAPTER_BANKS LINK_BANKS
#define ADAPTER_NO_BANK LINK_NO_BANK

/* In the place of a bank, where an image is put, read or asked for: the trial slot, of which an image has one session with a console. */
#define ADAPTER_TRIAL_SLOT LINK_TRIAL_SLOT

/* Length of the image in a bank; 0 when it is empty. */
uint16_t adapter_bank_length(uint8_t bank);

/* CRC-32 of the whole image in a bank that is not empty. */
uint32_t adapter_bank_crc32(uint8_t bank);

/* Reads a part of the image of a bank that is not empty, from the flash. The part lies within the image. */
void adapter_bank_read(uint8_t bank, uint16_t offset, uint8_t *into, uint16_t count);

/* The active bank, ADAPTER_NO_BANK for none (the factory image runs). */
uint8_t adapter_active_bank(void);

/*
 * Work on the memory goes on along with everything else. While it does, nothing else is asked of the adapter but adapter_at_work() and
 * adapter_take_outcome(), and `image` stays as it is. When the active bank, or what it holds, has become another, the adapter runs
 * it from then on.
 */
enum adapter_outcome { ADAPTER_NO_OUTCOME, ADAPTER_DONE, ADAPTER_FAILED };

/* Whether the memory is at work, for the link or of its own accord; of its own accord it begins only when no outcome is left. */
bool adapter_at_work(void);

/* How the work has ended that was begun last, once; ADAPTER_NO_OUTCOME where it has not, or where its end was taken. */
enum adapter_outcome adapter_take_outcome(void);

/* What has become of the image in the trial slot: a number of LINK.md. */
enum trial_state adapter_trial_state(void);

/* Begins to empty the trial slot. */
void adapter_begin_forget_trial(void);

/* Begins to replace the image of a bank, or to put one into the trial slot, which arms it. */
void adapter_begin_commit(uint8_t bank, const uint8_t *image, uint16_t length);

/*
 * Begins to make a bank that is not empty the active one, now and when power comes on again. Done at once where
 * it is.
 */
void adapter_begin_select(uint8_t bank);

/* Pads of the pad history, HISTORY_MAX_PADS at most. */
uint8_t adapter_history_count(void);

/* One of them in LISTED_PAD_BYTES, as the link has it in pad-history. 0 is the one that was written last. */
void adapter_history_pad(uint8_t which, uint8_t *into);

/*
 * For read-stored: ADAPTER_LAST_ACTIVITY, else the report descriptor of a pad, counted from 1. How long it is, 0 where there
 * is nothing; and a part of it, which lies within.
 */
#define ADAPTER_LAST_ACTIVITY 0u
uint16_t adapter_memory_length(uint8_t which);
void adapter_memory_read(uint8_t which, uint16_t offset, uint8_t *into, uint16_t count);

/* Begins to forget the pad history and the last activity: work as the two above. */
void adapter_begin_forget(void);

/* The host holds exactly these controls, in the pad's place or in addition to it. */
void adapter_host_holds(uint32_t controls);

/* The host has gone or starts again: it holds nothing. */
void adapter_host_releases(void);

/* ---- For the main loop ---- */

/*
 * Power has come on: the image runs that is to answer. In the trial slot it is one that was armed, unless a computer gives the power; once
 * that is certain the slot is marked as used.
 */
void adapter_start(uint32_t now_ms);

/* In every round: goes on with the work. */
void adapter_step(void);

/* Changes to the bank that a rule of the profile asks for, and begins to remember it. Not while there is other work. */
void adapter_change_bank(uint32_t now_ms);

#endif
