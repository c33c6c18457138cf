#ifndef NINEPIN_STORE_H
#define NINEPIN_STORE_H

#include <stdbool.h>
#include <stdint.h>

#include "flash-map.h"
#include "image-layout.h"

/*
 * Four banks and which of them is active, kept in flash through every loss of power. STORE.md specifies it.
 * Banks count from 0. It stands on flash.h and waits for nothing: store_poll() takes one step at a time. Others may use the
 * flash while it is not at work; what they have begun there it waits for.
 */

#define STORE_BANKS FLASH_BANKS
#define STORE_NO_BANK 0xFFu
#define STORE_MAX_IMAGE_BYTES IMAGE_MAX_BYTES

/* Looks at what is there. The flash is not busy. Writes nothing. */
void store_init(void);

/* Length of the image in a bank; 0 when it is empty. */
uint16_t store_length(uint8_t bank);

/* CRC-32 of the image in a bank that is not empty. */
uint32_t store_crc32(uint8_t bank);

/* Reads a part of the image of a bank that is not empty, from the flash. The part lies within the image. Not while at work. */
void store_read(uint8_t bank, uint16_t offset, uint8_t *into, uint16_t count);

/* The active bank that was written last, if it is not empty; else the first that is not; else STORE_NO_BANK. */
uint8_t store_active(void);

enum store_work { STORE_IDLE, STORE_AT_WORK, STORE_DONE, STORE_FAILED };

/*
 * Takes the next step, if the flash is ready for one. STORE_DONE or STORE_FAILED is returned once, for the work that was begun
 * by one of the two functions below; mending of its own accord is STORE_AT_WORK and then STORE_IDLE.
 */
enum store_work store_poll(void);

/* Whether store_poll() has something to do. */
bool store_at_work(void);

/*
 * Begins to replace the image of a bank, 1 to STORE_MAX_IMAGE_BYTES bytes that stay as they are until the work is over. Not
 * between another beginning and its end; mending may be going on.
 */
void store_begin_commit(uint8_t bank, const uint8_t *image, uint16_t length);

/* Begins to make a bank that is not empty the active one. The same rules. */
void store_begin_select(uint8_t bank);

/* A copy could not be written or mended since power came on: its bank stands on one copy only. */
bool store_worn(void);

#endif
