#ifndef NINEPIN_LINK_H
#define NINEPIN_LINK_H

#include <stdbool.h>
#include <stdint.h>

#include "link-numbers.h"
#include "port-state.h"

/* The device's side of the link, specified in LINK.md: bytes in, bytes out. It stands on adapter.h. */

/* Most bytes of one message on the line, zeros at both ends included. */
#define LINK_MAX_WIRE_BYTES (LINK_MAX_ENCODED_BYTES + 2u)
#define LINK_CHUNK_BYTES 128u

struct link_identity {
    uint8_t firmware[3]; /* major, minor, patch */
    uint8_t delay_step_ns;
    uint8_t delay_stretch;
    uint32_t reply_min_ns;
    uint32_t reply_max_ns;
    int32_t idle_reset_min_ns; /* against the time that the profile asks for; negative is early */
    int32_t idle_reset_max_ns;
    const char *board;  /* UTF-8, at most 24 bytes */
    const char *serial; /* UTF-8, at most 24 bytes */
};

/* The identity stays where it is. */
void link_init(const struct link_identity *identity);

/* Whether a byte can be taken now. Not while a reply is on its way or a request waits for the memory. */
bool link_ready(void);

/* Takes one byte; only when ready. */
void link_receive(uint8_t byte);

/* Goes on with what waits for the memory, and reports what has changed while the monitor is on. Call it often. */
void link_poll(uint32_t now_ms, const struct port_state *state);

/* The next byte for the host; false when there is none. */
bool link_next(uint8_t *byte);

/* Whether the host wants events: select has to be sampled for it. */
bool link_monitoring(void);

/* The host has gone: whatever it began or held is over. A commit that was begun goes on. */
void link_closed(void);

#endif
