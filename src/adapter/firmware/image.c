#include "image.h"

#include "crc32.h"
#include "image-parts.h"
#include "pad-identity.h"
#include "stick.h"

/* Whether bytes are an image; image-content.c says what a sound one says. */

enum { STICK_FULL = 32767, TANGENT_NEVER = 32769 };

enum { AXES = 4, CROSSES = 3 };
#define MAX_FIELD_END (8u * IMAGE_MAX_REPORT_BYTES) /* bits */

static const uint8_t magic[] = {IMAGE_MAGIC_0, IMAGE_MAGIC_1, IMAGE_MAGIC_2, IMAGE_MAGIC_3};

static bool all_zero(const uint8_t *from, uint16_t count)
{
    for (uint16_t k = 0; k < count; k++)
        if (from[k] != 0) return false;
    return true;
}

static bool envelope_is_sound(const uint8_t *image, uint16_t count)
{
    if (count > IMAGE_MAX_BYTES || count < layers_at(1) + CRC_BYTES) return false;
    for (uint8_t k = 0; k < sizeof magic; k++)
        if (image[k] != magic[k]) return false;
    if (image[AT_VERSION] < OLDEST_IMAGE_VERSION || image[AT_VERSION] > IMAGE_VERSION) return false;
    if (image[AT_FAMILY] != IMAGE_FAMILY_SELECT_LINE) return false;
    if (get_u16(image + AT_LENGTH) != count) return false;
    const uint16_t end = (uint16_t)(count - CRC_BYTES);
    return get_u32(image + end) == crc32(image, end);
}

static bool counts_are_sound(const uint8_t *image)
{
    if (image[AT_AFTER] > 1) return false;
    const uint8_t most_cycles = image_stays(image) ? IMAGE_MAX_CYCLES_STAY : IMAGE_MAX_CYCLES_START_AGAIN;
    return image[AT_CYCLES] >= 1 && image[AT_CYCLES] <= most_cycles && image[AT_OPPOSITE] <= 15 &&
           image[AT_LAYERS] <= IMAGE_MAX_LAYERS && image[AT_POWER_ON_RULES] <= IMAGE_MAX_POWER_ON_RULES &&
           image[AT_BANK_CHANGES] <= IMAGE_MAX_BANK_CHANGES && image[AT_PADS] <= (image_has_tail(image) ? IMAGE_MAX_PADS : 0) &&
           image[AT_CHORDS] <= (image_has_tail(image) ? IMAGE_MAX_CHORDS : 0) &&
           image[AT_SWEEPS] == (image_has_sweep(image) ? 1 : 0);
}

static bool times_are_sound(const uint8_t *image)
{
    const uint32_t idle_reset_ns = get_u32(image + AT_IDLE_RESET_NS);
    const uint16_t delay_ns = get_u16(image + AT_DELAY_NS);
    return idle_reset_ns >= IMAGE_MIN_IDLE_RESET_NS && idle_reset_ns <= IMAGE_MAX_IDLE_RESET_NS &&
           delay_ns <= IMAGE_MAX_DELAY_NS && delay_ns % IMAGE_DELAY_STEP_NS == 0;
}

/* Bytes of the UTF-8 sequence at `at`, with its code point; 0 when there is none. Source: RFC 3629 section 4. */
static uint8_t utf8_next(const uint8_t *at, uint8_t left, uint32_t *code_point)
{
    static const uint32_t least[5] = {0, 0, 0x80, 0x800, 0x10000};
    const uint8_t lead = at[0];
    uint8_t bytes;
    if (lead < 0x80) bytes = 1;
    else if (lead >= 0xC2 && lead < 0xE0) bytes = 2;
    else if (lead >= 0xE0 && lead < 0xF0) bytes = 3;
    else if (lead >= 0xF0 && lead < 0xF5) bytes = 4;
    else return 0;
    if (bytes > left) return 0;
    uint32_t point = bytes == 1 ? lead : lead & (0x7Fu >> bytes);
    for (uint8_t k = 1; k < bytes; k++) {
        if ((at[k] & 0xC0) != 0x80) return 0;
        point = point << 6 | (at[k] & 0x3Fu);
    }
    if (point < least[bytes] || point > 0x10FFFF || (point >= 0xD800 && point <= 0xDFFF)) return 0;
    *code_point = point;
    return bytes;
}

static bool is_control_character(uint32_t point)
{
    return point <= 0x1F || (point >= 0x7F && point <= 0x9F);
}

static bool is_blank(uint32_t point)
{
    return point == 0x20 || point == 0xA0 || point == 0x1680 || (point >= 0x2000 && point <= 0x200A) ||
           point == 0x2028 || point == 0x2029 || point == 0x202F || point == 0x205F || point == 0x3000 ||
           point == 0xFEFF;
}

