#ifndef NINEPIN_CHIP_H
#define NINEPIN_CHIP_H

#include <stdint.h>

/*
 * Registers of the RP2040, named as in its datasheet, and only those that are used here. The number behind each name
 * is the section of the datasheet that has it.
 */

#define REGISTER(address) (*(volatile uint32_t *)(address))

/* 2.1.2: each peripheral register is mirrored three times; a write there clears or sets the bits that are one. */
#define SET(register) (*(volatile uint32_t *)((uintptr_t) & (register) + 0x2000u))
#define CLEAR(register) (*(volatile uint32_t *)((uintptr_t) & (register) + 0x3000u))

/* ---- 2.14 Subsystem resets ---- */

#define RESETS_RESET REGISTER(0x4000C000)
#define RESETS_RESET_DONE REGISTER(0x4000C008)
#define RESETS_DMA (1u << 2)
#define RESETS_IO_BANK0 (1u << 5)
#define RESETS_PADS_BANK0 (1u << 8)
#define RESETS_PIO0 (1u << 10)
#define RESETS_PIO1 (1u << 11)
#define RESETS_PLL_SYS (1u << 12)
#define RESETS_PLL_USB (1u << 13)
#define RESETS_TIMER (1u << 21)
#define RESETS_USBCTRL (1u << 24)

/* ---- 2.13 Power-on state machine ---- */

#define PSM_WDSEL REGISTER(0x40010008)
#define PSM_ALL 0x0001FFFFu
#define PSM_ROSC (1u << 0)
#define PSM_XOSC (1u << 1)

/* ---- 2.15 Clocks ---- */

#define CLOCKS_CLK_REF_CTRL REGISTER(0x40008030)
#define CLOCKS_CLK_REF_DIV REGISTER(0x40008034)
#define CLOCKS_CLK_REF_SELECTED REGISTER(0x40008038)
#define CLOCKS_CLK_SYS_CTRL REGISTER(0x4000803C)
#define CLOCKS_CLK_SYS_DIV REGISTER(0x40008040)
#define CLOCKS_CLK_SYS_SELECTED REGISTER(0x40008044)
#define CLOCKS_CLK_USB_CTRL REGISTER(0x40008054)
#define CLOCKS_CLK_USB_DIV REGISTER(0x40008058)
#define CLK_REF_SRC_XOSC 2u
#define CLK_SYS_SRC_REF 0u
#define CLK_SYS_SRC_AUX 1u
#define CLK_SYS_AUXSRC_PLL_SYS (0u << 5)
#define CLK_USB_AUXSRC_PLL_USB (0u << 5)
#define CLK_USB_ENABLE (1u << 11)
#define CLK_DIV_BY_1 (1u << 8)

/* ---- 2.16 Crystal oscillator ---- */

#define XOSC_CTRL REGISTER(0x40024000)
#define XOSC_STATUS REGISTER(0x40024004)
#define XOSC_STARTUP REGISTER(0x4002400C)
#define XOSC_CTRL_1_15MHZ 0xAA0u
#define XOSC_CTRL_ENABLE (0xFABu << 12)
#define XOSC_STATUS_STABLE (1u << 31)

/* ---- 2.18 PLL ---- */

struct pll {
    volatile uint32_t cs;
    volatile uint32_t pwr;
    volatile uint32_t fbdiv_int;
    volatile uint32_t prim;
};
#define PLL_SYS (*(struct pll *)0x40028000)
#define PLL_USB (*(struct pll *)0x4002C000)
#define PLL_CS_LOCK (1u << 31)
#define PLL_PWR_PD (1u << 0)
#define PLL_PWR_POSTDIVPD (1u << 3)
#define PLL_PWR_VCOPD (1u << 5)

/* ---- 2.19 GPIO ---- */

#define IO_BANK0_GPIO_CTRL(pin) REGISTER(0x40014004u + 8u * (pin))
#define FUNCTION_SIO 5u
#define FUNCTION_PIO0 6u

#define PADS_BANK0_GPIO(pin) REGISTER(0x4001C004u + 4u * (pin))
#define PAD_SLEW_FAST (1u << 0)
#define PAD_SCHMITT (1u << 1)
#define PAD_PULL_DOWN (1u << 2)
#define PAD_PULL_UP (1u << 3)
#define PAD_DRIVE_4MA (1u << 4)
#define PAD_INPUT_ENABLE (1u << 6)

#define IO_QSPI_GPIO_QSPI_SS_CTRL REGISTER(0x4001800C)
#define OUTOVER_MASK (3u << 8)
#define OUTOVER_LOW (2u << 8)
#define OUTOVER_HIGH (3u << 8)

/* ---- 2.3.1 SIO ---- */

#define SIO_GPIO_IN REGISTER(0xD0000004)
#define SIO_GPIO_OUT_SET REGISTER(0xD0000014)
#define SIO_GPIO_OUT_CLR REGISTER(0xD0000018)
#define SIO_GPIO_OE_SET REGISTER(0xD0000024)

/* ---- 2.5 DMA ---- */

struct dma_channel {
    volatile uint32_t read_addr;
    volatile uint32_t write_addr;
    volatile uint32_t trans_count;
    volatile uint32_t ctrl_trig;
    volatile uint32_t al1_ctrl;
    uint32_t aliases[11];
};
#define DMA_CHANNEL ((struct dma_channel *)0x50000000)
#define DMA_EN (1u << 0)
#define DMA_HIGH_PRIORITY (1u << 1)
#define DMA_SIZE_WORD (2u << 2)
#define DMA_CHAIN_TO(channel) ((uint32_t)(channel) << 11)
#define DMA_TREQ(request) ((uint32_t)(request) << 15)
#define DMA_IRQ_QUIET (1u << 21)
#define DREQ_PIO1_RX(machine) (12u + (machine))

