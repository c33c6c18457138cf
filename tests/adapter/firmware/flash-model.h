#ifndef NINEPIN_TEST_FLASH_MODEL_H
#define NINEPIN_TEST_FLASH_MODEL_H

#include <inttypes.h>
#include <setjmp.h>
#include <stdbool.h>
#include <string.h>

#include "flash-map.h"
#include "flash.h"
#include "messages.h"

/*
 * A model of serial NOR flash: what is programmed can only clear bits, an erase sets a sector, either takes a while in which nothing
 * may be asked but whether it is over, and power may go before, amid or after any of them. For host programs of the tests;
 * each of them is one file.
 */

static uint8_t cells[FLASH_BYTES];
static uint32_t stuck_at[16];
static uint32_t stuck;
static uint32_t stuck_high; /* a byte whose lowest bit stays 1; 0: there is none */
static uint32_t busy_polls;
static uint32_t erases;
static uint32_t programs;
static uint32_t chance;

static jmp_buf power_goes;
static bool cut_armed;
static uint32_t cut_after;
static int cut_mode;
static uint32_t cut_seed;

/* Any generator will do: xorshift, period 2^32 - 1. */
static uint32_t draw(void)
{
    chance ^= chance << 13;
    chance ^= chance >> 17;
    chance ^= chance << 5;
    return chance;
}

static void hold_stuck(void)
{
    for (uint32_t k = 0; k < stuck; k++) cells[stuck_at[k]] &= 0xFE;
    if (stuck_high > 0) cells[stuck_high] |= 1;
}

static bool cut_now(void)
{
    if (!cut_armed) return false;
    if (cut_after > 0) {
        cut_after--;
        return false;
    }
    cut_armed = false;
    return true;
}

static void operate(uint32_t offset, const uint8_t *bytes, uint32_t count)
{
    if (busy_polls > 0) message_fail("a command while the flash is busy");
    const bool cut = cut_now();
    if (cut) chance = cut_seed * 2654435761u + 1u;
    if (cut && cut_mode == 0) longjmp(power_goes, 1);
    for (uint32_t k = 0; k < count; k++) {
        /* Amid an operation some bits have got where they should, and others not. */
        const uint8_t reached = cut && cut_mode == 1 ? (uint8_t)draw() : 0xFF;
        if (bytes == NULL) cells[offset + k] |= reached;
        else cells[offset + k] &= (uint8_t)~(~bytes[k] & reached);
    }
    hold_stuck();
    if (cut) longjmp(power_goes, 1);
    busy_polls = 3;
}

void flash_init(void)
{
}

void flash_read(uint32_t offset, uint8_t *into, uint32_t count)
{
    if (busy_polls > 0) message_fail("a read while the flash is busy");
    if (offset + count > FLASH_BYTES) message_fail("a read beyond the end");
    memcpy(into, cells + offset, count);
}

void flash_begin_erase(uint32_t offset)
{
    if (offset % FLASH_SECTOR_BYTES != 0) message_fail("an erase that is not of a sector");
    if (offset < FLASH_BANKS_AT) message_fail("an erase of the firmware");
    erases++;
    operate(offset, NULL, FLASH_SECTOR_BYTES);
}

void flash_begin_program(uint32_t offset, const uint8_t *bytes, uint32_t count)
{
    if (offset % FLASH_PAGE_BYTES + count > FLASH_PAGE_BYTES) message_fail("a program across pages");
    if (offset < FLASH_BANKS_AT) message_fail("a program of the firmware");
    programs++;
    operate(offset, bytes, count);
}

bool flash_busy(void)
{
    if (busy_polls == 0) return false;
    busy_polls--;
    return true;
}

static void flash_blank(void)
{
    memset(cells, 0xFF, sizeof cells);
    stuck = stuck_high = 0;
    erases = programs = 0;
}

static void flash_power_on(void)
{
    busy_polls = 0;
    cut_armed = false;
}

static void flash_cut(uint32_t after, int mode, uint32_t seed)
{
    cut_armed = true;
    cut_after = after;
    cut_mode = mode;
    cut_seed = seed;
}

#endif
