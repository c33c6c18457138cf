/* Images of the firmware, CRC and COBS on the machine of the tests. The first byte of a question says what it asks. */

#include "cobs.h"
#include "crc32.h"
#include "image.h"
#include "messages.h"

enum { ASK_CRC32 = 'c', ASK_STUFF = 's', ASK_UNSTUFF = 'u', ASK_CHECK = 'k' };

/* Exactly as much memory as there are bytes, so that a read behind the end is caught. */
static uint8_t *own_copy(const uint8_t *bytes, uint32_t count)
{
    uint8_t *copy = malloc(count > 0 ? count : 1);
    if (copy == NULL) message_fail("no memory");
    if (count > 0) memcpy(copy, bytes, count);
    return copy;
}

static void answer_stuff(struct parcel *question, struct parcel *reply)
{
    const uint16_t count = (uint16_t)(question->count - question->at);
    uint8_t *into = malloc(count + 1u);
    if (into == NULL) message_fail("no memory");
    const uint16_t stuffed = cobs_encode(message_take(question, count), count, into);
    message_put(reply, into, stuffed);
    free(into);
}

static void answer_unstuff(struct parcel *question, struct parcel *reply)
{
    const uint16_t count = (uint16_t)(question->count - question->at);
    uint8_t *bytes = own_copy(message_take(question, count), count);
    const int32_t length = cobs_decode(bytes, count);
    message_put_u8(reply, length < 0);
    if (length > 0) message_put(reply, bytes, (uint32_t)length);
    free(bytes);
}

/* Many images, each with its length before it: a 1 or a 0 for each. */
static void answer_check(struct parcel *question, struct parcel *reply)
{
    while (message_left(question)) {
        uint16_t count;
        uint8_t *image = message_take_copy(question, &count);
        message_put_u8(reply, image_check(image, count));
        free(image);
    }
}

static void answer(struct parcel *question, struct parcel *reply)
{
    switch (message_u8(question)) {
    case ASK_CRC32: {
        const uint32_t count = question->count - question->at;
        message_put_u32(reply, crc32(message_take(question, count), count));
        break;
    }
    case ASK_STUFF: answer_stuff(question, reply); break;
    case ASK_UNSTUFF: answer_unstuff(question, reply); break;
    case ASK_CHECK: answer_check(question, reply); break;
    default: message_fail("no such question");
    }
}

int main(void)
{
    return message_serve(answer);
}
