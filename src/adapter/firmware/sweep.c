#include "sweep.h"

#include "reply.h"

static struct sweep sweep;

static struct {
    bool held;
    bool pressed; /* the first part of a step */
    uint8_t step;
    uint16_t late;
    uint32_t until_ms; /* the part lasts */
} now;

static uint16_t bit_of_input(void)
{
    return (uint16_t)(sweep.steps == 0 ? 0 : 1u << sweep.input);
}

static void be_late(uint16_t cycles)
{
    now.late = cycles;
    reply_set_late(cycles);
}

void sweep_load(const struct sweep *next)
{
    sweep = *next;
    now.held = now.pressed = false;
    if (sweep.steps != 0) be_late(sweep.first);
}

uint16_t sweep_passes(uint16_t inputs)
{
    return now.pressed ? inputs : (uint16_t)(inputs & ~bit_of_input());
}

static void begin_step(uint8_t step, uint16_t late, uint32_t now_ms)
{
    now.step = step;
    now.pressed = true;
    now.until_ms = now_ms + sweep.on_ms;
    if (late != now.late) be_late(late);
}

void sweep_tick(uint16_t inputs, uint32_t now_ms)
{
    if (sweep.steps == 0) return;
    const bool held = (inputs & bit_of_input()) != 0;
    const bool begins = held && !now.held;
    now.held = held;
    if (begins) {
        begin_step(0, sweep.first, now_ms);
    } else if (!held) {
        now.pressed = false;
        if (now.late != sweep.first) be_late(sweep.first);
    } else if ((int32_t)(now_ms - now.until_ms) < 0) {
        return;
    } else if (now.pressed) {
        now.pressed = false;
        now.until_ms += sweep.off_ms;
    } else if (now.step + 1u < sweep.steps) {
        begin_step((uint8_t)(now.step + 1u), (uint16_t)(now.late + sweep.step), now.until_ms);
    }
}
