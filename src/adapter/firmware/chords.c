#include "chords.h"

#include <string.h>

static uint32_t bit(uint8_t control)
{
    return (uint32_t)1 << control;
}

void chords_load(struct chords *chords, const uint8_t *image, uint32_t held)
{
    memset(chords, 0, sizeof *chords);
    chords->held = held;
    chords->count = image_chords(image, chords->chord);
    for (uint8_t k = 0; k < chords->count; k++) {
        const struct chord *chord = &chords->chord[k];
        chords->members |= chord->controls;
        for (uint8_t control = 0; control < IMAGE_CONTROLS; control++)
            if (chord->controls & bit(control) && chord->within_ms > chords->longest_ms[control])
                chords->longest_ms[control] = chord->within_ms;
    }
    for (uint8_t control = 0; control < IMAGE_CONTROLS; control++)
        if (chords->longest_ms[control] == 0) chords->ripe_at_once |= bit(control);
}

/* What was let go while it waited passes for as long as it had waited. */
static void begin_echo(struct chords *chords, uint32_t controls)
{
    chords->echoing |= controls;
    for (uint8_t k = 0; controls != 0; k++, controls >>= 1) {
        if (!(controls & 1)) continue;
        const uint8_t ms = chords->waited_ms[k] > 0 ? chords->waited_ms[k] : 1;
        if (ms > chords->echo_ms[k]) chords->echo_ms[k] = ms;
    }
}

static void let_go(struct chords *chords, uint32_t controls)
{
    begin_echo(chords, controls & chords->waiting);
    chords->waiting &= ~controls;
    chords->spent &= ~controls;
    for (uint8_t k = 0; k < chords->count; k++)
        if (chords->chord[k].controls & controls) chords->on &= (uint8_t)~(1u << k);
}

static void begin_wait(struct chords *chords, uint32_t controls)
{
    chords->waiting |= controls;
    chords->ripe = (chords->ripe & ~controls) | (chords->ripe_at_once & controls);
    for (uint8_t k = 0; k < chords->count; k++) chords->late[k] &= ~controls;
    for (uint8_t k = 0; controls != 0; k++, controls >>= 1)
        if (controls & 1) chords->waited_ms[k] = 0;
}

void chords_hold(struct chords *chords, uint32_t held, bool waits)
{
    const uint32_t up = chords->held & ~held;
    const uint32_t down = held & ~chords->held & chords->members;
    chords->held = held;
    if (up & chords->members) let_go(chords, up);
    if (waits && down != 0) begin_wait(chords, down);
}

static void wait_on(struct chords *chords, uint8_t control)
{
    const uint8_t waited_ms = ++chords->waited_ms[control];
    if (waited_ms >= chords->longest_ms[control]) chords->ripe |= bit(control);
    for (uint8_t k = 0; k < chords->count; k++)
        if (waited_ms > chords->chord[k].within_ms) chords->late[k] |= bit(control);
}

void chords_millisecond(struct chords *chords)
{
    uint32_t left = chords->waiting | chords->echoing;
    for (uint8_t k = 0; left != 0; k++, left >>= 1) {
        if (!(left & 1)) continue;
        if (chords->waiting & bit(k)) wait_on(chords, k);
        if (chords->echoing & bit(k) && --chords->echo_ms[k] == 0) chords->echoing &= ~bit(k);
    }
}

void chords_settle(struct chords *chords)
{
    if (chords->waiting == 0) return;
    for (uint8_t k = 0; k < chords->count; k++) {
        const uint32_t controls = chords->chord[k].controls;
        if (controls & ~(chords->waiting & ~chords->late[k])) continue;
        chords->on |= (uint8_t)(1u << k);
        chords->waiting &= ~controls;
        chords->spent |= controls;
    }
    chords->waiting &= ~chords->ripe;
}

uint16_t chords_inputs(const struct chords *chords)
{
    uint16_t inputs = 0;
    for (uint8_t k = 0; k < chords->count; k++)
        if (chords->on >> k & 1) inputs |= chords->chord[k].inputs;
    return inputs;
}
