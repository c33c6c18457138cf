// Registers by their addresses in the RP2040 datasheet, for test programs.
#pragma once
#include <stdint.h>
#include <stddef.h>

#define REG(address) (*(volatile uint32_t *)(address))
#define SET(address) REG((address) + 0x2000u)
#define CLR(address) REG((address) + 0x3000u)

enum { RESET_DMA = 2, RESET_IO_BANK0 = 5, RESET_PADS_BANK0 = 8, RESET_PIO0 = 10, RESET_PIO1 = 11, RESET_PLL_SYS = 12,
       RESET_PLL_USB = 13, RESET_TIMER = 21, RESET_USBCTRL = 24 };

static inline void unreset(uint32_t bits) {
    CLR(0x4000c000) = bits;
    while ((REG(0x4000c008) & bits) != bits) {}
}

static void pll(uint32_t base, uint32_t feedback, uint32_t first, uint32_t second) {
    REG(base + 0x00) = 1;
    REG(base + 0x08) = feedback;
    CLR(base + 0x04) = 0x21;
    while (!(REG(base) >> 31)) {}
    REG(base + 0x0c) = first << 16 | second << 12;
    CLR(base + 0x04) = 0x08;
}

static void clocks(void) {
    REG(0x4002400c) = 47;
    REG(0x40024000) = 0xfabaa0;
    while (!(REG(0x40024004) >> 31)) {}
    unreset(1u << RESET_PLL_SYS | 1u << RESET_PLL_USB);
    pll(0x40028000, 125, 6, 2);
    pll(0x4002c000, 100, 5, 5);
    REG(0x40008030) = 2;
    while (REG(0x40008038) != 4) {}
    REG(0x4000803c) = 0;
    REG(0x4000803c) = 1;
    while (REG(0x40008044) != 2) {}
    REG(0x40008054) = 1u << 11;
    REG(0x4005802c) = 1u << 9 | 12;
}

static inline void wfi(void) { __asm volatile("wfi" ::: "memory"); }
static inline void irq_enable(uint32_t n) { REG(0xe000e100) = 1u << n; }