/* A name and the room that it has, filled up with zero. */
static bool name_is_sound(const uint8_t *name, uint8_t count)
{
    if (count == 0 || count > NAME_ROOM || !all_zero(name + count, (uint16_t)(NAME_ROOM - count))) return false;
    uint8_t at = 0;
    while (at < count) {
        uint32_t point = 0;
        const uint8_t bytes = utf8_next(name + at, (uint8_t)(count - at), &point);
        if (bytes == 0 || is_control_character(point)) return false;
        const bool at_an_end = at == 0 || at + bytes == count;
        if (at_an_end && is_blank(point)) return false;
        at = (uint8_t)(at + bytes);
    }
    return true;
}

/* Inputs that have a repeat as a bit set; -1 where one of the two numbers lacks the other. */
static int32_t inputs_with_repeat(const uint8_t *image)
{
    int32_t inputs = 0;
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++) {
        const uint8_t *repeat = image + AT_REPEAT + 2 * k;
        if ((repeat[0] == 0) != (repeat[1] == 0)) return -1;
        if (repeat[0] != 0) inputs |= 1 << k;
    }
    return inputs;
}

static bool cells_are_sound(const uint8_t *image, uint16_t end)
{
    for (uint16_t at = AT_CHART; at < end; at++)
        if ((image[at] & 15) > CELL_HIGH || image[at] >> 4 > CELL_HIGH) return false;
    return true;
}

static bool layer_is_sound(const uint8_t *layer, bool may_toggle)
{
    return get_u32(layer) != 0 && layer_named(layer) >> IMAGE_INPUTS == 0 &&
           layer[LAYER_AT_TOGGLED] <= (may_toggle ? 1 : 0) && layer[LAYER_AT_ZERO] == 0;
}

static bool power_on_rule_is_sound(const uint8_t *rule)
{
    return get_u32(rule + POWER_ON_AT_HELD) != 0 && rule[POWER_ON_AT_BANK] <= IMAGE_BANKS &&
           all_zero(rule + POWER_ON_AT_ZERO, RULE_BYTES - POWER_ON_AT_ZERO);
}

static bool bank_change_is_sound(const uint8_t *change)
{
    const uint8_t bank = change[BANK_CHANGE_AT_BANK];
    return get_u32(change + BANK_CHANGE_AT_HELD) != 0 && get_u16(change + BANK_CHANGE_AT_FOR_MS) <= IMAGE_MAX_HOLD_MS &&
           bank >= 1 && bank <= PREVIOUS_BANK_CODE && change[BANK_CHANGE_AT_ZERO] == 0;
}

static bool within(uint8_t value, uint8_t least, uint8_t most)
{
    return value >= least && value <= most;
}

/* The five numbers that follow from what is set are believed as far as the arithmetic of stick.c bears them. */
static bool stick_is_sound(const uint8_t *stick)
{
    const uint8_t inner = stick[STICK_AT_INNER];
    const uint8_t hysteresis = stick[STICK_AT_HYSTERESIS];
    const uint16_t press = get_u16(stick + STICK_AT_PRESS);
    const uint16_t release = get_u16(stick + STICK_AT_RELEASE);
    const uint16_t enter = get_u16(stick + STICK_AT_ENTER);
    const uint16_t begin = get_u16(stick + STICK_AT_BEGIN);
    const uint16_t leave = get_u16(stick + STICK_AT_LEAVE);
    return stick[STICK_AT_GATE] <= GATE_OCTAGON && within(inner, STICK_MIN_INNER, STICK_MAX_INNER) &&
           within(stick[STICK_AT_OUTER], STICK_MIN_OUTER, STICK_MAX_OUTER) && stick[STICK_AT_DIAGONAL] <= STICK_MAX_DIAGONAL &&
           within(hysteresis, 1, STICK_MAX_HYSTERESIS) && hysteresis < inner && stick[STICK_AT_ZERO] == 0 &&
           release != 0 && release <= press && press <= STICK_FULL && leave != 0 && leave <= begin && begin <= enter && enter <= TANGENT_NEVER;
}

static bool chord_is_sound(const uint8_t *chord)
{
    const uint32_t controls = get_u32(chord);
    const uint16_t inputs = get_u16(chord + CHORD_AT_INPUTS);
    const bool two_or_more = (controls & (controls - 1u)) != 0;
    return two_or_more && inputs != 0 && inputs >> IMAGE_INPUTS == 0 &&
           get_u16(chord + CHORD_AT_MS) <= IMAGE_MAX_CHORD_MS;
}

