/* The hands of the firmware on the machine of the tests. */

#include "hands.h"
#include "image.h"
#include "messages.h"

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
static void answer(struct parcel *question, struct parcel *reply)
{
    const uint8_t bank = message_u8(question);
    uint16_t count;
    uint8_t *image = message_take_copy(question, &count);
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
        case 'g': hands_left(&hands, message_u32(question), now_ms); break;
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
            free(other);
            other = message_take_copy(question, &count);
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

int main(void)
{
    return message_serve(answer);
}
