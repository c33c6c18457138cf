/* From held controls to inputs: the firmware on the machine of the tests. */

#include "input-state.h"
#include "image.h"
#include "messages.h"

enum { RISES_SHOWN = 8 };

static void put_state(struct parcel *reply, const struct input_state *state, const struct chart *chart)
{
    const uint16_t inputs = input_state_inputs(state);
    message_put_u16(reply, inputs);
    message_put_u8(reply, input_state_first_cycle_only(state));
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
    struct input_state state;
    struct chart chart;
    input_state_power_on(&state, image, bank);
    image_chart(image, &chart);
    message_put_u32(reply, chart.idle_reset_ns);
    message_put_u8(reply, chart.delay_steps);
    message_put_u8(reply, chart.stays);
    message_put_u8(reply, chart.rows);
    while (message_left(question)) {
        const uint8_t step = message_u8(question);
        const uint32_t now_ms = message_u32(question);
        switch (step) {
        case 'r': input_state_report(&state, message_u32(question), now_ms); break;
        case 'g': input_state_left(&state, message_u32(question), now_ms); break;
        case 't': input_state_tick(&state, now_ms); break;
        case 'e': input_state_read_ended(&state); break;
        case 'w': {
            const struct bank_wish wish = input_state_take_wish(&state, message_u8(question));
            message_put_u8(reply, wish.bank);
            message_put_u8(reply, wish.remembered);
            break;
        }
        case 'l': {
            const uint8_t other_bank = message_u8(question);
            free(other);
            other = message_take_copy(question, &count);
            input_state_load(&state, other, other_bank, now_ms);
            image_chart(other, &chart);
            break;
        }
        default: message_fail("no such step");
        }
        struct chart shown = chart;
        if (input_state_first_cycle_only(&state)) chart_keep_first_cycle(&shown);
        put_state(reply, &state, &shown);
    }
    free(image);
    free(other);
}

int main(void)
{
    return message_serve(answer);
}
