#ifndef NINEPIN_USB_REGISTERS_H
#define NINEPIN_USB_REGISTERS_H

#include <stdint.h>

#include "usb-register-numbers.h"

/* The USB controller of the RP2040: datasheet sections 4.1.2 to 4.1.4. */

#define USB_DPRAM 0x50100000u
#define USB_REGS 0x50110000u
#define USB_DPRAM_BYTES 4096u

#define USB_REG(offset) (*(volatile uint32_t *)(USB_REGS + (offset)))
#define USB_RAM(offset) (*(volatile uint32_t *)(USB_DPRAM + (offset)))
#define USB_RAM_BYTES(offset) ((volatile uint8_t *)(USB_DPRAM + (offset)))

#define USB_MUXING_TO_PHY (1u << 0)
#define USB_MUXING_SOFTCON (1u << 3)
#define USB_PWR_VBUS_DETECT_OVERRIDE_EN (1u << 2)
#define USB_PWR_VBUS_DETECT (1u << 3)
#define USB_EP_STALL_ARM_EP0_IN (1u << 0)
#define USB_EP_STALL_ARM_EP0_OUT (1u << 1)

#define USB_SIE_STATUS_SPEED(status) ((status) >> 8 & 3u) /* 0 nobody, 1 low, 2 full speed */
#define USB_SIE_STATUS_SPEED_BITS (3u << 8)

#define USB_EP_TYPE_CONTROL (0u << 26)
#define USB_EP_ENABLE (1u << 31)
#define USB_EP_INTERRUPT_EACH_BUFFER (1u << 29)
#define USB_EP_TYPE_BULK (2u << 26)
#define USB_EP_TYPE_INTERRUPT (3u << 26)

#endif
