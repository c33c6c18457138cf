#ifndef NINEPIN_PAD_IDENTITY_H
#define NINEPIN_PAD_IDENTITY_H

#include <stdint.h>

/* By which interface a pad is read; the numbers are those of IMAGE.md. */
enum pad_via { PAD_VIA_HID = 0, PAD_VIA_VENDOR_CLASS = 1 };

/* Which pad it is: what it says of itself when it is plugged in. */
struct pad_identity {
    uint8_t via;              /* enum pad_via */
    uint16_t vendor;          /* idVendor, idProduct and bcdDevice of its device descriptor (USB 2.0 section 9.6.1) */
    uint16_t product;
    uint16_t release;
    uint32_t descriptor_crc32; /* CRC-32 of its report descriptor; 0 where it is not read by HID */
};

#endif
