#ifndef NINEPIN_IMAGE_LAYOUT_H
#define NINEPIN_IMAGE_LAYOUT_H

/* Written by `npm run tables` from src/profile/image.table.ts; change it there. */

/* Where things are in an image of version 3, in bytes, and the bounds of what is there: IMAGE.md. */

#define IMAGE_VERSION 3u
#define PLAIN_IMAGE_VERSION 2u /* without late replies */
#define OLDEST_IMAGE_VERSION 1u /* a reader still runs these */
#define IMAGE_FAMILY_SELECT_LINE 0u
#define IMAGE_MAX_BYTES 2048u /* a reader may refuse more */

enum {
    IMAGE_MAGIC_0 = 0x4E,
    IMAGE_MAGIC_1 = 0x39,
    IMAGE_MAGIC_2 = 0x50,
    IMAGE_MAGIC_3 = 0x49,
};

enum {
    AT_VERSION = 4,
    AT_FAMILY = 5,
    AT_LENGTH = 6,
    AT_IDLE_RESET_NS = 8,
    AT_DELAY_NS = 12,
    AT_CYCLES = 14,
    AT_AFTER = 15,
    AT_OPPOSITE = 16,
    AT_LAYERS = 17,
    AT_POWER_ON_RULES = 18,
    AT_BANK_CHANGES = 19,
    AT_NAME_BYTES = 20,
    AT_NAME = 21,
    AT_PADS = 53,
    AT_CHORDS = 54,
    AT_SWEEPS = 55,
    AT_REPEAT = 56,
    AT_MAPPING = 80,
    AT_CHART = 128,
};

enum {
    NAME_ROOM = 32,
    ROW_BYTES = 6, /* six cells of four bits for each level of select */
    PHASE_BYTES = 3,
    RULE_BYTES = 8, /* of a power-on rule and of a bank change */
    REPEAT_KINDS_BYTES = 4,
    STICKS = 2,
    CRC_BYTES = 4,
};

/* From the beginning of a layer. */
enum {
    LAYER_AT_BY = 0,
    LAYER_AT_NAMED = 4,
    LAYER_AT_TOGGLED = 6,
    LAYER_AT_ZERO = 7,
    LAYER_HEAD_BYTES = 8,
};

/* From the beginning of a power-on rule. */
enum {
    POWER_ON_AT_HELD = 0,
    POWER_ON_AT_BANK = 4,
    POWER_ON_AT_ZERO = 5,
};

/* From the beginning of a bank change. */
enum {
    BANK_CHANGE_AT_HELD = 0,
    BANK_CHANGE_AT_FOR_MS = 4,
    BANK_CHANGE_AT_BANK = 6,
    BANK_CHANGE_AT_ZERO = 7,
};

/* Behind the numbers of the banks in a bank change. */
enum {
    NEXT_BANK_CODE = 5,
    PREVIOUS_BANK_CODE = 6,
};

/* From the beginning of a stick. */
enum {
    STICK_AT_GATE = 0,
    STICK_AT_INNER = 1,
    STICK_AT_OUTER = 2,
    STICK_AT_DIAGONAL = 3,
    STICK_AT_HYSTERESIS = 4,
    STICK_AT_ZERO = 5,
    STICK_AT_PRESS = 6,
    STICK_AT_RELEASE = 8,
    STICK_AT_ENTER = 10,
    STICK_AT_BEGIN = 12,
    STICK_AT_LEAVE = 14,
    STICK_BYTES = 16,
};

/* From the beginning of a chord. */
enum {
    CHORD_AT_HELD = 0,
    CHORD_AT_INPUTS = 4,
    CHORD_AT_MS = 6,
    CHORD_BYTES = 8,
};

/* From the beginning of a sweep. */
enum {
    SWEEP_AT_INPUT = 0,
    SWEEP_AT_STEPS = 1,
    SWEEP_AT_PHASES = 2,
    SWEEP_AT_FIRST = 4,
    SWEEP_AT_STEP = 6,
    SWEEP_AT_ON = 8,
    SWEEP_AT_OFF = 9,
    SWEEP_AT_ZERO = 10,
    SWEEP_BYTES = 12,
};

