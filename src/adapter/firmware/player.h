#ifndef NINEPIN_PLAYER_H
#define NINEPIN_PLAYER_H

#include <stdbool.h>
#include <stdint.h>

#include "pad-identity.h"
#include "port-state.h"

/*
 * The image at work: what is held, what the port is given of it, and the bank that it comes from. Banks count from 0 here;
 * STORE_NO_BANK is the factory image.
 */

/* Power has come on: runs what the store has as the active bank. */
void player_start(uint32_t now_ms);

/* The same with what is in the trial slot, in the place of that bank; false, and nothing done, where it cannot be run. */
bool player_start_trial(uint32_t now_ms);

/* Whether the trial slot answers: until a bank is loaded. */
bool player_trial(void);

/* Runs a bank from now on, whatever the console is doing; the factory image when the bank holds none that runs. */
void player_load(uint8_t bank, uint32_t now_ms);

/* The bank that answers, or in whose place the trial slot does. */
uint8_t player_bank(void);
uint32_t player_bank_since_ms(void);

/* Whether the bank holds something that this firmware cannot run. */
bool player_fault(void);

/* The host of the link holds exactly these controls, in addition to what a pad holds. */
void player_report(uint32_t held, uint32_t now_ms);
void player_let_go(uint32_t now_ms);

/*
 * A pad came and is ready to report. It is read by the first entry of the active image that is meant for it; with none, a
 * vendor-class pad is read by the firmware's own table. When another bank is loaded the entry is looked up again. Now is the
 * adapter's clock in milliseconds. Whatever is said of pads is said from one place: the main loop, or one interrupt.
 */
void player_pad_plugged(const struct pad_identity *pad, uint32_t now_ms);

/* Whether the pad that is plugged in can be read. */
bool player_pad_known(void);

/* What the pad sent: at most 64 bytes, beginning with the number of the report where its reports have numbers. */
void player_pad_report(const uint8_t *bytes, uint16_t count, uint32_t now_ms);

/* The pad has gone, and holds nothing. */
void player_pad_gone(uint32_t now_ms);

/* Whether anything reports what is held: the host, or a pad that is known. */
bool player_has_pad(void);

/*
 * Time passes: rules that take time are judged, and a bank that was asked for by them is changed to between reads. Returns
 * the bank to remember, STORE_NO_BANK for none. Not while the store is at work.
 */
uint8_t player_change_bank(uint32_t now_ms);
void player_tick(uint32_t now_ms);

/* An idle reset may have come: the interrupt of the reply engine. Returns the rises of the read that it ended, 0 for none. */
uint16_t player_idle_reset(void);

struct port_state player_state(void);

/* Most rises in one read of late, and whether the console reads at all. */
struct console_activity {
    bool reading;
    bool six_buttons;
};
struct console_activity player_console(uint32_t now_ms);

#endif
