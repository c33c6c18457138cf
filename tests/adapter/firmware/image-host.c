/* Images and hands of the firmware on the machine of the tests. The first byte of a question says what it asks. */

#include "cobs.h"
#include "crc32.h"
#include "hands.h"
#include "image.h"
#include "messages.h"

enum { ASK_CRC32 = 'c', ASK_STUFF = 's', ASK_UNSTUFF = 'u', ASK_CHECK = 'k', ASK_HANDS = 'h' };

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
        const uint16_t count = message_u16(question);
        uint8_t *image = own_copy(message_take(question, count), count);
        message_put_u8(reply, image_check(image, count));
        free(image);
    }
}

enum { RISES_SHOWN = 8 };

static void put_state(struct parcel *reply, const struct hands *hands, const struct chart *chart)
{
    const uint16_t inputs = hands_inputs(hands);
    message_put_u16(reply, inputs);
    message_put_u8(reply, hands_first_cycle_only(hands));
    for (uint8_t rises = 0; rises < RISES_SHOWN; rises++) {
        const uint8_t last = (uint8_t)(chart->rows - 1);
        const uint8_t held_row = rises < last ? rises : last;
        const uint8_t row = chart->stays ? held_row : (uint8_t)(rises % chart->rows);
        message_put_u8(reply, chart_pins(chart->row[row].high, inputs));
        message_put_u8(reply, chart_pins(chart->row[row].low, inputs));
    }
}

/*
 * An image and the bank it is in, then steps. After each step: the inputs, whether the first cycle stays, and the pins after
 * 0 to 7 rises at high and at low.
 */
static void answer_hands(struct parcel *question, struct parcel *reply)
{
    const uint8_t bank = message_u8(question);
    const uint16_t count = message_u16(question);
    uint8_t *image = own_copy(message_take(question, count), count);
    uint8_t *other = NULL;
    struct hands hands;
    struct chart chart;
    hands_power_on(&hands, image, bank);
    image_chart(image, &chart);
    message_put_u32(reply, chart.idle_reset_ns);
    message_put_u8(reply, chart.delay_steps);
    message_put_u8(reply, chart.stays);
    message_put_u8(reply, chart.rows);
    while (message_left(question)) {
        const uint8_t step = message_u8(question);
        const uint32_t now_ms = message_u32(question);
        switch (step) {
        case 'r': hands_report(&hands, message_u32(question), now_ms); break;
        case 'g': hands_let_go(&hands, now_ms); break;
        case 't': hands_tick(&hands, now_ms); break;
        case 'e': hands_read_ended(&hands); break;
        case 'w': {
            const struct bank_wish wish = hands_take_wish(&hands, message_u8(question));
            message_put_u8(reply, wish.bank);
            message_put_u8(reply, wish.remembered);
            break;
        }
        case 'l': {
            const uint8_t other_bank = message_u8(question);
            const uint16_t other_count = message_u16(question);
            free(other);
            other = own_copy(message_take(question, other_count), other_count);
            hands_load(&hands, other, other_bank, now_ms);
            image_chart(other, &chart);
            break;
        }
        default: message_fail("no such step");
        }
        struct chart shown = chart;
        if (hands_first_cycle_only(&hands)) chart_keep_first_cycle(&shown);
        put_state(reply, &hands, &shown);
    }
    free(image);
    free(other);
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
    case ASK_HANDS: answer_hands(question, reply); break;
    default: message_fail("no such question");
    }
}

int main(void)
{
    return message_serve(answer);
}
