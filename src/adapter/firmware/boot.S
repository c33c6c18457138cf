/*
 * The boot block: the first 256 bytes of the flash. The boot ROM checks its CRC-32, copies it to the top of SRAM and calls
 * it (RP2040 datasheet section 2.8.1.3). It sets the flash interface to plain reads, which every part knows, and goes to
 * the vector table behind it. The CRC in the last four bytes comes from the linker script.
 */
        .syntax unified
        .cpu    cortex-m0plus
        .thumb

        .equ    SSI_BASE, 0x18000000
        .equ    SSI_CTRLR0, 0x00
        .equ    SSI_CTRLR1, 0x04
        .equ    SSI_SSIENR, 0x08
        .equ    SSI_SER, 0x10
        .equ    SSI_BAUDR, 0x14
        .equ    SSI_SPI_CTRLR0, 0xF4
        .equ    SCB_VTOR, 0xE000ED08
        .equ    VECTORS, 0x10000100

        /* One line, 32 bits of data after an instruction and an address ("EEPROM read"). */
        .equ    CTRLR0_XIP, (31 << 16) | (3 << 8)
        /* Instruction 03h of 8 bits, 24 bits of address, no wait. */
        .equ    SPI_CTRLR0_XIP, (0x03 << 24) | (2 << 8) | (6 << 2)
        /* For clk_sys at 125 MHz as for the ring oscillator: 31.25 MHz at most. */
        .equ    DIVIDER, 4

        .section .boot, "ax"
        .global boot_block
        .thumb_func
boot_block:
        ldr     r3, =SSI_BASE
        movs    r1, #0
        str     r1, [r3, #SSI_SSIENR]
        movs    r1, #DIVIDER
        str     r1, [r3, #SSI_BAUDR]
        ldr     r1, =CTRLR0_XIP
        str     r1, [r3, #SSI_CTRLR0]
        ldr     r1, =SPI_CTRLR0_XIP
        ldr     r0, =SSI_BASE + SSI_SPI_CTRLR0
        str     r1, [r0]
        movs    r1, #0
        str     r1, [r3, #SSI_CTRLR1]
        movs    r1, #1
        str     r1, [r3, #SSI_SER]
        str     r1, [r3, #SSI_SSIENR]

        ldr     r0, =VECTORS
        ldr     r1, =SCB_VTOR
        str     r0, [r1]
        ldmia   r0!, {r1, r2}
        msr     msp, r1
        bx      r2
        .pool
