#include "image.h"

#include "bytes.h"
#include "crc32.h"

/* Offsets of IMAGE.md, in bytes. */
enum {
    AT_VERSION = 4,
    AT_FAMILY = 5,
    AT_LENGTH = 6,
    AT_IDLE_RESET_NS = 8,
    AT_DELAY_NS = 12,
    AT_CYCLES = 14,
    AT_AFTER = 15,
    AT_OPPOSITE = 16,
    AT_LAYERS = 17,
    AT_POWER_ON_RULES = 18,
    AT_BANK_CHANGES = 19,
    AT_NAME_BYTES = 20,
    AT_NAME = 21,
    AT_GAP = 53,
    AT_REPEAT = 56,
    AT_MAPPING = 80,
    AT_CHART = 128,

    NAME_ROOM = 32,
    ROW_BYTES = 6,
    PHASE_BYTES = 3,
    RULE_BYTES = 8,
    LAYER_HEAD_BYTES = 8,
    CRC_BYTES = 4,
};

enum {
    VERSION = 1,
    FAMILY_SELECT_LINE = 0,
    MOST_CYCLES_START_AGAIN = 6,
    MOST_CYCLES_STAY = 5,
    MOST_LAYERS = 4,
    MOST_POWER_ON_RULES = 4,
    MOST_BANK_CHANGES = 8,
    MOST_HOLD_MS = 10000,
    BANK_NEXT = 5,
    BANK_PREVIOUS = 6,
};

#define LEAST_IDLE_RESET_NS 10000u
#define MOST_IDLE_RESET_NS 100000000u

static const uint8_t magic[4] = {'N', '9', 'P', 'I'};

static bool stays(const uint8_t *image)
{
    return image[AT_AFTER] == 1;
}

static uint8_t row_count(const uint8_t *image)
{
    return (uint8_t)(image[AT_CYCLES] + (stays(image) ? 1 : 0));
}

static uint16_t chart_end(uint8_t rows)
{
    return (uint16_t)(AT_CHART + rows * ROW_BYTES);
}

static uint16_t layers_at(uint8_t rows)
{
    return (uint16_t)((chart_end(rows) + 3u) & ~3u);
}

/* How many bytes a layer takes that names these inputs. */
static uint16_t layer_bytes(uint16_t named)
{
    uint16_t bytes = LAYER_HEAD_BYTES;
    for (uint16_t left = named; left != 0; left &= (uint16_t)(left - 1u)) bytes = (uint16_t)(bytes + 4u);
    return bytes;
}

static uint16_t named_in_layer(const uint8_t *image, uint16_t at)
{
    return get_u16(image + at + 4);
}

/* ---- Whether it is an image ---- */

static bool all_zero(const uint8_t *image, uint16_t from, uint16_t to)
{
    for (uint16_t at = from; at < to; at++)
        if (image[at] != 0) return false;
    return true;
}

static bool envelope_is_sound(const uint8_t *image, uint16_t count)
{
    if (count > IMAGE_MOST_BYTES || count < layers_at(1) + CRC_BYTES) return false;
    for (uint8_t k = 0; k < sizeof magic; k++)
        if (image[k] != magic[k]) return false;
    if (image[AT_VERSION] != VERSION || image[AT_FAMILY] != FAMILY_SELECT_LINE) return false;
    if (get_u16(image + AT_LENGTH) != count) return false;
    const uint16_t end = (uint16_t)(count - CRC_BYTES);
    return get_u32(image + end) == crc32(image, end);
}

static bool counts_are_sound(const uint8_t *image)
{
    if (image[AT_AFTER] > 1) return false;
    const uint8_t most_cycles = stays(image) ? MOST_CYCLES_STAY : MOST_CYCLES_START_AGAIN;
    return image[AT_CYCLES] >= 1 && image[AT_CYCLES] <= most_cycles && image[AT_OPPOSITE] <= 15 &&
           image[AT_LAYERS] <= MOST_LAYERS && image[AT_POWER_ON_RULES] <= MOST_POWER_ON_RULES &&
           image[AT_BANK_CHANGES] <= MOST_BANK_CHANGES;
}

