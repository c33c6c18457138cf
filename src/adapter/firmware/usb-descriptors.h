#ifndef NINEPIN_USB_DESCRIPTORS_H
#define NINEPIN_USB_DESCRIPTORS_H

#include <stdint.h>

/* What the device says of itself: USB 2.0 section 9.6, CDC 1.2 section 5.2, PSTN 1.2 section 5.3. */

/*
 * The pid.codes TEST pair: for private experiments only, and shared with everybody else who experiments. An adapter
 * that leaves the workshop needs a product number of its own, registered for it.
 */
#define USB_VENDOR_ID 0x1209u
#define USB_PRODUCT_ID 0x0001u

#define USB_PACKET_BYTES 64u /* of endpoint 0 and of both bulk endpoints */
#define USB_NOTICE_BYTES 16u

#define USB_CONTROL_INTERFACE 0u
#define USB_DATA_INTERFACE 1u
#define USB_INTERFACES 2u

/* Endpoint addresses, bit 7 set towards the host. */
#define USB_NOTICE_IN 0x81u
#define USB_DATA_OUT 0x02u
#define USB_DATA_IN 0x82u

#define USB_CONFIGURATION 1u

enum { USB_DEVICE_DESCRIPTOR_BYTES = 18, USB_CONFIGURATION_BYTES = 67 };
extern const uint8_t usb_device_descriptor[USB_DEVICE_DESCRIPTOR_BYTES];
extern const uint8_t usb_configuration_descriptor[USB_CONFIGURATION_BYTES];

/* Most bytes of a string descriptor: 31 characters. */
#define USB_MAX_STRING_BYTES 64u

/*
 * Puts a string descriptor together: 0 for the languages, 1 to 3 for maker, product and serial number. Returns
 * its length; 0 when there is no such string.
 */
uint8_t usb_string_descriptor(uint8_t index, const char *serial, uint8_t into[USB_MAX_STRING_BYTES]);

#endif
