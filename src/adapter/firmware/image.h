#ifndef NINEPIN_IMAGE_H
#define NINEPIN_IMAGE_H

#include <stdbool.h>
#include <stdint.h>

#include "image-layout.h"
#include "pad-identity.h"
#include "stick.h"

/*
 * The image of a profile and of the pads that it is played with, versions 1 to 3. IMAGE.md is its specification.
 *
 * Controls are 32 bits, inputs 12 (bit k is code k), pins 6: bit 0 is pin 1, then 2, 3, 4, 6, 9; 1 is high.
 * Banks are 1 to 4 here, as in the image.
 */

#define CHART_MAX_ROWS 6u
#define CHART_PINS 6u
#define ALL_PINS_HIGH 0x3Fu

/* What the reply engine has to know of an image. */
struct chart {
    uint32_t idle_reset_ns;
    uint8_t delay_steps; /* 0 to 7, each IMAGE_DELAY_STEP_NS */
    bool stays;          /* after the last cycle: the last row stays; else the first row answers again */
    uint8_t rows;        /* 1 to 6 with start again, 2 to 6 with stay */
    uint16_t late_phases; /* bit 2k high and bit 2k + 1 low of row k; there is room for them in the reply table */
    struct {
        uint8_t high[CHART_PINS]; /* cell codes */
        uint8_t low[CHART_PINS];
    } row[CHART_MAX_ROWS];
};

/* Whether these bytes are an image that this firmware can run. Everything below takes only such. */
bool image_check(const uint8_t *image, uint16_t count);

void image_chart(const uint8_t *image, struct chart *chart);

/* What six cells put on the pins while `inputs` are pressed. */
uint8_t chart_pins(const uint8_t cells[CHART_PINS], uint16_t inputs);

/* Makes every row the first one: the pad stays on the first cycle. */
void chart_keep_first_cycle(struct chart *chart);

/* By what inputs are asked for, unpacked: for each input, the controls of which any asks for it. */
struct layer {
    uint32_t by;    /* controls of which any turns it on */
    bool toggled;   /* by each press; else on while held */
    uint16_t named; /* inputs that it overrides */
    uint32_t mapping[IMAGE_INPUTS];
};
void image_mapping(const uint8_t *image, uint32_t mapping[IMAGE_INPUTS]);
/* Returns how many there are. */
uint8_t image_layers(const uint8_t *image, struct layer layers[IMAGE_MAX_LAYERS]);

enum axis { AXIS_VERTICAL, AXIS_HORIZONTAL };
enum opposite image_opposite(const uint8_t *image, enum axis axis);

/* Steady repeat of an input. */
struct repeat {
    uint16_t whole;  /* steps after which it stands where it stood; 0 when there is none */
    uint8_t pressed; /* steps in which it is pressed */
};
void image_repeats(const uint8_t *image, struct repeat repeats[IMAGE_INPUTS]);

/* The inputs whose repeat counts milliseconds; the others count reads. */
uint16_t image_repeats_by_time(const uint8_t *image);

struct chord {
    uint32_t controls;
    uint16_t inputs;
    uint8_t within_ms;
};
/* Returns how many there are. */
uint8_t image_chords(const uint8_t *image, struct chord chords[IMAGE_MAX_CHORDS]);

/* Late replies, and later step by step while an input is held. */
struct sweep {
    uint8_t steps; /* 0: there is none */
    uint8_t input;
    uint16_t first; /* cycles of 8 ns */
    uint16_t step;
    uint16_t on_ms;
    uint16_t off_ms;
};
void image_sweep(const uint8_t *image, struct sweep *sweep);

enum stick_side { STICK_OF_LEFT_HAND, STICK_OF_RIGHT_HAND };
void image_stick(const uint8_t *image, enum stick_side side, struct stick *stick);

/* The first entry of the image that is meant for this pad; NULL for none. extract.h reads it. */
const uint8_t *image_pad(const uint8_t *image, const struct pad_identity *pad);

/* What the power-on rules say about what is held when they are judged. */
enum power_on { POWER_ON_FIRST_CYCLE_ONLY = 0, /* 1 to 4: that bank */ POWER_ON_NOTHING = 0xFF };
uint8_t image_power_on(const uint8_t *image, uint32_t held);

struct bank_change {
    uint32_t held;
    uint16_t for_ms;
    uint8_t bank; /* 1 to 4, NEXT_BANK_CODE or PREVIOUS_BANK_CODE */
};

/* Returns how many there are. */
uint8_t image_bank_changes(const uint8_t *image, struct bank_change changes[IMAGE_MAX_BANK_CHANGES]);

#endif
