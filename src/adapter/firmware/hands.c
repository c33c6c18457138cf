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
    ask(hands, hands->judged ? image_asked(hands->image, hands->held) : 0);
}

static void forget_pressed(struct hands *hands)
{
    hands->asked = 0;
    hands->first = 0;
    hands->passing = 0;
    memset(hands->steps, 0, sizeof hands->steps);
}

void hands_power_on(struct hands *hands, const uint8_t *image, uint8_t bank)
{
    memset(hands, 0, sizeof *hands);
    hands->image = image;
    hands->bank = bank;
}

void hands_load(struct hands *hands, const uint8_t *image, uint8_t bank, uint32_t now_ms)
{
    hands->image = image;
    hands->bank = bank;
    /* How long something is held counts anew under the new image. */
    hands->held_since_ms = now_ms;
    hands->wanted_bank = 0;
    forget_pressed(hands);
    press(hands);
}

static void hold(struct hands *hands, uint32_t held, uint32_t now_ms)
{
    if (held == hands->held) return;
    hands->held = held;
    hands->held_since_ms = now_ms;
    press(hands);
}

void hands_report(struct hands *hands, uint32_t held, uint32_t now_ms)
{
    if (!hands->reported) {
        hands->reported = true;
        hands->reported_ms = now_ms;
    }
    hands_tick(hands, now_ms);
    hold(hands, held, now_ms);
    hands_tick(hands, now_ms);
}

void hands_let_go(struct hands *hands, uint32_t now_ms)
{
    hands_tick(hands, now_ms);
    hold(hands, 0, now_ms);
}

static void judge_power_on(struct hands *hands, uint32_t now_ms)
{
    hands->judged = true;
    hands->held_since_ms = now_ms;
    const uint8_t outcome = image_power_on(hands->image, hands->held);
    if (outcome == POWER_ON_FIRST_CYCLE_ONLY) hands->first_cycle_only_next = true;
    else if (outcome != POWER_ON_NOTHING) hands->power_on_bank = outcome;
    press(hands);
}

void hands_tick(struct hands *hands, uint32_t now_ms)
{
    if (!hands->judged) {
        if (hands->reported && now_ms - hands->reported_ms >= HANDS_JUDGED_AFTER_MS) judge_power_on(hands, now_ms);
        return;
    }
    const uint32_t held_ms = now_ms - hands->held_since_ms;
    const uint8_t bank = image_bank_change(hands->image, hands->held, held_ms, hands->bank);
    if (bank != 0) hands->wanted_bank = bank;
}

void hands_read_ended(struct hands *hands)
{
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++) {
        const struct repeat repeat = image_repeat(hands->image, k);
        const uint16_t reads = (uint16_t)(repeat.pressed_reads + repeat.released_reads);
        if (reads == 0 || !(hands->passing & 1 << k)) continue;
        hands->steps[k] = (uint16_t)(hands->steps[k] + 1u);
        if (hands->steps[k] == reads) hands->steps[k] = 0;
    }
    hands->first_cycle_only = hands->first_cycle_only_next;
    if (hands->power_on_bank != 0) hands->power_on_bank_due = true;
}

uint16_t hands_inputs(const struct hands *hands)
{
    uint16_t inputs = hands->passing;
    for (uint8_t k = 0; hands->passing >> k != 0; k++) {
        if (!(hands->passing >> k & 1)) continue;
        const uint8_t pressed_reads = image_repeat(hands->image, k).pressed_reads;
        if (pressed_reads > 0 && hands->steps[k] >= pressed_reads) inputs &= (uint16_t)~(1u << k);
    }
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
