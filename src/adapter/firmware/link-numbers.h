#ifndef NINEPIN_LINK_NUMBERS_H
#define NINEPIN_LINK_NUMBERS_H

/* Written by `npm run tables` from src/adapter/link.table.ts; change it there. */

/* Numbers of the link, version 1.2; LINK.md is its specification. */

/* A newer major changes what old programs rely on and is refused; a newer minor only adds. */
enum {
    PROTOCOL_MAJOR = 1,
    PROTOCOL_MINOR = 2,
};

/* What every adapter that speaks this link answers first: 16 bytes. */
#define PRODUCT_MARK "Ninepin adapter" /* and a zero */

#define LINK_BANKS 4u
#define LINK_NO_BANK 0xFFu /* on the wire, the active bank when there is none */
#define LINK_TRIAL_SLOT 4u /* in the place of a bank, in write, commit and read: the trial slot */
#define LINK_NAME_BYTES 24u /* of the board’s name, and of its serial number */
#define LINK_MAX_PAYLOAD_BYTES 240u
#define LINK_BODY_HEAD_BYTES 2u /* type and sequence number */
#define LINK_FRAME_OVERHEAD_BYTES 6u /* type, sequence number, CRC-32 */
#define LINK_MAX_BODY_BYTES 246u
#define LINK_MAX_ENCODED_BYTES 247u /* a body is shorter than 254 bytes, so COBS always adds exactly one */

/* Types of requests. */
enum {
    TYPE_IDENTIFY = 0x01,
    TYPE_STATUS = 0x02,
    TYPE_WRITE = 0x03,
    TYPE_COMMIT = 0x04,
    TYPE_READ = 0x05,
    TYPE_SELECT_BANK = 0x06,
    TYPE_MONITOR = 0x07,
    TYPE_SET_CONTROLS = 0x08,
    TYPE_PAD_HISTORY = 0x09,
    TYPE_READ_STORED = 0x0A,
    TYPE_FORGET_PADS = 0x0B,
    TYPE_FORGET_TRIAL = 0x0C,
};

enum {
    REPLY_BIT = 0x80, /* a reply has the type of its request with this bit set */
    INPUT_EVENT_TYPE = 0xC0,
    ERROR_TYPE = 0xFF,
};

/* Why a device refused. The order is the code on the wire, from 1: append, never reorder. */
enum {
    ERROR_UNKNOWN_MESSAGE = 1,
    ERROR_WRONG_LENGTH = 2,
    ERROR_IDENTIFY_FIRST = 3,
    ERROR_NO_SUCH_BANK = 4,
    ERROR_IMAGE_TOO_LARGE = 5,
    ERROR_OUT_OF_RANGE = 6,
    ERROR_INCOMPLETE = 7,
    ERROR_CHECKSUM_DIFFERS = 8,
    ERROR_NOT_AN_IMAGE = 9,
    ERROR_BANK_EMPTY = 10,
    ERROR_MEMORY_FAILED = 11,
    ERROR_BUSY = 12,
    ERROR_NOTHING_STORED = 13,
};

/* The reply to identify. */
enum {
    IDENTITY_AT_MARK = 0,
    IDENTITY_AT_MAJOR = 16,
    IDENTITY_AT_MINOR = 17,
    IDENTITY_AT_FIRMWARE = 18,
    IDENTITY_AT_BANKS = 21,
    IDENTITY_AT_LARGEST_IMAGE_BYTES = 22,
    IDENTITY_AT_CHUNK_BYTES = 24,
    IDENTITY_AT_DELAY_STEP_NS = 26,
    IDENTITY_AT_DELAY_STRETCH = 27,
    IDENTITY_AT_REPLY_MIN_NS = 28,
    IDENTITY_AT_REPLY_MAX_NS = 32,
    IDENTITY_AT_IDLE_RESET_MIN_NS = 36,
    IDENTITY_AT_IDLE_RESET_MAX_NS = 40,
    IDENTITY_AT_BOARD = 44,
    IDENTITY_AT_SERIAL = 68,
    IDENTITY_BYTES = 92,
};

/* The reply to status; the banks follow. */
enum {
    STATUS_AT_ACTIVE = 0,
    STATUS_AT_BANKS = 1,
    STATUS_HEAD_BYTES = 2,
};

