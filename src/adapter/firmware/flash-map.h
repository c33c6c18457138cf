#ifndef NINEPIN_FLASH_MAP_H
#define NINEPIN_FLASH_MAP_H

/* Written by `npm run tables` from src/adapter/flash.table.ts; change it there. */

/* Where things lie in the serial flash, in bytes from its start, and its records: STORE.md says why. */

#define FLASH_BYTES 0x200000u /* of the smallest that will do */
#define FLASH_SECTOR_BYTES 0x1000u
#define FLASH_PAGE_BYTES 0x100u
#define FLASH_FIRMWARE_AT 0x000000u
#define FLASH_FIRMWARE_BYTES 0x080000u
#define FLASH_BANKS_AT 0x100000u /* copy A of the first bank; copy B is one sector further */
#define FLASH_BANKS 4u
#define FLASH_BANK_BYTES 0x2000u
#define FLASH_ACTIVE_LOG_AT 0x110000u /* which bank is active */
#define FLASH_ACTIVE_LOG_SECTORS 2u
#define FLASH_HISTORY_AT 0x112000u /* the pad history, one pad a sector */
#define FLASH_HISTORY_SECTORS 9u
#define FLASH_ACTIVITY_AT 0x11B000u /* snapshots of the last activity */
#define FLASH_ACTIVITY_SECTORS 4u
#define FLASH_TRIAL_AT 0x11F000u /* the trial slot, one sector */
#define FLASH_TRIAL_USED_AT 0xF00u /* in that sector: the mark that it was used */
#define FLASH_TRIAL_USED_BYTES 16u

/* What a record or an entry begins with. */
enum {
    MAGIC_BANK = 0x4B42394E, /* N9BK */
    MAGIC_LOG = 0x4241394E, /* N9AB */
    MAGIC_PAD = 0x4450394E, /* N9PD */
    MAGIC_ACTIVITY = 0x4E53394E, /* N9SN */
    MAGIC_TRIAL = 0x5254394E, /* N9TR */
};

/* The header of a record: of a copy of a bank, or of what is kept of pads. */
enum {
    RECORD_AT_MAGIC = 0,
    RECORD_AT_SEQUENCE = 4,
    RECORD_AT_LENGTH = 8,
    RECORD_AT_ZERO = 10,
    RECORD_AT_CONTENT_CRC = 12,
    RECORD_AT_HEADER_CRC = 16,
    RECORD_HEADER_BYTES = 20,
};

/* An entry of the log of the active bank. */
enum {
    LOG_ENTRY_AT_MAGIC = 0,
    LOG_ENTRY_AT_SEQUENCE = 4,
    LOG_ENTRY_AT_BANK = 8,
    LOG_ENTRY_AT_ZERO = 9,
    LOG_ENTRY_AT_CRC = 12,
    LOG_ENTRY_BYTES = 16,
};

#endif
