#include <stdint.h>

#include "chip.h"
#include "handlers.h"

/* The table that counts once start-up is done (2.3.2). Whatever has no handler is a fault. */

extern uint32_t stack_top;

#define IRQ(number) (16u + (number))

typedef void (*handler)(void);

extern const handler vectors[];

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Woverride-init"
__attribute__((section(".vectors"), used)) const handler vectors[IRQ(26)] = {
    [0 ... IRQ(26) - 1u] = on_fault,
    [0] = (handler)&stack_top,
    [1] = run,
    [IRQ(TIMER_IRQ_0)] = on_tick,
    [IRQ(TIMER_IRQ_1)] = on_nudge,
    [IRQ(USBCTRL_IRQ)] = on_usb,
    [IRQ(PIO1_IRQ_0)] = on_idle_reset,
};
#pragma GCC diagnostic pop
