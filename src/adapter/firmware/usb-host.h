#ifndef NINEPIN_USB_HOST_H
#define NINEPIN_USB_HOST_H

#include <stdbool.h>
#include <stdint.h>

/*
 * The USB controller as a host of one device: control transfers, and one interrupt endpoint that is asked for reports. Everything
 * goes through EPX, one packet at a time; the endpoints that the controller polls by itself hang on a wrong toggle (chip-errata
 * tracker of its maker, issue 394).
 *
 * The controller is served in its interrupt. What follows is called from the main loop.
 */

/*
 * Starts the controller as a host, whatever it was before. clk_usb runs at 48 MHz. `gone` is called when a device has gone: in the
 * interrupt, or in usb_host_stop().
 */
void usb_host_start(void (*gone)(void));

/* Stops it; the other role begins with a reset of the controller. */
void usb_host_stop(void);

/* Handler of USBCTRL_IRQ (interrupt 5) while this is the role. Returns whether the main loop has to look; most frames bring nothing. */
bool usb_host_interrupt(void);

enum usb_line { USB_LINE_EMPTY, USB_LINE_LOW_SPEED, USB_LINE_FULL_SPEED };

/* What hangs on the lines now. */
enum usb_line usb_host_line(void);

/* Whether a device has gone, or something was plugged in, since this was last asked. */
bool usb_host_line_changed(void);

/* Drives the lines low, for as long as it is called with true every millisecond, and lets them go. */
void usb_host_reset_bus(bool drive);

/* Frames keep a device awake; the controller asks for nothing without them. */
void usb_host_run_frames(enum usb_line line);

/* A control transfer (USB 2.0 section 8.5.3), to `address`, whose endpoint 0 takes `packet_bytes` at once. */
struct usb_request {
    uint8_t address;
    uint8_t packet_bytes;
    uint8_t request_type;
    uint8_t request;
    uint16_t value;
    uint16_t index;
    uint16_t length; /* bytes that are asked for; nothing is ever sent but the request */
    uint8_t *into;   /* room for them */
};

enum usb_outcome { USB_UNDER_WAY, USB_DONE_WELL, USB_STALLED, USB_FAILED };

/* Begins a request. None is under way, and nobody listens. */
void usb_host_request(const struct usb_request *request, uint32_t now_ms);

/* How it stands; it fails by itself when it takes too long (USB 2.0 section 9.2.6). */
enum usb_outcome usb_host_outcome(uint32_t now_ms);

/* Bytes that came. */
uint16_t usb_host_got(void);

/* A number and 64 bytes behind it: nothing beyond is ever looked at. */
#define USB_REPORT_MAX_BYTES 65u

/* In the interrupt: a report has come, or its first USB_REPORT_MAX_BYTES. */
typedef void usb_take_report(const uint8_t *bytes, uint16_t count);

/* Polls an endpoint for reports from now on; each begins with DATA0. */
struct usb_pipe {
    uint8_t address;
    uint8_t endpoint;
    uint8_t packet_bytes;  /* 1 to 64 */
    uint8_t interval_ms;   /* 1 to 255 */
    /* In the interrupt: how long a report is that begins with this byte. Longer than a packet, it comes in several (HID 1.11 section 8.4). */
    uint16_t (*report_bytes)(uint8_t first);
    usb_take_report *take_report;
};
void usb_host_listen(const struct usb_pipe *pipe);
void usb_host_stop_listening(void);

/* How listening goes. */
enum usb_listening { USB_LISTENS, USB_PIPE_HALTED, USB_PIPE_BROKEN };
enum usb_listening usb_host_listening(void);


#endif
