#include "extract.h"

#include "bytes.h"
#include "image-parts.h"

/* One word more than a report has: a value is taken from two words that follow one another. */
enum { REPORT_WORDS = REPORT_MAX_BYTES / 4 + 1 };

#define AXIS_FULL 32767u
#define AXIS_FULL_IN_65536THS 2147418112u

/* ---- When the pad is plugged in ---- */

static int32_t number(const uint8_t *entry, uint8_t at)
{
    return (int32_t)get_u32(entry + at);
}

static void begin_field(struct field *field, const uint8_t *entry, uint8_t fields)
{
    const uint8_t bits = entry[EXTRACTOR_AT_BITS] & (SIGNED_FLAG - 1);
    const uint16_t bit = get_u16(entry + EXTRACTOR_AT_BIT);
    field->report = entry[EXTRACTOR_AT_REPORT];
    field->ends_at = (uint8_t)((uint32_t)(bit + bits * fields + 7) >> 3);
    field->word = (uint8_t)(bit >> 5);
    field->down = bit & 31;
    field->up = (uint8_t)(31u - field->down);
    field->mask = 0xFFFFFFFFu >> (32u - bits);
    field->sign = entry[EXTRACTOR_AT_BITS] & SIGNED_FLAG ? 1u << (bits - 1u) : 0;
}

static uint32_t control_of(const uint8_t *entry)
{
    return (uint32_t)1 << entry[EXTRACTOR_AT_ARGUMENT];
}

static void begin_threshold(struct threshold *threshold, const uint8_t *entry)
{
    const int32_t press = number(entry, EXTRACTOR_AT_P);
    const int32_t release = number(entry, EXTRACTOR_AT_Q);
    begin_field(&threshold->field, entry, 1);
    threshold->control = control_of(entry);
    threshold->holds = 0;
    threshold->flip = press < release ? -1 : 0;
    threshold->press = press ^ threshold->flip;
    threshold->let_go = release ^ threshold->flip;
}

/* The array in the same place, which may be a new one at the end. */
static struct array *array_for(struct extraction *extraction, const uint8_t *entry)
{
    struct array next = {.bits = entry[EXTRACTOR_AT_BITS] & (SIGNED_FLAG - 1), .fields = entry[EXTRACTOR_AT_COUNT]};
    begin_field(&next.field, entry, next.fields);
    next.bit = get_u16(entry + EXTRACTOR_AT_BIT);
    next.first = extraction->array_values;
    for (uint8_t k = 0; k < extraction->arrays; k++) {
        struct array *array = &extraction->array[k];
        if (array->field.report == next.field.report && array->field.sign == next.field.sign &&
            array->bit == next.bit && array->bits == next.bits && array->fields == next.fields)
            return array;
    }
    extraction->array[extraction->arrays] = next;
    return &extraction->array[extraction->arrays++];
}

static void begin_array(struct extraction *extraction, const uint8_t *entry)
{
    struct array *array = array_for(extraction, entry);
    const struct array_value next = {number(entry, EXTRACTOR_AT_P), control_of(entry)};
    struct array_value *const values = extraction->array_value;
    uint8_t at = array->first;
    const uint8_t end = (uint8_t)(array->first + array->count);
    while (at < end && values[at].value < next.value) at++;
    if (at < end && values[at].value == next.value) {
        values[at].controls |= next.controls;
        return;
    }
    for (uint8_t k = extraction->array_values; k > at; k--) values[k] = values[k - 1];
    values[at] = next;
    array->count++;
    extraction->array_values++;
    for (struct array *later = array + 1; later < extraction->array + extraction->arrays; later++) later->first++;
}

static void begin_hat(struct hat *hat, const uint8_t *entry)
{
    static const uint8_t crosses[] = {12, 17, 21}; /* first controls of d-pad, left and right stick */
    begin_field(&hat->field, entry, 1);
    hat->first = number(entry, EXTRACTOR_AT_P);
    hat->step = get_u32(entry + EXTRACTOR_AT_Q);
    hat->positions = entry[EXTRACTOR_AT_COUNT];
    hat->cross = crosses[entry[EXTRACTOR_AT_ARGUMENT]];
    hat->holds = 0;
}

