#ifndef NINEPIN_BOX_H
#define NINEPIN_BOX_H

#include <stdbool.h>
#include <stdint.h>

#include "link-numbers.h"

/*
 * What the link asks of the rest of the box. main.c answers on the chip, a program of the tests on a host.
 * Banks are 0 to 3 here, as on the line.
 */

#define BOX_BANKS LINK_BANKS
#define BOX_NO_BANK LINK_NO_BANK

/* Length of the image in a bank; 0 when it is empty. */
uint16_t box_bank_length(uint8_t bank);

/* CRC-32 of the whole image in a bank that is not empty. */
uint32_t box_bank_crc32(uint8_t bank);

/* Reads a part of the image of a bank that is not empty, from where it is kept. The part lies within the image. */
void box_bank_read(uint8_t bank, uint16_t offset, uint8_t *into, uint16_t count);

/* The active bank, BOX_NO_BANK for none (the factory image runs). */
uint8_t box_active_bank(void);

/*
 * Work on the memory goes on beside everything else. While it does, nothing else is asked of the box but
 * box_task(), and `image` stays as it is. When the active bank, or what it holds, has become another, the box
 * runs it from then on.
 */
enum box_task { BOX_IDLE, BOX_AT_WORK, BOX_DONE, BOX_FAILED };

/*
 * How the work stands that was begun last. The box may also be at work of its own accord; it begins that only
 * after it has told the link how the last work ended.
 */
enum box_task box_task(void);

/* Begins to replace the image of a bank. */
void box_begin_commit(uint8_t bank, const uint8_t *image, uint16_t length);

/*
 * Begins to make a bank that is not empty the active one, now and when power comes on again. Done at once where
 * it is.
 */
void box_begin_select(uint8_t bank);

/* Pads that were met and are kept, 8 at most. */
uint8_t box_pads_met(void);

/* One of them in LISTED_PAD_BYTES, as pads-met has it. 0 is the one that was written last. */
void box_pad_met(uint8_t which, uint8_t *into);

/*
 * What is kept for read-kept: BOX_LAST_SEEN, else the report descriptor of a pad, counted from 1. How long it is, 0 where there
 * is nothing; and a part of it, which lies within.
 */
#define BOX_LAST_SEEN 0u
uint16_t box_kept_length(uint8_t which);
void box_kept_read(uint8_t which, uint16_t offset, uint8_t *into, uint16_t count);

/* Begins to forget the pads and what was seen last: work as the two above. */
void box_begin_forget(void);

/* The host holds exactly these controls, in the pad's place or beside it. */
void box_host_holds(uint32_t controls);

/* The host has gone or starts anew: it holds nothing. */
void box_host_lets_go(void);

#endif
