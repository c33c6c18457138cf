#include "usb-link.h"

#include <stdbool.h>

#include "usb.h"

static bool pour_out(void)
{
    const uint16_t room = usb_room(); /* it only grows meanwhile */
    uint16_t poured = 0;
    uint8_t byte;
    while (poured < room && link_next(&byte)) {
        usb_write(byte);
        poured++;
    }
    usb_flush();
    return poured > 0;
}

/* At most so many bytes at a time: a host that never stops talking must not keep the main loop from its other duties. */
#define MAX_TURNS 256u

bool usb_link_step(uint32_t now_ms, const struct port_state *state)
{
    if (usb_take_closed()) link_closed();
    /* Byte by byte, because any of them may call for a reply that has to leave before the next is taken. */
    for (uint16_t turn = 0; turn < MAX_TURNS; turn++) {
        link_poll(now_ms, state);
        bool goes_on = pour_out();
        uint8_t byte;
        if (link_ready() && usb_read(&byte)) {
            link_receive(byte);
            goes_on = true;
        }
        if (!goes_on) return false;
    }
    return true;
}