static uint32_t distance(int32_t one, int32_t other)
{
    return one > other ? (uint32_t)one - (uint32_t)other : (uint32_t)other - (uint32_t)one;
}

static void begin_side(struct side *side, int32_t centre, int32_t end, bool negative)
{
    uint32_t span = distance(centre, end);
    side->end = end;
    side->negative = negative;
    side->shift = 0;
    for (; span > AXIS_FULL; span >>= 1) side->shift++;
    side->factor = (AXIS_FULL_IN_65536THS + span - 1u) / span;
}

static void begin_axis(struct pad_axis *axis, const uint8_t *entry)
{
    const int32_t low = number(entry, EXTRACTOR_AT_P);
    const int32_t high = number(entry, EXTRACTOR_AT_R);
    const bool falls = low > high;
    begin_field(&axis->field, entry, 1);
    axis->number = entry[EXTRACTOR_AT_ARGUMENT];
    axis->centre = number(entry, EXTRACTOR_AT_Q);
    begin_side(&axis->below, axis->centre, falls ? high : low, !falls);
    begin_side(&axis->above, axis->centre, falls ? low : high, falls);
}

void extraction_begin(struct extraction *extraction, const uint8_t *entry)
{
    extraction->thresholds = extraction->arrays = extraction->array_values = extraction->hats = extraction->axes = 0;
    extraction->holds = 0;
    for (uint8_t k = 0; k < PAD_AXES; k++) extraction->position[k] = 0;
    const uint8_t *at = entry + PAD_HEAD_BYTES;
    extraction->numbered = at[EXTRACTOR_AT_REPORT] != 0;
    for (uint8_t left = entry[PAD_AT_EXTRACTORS]; left > 0; left--, at += EXTRACTOR_BYTES) {
        switch (at[EXTRACTOR_AT_KIND]) {
        case KIND_THRESHOLD: begin_threshold(&extraction->threshold[extraction->thresholds++], at); break;
        case KIND_ARRAY: begin_array(extraction, at); break;
        case KIND_HAT: begin_hat(&extraction->hat[extraction->hats++], at); break;
        default: begin_axis(&extraction->axis[extraction->axes++], at);
        }
    }
}

/* ---- A report ---- */

/* Behind its number, in words whose first bit is the least significant one. */
struct report {
    uint8_t number;
    uint8_t count; /* of bytes; what is behind them is zero, or never looked at */
    uint32_t words[REPORT_WORDS];
};

static void lay_out(struct report *report, const uint8_t *bytes)
{
    uint32_t *word = report->words;
    uint8_t left = report->count;
    for (; left >= 4; left = (uint8_t)(left - 4u), bytes += 4) *word++ = get_u32(bytes);
    *word = 0;
    if (left > 0) {
        for (uint8_t k = 0; k < left; k++) *word |= (uint32_t)bytes[k] << 8 * k;
        word[1] = 0;
    }
}

static inline bool tells(const struct report *report, const struct field *field)
{
    return field->report == report->number && field->ends_at <= report->count;
}

static inline int32_t value_in(const uint32_t *words, const struct field *field)
{
    /* In two steps, because a shift by 32 is none. */
    const uint32_t value = (words[0] >> field->down | words[1] << 1 << field->up) & field->mask;
    return (int32_t)((value ^ field->sign) - field->sign);
}

static inline int32_t value_of(const struct report *report, const struct field *field)
{
    return value_in(report->words + field->word, field);
}

static uint32_t take_thresholds(struct extraction *extraction, const struct report *report)
{
    uint32_t holds = 0;
    const struct threshold *end = extraction->threshold + extraction->thresholds;
    for (struct threshold *threshold = extraction->threshold; threshold < end; threshold++) {
        if (tells(report, &threshold->field)) {
            const int32_t value = value_of(report, &threshold->field) ^ threshold->flip;
            if (value >= threshold->press) threshold->holds = threshold->control;
            else if (value <= threshold->let_go) threshold->holds = 0;
        }
        holds |= threshold->holds;
    }
    return holds;
}

