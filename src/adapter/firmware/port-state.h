#ifndef NINEPIN_PORT_STATE_H
#define NINEPIN_PORT_STATE_H

#include <stdint.h>

/* What is held and what the port carries of it now: what the monitor of the link reports. */
struct port_state {
    uint32_t controls;
    uint16_t inputs;
    uint16_t rises; /* 65535 for more */
    uint8_t select; /* 0 low, 1 high, 2 unknown */
};

#endif
