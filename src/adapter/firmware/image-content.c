#include "image.h"

#include <stddef.h>

#include "image-parts.h"

/* What a sound image says. */

/* ---- Where its parts are ---- */

static const uint8_t *power_on_rules(const uint8_t *image)
{
    const uint8_t *at = image + layers_at(image_rows(image));
    for (uint8_t k = 0; k < image[AT_LAYERS]; k++) at += layer_bytes(layer_named(at));
    return at;
}

static const uint8_t *bank_changes(const uint8_t *image)
{
    return power_on_rules(image) + image[AT_POWER_ON_RULES] * RULE_BYTES;
}

/* Version 1 ends here. */
static const uint8_t *tail(const uint8_t *image)
{
    return bank_changes(image) + image[AT_BANK_CHANGES] * RULE_BYTES;
}

static const uint8_t *chords_of(const uint8_t *image)
{
    return tail(image) + REPEAT_KINDS_BYTES + STICKS * STICK_BYTES;
}

/* Behind the chords. */
static const uint8_t *sweep_of(const uint8_t *image)
{
    return chords_of(image) + image[AT_CHORDS] * CHORD_BYTES;
}

/* ---- What they say ---- */

static void unpack_phase(const uint8_t *packed, uint8_t cells[CHART_PINS])
{
    for (uint8_t k = 0; k < CHART_PINS; k++) cells[k] = packed[k >> 1] >> (4 * (k & 1)) & 15;
}

void image_chart(const uint8_t *image, struct chart *chart)
{
    chart->idle_reset_ns = get_u32(image + AT_IDLE_RESET_NS);
    chart->delay_steps = (uint8_t)(get_u16(image + AT_DELAY_NS) / IMAGE_DELAY_STEP_NS);
    chart->stays = image_stays(image);
    chart->rows = image_rows(image);
    chart->late_phases = image_has_sweep(image) ? get_u16(sweep_of(image) + SWEEP_AT_PHASES) : 0;
    for (uint8_t k = 0; k < chart->rows; k++) {
        const uint8_t *row = image + AT_CHART + k * ROW_BYTES;
        unpack_phase(row, chart->row[k].high);
        unpack_phase(row + PHASE_BYTES, chart->row[k].low);
    }
}

uint8_t chart_pins(const uint8_t cells[CHART_PINS], uint16_t inputs)
{
    uint8_t pins = 0;
    for (uint8_t k = 0; k < CHART_PINS; k++) {
        const uint8_t cell = cells[k];
        const bool high = cell == CELL_HIGH || (cell != CELL_LOW && (inputs >> cell & 1) == 0);
        if (high) pins |= (uint8_t)(1u << k);
    }
    return pins;
}

void chart_keep_first_cycle(struct chart *chart)
{
    for (uint8_t k = 1; k < chart->rows; k++) chart->row[k] = chart->row[0];
}

void image_mapping(const uint8_t *image, uint32_t mapping[IMAGE_INPUTS])
{
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++) mapping[k] = get_u32(image + AT_MAPPING + 4 * k);
}

uint8_t image_layers(const uint8_t *image, struct layer layers[IMAGE_MAX_LAYERS])
{
    const uint8_t *at = image + layers_at(image_rows(image));
    for (uint8_t k = 0; k < image[AT_LAYERS]; k++) {
        struct layer *layer = &layers[k];
        layer->by = get_u32(at);
        layer->toggled = at[LAYER_AT_TOGGLED] == 1;
        layer->named = layer_named(at);
        at += LAYER_HEAD_BYTES;
        for (uint8_t input = 0; input < IMAGE_INPUTS; input++) {
            const bool named = (layer->named >> input & 1) != 0;
            layer->mapping[input] = named ? get_u32(at) : 0;
            if (named) at += 4;
        }
    }
    return image[AT_LAYERS];
}

enum opposite image_opposite(const uint8_t *image, enum axis axis)
{
    return (enum opposite)(image[AT_OPPOSITE] >> (axis == AXIS_VERTICAL ? 0 : 2) & 3);
}

void image_repeats(const uint8_t *image, struct repeat repeats[IMAGE_INPUTS])
{
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++) {
        const uint8_t *at = image + AT_REPEAT + 2 * k;
        repeats[k].pressed = at[0];
        repeats[k].whole = (uint16_t)(at[0] + at[1]);
    }
}

static bool all_held(const uint8_t *controls, uint32_t held)
{
    return (get_u32(controls) & ~held) == 0;
}