/* What is late fits the reply table, and no step comes later than may be. */
static bool sweep_is_sound(const uint8_t *image, const uint8_t *sweep)
{
    const uint8_t rows = image_rows(image);
    const uint16_t phases = get_u16(sweep + SWEEP_AT_PHASES);
    const uint16_t first = get_u16(sweep + SWEEP_AT_FIRST);
    const uint16_t step = get_u16(sweep + SWEEP_AT_STEP);
    const uint8_t steps = sweep[SWEEP_AT_STEPS];
    uint8_t words = (uint8_t)(rows * IMAGE_ROW_WORDS);
    for (uint16_t left = phases; left != 0; left &= (uint16_t)(left - 1u)) words = (uint8_t)(words + IMAGE_LATE_WORDS);
    if (phases == 0 || phases >> 2u * rows != 0 || words > IMAGE_REPLY_WORDS || get_u16(image + AT_DELAY_NS) != 0) return false;
    if (first < IMAGE_MIN_LATE_CYCLES || step == 0 || steps == 0) return false;
    return first + (uint32_t)step * (steps - 1u) <= IMAGE_MAX_LATE_CYCLES && step <= IMAGE_MAX_LATE_CYCLES &&
           sweep[SWEEP_AT_INPUT] < IMAGE_INPUTS && sweep[SWEEP_AT_ON] != 0 && sweep[SWEEP_AT_OFF] != 0 &&
           get_u16(sweep + SWEEP_AT_ZERO) == 0;
}

static bool field_is_sound(const uint8_t *extractor, uint16_t fields)
{
    const uint8_t bits = extractor[EXTRACTOR_AT_BITS] & (SIGNED_FLAG - 1);
    const uint8_t most = extractor[EXTRACTOR_AT_BITS] & SIGNED_FLAG ? 32 : 31;
    return within(bits, 1, most) && get_u16(extractor + EXTRACTOR_AT_BIT) + (uint32_t)bits * fields <= MAX_FIELD_END;
}

/* The numbers p, q, r. */
static int32_t number_of(const uint8_t *extractor, uint8_t at)
{
    return (int32_t)get_u32(extractor + at);
}

static bool axis_is_sound(const uint8_t *extractor)
{
    const int32_t low = number_of(extractor, EXTRACTOR_AT_P);
    const int32_t centre = number_of(extractor, EXTRACTOR_AT_Q);
    const int32_t high = number_of(extractor, EXTRACTOR_AT_R);
    return (low < centre && centre < high) || (high < centre && centre < low);
}

static bool hat_is_sound(const uint8_t *extractor, uint16_t positions)
{
    const int32_t step = number_of(extractor, EXTRACTOR_AT_Q);
    return (positions == 4 || positions == 8) && step >= 1 && step <= (int32_t)IMAGE_MAX_HAT_STEP;
}

static bool extractor_is_sound(const uint8_t *extractor)
{
    const uint8_t argument = extractor[EXTRACTOR_AT_ARGUMENT];
    const uint16_t count = get_u16(extractor + EXTRACTOR_AT_COUNT);
    const bool no_q = number_of(extractor, EXTRACTOR_AT_Q) == 0;
    const bool no_r = number_of(extractor, EXTRACTOR_AT_R) == 0;
    switch (extractor[EXTRACTOR_AT_KIND]) {
    case KIND_THRESHOLD: return argument < IMAGE_CONTROLS && count == 0 && no_r && field_is_sound(extractor, 1);
    case KIND_ARRAY:
        return argument < IMAGE_CONTROLS && count >= 1 && count <= IMAGE_MAX_ARRAY_FIELDS && no_q && no_r &&
               field_is_sound(extractor, count);
    case KIND_HAT:
        return argument < CROSSES && hat_is_sound(extractor, count) && no_r && field_is_sound(extractor, 1);
    case KIND_AXIS: return argument < AXES && count == 0 && axis_is_sound(extractor) && field_is_sound(extractor, 1);
    default: return false;
    }
}

/* Each of them, and what they may not be together: some reports with a number and some without, an axis twice. */
static bool extractors_are_sound(const uint8_t *first, uint8_t count)
{
    const bool numbered = first[EXTRACTOR_AT_REPORT] != 0;
    uint8_t axes = 0;
    const uint8_t *extractor = first;
    for (uint8_t k = 0; k < count; k++, extractor += EXTRACTOR_BYTES) {
        if (!extractor_is_sound(extractor) || (extractor[EXTRACTOR_AT_REPORT] != 0) != numbered) return false;
        if (extractor[EXTRACTOR_AT_KIND] != KIND_AXIS) continue;
        const uint8_t axis = (uint8_t)(1u << extractor[EXTRACTOR_AT_ARGUMENT]);
        if (axes & axis) return false;
        axes |= axis;
    }
    return true;
}

