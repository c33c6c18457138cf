#ifndef NINEPIN_HID_SCAN_H
#define NINEPIN_HID_SCAN_H

#include <stdbool.h>
#include <stdint.h>

/*
 * What a report descriptor is about, as far as a host has to know it to choose an interface and to gather reports: HID 1.11
 * section 6.2.2. Anything may stand in the bytes; what makes no sense is passed over.
 */

/* Longer input reports are of no use here: nothing beyond the first 64 bytes is read. */
#define HID_MAX_REPORT_BYTES 1024u

enum hid_kind { HID_NOTHING, HID_OTHER, HID_KEYBOARD_OR_MOUSE, HID_PAD };

#define HID_MAX_REPORTS 32u

struct hid_scan {
    enum hid_kind kind;    /* the best of its application collections */
    uint16_t report_bytes; /* the longest input report, with its number where reports have numbers */
    bool numbered;
    uint8_t reports;
    struct hid_report {
        uint8_t number;
        uint16_t bytes; /* its number among them */
    } report[HID_MAX_REPORTS];
};

struct hid_scan hid_scan(const uint8_t *descriptor, uint16_t count);

/* How long an input report is that begins with this byte; as the longest where nothing is said of it. */
uint16_t hid_report_bytes(const struct hid_scan *scan, uint8_t first);

#endif
