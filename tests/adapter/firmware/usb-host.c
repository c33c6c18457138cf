/* Endpoint 0 of the firmware on the machine of the tests: setup packets in, what they call for out. */

#include "messages.h"
#include "usb-control.h"

static struct usb_control control;

/* A device that has just been reset, then setup packets; those that take data have it behind them. */
static void answer(struct parcel *question, struct parcel *reply)
{
    control.serial = "E0C9125B0D9B2B1F";
    usb_control_reset(&control);
    while (message_left(question)) {
        const uint8_t *at = message_take(question, 8);
        const struct usb_setup setup = {
            .request_type = at[0],
            .request = at[1],
            .value = (uint16_t)(at[2] | at[3] << 8),
            .index = (uint16_t)(at[4] | at[5] << 8),
            .length = (uint16_t)(at[6] | at[7] << 8),
        };
        const struct usb_answer given = usb_control_setup(&control, &setup);
        message_put_u8(reply, (uint8_t)given.stage);
        message_put_u8(reply, (uint8_t)given.changed);
        message_put_u8(reply, control.address);
        message_put_u8(reply, control.configuration);
        message_put_u8(reply, control.halted);
        message_put_u8(reply, control.terminal_ready);
        message_put_u16(reply, given.stage == USB_GIVES ? given.count : 0);
        if (given.stage == USB_GIVES) message_put(reply, given.data, given.count);
        if (given.stage == USB_TAKES) {
            const uint8_t count = message_u8(question);
            message_put_u8(reply, usb_control_take(&control, message_take(question, count), count));
        }
    }
}

int main(void)
{
    return message_serve(answer);
}
