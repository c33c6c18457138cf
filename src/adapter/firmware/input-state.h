#ifndef NINEPIN_INPUT_STATE_H
#define NINEPIN_INPUT_STATE_H

#include <stdbool.h>
#include <stdint.h>

#include "chords.h"
#include "image.h"
#include "layers.h"

/*
 * From what the player holds to what the port is given: an image at work, with the rules that take time. What
 * the reply engine shows follows from input_state_inputs() and input_state_first_cycle_only(): look at them after every
 * call here.
 */

/* Rules are judged so long after the pad's first report. */
#define INPUT_STATE_JUDGED_AFTER_MS 500u

struct input_state {
    const uint8_t *image;
    uint8_t bank; /* that the image runs from, 1 to 4; 0 for the factory image */

    /* What of the image is looked up all the time, unpacked. */
    struct chords chords;
    struct layers layers;
    struct repeat repeats[IMAGE_INPUTS];
    uint16_t repeated; /* inputs that have one, */
    uint16_t by_time;  /* and those whose repeat counts milliseconds */
    struct bank_change changes[IMAGE_MAX_BANK_CHANGES];
    uint8_t change_count;

    uint32_t now_ms; /* time has been lived through up to here */
    uint32_t held;   /* what was reported last */
    uint32_t held_since_ms;
    uint32_t reported_ms;
    bool reported;
    bool judged;

    uint32_t passed;   /* the controls that passed when inputs were looked up last, */
    uint8_t chords_on; /* and the chords that were on */
    uint16_t asked;
    uint16_t first; /* of each pair of opposite directions that is held, the one that came first */
    uint16_t passing;
    uint16_t steps[IMAGE_INPUTS]; /* reads or milliseconds since the input began to pass, modulo its repeat */

    bool first_cycle_only;
    bool first_cycle_only_next; /* from the next idle reset on */
    uint8_t power_on_bank;      /* that the rules ask for; 0 for none */
    bool power_on_bank_due;     /* the idle reset that it waits for has come */
    uint8_t wanted_bank;        /* by a bank change, when nothing is held and no read is going on; 0 for none */
};

/* Power has come on: no pad has reported. */
void input_state_power_on(struct input_state *state, const uint8_t *image, uint8_t bank);

/* Another image runs from now on, under the same input. Kept to the first cycle stays so. */
void input_state_load(struct input_state *state, const uint8_t *image, uint8_t bank, uint32_t now_ms);

/* Pads and host say that exactly these controls are held. */
void input_state_report(struct input_state *state, uint32_t held, uint32_t now_ms);

/*
 * Somebody who held something has gone; exactly these controls are still held. No report: power-on rules are not
 * judged by it.
 */
void input_state_left(struct input_state *state, uint32_t held, uint32_t now_ms);

/*
 * Time passes, on a clock that counts on and wraps. Every millisecond since the last call is lived through one by one,
 * so call it in each, or a few later. A time before the last one is taken for the last one.
 */
void input_state_tick(struct input_state *state, uint32_t now_ms);

/* An idle reset came. */
void input_state_read_ended(struct input_state *state);

/* What is held for the player, 12 bits. */
uint16_t input_state_inputs(const struct input_state *state);

/* Whether row 0 answers always. */
static inline bool input_state_first_cycle_only(const struct input_state *state)
{
    return state->first_cycle_only;
}

/* The bank that becomes active now. */
struct bank_wish {
    uint8_t bank;    /* 1 to 4; 0 for none */
    bool remembered; /* also when power comes on again */
};

/*
 * The bank that becomes active; asking clears it. An empty bank cannot become active: then nothing is done.
 * `at_rest`: no rise of select since the last idle reset.
 */
struct bank_wish input_state_take_wish(struct input_state *state, bool at_rest);

#endif