static uint32_t controls_for(const struct array_value *values, uint8_t count, int32_t value)
{
    const struct array_value *low = values;
    for (uint32_t left = count; left > 0;) {
        const uint32_t half = left >> 1;
        const struct array_value *middle = low + half;
        if (middle->value < value) {
            low = middle + 1;
            left -= half + 1u;
        } else left = half;
    }
    return low < values + count && low->value == value ? low->controls : 0;
}

static uint32_t array_holds(const struct extraction *extraction, const struct array *array, const struct report *report)
{
    uint32_t holds = 0;
    struct field field = array->field;
    uint32_t bit = array->bit;
    for (uint32_t left = array->fields; left > 0; left--, bit += array->bits) {
        field.down = bit & 31;
        field.up = (uint8_t)(31u - field.down);
        const int32_t value = value_in(report->words + (bit >> 5), &field);
        holds |= controls_for(extraction->array_value + array->first, array->count, value);
    }
    return holds;
}

static uint32_t take_arrays(struct extraction *extraction, const struct report *report)
{
    uint32_t holds = 0;
    for (uint8_t k = 0; k < extraction->arrays; k++) {
        struct array *array = &extraction->array[k];
        if (tells(report, &array->field)) array->holds = array_holds(extraction, array, report);
        holds |= array->holds;
    }
    return holds;
}

static uint32_t hat_holds(const struct hat *hat, const struct report *report)
{
    /* Eight positions clockwise from up; up, down, left, right are bits 0 to 3, as in every cross of controls. */
    static const uint8_t positions[8] = {1, 9, 8, 10, 2, 6, 4, 5};
    const int32_t value = value_of(report, &hat->field);
    if (value < hat->first) return 0;
    uint32_t past = (uint32_t)value - (uint32_t)hat->first;
    uint8_t position = 0;
    for (; past >= hat->step; past -= hat->step)
        if (++position == hat->positions) return 0;
    return (uint32_t)positions[hat->positions == 4 ? position * 2 : position] << hat->cross;
}

static uint32_t take_hats(struct extraction *extraction, const struct report *report)
{
    uint32_t holds = 0;
    const struct hat *end = extraction->hat + extraction->hats;
    for (struct hat *hat = extraction->hat; hat < end; hat++) {
        if (tells(report, &hat->field)) hat->holds = hat_holds(hat, report);
        holds |= hat->holds;
    }
    return holds;
}

static int16_t position_of(const struct pad_axis *axis, int32_t value)
{
    const bool is_below = value < axis->centre;
    const struct side *side = is_below ? &axis->below : &axis->above;
    const bool beyond = is_below ? value < side->end : value > side->end;
    const uint32_t from_centre = distance(beyond ? side->end : value, axis->centre) >> side->shift;
    uint32_t amount = from_centre * side->factor >> 16;
    if (amount > AXIS_FULL) amount = AXIS_FULL;
    return (int16_t)(side->negative ? -(int32_t)amount : (int32_t)amount);
}

static void take_axes(struct extraction *extraction, const struct report *report)
{
    for (uint8_t k = 0; k < extraction->axes; k++) {
        const struct pad_axis *axis = &extraction->axis[k];
        if (tells(report, &axis->field))
            extraction->position[axis->number] = position_of(axis, value_of(report, &axis->field));
    }
}

void extraction_report(struct extraction *extraction, const uint8_t *bytes, uint16_t count)
{
    struct report report;
    report.number = 0;
    if (extraction->numbered) {
        if (count == 0) return;
        report.number = *bytes++;
        count--;
    }
    report.count = (uint8_t)(count < REPORT_MAX_BYTES ? count : REPORT_MAX_BYTES);
    lay_out(&report, bytes);
    extraction->holds =
        take_thresholds(extraction, &report) | take_arrays(extraction, &report) | take_hats(extraction, &report);
    take_axes(extraction, &report);
}
