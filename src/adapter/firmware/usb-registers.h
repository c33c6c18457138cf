#ifndef NINEPIN_USB_REGISTERS_H
#define NINEPIN_USB_REGISTERS_H

#include <stdint.h>

/* The USB controller of the RP2040: datasheet sections 4.1.2 to 4.1.4. */

#define USB_DPRAM 0x50100000u
#define USB_REGS 0x50110000u
#define USB_DPRAM_BYTES 4096u

#define USB_REG(offset) (*(volatile uint32_t *)(USB_REGS + (offset)))
#define USB_RAM(offset) (*(volatile uint32_t *)(USB_DPRAM + (offset)))
#define USB_RAM_BYTES(offset) ((volatile uint8_t *)(USB_DPRAM + (offset)))

enum {
    USB_ADDR_ENDP = 0x00,
    USB_MAIN_CTRL = 0x40,
    USB_SIE_CTRL = 0x4C,
    USB_SIE_STATUS = 0x50,
    USB_BUFF_STATUS = 0x58,
    USB_EP_STALL_ARM = 0x68,
    USB_MUXING = 0x74,
    USB_PWR = 0x78,
    USB_INTE = 0x90,
    USB_INTS = 0x98,
};

/* In the dual-port RAM. An endpoint's IN half comes first, 4 bytes before its OUT half. */
enum {
    USB_SETUP_AT = 0x000,
    USB_EP_CONTROL_AT = 0x008, /* of endpoint 1; 8 bytes for each */
    USB_BUFFER_CONTROL_AT = 0x080, /* of endpoint 0; 8 bytes for each */
    USB_EP0_BUFFER_AT = 0x100,
    USB_FREE_AT = 0x180,
};

#define USB_MAIN_CTRL_CONTROLLER_EN (1u << 0)
#define USB_MUXING_TO_PHY (1u << 0)
#define USB_MUXING_SOFTCON (1u << 3)
#define USB_PWR_VBUS_DETECT_OVERRIDE_EN (1u << 2)
#define USB_PWR_VBUS_DETECT (1u << 3)
#define USB_SIE_CTRL_PULLUP_EN (1u << 16)
#define USB_SIE_CTRL_EP0_INT_1BUF (1u << 29)
#define USB_EP_STALL_ARM_EP0_IN (1u << 0)
#define USB_EP_STALL_ARM_EP0_OUT (1u << 1)

#define USB_SIE_STATUS_SUSPENDED (1u << 4)
#define USB_SIE_STATUS_SETUP_REC (1u << 17)
#define USB_SIE_STATUS_BUS_RESET (1u << 19)

#define USB_INT_BUFF_STATUS (1u << 4)
#define USB_INT_BUS_RESET (1u << 12)
#define USB_INT_DEV_SUSPEND (1u << 14)
#define USB_INT_SETUP_REQ (1u << 16)

/* As a host. Endpoint control and buffer control of the one endpoint that software works are elsewhere then. */
enum {
    USB_SOF_RD = 0x48,
    USB_EPX_CONTROL_AT = 0x100,
    USB_EPX_BUFFER_CONTROL_AT = 0x080,
};

#define USB_MAIN_CTRL_HOST (1u << 1)

#define USB_SIE_CTRL_START_TRANS (1u << 0)
#define USB_SIE_CTRL_SEND_SETUP (1u << 1)
#define USB_SIE_CTRL_SEND_DATA (1u << 2)
#define USB_SIE_CTRL_RECEIVE_DATA (1u << 3)
#define USB_SIE_CTRL_STOP_TRANS (1u << 4)
#define USB_SIE_CTRL_SOF_EN (1u << 9)
#define USB_SIE_CTRL_KEEP_ALIVE_EN (1u << 10)
#define USB_SIE_CTRL_RESET_BUS (1u << 13)
#define USB_SIE_CTRL_PULLDOWN_EN (1u << 15)

#define USB_SIE_STATUS_SPEED(status) ((status) >> 8 & 3u) /* 0 nobody, 1 low, 2 full speed */
#define USB_SIE_STATUS_SPEED_BITS (3u << 8)
#define USB_SIE_STATUS_TRANS_COMPLETE (1u << 18)
#define USB_SIE_STATUS_CRC_ERROR (1u << 24)
#define USB_SIE_STATUS_BIT_STUFF_ERROR (1u << 25)
#define USB_SIE_STATUS_RX_OVERFLOW (1u << 26)
#define USB_SIE_STATUS_RX_TIMEOUT (1u << 27)
#define USB_SIE_STATUS_NAK_REC (1u << 28)
#define USB_SIE_STATUS_STALL_REC (1u << 29)
#define USB_SIE_STATUS_ACK_REC (1u << 30)
#define USB_SIE_STATUS_DATA_SEQ_ERROR (1u << 31)

#define USB_INT_HOST_CONN_DIS (1u << 0)
#define USB_INT_HOST_SOF (1u << 2)
#define USB_INT_TRANS_COMPLETE (1u << 3)
#define USB_INT_ERROR_DATA_SEQ (1u << 5)
#define USB_INT_ERROR_RX_TIMEOUT (1u << 6)
#define USB_INT_ERROR_RX_OVERFLOW (1u << 7)
#define USB_INT_ERROR_BIT_STUFF (1u << 8)
#define USB_INT_ERROR_CRC (1u << 9)
#define USB_INT_STALL (1u << 10)

#define USB_EP_TYPE_CONTROL (0u << 26)
#define USB_EP_ENABLE (1u << 31)
#define USB_EP_INTERRUPT_EACH_BUFFER (1u << 29)
#define USB_EP_TYPE_BULK (2u << 26)
#define USB_EP_TYPE_INTERRUPT (3u << 26)

#define USB_BUFFER_LENGTH 0x3FFu
#define USB_BUFFER_AVAILABLE (1u << 10)
#define USB_BUFFER_STALL (1u << 11)
#define USB_BUFFER_DATA1 (1u << 13)
#define USB_BUFFER_LAST (1u << 14)
#define USB_BUFFER_FULL (1u << 15)

#endif