/* A bank in it. */
enum {
    STATUS_BANK_AT_LENGTH = 0,
    STATUS_BANK_AT_CRC32 = 2,
    STATUS_BANK_BYTES = 6,
};

/* Behind the banks, since version 1.2: the trial slot. */
enum {
    STATUS_TRIAL_AT_LENGTH = 0,
    STATUS_TRIAL_AT_CRC32 = 2,
    STATUS_TRIAL_AT_STATE = 6,
    STATUS_TRIAL_BYTES = 7,
};

/* What has become of the image in the trial slot. The order is the number on the wire: append, never reorder. */
enum trial_state {
    TRIAL_EMPTY = 0,
    TRIAL_ARMED = 1,
    TRIAL_IN_USE = 2,
    TRIAL_USED = 3,
};

/* The payload of write; the chunk follows. */
enum {
    WRITE_AT_BANK = 0,
    WRITE_AT_TOTAL = 1,
    WRITE_AT_OFFSET = 3,
    WRITE_HEAD_BYTES = 5,
};

/* The payload of commit. */
enum {
    COMMIT_AT_BANK = 0,
    COMMIT_AT_LENGTH = 1,
    COMMIT_AT_CRC32 = 3,
    COMMIT_BYTES = 7,
};

/* The payload of read, with the bank, and of read-stored. */
enum {
    READ_AT_WHICH = 0,
    READ_AT_OFFSET = 1,
    READ_AT_COUNT = 3,
    READ_BYTES = 4,
};

/* The reply to either; the bytes follow. */
enum {
    PIECE_AT_TOTAL = 0,
    PIECE_AT_COUNT = 2,
    PIECE_HEAD_BYTES = 3,
};

/* An input event. */
enum {
    EVENT_AT_CONTROLS = 0,
    EVENT_AT_INPUTS = 4,
    EVENT_AT_RISES = 6,
    EVENT_AT_SELECT = 8,
    EVENT_BYTES = 9,
};

/* A refusal. */
enum {
    ERROR_AT_CODE = 0,
    ERROR_AT_TYPE = 1,
    ERROR_BYTES = 2,
};

/* The pad history and the last activity. */
#define HISTORY_MAX_PADS 8u
#define HISTORY_MAX_DESCRIPTOR_BYTES 2048u /* of a report descriptor */
#define ACTIVITY_MAX_REPORT_BYTES 64u /* a full-speed interrupt packet (USB 2.0 section 5.7.3) */
#define ACTIVITY_LAST 16u /* reports, and reads, in the last activity */

/* What became of a pad. The order is the number on the wire: append, never reorder. */
enum pad_outcome {
    OUTCOME_SERVED = 0,
    OUTCOME_NO_LAYOUT = 1,
    OUTCOME_HUB = 2,
    OUTCOME_KEYBOARD = 3,
    OUTCOME_NO_PAD = 4,
    OUTCOME_FAILED = 5,
};

/* A pad of the pad history. */
enum {
    PAD_RECORD_AT_VIA = 0,
    PAD_RECORD_AT_OUTCOME = 1,
    PAD_RECORD_AT_VENDOR = 2,
    PAD_RECORD_AT_PRODUCT = 4,
    PAD_RECORD_AT_RELEASE = 6,
    PAD_RECORD_AT_DESCRIPTOR_CRC32 = 8,
    PAD_RECORD_BYTES = 12,
};

/* The last activity; reads and reports follow. */
enum {
    ACTIVITY_AT_PAD = 0,
    ACTIVITY_AT_MOST_RISES = 12,
    ACTIVITY_AT_READS = 14,
    ACTIVITY_AT_REPORTS = 15,
    ACTIVITY_AT_TAKEN_MS = 16,
    ACTIVITY_AT_REPORT_COUNT = 20,
    ACTIVITY_AT_READ_COUNT = 24,
    ACTIVITY_AT_CONTROLS = 28,
    ACTIVITY_AT_INPUTS = 32,
    ACTIVITY_AT_THERE = 34,
    ACTIVITY_AT_ZERO = 35,
    ACTIVITY_HEAD_BYTES = 36,
};

enum {
    LISTED_PAD_BYTES = 14, /* a pad, and how much of its report descriptor is kept */
    ACTIVITY_READ_BYTES = 6, /* time of its end and rises */
    ACTIVITY_REPORT_BYTES = 69, /* time, length and content */
    MAX_ACTIVITY_BYTES = 1236,
};

#endif