/* ---- 3.7 PIO ---- */

struct pio_machine {
    volatile uint32_t clkdiv;
    volatile uint32_t execctrl;
    volatile uint32_t shiftctrl;
    volatile uint32_t addr;
    volatile uint32_t instr;
    volatile uint32_t pinctrl;
};
struct pio {
    volatile uint32_t ctrl;
    volatile uint32_t fstat;
    volatile uint32_t fdebug;
    volatile uint32_t flevel;
    volatile uint32_t txf[4];
    volatile uint32_t rxf[4];
    volatile uint32_t irq;
    volatile uint32_t irq_force;
    volatile uint32_t input_sync_bypass;
    volatile uint32_t dbg_padout;
    volatile uint32_t dbg_padoe;
    volatile uint32_t dbg_cfginfo;
    volatile uint32_t instr_mem[32];
    struct pio_machine sm[4];
    volatile uint32_t intr;
    volatile uint32_t irq0_inte;
    volatile uint32_t irq0_intf;
    volatile uint32_t irq0_ints;
};
#define PIO0 (*(struct pio *)0x50200000)
#define PIO1 (*(struct pio *)0x50300000)
#define PIO_CTRL_SM_ENABLE(machine) (1u << (machine))
#define PIO_CTRL_SM_RESTART(machine) (1u << (4u + (machine)))
#define PIO_CTRL_CLKDIV_RESTART(machine) (1u << (8u + (machine)))
#define PIO_CLKDIV_1 (1u << 16)
#define PIO_EXECCTRL_SIDE_EN (1u << 30)
#define PIO_EXECCTRL_JMP_PIN(pin) ((uint32_t)(pin) << 24)
#define PIO_EXECCTRL_WRAP(top, bottom) ((uint32_t)(top) << 12 | (uint32_t)(bottom) << 7)
#define PIO_SHIFTCTRL_RESET 0x000C0000u
#define PIO_SHIFTCTRL_FJOIN_RX (1u << 31)
#define PIO_PINCTRL_SIDESET(base, count) ((uint32_t)(count) << 29 | (uint32_t)(base) << 10)
#define PIO_PINCTRL_SET(base, count) ((uint32_t)(count) << 26 | (uint32_t)(base) << 5)
#define PIO_INTR_SM(machine) (1u << (8u + (machine)))

/* ---- 4.6 Timer ---- */

#define TIMER_ALARM0 REGISTER(0x40054010)
#define TIMER_ALARM1 REGISTER(0x40054014)
#define TIMER_TIMERAWL REGISTER(0x40054028)
#define TIMER_INTR REGISTER(0x40054034)
#define TIMER_INTE REGISTER(0x40054038)

/* ---- 4.7 Watchdog ---- */

#define WATCHDOG_CTRL REGISTER(0x40058000)
#define WATCHDOG_LOAD REGISTER(0x40058004)
#define WATCHDOG_REASON REGISTER(0x40058008)
#define WATCHDOG_TICK REGISTER(0x4005802C)
#define WATCHDOG_CTRL_ENABLE (1u << 30)
#define WATCHDOG_CTRL_PAUSE (7u << 24)
#define WATCHDOG_REASON_TIMER (1u << 0)
#define WATCHDOG_TICK_ENABLE (1u << 9)

/* ---- 4.10 SSI ---- */

#define SSI_CTRLR0 REGISTER(0x18000000)
#define SSI_CTRLR1 REGISTER(0x18000004)
#define SSI_SSIENR REGISTER(0x18000008)
#define SSI_SER REGISTER(0x18000010)
#define SSI_BAUDR REGISTER(0x18000014)
#define SSI_SR REGISTER(0x18000028)
#define SSI_DR0 REGISTER(0x18000060)
#define SSI_SR_TFNF (1u << 1)
#define SSI_SR_RFNE (1u << 3)
#define SSI_CTRLR0_DFS_8 (7u << 16)
#define SSI_CTRLR0_TMOD_BOTH (0u << 8)

/* ---- 2.3.2 Interrupts, 2.4.8 core registers ---- */

#define NVIC_ISER REGISTER(0xE000E100)
#define NVIC_ICER REGISTER(0xE000E180)
#define NVIC_ICPR REGISTER(0xE000E280)
#define NVIC_IPR(number) REGISTER(0xE000E400u + ((number) & ~3u))
#define SCB_VTOR REGISTER(0xE000ED08)

#define TIMER_IRQ_0 0u
#define TIMER_IRQ_1 1u
#define USBCTRL_IRQ 5u
#define PIO1_IRQ_0 9u

/*
 * Two shared things, two reaches, one idiom: off, work, on, from the main loop or a lower interrupt, never nested.
 * interrupts_off() is for what the idle reset shares; interrupt_off() for what one interrupt shares, and the idle reset waits for
 * nobody meanwhile.
 */
static inline void interrupts_off(void)
{
    __asm volatile("cpsid i" ::: "memory");
}

static inline void interrupts_on(void)
{
    /* What waits comes now, and not only after a cpsid that follows at once. */
    __asm volatile("cpsie i\n\tisb" ::: "memory");
}

static inline void interrupt_off(uint32_t number)
{
    NVIC_ICER = 1u << number;
    __asm volatile("dsb\n\tisb" ::: "memory");
}

static inline void interrupt_on(uint32_t number)
{
    __asm volatile("" ::: "memory");
    NVIC_ISER = 1u << number;
}

static inline void wait_for_interrupt(void)
{
    __asm volatile("dsb\n\twfi" ::: "memory");
}

#endif
