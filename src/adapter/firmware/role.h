#ifndef NINEPIN_ROLE_H
#define NINEPIN_ROLE_H

#include <stdbool.h>
#include <stdint.h>

#include "led.h"

/*
 * The one connector has two roles. With VBUS from outside, that of a computer, the adapter is a device and stays one, however silent the
 * computer is: they sleep. Without, it gives VBUS itself, through a switch that limits the current, and is the host of a pad.
 * VBUS is never given while any stands there.
 */

/* Its pins, with the switch off. Whether VBUS is there can be asked from now on. */
void role_set_up_pins(void);

/* Whether there is VBUS. */
bool role_vbus(void);

/* What the power came with, as soon as it can be told: a computer is there from the beginning, or the adapter gives VBUS. */
enum role_power { ROLE_POWER_UNTOLD, ROLE_POWER_COMPUTER, ROLE_POWER_CONSOLE };
enum role_power role_power(void);

/* Power has come on, and the pins are set up. `serial` is what the device calls itself; it stays where it is. */
void role_start(const char *serial);

/* Once a millisecond. */
void role_tick(uint32_t now_ms);

/* In every round of the main loop. */
void role_work(uint32_t now_ms);

/* Whether a computer may be at the other end. */
bool role_is_device(void);

/* Handler of USBCTRL_IRQ. Returns whether it brought something for the main loop. */
bool role_interrupt(void);

/* What is wrong with what is plugged in, for the light. */
enum led_trouble role_trouble(void);

#endif
