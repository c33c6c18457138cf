#include "hands.h"

#include <string.h>

static const uint16_t up_down[2] = {1u << 0, 1u << 1};
static const uint16_t left_right[2] = {1u << 2, 1u << 3};

/* Settles who was first when the second of a pair joins, and forgets it when one of the two is let go. */
static void note_first(struct hands *hands, const uint16_t pair[2], uint16_t asked)
{
    const uint16_t both = pair[0] | pair[1];
    if ((asked & both) != both) hands->first &= (uint16_t)~both;
    else if (!(hands->first & both)) hands->first |= (hands->asked & both) == pair[1] ? pair[1] : pair[0];
}

static uint16_t passed_of(const struct hands *hands, enum axis axis, const uint16_t pair[2], uint16_t asked)
{
    const uint16_t both = pair[0] | pair[1];
    const uint16_t rest = asked & (uint16_t)~both;
    if ((asked & both) != both) return asked;
    switch (image_opposite(hands->image, axis)) {
    case OPPOSITE_NEUTRAL: return rest;
    case OPPOSITE_FIRST: return rest | (hands->first & both);
    case OPPOSITE_LAST: return rest | (both & (uint16_t)~hands->first);
    default: return asked;
    }
}

static void ask(struct hands *hands, uint16_t asked)
{
    note_first(hands, up_down, asked);
    note_first(hands, left_right, asked);
    const uint16_t vertical = passed_of(hands, AXIS_VERTICAL, up_down, asked);
    const uint16_t passing = passed_of(hands, AXIS_HORIZONTAL, left_right, vertical);
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++)
        if (passing & ~hands->passing & 1 << k) hands->steps[k] = 0;
    hands->asked = asked;
    hands->passing = passing;
}

/* Until the power-on rules have been judged nothing is pressed. */
static void press(struct hands *hands)
{
    hands->passed = chords_passing(&hands->chords);
    hands->chords_on = hands->chords.on;
    const uint16_t asked = layers_asked(&hands->layers, hands->passed) | chords_inputs(&hands->chords);
    if (hands->judged) ask(hands, asked);
}

/* What has come together or waited for long enough takes effect. */
static void settle(struct hands *hands)
{
    chords_settle(&hands->chords);
    if (chords_passing(&hands->chords) != hands->passed || hands->chords.on != hands->chords_on) press(hands);
}

static void forget_pressed(struct hands *hands)
{
    hands->asked = 0;
    hands->first = 0;
    hands->passing = 0;
    memset(hands->steps, 0, sizeof hands->steps);
}

/* What is in the image, unpacked. */
static void take_up(struct hands *hands)
{
    chords_load(&hands->chords, hands->image, hands->held);
    layers_load(&hands->layers, hands->image);
    image_repeats(hands->image, hands->repeats);
    hands->repeated = 0;
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++)
        if (hands->repeats[k].whole > 0) hands->repeated |= (uint16_t)(1u << k);
    hands->by_time = image_repeats_by_time(hands->image);
    hands->change_count = image_bank_changes(hands->image, hands->changes);
}

void hands_power_on(struct hands *hands, const uint8_t *image, uint8_t bank)
{
    memset(hands, 0, sizeof *hands);
    hands->image = image;
    hands->bank = bank;
    take_up(hands);
}

/* An interrupt may have brought a report while the main loop still works with the time that it looked up before. */
static bool is_before(uint32_t one_ms, uint32_t other_ms)
{
    return (int32_t)(other_ms - one_ms) > 0;
}

void hands_load(struct hands *hands, const uint8_t *image, uint8_t bank, uint32_t now_ms)
{
    hands->image = image;
    hands->bank = bank;
    if (is_before(hands->now_ms, now_ms)) hands->now_ms = now_ms;
    /* How long something is held counts anew under the new image. */
    hands->held_since_ms = hands->now_ms;
    hands->wanted_bank = 0;
    take_up(hands);
    forget_pressed(hands);
    press(hands);
}

/* The steps of repeats, for those of these inputs that pass. */
static void step_repeats(struct hands *hands, uint16_t inputs)
{
    uint16_t left = inputs & hands->repeated & hands->passing;
    for (uint8_t k = 0; left != 0; k++, left >>= 1) {
        if (!(left & 1)) continue;
        const uint16_t step = (uint16_t)(hands->steps[k] + 1u);
        hands->steps[k] = step == hands->repeats[k].whole ? 0 : step;
    }
}

