#include <stddef.h>
#include <stdint.h>
#include <string.h>

/* The compiler may call these wherever it likes; there is no library to take them from. */

typedef uint32_t __attribute__((may_alias)) word;

static int are_aligned(const void *one, const void *other)
{
    return (((uintptr_t)one | (uintptr_t)other) & (sizeof(word) - 1u)) == 0;
}

void *memcpy(void *restrict to, const void *restrict from, size_t count)
{
    uint8_t *out = to;
    const uint8_t *in = from;
    if (are_aligned(out, in))
        for (; count >= sizeof(word); count -= sizeof(word), out += sizeof(word), in += sizeof(word))
            *(word *)(void *)out = *(const word *)(const void *)in;
    while (count-- > 0) *out++ = *in++;
    return to;
}

void *memmove(void *to, const void *from, size_t count)
{
    uint8_t *out = to;
    const uint8_t *in = from;
    if (out <= in) return memcpy(to, from, count);
    while (count-- > 0) out[count] = in[count];
    return to;
}

void *memset(void *at, int value, size_t count)
{
    uint8_t *out = at;
    while (count-- > 0) *out++ = (uint8_t)value;
    return at;
}

int memcmp(const void *one, const void *other, size_t count)
{
    const uint8_t *a = one;
    const uint8_t *b = other;
    for (; count > 0; count--, a++, b++)
        if (*a != *b) return *a - *b;
    return 0;
}
