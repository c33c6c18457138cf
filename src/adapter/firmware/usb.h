#ifndef NINEPIN_USB_H
#define NINEPIN_USB_H

#include <stdbool.h>
#include <stdint.h>

/*
 * The USB device: one serial port (CDC-ACM) and nothing else. The controller is served in its interrupt; the
 * functions here may be called from the main loop at any time.
 */

/*
 * Starts the controller, still hidden from the host. clk_usb runs at 48 MHz. `serial` is ASCII and stays where
 * it is.
 */
void usb_init(const char *serial);

/*
 * Whether VBUS is there (PIN_VBUS_SENSE); call it often. Only then is the device shown to the host by its
 * pull-up: an adapter that has power from the console alone must not feed the data lines of a cable (USB 2.0
 * section 7.2.1).
 */
void usb_vbus(bool present);

/* Handler of USBCTRL_IRQ (interrupt 5). */
void usb_interrupt(void);

/*
 * Whether the port was closed since this was last asked: DTR fell, or the bus was reset, suspended or lost its
 * configuration. Until it is asked, nothing is read and what is written is dropped, so that what one host began
 * does not reach the next; but for one packet that the controller holds already, which the frames of the link
 * bear.
 */
bool usb_take_closed(void);

/* The next byte from the host; false when there is none. */
bool usb_read(uint8_t *byte);

/* How many bytes can be written. */
uint16_t usb_room(void);

/* A byte for the host; only while there is room. It leaves with usb_flush(), or when a packet is full. */
void usb_write(uint8_t byte);
void usb_flush(void);

#endif