uint8_t image_power_on(const uint8_t *image, uint32_t held)
{
    const uint8_t *rule = power_on_rules(image);
    for (uint8_t k = 0; k < image[AT_POWER_ON_RULES]; k++, rule += RULE_BYTES)
        if (all_held(rule + POWER_ON_AT_HELD, held)) return rule[POWER_ON_AT_BANK];
    return POWER_ON_NOTHING;
}

uint8_t image_bank_changes(const uint8_t *image, struct bank_change changes[IMAGE_MAX_BANK_CHANGES])
{
    const uint8_t *at = bank_changes(image);
    for (uint8_t k = 0; k < image[AT_BANK_CHANGES]; k++, at += RULE_BYTES)
        changes[k] = (struct bank_change){get_u32(at + BANK_CHANGE_AT_HELD), get_u16(at + BANK_CHANGE_AT_FOR_MS), at[BANK_CHANGE_AT_BANK]};
    return image[AT_BANK_CHANGES];
}

/* ---- What version 1 does not have ---- */

/* The usual stick, as IMAGE.md names it: circle, 50, 90, 50, 10 per cent. */
static const struct stick usual_stick = {
    .gate = GATE_CIRCLE, .press = 14745, .release = 11796, .enter = 18676, .begin = 13573, .leave = 8976};

uint16_t image_repeats_by_time(const uint8_t *image)
{
    return image_has_tail(image) ? get_u16(tail(image)) : 0;
}

void image_stick(const uint8_t *image, enum stick_side side, struct stick *stick)
{
    if (!image_has_tail(image)) {
        *stick = usual_stick;
        return;
    }
    const uint8_t *at = tail(image) + REPEAT_KINDS_BYTES + side * STICK_BYTES;
    stick->gate = at[STICK_AT_GATE];
    stick->press = get_u16(at + STICK_AT_PRESS);
    stick->release = get_u16(at + STICK_AT_RELEASE);
    stick->enter = get_u16(at + STICK_AT_ENTER);
    stick->begin = get_u16(at + STICK_AT_BEGIN);
    stick->leave = get_u16(at + STICK_AT_LEAVE);
}

uint8_t image_chords(const uint8_t *image, struct chord chords[IMAGE_MAX_CHORDS])
{
    if (!image_has_tail(image)) return 0;
    const uint8_t *at = chords_of(image);
    for (uint8_t k = 0; k < image[AT_CHORDS]; k++, at += CHORD_BYTES) {
        chords[k].controls = get_u32(at);
        chords[k].inputs = get_u16(at + CHORD_AT_INPUTS);
        chords[k].within_ms = (uint8_t)get_u16(at + CHORD_AT_MS);
    }
    return image[AT_CHORDS];
}

void image_sweep(const uint8_t *image, struct sweep *sweep)
{
    const uint8_t *at = sweep_of(image);
    *sweep = (struct sweep){0};
    if (!image_has_sweep(image)) return;
    sweep->steps = at[SWEEP_AT_STEPS];
    sweep->input = at[SWEEP_AT_INPUT];
    sweep->first = get_u16(at + SWEEP_AT_FIRST);
    sweep->step = get_u16(at + SWEEP_AT_STEP);
    sweep->on_ms = (uint16_t)(at[SWEEP_AT_ON] * IMAGE_SWEEP_UNIT_MS);
    sweep->off_ms = (uint16_t)(at[SWEEP_AT_OFF] * IMAGE_SWEEP_UNIT_MS);
}

static bool is_for(const uint8_t *entry, const struct pad_identity *pad)
{
    if (get_u16(entry + PAD_AT_VENDOR) != pad->vendor || get_u16(entry + PAD_AT_PRODUCT) != pad->product) return false;
    if (entry[PAD_AT_VIA] != pad->via) return false;
    return entry[PAD_AT_ONE_DESCRIPTOR] == 0 || get_u32(entry + PAD_AT_DESCRIPTOR_CRC32) == pad->descriptor_crc32;
}

const uint8_t *image_pad(const uint8_t *image, const struct pad_identity *pad)
{
    if (!image_has_tail(image)) return NULL;
    const uint8_t *entry = sweep_of(image) + (image_has_sweep(image) ? SWEEP_BYTES : 0);
    for (uint8_t k = 0; k < image[AT_PADS]; k++) {
        if (is_for(entry, pad)) return entry;
        entry += pad_bytes(entry[PAD_AT_EXTRACTORS]);
    }
    return NULL;
}
