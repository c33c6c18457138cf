#include <stdint.h>

#include "chip.h"

/*
 * Start-up, the only code that runs in flash: clocks first, because reading at the ring oscillator's speed would take a
 * tenth of a second; then everything else into SRAM, and never back. Every line reads high meanwhile: nothing
 * drives the pin that enables the line buffers.
 *
 * Nothing here may call what lies in SRAM: it is not there yet.
 */

#define IN_FLASH __attribute__((section(".start")))
#define IN_FLASH_INLINE static inline __attribute__((always_inline))

extern uint32_t stack_top;
extern uint32_t image_start;
extern uint32_t image_end;
extern const uint32_t image_in_flash;
extern uint32_t bss_start;
extern uint32_t bss_end;
extern void (*const vectors[])(void);

void start(void);

/* Without an answer the line buffers stay off, and the console sees nothing pressed. */
IN_FLASH __attribute__((noreturn)) static void stay(void)
{
    for (;;) {
    }
}

__attribute__((section(".start_vectors"), used)) static const struct {
    uint32_t *stack;
    void (*handlers[15])(void);
} start_vectors = {&stack_top, {start, stay, stay, stay, stay, stay, stay, stay, stay, stay, stay, stay, stay, stay, stay}};

IN_FLASH_INLINE void wait_for(volatile uint32_t *reg, uint32_t bits)
{
    while ((*reg & bits) != bits) {
    }
}

IN_FLASH_INLINE void start_crystal(void)
{
    /* 12 MHz, which is on the board. Some 1 ms to settle: 47 times 256 cycles (2.16.3). */
    XOSC_CTRL = XOSC_CTRL_1_15MHZ;
    XOSC_STARTUP = 47;
    SET(XOSC_CTRL) = XOSC_CTRL_ENABLE;
    wait_for(&XOSC_STATUS, XOSC_STATUS_STABLE);
}

/* 12 MHz times `times`, 750 to 1600 MHz, divided twice (2.18.2). */
IN_FLASH_INLINE void start_pll(struct pll *pll, uint32_t times, uint32_t divider1, uint32_t divider2)
{
    pll->cs = 1;
    pll->fbdiv_int = times;
    CLEAR(pll->pwr) = PLL_PWR_PD | PLL_PWR_VCOPD;
    wait_for(&pll->cs, PLL_CS_LOCK);
    pll->prim = divider1 << 16 | divider2 << 12;
    CLEAR(pll->pwr) = PLL_PWR_POSTDIVPD;
}

IN_FLASH_INLINE void start_clocks(void)
{
    /* Whatever a clock runs on is only switched while nothing else hangs on it. */
    CLEAR(CLOCKS_CLK_SYS_CTRL) = 1u;
    wait_for(&CLOCKS_CLK_SYS_SELECTED, 1u << CLK_SYS_SRC_REF);
    start_crystal();
    CLOCKS_CLK_REF_DIV = CLK_DIV_BY_1;
    CLOCKS_CLK_REF_CTRL = CLK_REF_SRC_XOSC;
    wait_for(&CLOCKS_CLK_REF_SELECTED, 1u << CLK_REF_SRC_XOSC);

    const uint32_t first = RESETS_PLL_SYS | RESETS_PLL_USB | RESETS_IO_BANK0 | RESETS_PADS_BANK0 | RESETS_PIO0 | RESETS_PIO1 |
                           RESETS_DMA | RESETS_TIMER;
    SET(RESETS_RESET) = first | RESETS_USBCTRL; /* whatever ran before */
    CLEAR(RESETS_RESET) = first;
    wait_for(&RESETS_RESET_DONE, first);

    start_pll(&PLL_SYS, 125, 6, 2); /* 1500 MHz, 125 MHz */
    start_pll(&PLL_USB, 100, 5, 5); /* 1200 MHz, 48 MHz */

    CLOCKS_CLK_SYS_DIV = CLK_DIV_BY_1;
    CLOCKS_CLK_SYS_CTRL = CLK_SYS_AUXSRC_PLL_SYS;
    SET(CLOCKS_CLK_SYS_CTRL) = CLK_SYS_SRC_AUX;
    wait_for(&CLOCKS_CLK_SYS_SELECTED, 1u << CLK_SYS_SRC_AUX);
    CLOCKS_CLK_USB_DIV = CLK_DIV_BY_1;
    CLOCKS_CLK_USB_CTRL = CLK_USB_AUXSRC_PLL_USB;
    SET(CLOCKS_CLK_USB_CTRL) = CLK_USB_ENABLE;

    CLEAR(RESETS_RESET) = RESETS_USBCTRL;
    wait_for(&RESETS_RESET_DONE, RESETS_USBCTRL);

    /* A tick of 1 us, for the watchdog and the timer (4.7.2). */
    WATCHDOG_TICK = 12u | WATCHDOG_TICK_ENABLE;
}

IN_FLASH void start(void)
{
    interrupts_off();
    start_clocks();
    const uint32_t *from = &image_in_flash;
    for (uint32_t *to = &image_start; to < &image_end; to++) *to = *from++;
    for (uint32_t *to = &bss_start; to < &bss_end; to++) *to = 0;
    SCB_VTOR = (uint32_t)(uintptr_t)vectors;
    vectors[1]();
    stay();
}
