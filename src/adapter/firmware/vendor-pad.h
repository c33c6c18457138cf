#ifndef NINEPIN_VENDOR_PAD_H
#define NINEPIN_VENDOR_PAD_H

#include <stdint.h>

/*
 * How a vendor-class pad is read that no image has an entry for: an entry as in an image. The build makes vendor-pad.c of
 * VENDOR_LAYOUT in ../../pad/layout/built-in.ts.
 */
extern const uint8_t vendor_pad[];

#endif
