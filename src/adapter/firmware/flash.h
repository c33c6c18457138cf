#ifndef NINEPIN_FLASH_H
#define NINEPIN_FLASH_H

#include <stdbool.h>
#include <stdint.h>

/*
 * Serial NOR flash, by commands. Offsets count from the start of the flash. An erase or a program goes on by itself after
 * it was begun: nothing else is asked of the flash but flash_busy() until it is over.
 *
 * The firmware's own half can be read and nothing more: what is begun below FLASH_BANKS_AT does not happen.
 */

void flash_init(void);

void flash_read(uint32_t offset, uint8_t *into, uint32_t count);

/* Begins to erase one sector to ones. `offset` is a multiple of FLASH_SECTOR_BYTES. */
void flash_begin_erase(uint32_t offset);

/* Begins to clear bits within one page: 1 to 256 bytes that do not cross its end. */
void flash_begin_program(uint32_t offset, const uint8_t *bytes, uint32_t count);

bool flash_busy(void);

/* The number that the part was given in the works; all ones or zeros on one that has none. */
#define FLASH_UNIQUE_ID_BYTES 8u
void flash_unique_id(uint8_t id[FLASH_UNIQUE_ID_BYTES]);

#endif