static bool pad_is_sound(const uint8_t *pad, uint8_t extractors)
{
    const bool for_any = pad[PAD_AT_ONE_DESCRIPTOR] == 0;
    return pad[PAD_AT_VIA] <= PAD_VIA_VENDOR_CLASS && pad[PAD_AT_ONE_DESCRIPTOR] <= 1 &&
           (!for_any || get_u32(pad + PAD_AT_DESCRIPTOR_CRC32) == 0) &&
           name_is_sound(pad + PAD_AT_NAME, pad[PAD_AT_NAME_BYTES]) &&
           extractors_are_sound(pad + PAD_HEAD_BYTES, extractors);
}

/* ---- The parts whose place depends on those before them: each gives where the next begins, 0 where it is not sound ---- */

static uint16_t after_layers(const uint8_t *image, uint16_t at, uint16_t end)
{
    for (uint8_t k = 0; k < image[AT_LAYERS]; k++) {
        if (at + LAYER_HEAD_BYTES > end || !layer_is_sound(image + at, image_has_tail(image))) return 0;
        at = (uint16_t)(at + layer_bytes(layer_named(image + at)));
    }
    return at;
}

static uint16_t after_list(const uint8_t *image, uint16_t at, uint16_t end, uint8_t count, uint8_t bytes,
                           bool (*is_sound)(const uint8_t *))
{
    if (at == 0) return 0;
    for (uint8_t k = 0; k < count; k++, at = (uint16_t)(at + bytes))
        if (at + bytes > end || !is_sound(image + at)) return 0;
    return at;
}

static uint16_t after_repeat_kinds(const uint8_t *image, uint16_t at, uint16_t end)
{
    if (at == 0 || at + REPEAT_KINDS_BYTES > end) return 0;
    const uint16_t by_time = get_u16(image + at);
    if (by_time & ~inputs_with_repeat(image) || get_u16(image + at + 2) != 0) return 0;
    return (uint16_t)(at + REPEAT_KINDS_BYTES);
}

static uint16_t after_sweep(const uint8_t *image, uint16_t at, uint16_t end)
{
    if (at == 0 || !image_has_sweep(image)) return at;
    return at + SWEEP_BYTES <= end && sweep_is_sound(image, image + at) ? (uint16_t)(at + SWEEP_BYTES) : 0;
}

static uint16_t after_pads(const uint8_t *image, uint16_t at, uint16_t end)
{
    if (at == 0) return 0;
    uint16_t in_all = 0;
    for (uint8_t k = 0; k < image[AT_PADS]; k++) {
        if (at + PAD_HEAD_BYTES > end) return 0;
        const uint8_t extractors = image[at + PAD_AT_EXTRACTORS];
        in_all = (uint16_t)(in_all + extractors);
        if (!within(extractors, 1, IMAGE_MAX_EXTRACTORS) || in_all > IMAGE_MAX_EXTRACTORS_IN_ALL) return 0;
        if (at + pad_bytes(extractors) > end || !pad_is_sound(image + at, extractors)) return 0;
        at = (uint16_t)(at + pad_bytes(extractors));
    }
    return at;
}

static bool lists_are_sound(const uint8_t *image, uint16_t end)
{
    uint16_t at = after_layers(image, layers_at(image_rows(image)), end);
    at = after_list(image, at, end, image[AT_POWER_ON_RULES], RULE_BYTES, power_on_rule_is_sound);
    at = after_list(image, at, end, image[AT_BANK_CHANGES], RULE_BYTES, bank_change_is_sound);
    if (image_has_tail(image)) {
        at = after_repeat_kinds(image, at, end);
        at = after_list(image, at, end, STICKS, STICK_BYTES, stick_is_sound);
        at = after_list(image, at, end, image[AT_CHORDS], CHORD_BYTES, chord_is_sound);
        at = after_sweep(image, at, end);
        at = after_pads(image, at, end);
    }
    return at == end;
}

bool image_check(const uint8_t *image, uint16_t count)
{
    if (!envelope_is_sound(image, count) || !counts_are_sound(image)) return false;
    const uint16_t end = (uint16_t)(count - CRC_BYTES);
    const uint8_t rows = image_rows(image);
    return layers_at(rows) <= end && times_are_sound(image) &&
           name_is_sound(image + AT_NAME, image[AT_NAME_BYTES]) && inputs_with_repeat(image) >= 0 &&
           cells_are_sound(image, chart_end(rows)) &&
           all_zero(image + chart_end(rows), (uint16_t)(layers_at(rows) - chart_end(rows))) &&
           lists_are_sound(image, end);
}
