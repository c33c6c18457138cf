#ifndef NINEPIN_FLASH_MAP_H
#define NINEPIN_FLASH_MAP_H

/* Where things lie in the serial flash: bytes from its start. STORE.md says why; ../flash-map.ts mirrors it. */

#define FLASH_BYTES 0x200000u
#define FLASH_SECTOR_BYTES 0x1000u
#define FLASH_PAGE_BYTES 0x100u

#define FLASH_FIRMWARE_AT 0x000000u
#define FLASH_FIRMWARE_BYTES 0x080000u

/* Copy A of bank n at FLASH_BANKS_AT + n * FLASH_BANK_BYTES, copy B one sector further. Banks count from 0. */
#define FLASH_BANKS_AT 0x100000u
#define FLASH_BANKS 4u
#define FLASH_BANK_BYTES 0x2000u

/* Which bank is active: two sectors of short records. */
#define FLASH_ACTIVE_LOG_AT 0x110000u
#define FLASH_ACTIVE_LOG_SECTORS 2u

/* Pads that were met, one a sector; then snapshots of what was seen last. */
#define FLASH_MET_AT 0x112000u
#define FLASH_MET_SECTORS 9u
#define FLASH_SEEN_AT 0x11B000u
#define FLASH_SEEN_SECTORS 4u

#endif
