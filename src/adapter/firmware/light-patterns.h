#ifndef NINEPIN_LIGHT_PATTERNS_H
#define NINEPIN_LIGHT_PATTERNS_H

/* Written by `npm run tables` from src/adapter/lights.table.ts; change it there. */

/* What the adapter's light says. A pattern is 32 slots of 62.5 ms, two seconds, from bit 0 on. */

#define SLOTS 32u
#define PATTERN_MS 2000u

/* In the order in which one hides the next. */
#define FAULT 0x55555555u /* flickers, eight times a second */
#define OVER_CURRENT 0x33333333u /* flickers, four times a second */
#define HUB 0x00000005u /* two short flashes every two seconds */
#define KEYBOARD 0x00000015u /* three short flashes every two seconds */
#define NOT_A_PAD 0x00000055u /* four short flashes every two seconds */
#define PAD_FAILED 0x00000155u /* five short flashes every two seconds */
#define PAD_UNKNOWN 0x000100FFu /* a long flash and a short one every two seconds */
#define NO_PAD 0x00000001u /* one short flash every two seconds */
#define TRIAL 0x0F0F0F0Fu /* on and off, four times in two seconds */
#define PAD_WAITS 0x0000FFFFu /* a second on, a second off */
#define READING 0xFFFFFFFFu /* steady */
#define SIX_BUTTONS 0xFFFFFFF5u /* steady, with two short gaps every two seconds */

/* As many flashes as the bank’s number, in the two seconds after it has become the active one. */
#define BANK_FLASHES1 0x00000007u
#define BANK_FLASHES2 0x000001C7u
#define BANK_FLASHES3 0x000071C7u
#define BANK_FLASHES4 0x001C71C7u

#endif
