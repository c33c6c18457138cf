#ifndef NINEPIN_TEST_MESSAGES_H
#define NINEPIN_TEST_MESSAGES_H

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The pipe between a test and its host program: host-program.ts has the other end. */

struct parcel {
    uint8_t *bytes;
    uint32_t count;
    uint32_t room;
    uint32_t at; /* where the next is read */
};

static inline void message_fail(const char *why)
{
    fprintf(stderr, "host program: %s\n", why);
    exit(2);
}

static inline void message_make_room(struct parcel *message, uint32_t count)
{
    if (count <= message->room) return;
    message->room = count * 2 + 64;
    message->bytes = realloc(message->bytes, message->room);
    if (message->bytes == NULL) message_fail("no memory");
}

static inline const uint8_t *message_take(struct parcel *message, uint32_t count)
{
    if (message->at + count > message->count) message_fail("a message is too short");
    const uint8_t *at = message->bytes + message->at;
    message->at += count;
    return at;
}

static inline uint8_t message_u8(struct parcel *message)
{
    return *message_take(message, 1);
}

static inline uint16_t message_u16(struct parcel *message)
{
    const uint8_t *at = message_take(message, 2);
    return (uint16_t)(at[0] | at[1] << 8);
}

static inline uint32_t message_u32(struct parcel *message)
{
    const uint32_t low = message_u16(message);
    return low | (uint32_t)message_u16(message) << 16;
}

/* Counted bytes in exactly as much memory as they take, so that a read behind their end is caught. Free it. */
static inline uint8_t *message_take_copy(struct parcel *message, uint16_t *count)
{
    *count = message_u16(message);
    uint8_t *copy = malloc(*count > 0 ? *count : 1);
    if (copy == NULL) message_fail("no memory");
    if (*count > 0) memcpy(copy, message_take(message, *count), *count);
    return copy;
}

static inline int message_left(const struct parcel *message)
{
    return message->at < message->count;
}

static inline void message_put(struct parcel *message, const uint8_t *bytes, uint32_t count)
{
    message_make_room(message, message->count + count);
    if (count > 0) memcpy(message->bytes + message->count, bytes, count);
    message->count += count;
}

static inline void message_put_u8(struct parcel *message, uint8_t value)
{
    message_put(message, &value, 1);
}

static inline void message_put_u16(struct parcel *message, uint16_t value)
{
    message_put_u8(message, (uint8_t)value);
    message_put_u8(message, (uint8_t)(value >> 8));
}

static inline void message_put_u32(struct parcel *message, uint32_t value)
{
    message_put_u16(message, (uint16_t)value);
    message_put_u16(message, (uint16_t)(value >> 16));
}

/* Reads a question; 0 at the end of the input. */
static inline int message_read(struct parcel *message)
{
    uint8_t head[4];
    message->at = 0;
    message->count = 0;
    const size_t come = fread(head, 1, sizeof head, stdin);
    if (come == 0) return 0;
    const uint32_t count = head[0] | (uint32_t)head[1] << 8 | (uint32_t)head[2] << 16 | (uint32_t)head[3] << 24;
    message_make_room(message, count);
    if (come != sizeof head || fread(message->bytes, 1, count, stdin) != count) message_fail("a question is cut off");
    message->count = count;
    return 1;
}

static inline void message_send(const struct parcel *message)
{
    const uint32_t count = message->count;
    const uint8_t head[4] = {(uint8_t)count, (uint8_t)(count >> 8), (uint8_t)(count >> 16), (uint8_t)(count >> 24)};
    fwrite(head, 1, sizeof head, stdout);
    fwrite(message->bytes, 1, count, stdout);
    fflush(stdout);
}

/* Answers questions until there are no more. */
static inline int message_serve(void (*answer)(struct parcel *question, struct parcel *reply))
{
    struct parcel question = {0};
    struct parcel reply = {0};
    while (message_read(&question)) {
        reply.count = 0;
        answer(&question, &reply);
        message_send(&reply);
    }
    free(question.bytes);
    free(reply.bytes);
    return 0;
}

#endif
