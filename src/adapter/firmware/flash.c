#include "flash.h"

#include <stddef.h>

#include "chip.h"
#include "flash-map.h"

/*
 * Commands that every serial NOR flash of this size knows. One bit at a time, 8 bits a frame.
 * Execute-in-place is over for good: nothing may be fetched or read through it from here on.
 */
enum command {
    PAGE_PROGRAM = 0x02,
    READ = 0x03,
    READ_STATUS = 0x05,
    WRITE_ENABLE = 0x06,
    SECTOR_ERASE = 0x20,
    READ_UNIQUE_ID = 0x4B, /* most parts know it */
};
#define STATUS_BUSY 1u

/* 125 MHz / 4: command 03h is good for 33 MHz even on slow parts. */
#define CLOCK_DIVIDER 4u

/* The receive queue has 16 places; more than that under way and bytes would be lost. */
#define MAX_UNDER_WAY 14u

void flash_init(void)
{
    SSI_SSIENR = 0;
    SSI_CTRLR0 = SSI_CTRLR0_DFS_8 | SSI_CTRLR0_TMOD_BOTH;
    SSI_BAUDR = CLOCK_DIVIDER;
    SSI_SER = 1;
    SSI_SSIENR = 1;
    IO_QSPI_GPIO_QSPI_SS_CTRL = (IO_QSPI_GPIO_QSPI_SS_CTRL & ~OUTOVER_MASK) | OUTOVER_HIGH;
}

/*
 * The controller lets go of chip select whenever its queue runs dry, as it may during an interrupt: so the pin is held
 * by its override.
 */
static void select_chip(void)
{
    IO_QSPI_GPIO_QSPI_SS_CTRL = (IO_QSPI_GPIO_QSPI_SS_CTRL & ~OUTOVER_MASK) | OUTOVER_LOW;
    (void)IO_QSPI_GPIO_QSPI_SS_CTRL;
}

static void release_chip(void)
{
    IO_QSPI_GPIO_QSPI_SS_CTRL = (IO_QSPI_GPIO_QSPI_SS_CTRL & ~OUTOVER_MASK) | OUTOVER_HIGH;
    (void)IO_QSPI_GPIO_QSPI_SS_CTRL;
}

/* Sends and takes as many bytes; sends zeros without `out`, drops what comes without `in`. */
static void exchange(const uint8_t *out, uint8_t *in, uint32_t count)
{
    uint32_t sent = 0;
    uint32_t taken = 0;
    while (taken < count) {
        if (sent < count && sent - taken < MAX_UNDER_WAY && (SSI_SR & SSI_SR_TFNF)) {
            SSI_DR0 = out == NULL ? 0 : out[sent];
            sent++;
        }
        if (SSI_SR & SSI_SR_RFNE) {
            const uint8_t byte = (uint8_t)SSI_DR0;
            if (in != NULL) in[taken] = byte;
            taken++;
        }
    }
}

static void send_command(enum command command, uint32_t offset)
{
    const uint8_t bytes[4] = {(uint8_t)command, (uint8_t)(offset >> 16), (uint8_t)(offset >> 8), (uint8_t)offset};
    exchange(bytes, NULL, sizeof bytes);
}

static void enable_write(void)
{
    const uint8_t command = WRITE_ENABLE;
    select_chip();
    exchange(&command, NULL, 1);
    release_chip();
}

void flash_read(uint32_t offset, uint8_t *into, uint32_t count)
{
    select_chip();
    send_command(READ, offset);
    exchange(NULL, into, count);
    release_chip();
}

static bool is_ours(uint32_t offset, uint32_t count)
{
    return offset >= FLASH_BANKS_AT && count <= FLASH_BYTES && offset <= FLASH_BYTES - count;
}

void flash_begin_erase(uint32_t offset)
{
    if (!is_ours(offset, FLASH_SECTOR_BYTES)) return;
    enable_write();
    select_chip();
    send_command(SECTOR_ERASE, offset);
    release_chip();
}

void flash_begin_program(uint32_t offset, const uint8_t *bytes, uint32_t count)
{
    if (!is_ours(offset, count)) return;
    enable_write();
    select_chip();
    send_command(PAGE_PROGRAM, offset);
    exchange(bytes, NULL, count);
    release_chip();
}

bool flash_busy(void)
{
    const uint8_t out[2] = {READ_STATUS, 0};
    uint8_t in[2];
    select_chip();
    exchange(out, in, sizeof out);
    release_chip();
    return (in[1] & STATUS_BUSY) != 0;
}

void flash_unique_id(uint8_t id[FLASH_UNIQUE_ID_BYTES])
{
    const uint8_t out[5] = {READ_UNIQUE_ID, 0, 0, 0, 0};
    select_chip();
    exchange(out, NULL, sizeof out);
    exchange(NULL, id, FLASH_UNIQUE_ID_BYTES);
    release_chip();
}