static bool times_are_sound(const uint8_t *image)
{
    const uint32_t idle_reset_ns = get_u32(image + AT_IDLE_RESET_NS);
    const uint16_t delay_ns = get_u16(image + AT_DELAY_NS);
    return idle_reset_ns >= LEAST_IDLE_RESET_NS && idle_reset_ns <= MOST_IDLE_RESET_NS &&
           delay_ns <= IMAGE_DELAY_MOST_NS && delay_ns % IMAGE_DELAY_STEP_NS == 0;
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

static bool name_is_sound(const uint8_t *image)
{
    const uint8_t *name = image + AT_NAME;
    const uint8_t count = image[AT_NAME_BYTES];
    if (count == 0 || count > NAME_ROOM) return false;
    if (!all_zero(image, (uint16_t)(AT_NAME + count), AT_NAME + NAME_ROOM)) return false;
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

static bool repeats_are_sound(const uint8_t *image)
{
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++) {
        const struct repeat repeat = image_repeat(image, k);
        if ((repeat.pressed_reads == 0) != (repeat.released_reads == 0)) return false;
    }
    return true;
}

static bool cells_are_sound(const uint8_t *image, uint16_t end)
{
    for (uint16_t at = AT_CHART; at < end; at++)
        if ((image[at] & 15) > CELL_HIGH || image[at] >> 4 > CELL_HIGH) return false;
    return true;
}

static bool layer_is_sound(const uint8_t *image, uint16_t at)
{
    return get_u32(image + at) != 0 && named_in_layer(image, at) >> IMAGE_INPUTS == 0 &&
           get_u16(image + at + 6) == 0;
}

static bool power_on_rule_is_sound(const uint8_t *image, uint16_t at)
{
    return get_u32(image + at) != 0 && image[at + 4] <= IMAGE_BANKS &&
           all_zero(image, (uint16_t)(at + 5), (uint16_t)(at + RULE_BYTES));
}

static bool bank_change_is_sound(const uint8_t *image, uint16_t at)
{
    return get_u32(image + at) != 0 && get_u16(image + at + 4) <= MOST_HOLD_MS && image[at + 6] >= 1 &&
           image[at + 6] <= BANK_PREVIOUS && image[at + 7] == 0;
}

/* The parts whose place depends on those before them; none may reach past `end`, and the last must end there. */
static bool lists_are_sound(const uint8_t *image, uint16_t end)
{
    uint16_t at = layers_at(row_count(image));
    for (uint8_t k = 0; k < image[AT_LAYERS]; k++) {
        if (at + LAYER_HEAD_BYTES > end || !layer_is_sound(image, at)) return false;
        at = (uint16_t)(at + layer_bytes(named_in_layer(image, at)));
    }
    for (uint8_t k = 0; k < image[AT_POWER_ON_RULES]; k++) {
        if (at + RULE_BYTES > end || !power_on_rule_is_sound(image, at)) return false;
        at = (uint16_t)(at + RULE_BYTES);
    }
    for (uint8_t k = 0; k < image[AT_BANK_CHANGES]; k++) {
        if (at + RULE_BYTES > end || !bank_change_is_sound(image, at)) return false;
        at = (uint16_t)(at + RULE_BYTES);
    }
    return at == end;
}

bool image_check(const uint8_t *image, uint16_t count)
{
    if (!envelope_is_sound(image, count) || !counts_are_sound(image)) return false;
    const uint16_t end = (uint16_t)(count - CRC_BYTES);
    const uint8_t rows = row_count(image);
    return layers_at(rows) <= end && times_are_sound(image) && name_is_sound(image) &&
           all_zero(image, AT_GAP, AT_REPEAT) && repeats_are_sound(image) &&
           cells_are_sound(image, chart_end(rows)) && all_zero(image, chart_end(rows), layers_at(rows)) &&
           lists_are_sound(image, end);
}

/* ---- What it says ---- */

static void unpack_phase(const uint8_t *packed, uint8_t cells[CHART_PINS])
{
    for (uint8_t k = 0; k < CHART_PINS; k++) cells[k] = packed[k >> 1] >> (4 * (k & 1)) & 15;
}

void image_chart(const uint8_t *image, struct chart *chart)
{
    chart->idle_reset_ns = get_u32(image + AT_IDLE_RESET_NS);
    chart->delay_steps = (uint8_t)(get_u16(image + AT_DELAY_NS) / IMAGE_DELAY_STEP_NS);
    chart->stays = stays(image);
    chart->rows = row_count(image);
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

uint16_t image_asked(const uint8_t *image, uint32_t held)
{
    uint16_t asked = 0;
    for (uint8_t k = 0; k < IMAGE_INPUTS; k++)
        if (get_u32(image + AT_MAPPING + 4 * k) & held) asked |= (uint16_t)(1u << k);
    uint16_t at = layers_at(row_count(image));
    for (uint8_t layer = 0; layer < image[AT_LAYERS]; layer++) {
        const uint16_t named = named_in_layer(image, at);
        if (get_u32(image + at) & held) {
            const uint8_t *controls = image + at + LAYER_HEAD_BYTES;
            for (uint8_t k = 0; k < IMAGE_INPUTS; k++) {
                const uint16_t input = (uint16_t)(1u << k);
                if (!(named & input)) continue;
                if (get_u32(controls) & held) asked |= input;
                else asked &= (uint16_t)~input;
                controls += 4;
            }
        }
        at = (uint16_t)(at + layer_bytes(named));
    }
    return asked;
}

enum opposite image_opposite(const uint8_t *image, enum axis axis)
{
    return (enum opposite)(image[AT_OPPOSITE] >> (axis == AXIS_VERTICAL ? 0 : 2) & 3);
}

struct repeat image_repeat(const uint8_t *image, uint8_t input)
{
    const uint8_t *repeat = image + AT_REPEAT + 2 * input;
    return (struct repeat){repeat[0], repeat[1]};
}

static const uint8_t *power_on_rules(const uint8_t *image)
{
    uint16_t at = layers_at(row_count(image));
    for (uint8_t k = 0; k < image[AT_LAYERS]; k++)
        at = (uint16_t)(at + layer_bytes(named_in_layer(image, at)));
    return image + at;
}

static bool all_held(const uint8_t *controls, uint32_t held)
{
    return (get_u32(controls) & ~held) == 0;
}

uint8_t image_power_on(const uint8_t *image, uint32_t held)
{
    const uint8_t *rule = power_on_rules(image);
    for (uint8_t k = 0; k < image[AT_POWER_ON_RULES]; k++, rule += RULE_BYTES)
        if (all_held(rule, held)) return rule[4];
    return POWER_ON_NOTHING;
}

static uint8_t bank_meant(uint8_t code, uint8_t active)
{
    if (code == BANK_NEXT) return (uint8_t)(active % IMAGE_BANKS + 1);
    if (code == BANK_PREVIOUS) return (uint8_t)((active + IMAGE_BANKS - 2) % IMAGE_BANKS + 1);
    return code;
}

uint8_t image_bank_change(const uint8_t *image, uint32_t held, uint32_t held_ms, uint8_t active)
{
    const uint8_t *change = power_on_rules(image) + image[AT_POWER_ON_RULES] * RULE_BYTES;
    for (uint8_t k = 0; k < image[AT_BANK_CHANGES]; k++, change += RULE_BYTES)
        if (all_held(change, held) && held_ms >= get_u16(change + 4)) return bank_meant(change[6], active);
    return 0;
}
