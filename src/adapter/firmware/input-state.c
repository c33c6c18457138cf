#include "input-state.h"

#include <string.h>

static const uint16_t up_down[2] = {1u << 0, 1u << 1};
static const uint16_t left_right[2] = {1u << 2, 1u << 3};

/* Settles who was first when the second of a pair joins, and forgets it when one of the two is let go. */
static void note_first(struct input_state *state, const uint16_t pair[2], uint16_t asked)
{
    const uint16_t both = pair[0] | pair[1];
    if ((asked & both) != both) state->first &= (uint16_t)~both;
    else if (!(state->first & both)) state->first |= (state->asked & both) == pair[1] ? pair[1] : pair[0];
}

static uint16_t passed_of(const struct input_state *state, enum axis axis, const uint16_t pair[2], uint16_t asked)
{
    const uint16_t both = pair[0] | pair[1];
    const uint16_t rest = asked & (uint16_t)~both;
    if ((asked & both) != both) return asked;
    switch (image_opposite(state->image, axis)) {
    case OPPOSITE_NEUTRAL: return rest;
    case OPPOSITE_FIRST: return rest | (state->first & both);
    case OPPOSITE_LAST: return rest | (both & (uint16_t)~state->first);
    default: return asked;
    }
}

static void ask(struct input_state *state, uint16_t asked)
{
    note_first(state, up_down, asked);
    note_first(state, left_right, asked);
    const uint16_t vertical = passed_of(state, AXIS_VERTICAL, up_down, asked);
    const uint16_t passing = passed_of(state, AXIS_HORIZONTAL, left_right, vertical);
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++)
        if (passing & ~state->passing & 1 << k) state->steps[k] = 0;
    state->asked = asked;
    state->passing = passing;
}

/* Until the power-on rules have been judged nothing is pressed. */
static void press(struct input_state *state)
{
    state->passed = chords_passing(&state->chords);
    state->chords_on = state->chords.on;
    const uint16_t asked = layers_asked(&state->layers, state->passed) | chords_inputs(&state->chords);
    if (state->judged) ask(state, asked);
}

/* What has come together or waited for long enough takes effect. */
static void settle(struct input_state *state)
{
    chords_settle(&state->chords);
    if (chords_passing(&state->chords) != state->passed || state->chords.on != state->chords_on) press(state);
}

static void forget_pressed(struct input_state *state)
{
    state->asked = 0;
    state->first = 0;
    state->passing = 0;
    memset(state->steps, 0, sizeof state->steps);
}

/* What is in the image, unpacked. */
static void take_up(struct input_state *state)
{
    chords_load(&state->chords, state->image, state->held);
    layers_load(&state->layers, state->image);
    image_repeats(state->image, state->repeats);
    state->repeated = 0;
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++)
        if (state->repeats[k].whole > 0) state->repeated |= (uint16_t)(1u << k);
    state->by_time = image_repeats_by_time(state->image);
    state->change_count = image_bank_changes(state->image, state->changes);
}

void input_state_power_on(struct input_state *state, const uint8_t *image, uint8_t bank)
{
    memset(state, 0, sizeof *state);
    state->image = image;
    state->bank = bank;
    take_up(state);
}

/* An interrupt may have brought a report while the main loop still works with the time that it looked up before. */
static bool is_before(uint32_t one_ms, uint32_t other_ms)
{
    return (int32_t)(other_ms - one_ms) > 0;
}

void input_state_load(struct input_state *state, const uint8_t *image, uint8_t bank, uint32_t now_ms)
{
    state->image = image;
    state->bank = bank;
    if (is_before(state->now_ms, now_ms)) state->now_ms = now_ms;
    /* How long something is held starts again under the new image. */
    state->held_since_ms = state->now_ms;
    state->wanted_bank = 0;
    take_up(state);
    forget_pressed(state);
    press(state);
}

/* The steps of repeats, for those of these inputs that pass. */
static void step_repeats(struct input_state *state, uint16_t inputs)
{
    uint16_t left = inputs & state->repeated & state->passing;
    for (uint8_t k = 0; left != 0; k++, left >>= 1) {
        if (!(left & 1)) continue;
        const uint16_t step = (uint16_t)(state->steps[k] + 1u);
        state->steps[k] = step == state->repeats[k].whole ? 0 : step;
    }
}

