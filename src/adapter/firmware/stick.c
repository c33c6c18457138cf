#include "stick.h"

#include <stdbool.h>

#define OCTAGON_65536THS 46341u /* of |x| + |y|: the root of a half */

static uint32_t amount_of(int16_t axis)
{
    return (uint32_t)(axis < 0 ? -axis : axis);
}

static bool reaches(const struct stick *stick, uint32_t wide, uint32_t tall, uint32_t limit)
{
    switch (stick->gate) {
    case GATE_SQUARE: return wide >= limit || tall >= limit;
    case GATE_OCTAGON: return wide >= limit || tall >= limit || (wide + tall) * OCTAGON_65536THS >= limit << 16;
    default: return wide * wide + tall * tall >= limit * limit;
    }
}

uint8_t stick_direction(const struct stick *stick, int16_t x, int16_t y, uint8_t before)
{
    const uint32_t wide = amount_of(x);
    const uint32_t tall = amount_of(y);
    if (!reaches(stick, wide, tall, before == 0 ? stick->press : stick->release)) return 0;

    const uint8_t across = x < 0 ? STICK_LEFT : STICK_RIGHT;
    const uint8_t along = y < 0 ? STICK_UP : STICK_DOWN;
    const bool held_one = before != 0 && (before & (before - 1u)) == 0;
    const uint32_t tangent = before == 0 ? stick->begin : held_one ? stick->enter : stick->leave;
    const uint32_t lesser = wide < tall ? wide : tall;
    const uint32_t greater = wide < tall ? tall : wide;
    if (lesser << 15 >= greater * tangent) return across | along;

    /* Without diagonals no tangent says when one direction gives way to another, so the one that is held stays for a while. */
    const bool four_only = stick->begin > 1u << 15;
    if (four_only && before == across && wide << 15 >= tall * stick->leave) return across;
    if (four_only && before == along && tall << 15 >= wide * stick->leave) return along;
    return wide >= tall ? across : along;
}