/* From the beginning of a pad. */
enum {
    PAD_AT_VENDOR = 0,
    PAD_AT_PRODUCT = 2,
    PAD_AT_VIA = 4,
    PAD_AT_EXTRACTORS = 5,
    PAD_AT_NAME_BYTES = 6,
    PAD_AT_ONE_DESCRIPTOR = 7,
    PAD_AT_DESCRIPTOR_CRC32 = 8,
    PAD_AT_NAME = 12,
    PAD_HEAD_BYTES = 44,
};

/* From the beginning of an extractor. */
enum {
    EXTRACTOR_AT_KIND = 0,
    EXTRACTOR_AT_ARGUMENT = 1,
    EXTRACTOR_AT_COUNT = 2,
    EXTRACTOR_AT_REPORT = 4,
    EXTRACTOR_AT_BITS = 5,
    EXTRACTOR_AT_BIT = 6,
    EXTRACTOR_AT_P = 8,
    EXTRACTOR_AT_Q = 12,
    EXTRACTOR_AT_R = 16,
    EXTRACTOR_BYTES = 20,
};

enum {
    KIND_THRESHOLD = 1,
    KIND_ARRAY = 2,
    KIND_HAT = 3,
    KIND_AXIS = 4,
};

/* Beside the number of bits of a field with sign. */
enum {
    SIGNED_FLAG = 0x80,
};

/* Bounds. */
#define IMAGE_CONTROLS 32u
#define IMAGE_INPUTS 12u
#define IMAGE_BANKS 4u
#define IMAGE_MAX_CYCLES_START_AGAIN 6u
#define IMAGE_MAX_CYCLES_STAY 5u
#define IMAGE_MAX_LAYERS 4u
#define IMAGE_MAX_POWER_ON_RULES 4u
#define IMAGE_MAX_BANK_CHANGES 8u
#define IMAGE_MAX_HOLD_MS 10000u
#define IMAGE_MAX_CHORDS 8u
#define IMAGE_MAX_CHORD_MS 250u
#define IMAGE_MIN_IDLE_RESET_NS 10000u
#define IMAGE_MAX_IDLE_RESET_NS 100000000u
#define IMAGE_DELAY_STEP_NS 8u
#define IMAGE_MAX_DELAY_NS 56u
#define IMAGE_MIN_LATE_CYCLES 2u
#define IMAGE_MAX_LATE_CYCLES 3750u
#define IMAGE_SWEEP_UNIT_MS 10u
#define IMAGE_REPLY_WORDS 30u /* of the reply table, for rows and late phases */
#define IMAGE_ROW_WORDS 5u
#define IMAGE_LATE_WORDS 2u
#define IMAGE_MAX_PADS 4u
#define IMAGE_MAX_EXTRACTORS 40u /* of one pad */
#define IMAGE_MAX_EXTRACTORS_IN_ALL 64u
#define IMAGE_MAX_ARRAY_FIELDS 64u
#define IMAGE_MAX_HAT_STEP 1000000u
#define IMAGE_MAX_REPORT_BYTES 64u

/* Percentages of a stick. */
enum {
    STICK_MIN_INNER = 5,
    STICK_MAX_INNER = 95,
    STICK_MIN_OUTER = 20,
    STICK_MAX_OUTER = 100,
    STICK_MAX_DIAGONAL = 90,
    STICK_MIN_HYSTERESIS = 1,
    STICK_MAX_HYSTERESIS = 50,
};

enum gate {
    GATE_CIRCLE = 0,
    GATE_SQUARE = 1,
    GATE_OCTAGON = 2,
};

enum opposite {
    OPPOSITE_AS_HELD = 0,
    OPPOSITE_NEUTRAL = 1,
    OPPOSITE_FIRST = 2,
    OPPOSITE_LAST = 3,
};

/* Codes of cells behind those of the inputs. */
enum {
    CELL_LOW = 12,
    CELL_HIGH = 13,
};

#endif
