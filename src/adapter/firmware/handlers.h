#ifndef NINEPIN_HANDLERS_H
#define NINEPIN_HANDLERS_H

/* What the vector table names: where the firmware begins once it is in SRAM, and what interrupts and faults call. */

void run(void);

void on_tick(void);
void on_nudge(void);
void on_usb(void);
void on_idle_reset(void);
void on_fault(void);

#endif