/* Everything that happens before this millisecond, and the time of those that wait; what comes now is not settled yet. */
static void live_until(struct input_state *state, uint32_t now_ms)
{
    if (!state->reported) state->now_ms = now_ms;
    while (is_before(state->now_ms, now_ms)) {
        state->now_ms++;
        chords_millisecond(&state->chords);
        step_repeats(state, state->by_time);
        if (state->now_ms != now_ms) settle(state);
    }
}

static void judge_power_on(struct input_state *state)
{
    state->judged = true;
    state->held_since_ms = state->now_ms;
    const uint8_t outcome = image_power_on(state->image, state->held);
    if (outcome == POWER_ON_FIRST_CYCLE_ONLY) state->first_cycle_only_next = true;
    else if (outcome != POWER_ON_NOTHING) state->power_on_bank = outcome;
    press(state);
}

static uint8_t bank_meant(const struct input_state *state, uint8_t bank)
{
    if (bank == NEXT_BANK_CODE) return (uint8_t)(state->bank % IMAGE_BANKS + 1u);
    if (bank == PREVIOUS_BANK_CODE) return (uint8_t)((state->bank + IMAGE_BANKS - 2u) % IMAGE_BANKS + 1u);
    return bank;
}

/* The first bank change whose controls are held, and have been for as long as it asks. */
static void want_bank(struct input_state *state)
{
    const uint32_t held_ms = state->now_ms - state->held_since_ms;
    const struct bank_change *end = state->changes + state->change_count;
    for (const struct bank_change *change = state->changes; change < end; change++) {
        if (change->held & ~state->held || held_ms < change->for_ms) continue;
        state->wanted_bank = bank_meant(state, change->bank);
        return;
    }
}

/* Power-on rules and bank changes look at what is held. */
static void apply_rules(struct input_state *state)
{
    if (state->judged) want_bank(state);
    else if (state->reported && state->now_ms - state->reported_ms >= INPUT_STATE_JUDGED_AFTER_MS) judge_power_on(state);
}

static void hold(struct input_state *state, uint32_t held)
{
    if (held != state->held) state->held_since_ms = state->now_ms;
    state->held = held;
    chords_hold(&state->chords, held, state->judged);
    settle(state);
}

void input_state_report(struct input_state *state, uint32_t held, uint32_t now_ms)
{
    live_until(state, now_ms);
    if (!state->reported) {
        state->reported = true;
        state->reported_ms = state->now_ms;
    }
    apply_rules(state);
    hold(state, held);
    apply_rules(state);
}

void input_state_left(struct input_state *state, uint32_t held, uint32_t now_ms)
{
    live_until(state, now_ms);
    apply_rules(state);
    hold(state, held);
}

void input_state_tick(struct input_state *state, uint32_t now_ms)
{
    live_until(state, now_ms);
    apply_rules(state);
    settle(state);
}

void input_state_read_ended(struct input_state *state)
{
    step_repeats(state, (uint16_t)~state->by_time);
    state->first_cycle_only = state->first_cycle_only_next;
    if (state->power_on_bank != 0) state->power_on_bank_due = true;
}

uint16_t input_state_inputs(const struct input_state *state)
{
    uint16_t inputs = state->passing;
    uint16_t left = state->passing & state->repeated;
    for (uint8_t k = 0; left != 0; k++, left >>= 1)
        if (left & 1 && state->steps[k] >= state->repeats[k].pressed) inputs &= (uint16_t)~(1u << k);
    return inputs;
}

struct bank_wish input_state_take_wish(struct input_state *state, bool at_rest)
{
    struct bank_wish wish = {0, false};
    if (state->power_on_bank_due) {
        wish.bank = state->power_on_bank;
        state->power_on_bank = 0;
        state->power_on_bank_due = false;
    } else if (state->wanted_bank != 0 && at_rest && state->held == 0) {
        wish = (struct bank_wish){state->wanted_bank, true};
        state->wanted_bank = 0;
    }
    return wish;
}