/* Everything that happens before this millisecond, and the time of those that wait; what comes now is not settled yet. */
static void live_until(struct hands *hands, uint32_t now_ms)
{
    if (!hands->reported) hands->now_ms = now_ms;
    while (is_before(hands->now_ms, now_ms)) {
        hands->now_ms++;
        chords_millisecond(&hands->chords);
        step_repeats(hands, hands->by_time);
        if (hands->now_ms != now_ms) settle(hands);
    }
}

static void judge_power_on(struct hands *hands)
{
    hands->judged = true;
    hands->held_since_ms = hands->now_ms;
    const uint8_t outcome = image_power_on(hands->image, hands->held);
    if (outcome == POWER_ON_FIRST_CYCLE_ONLY) hands->first_cycle_only_next = true;
    else if (outcome != POWER_ON_NOTHING) hands->power_on_bank = outcome;
    press(hands);
}

static uint8_t bank_meant(const struct hands *hands, uint8_t bank)
{
    if (bank == NEXT_BANK_CODE) return (uint8_t)(hands->bank % IMAGE_BANKS + 1u);
    if (bank == PREVIOUS_BANK_CODE) return (uint8_t)((hands->bank + IMAGE_BANKS - 2u) % IMAGE_BANKS + 1u);
    return bank;
}

/* The first bank change whose controls are held, and have been for as long as it asks. */
static void want_bank(struct hands *hands)
{
    const uint32_t held_ms = hands->now_ms - hands->held_since_ms;
    const struct bank_change *end = hands->changes + hands->change_count;
    for (const struct bank_change *change = hands->changes; change < end; change++) {
        if (change->held & ~hands->held || held_ms < change->for_ms) continue;
        hands->wanted_bank = bank_meant(hands, change->bank);
        return;
    }
}

/* Power-on rules and bank changes look at what is held. */
static void apply_rules(struct hands *hands)
{
    if (hands->judged) want_bank(hands);
    else if (hands->reported && hands->now_ms - hands->reported_ms >= HANDS_JUDGED_AFTER_MS) judge_power_on(hands);
}

static void hold(struct hands *hands, uint32_t held)
{
    if (held != hands->held) hands->held_since_ms = hands->now_ms;
    hands->held = held;
    chords_hold(&hands->chords, held, hands->judged);
    settle(hands);
}

void hands_report(struct hands *hands, uint32_t held, uint32_t now_ms)
{
    live_until(hands, now_ms);
    if (!hands->reported) {
        hands->reported = true;
        hands->reported_ms = hands->now_ms;
    }
    apply_rules(hands);
    hold(hands, held);
    apply_rules(hands);
}

void hands_left(struct hands *hands, uint32_t held, uint32_t now_ms)
{
    live_until(hands, now_ms);
    apply_rules(hands);
    hold(hands, held);
}

void hands_tick(struct hands *hands, uint32_t now_ms)
{
    live_until(hands, now_ms);
    apply_rules(hands);
    settle(hands);
}

void hands_read_ended(struct hands *hands)
{
    step_repeats(hands, (uint16_t)~hands->by_time);
    hands->first_cycle_only = hands->first_cycle_only_next;
    if (hands->power_on_bank != 0) hands->power_on_bank_due = true;
}

uint16_t hands_inputs(const struct hands *hands)
{
    uint16_t inputs = hands->passing;
    uint16_t left = hands->passing & hands->repeated;
    for (uint8_t k = 0; left != 0; k++, left >>= 1)
        if (left & 1 && hands->steps[k] >= hands->repeats[k].pressed) inputs &= (uint16_t)~(1u << k);
    return inputs;
}

struct bank_wish hands_take_wish(struct hands *hands, bool at_rest)
{
    struct bank_wish wish = {0, false};
    if (hands->power_on_bank_due) {
        wish.bank = hands->power_on_bank;
        hands->power_on_bank = 0;
        hands->power_on_bank_due = false;
    } else if (hands->wanted_bank != 0 && at_rest && hands->held == 0) {
        wish = (struct bank_wish){hands->wanted_bank, true};
        hands->wanted_bank = 0;
    }
    return wish;
}
