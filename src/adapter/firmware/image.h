#ifndef NINEPIN_IMAGE_H
#define NINEPIN_IMAGE_H

#include <stdbool.h>
#include <stdint.h>

/*
 * The image of a profile, version 1. IMAGE.md is its specification.
 *
 * Controls are 32 bits, inputs 12 (bit k is code k), pins 6: bit 0 is pin 1, then 2, 3, 4, 6, 9; 1 is high.
 * Banks are 1 to 4 here, as in the image.
 */

#define IMAGE_MOST_BYTES 512u
#define IMAGE_INPUTS 12u
#define IMAGE_BANKS 4u

#define CHART_MOST_ROWS 6u
#define CHART_PINS 6u
#define ALL_PINS_HIGH 0x3Fu

/* The delay that the reply engine can make: a multiple of its clock, in three bits. */
#define IMAGE_DELAY_STEP_NS 8u
#define IMAGE_DELAY_MOST_NS 56u

enum cell { CELL_LOW = 12, CELL_HIGH = 13 }; /* below: the input of that code */

/* What the reply engine has to know of an image. */
struct chart {
    uint32_t idle_reset_ns;
    uint8_t delay_steps; /* 0 to 7, each IMAGE_DELAY_STEP_NS */
    bool stays;          /* after the last cycle: the last row stays; else the first row answers again */
    uint8_t rows;        /* 1 to 6 with start again, 2 to 6 with stay */
    struct {
        uint8_t high[CHART_PINS]; /* cell codes */
        uint8_t low[CHART_PINS];
    } row[CHART_MOST_ROWS];
};

/* Whether these bytes are an image that this firmware can run. Everything below takes only such. */
bool image_check(const uint8_t *image, uint16_t count);

void image_chart(const uint8_t *image, struct chart *chart);

/* What six cells put on the pins while `inputs` are pressed. */
uint8_t chart_pins(const uint8_t cells[CHART_PINS], uint16_t inputs);

/* Makes every row the first one: the pad stays on the first cycle. */
void chart_keep_first_cycle(struct chart *chart);

/* The inputs that held controls ask for, by mapping and layers, before opposite directions and repeat. */
uint16_t image_asked(const uint8_t *image, uint32_t held);

enum opposite { OPPOSITE_AS_HELD, OPPOSITE_NEUTRAL, OPPOSITE_FIRST, OPPOSITE_LAST };
enum axis { AXIS_VERTICAL, AXIS_HORIZONTAL };
enum opposite image_opposite(const uint8_t *image, enum axis axis);

/* Steady repeat of an input: both 0 when it has none. */
struct repeat {
    uint8_t pressed_reads;
    uint8_t released_reads;
};
struct repeat image_repeat(const uint8_t *image, uint8_t input);

/* What the power-on rules say about what is held when they are judged. */
enum power_on { POWER_ON_FIRST_CYCLE_ONLY = 0, /* 1 to 4: that bank */ POWER_ON_NOTHING = 0xFF };
uint8_t image_power_on(const uint8_t *image, uint32_t held);

/*
 * The bank that a hold or a chord asks for, 0 for none. `held_ms`: for how long exactly these controls have
 * been held.
 */
uint8_t image_bank_change(const uint8_t *image, uint32_t held, uint32_t held_ms, uint8_t active);

#endif
