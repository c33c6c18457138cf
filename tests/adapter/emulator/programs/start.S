// Just enough to bring a test program up: a boot block, and a start that copies the program to SRAM and leaves the flash.
    .syntax unified
    .cpu cortex-m0plus
    .thumb

    .section .boot, "ax"
    .thumb_func
boot:
    ldr r3, =0x18000000
    movs r0, #0
    str r0, [r3, #0x08]       // SSIENR off
    movs r0, #4
    str r0, [r3, #0x14]       // BAUDR
    ldr r0, =0x001f0300       // CTRLR0: 32-bit frames, EEPROM read
    str r0, [r3, #0x00]
    movs r0, #0
    str r0, [r3, #0x04]
    ldr r0, =0x03000218       // SPI_CTRLR0: 03h, 24-bit address
    ldr r1, =0x180000f4
    str r0, [r1]
    movs r0, #1
    str r0, [r3, #0x10]       // SER
    str r0, [r3, #0x08]       // SSIENR on
    ldr r0, =0x10000100
    ldr r1, =0xe000ed08
    str r0, [r1]              // VTOR
    ldmia r0!, {r1, r2}
    mov sp, r1
    bx r2
    .ltorg

    .section .flash_vectors, "a"
    .word 0x20040000
    .word start + 1

    .section .start, "ax"
    .thumb_func
    .global start
start:
    ldr r0, =image_from
    ldr r1, =image_to
    ldr r2, =image_end
1:  cmp r1, r2
    bhs 2f
    ldmia r0!, {r3}
    stmia r1!, {r3}
    b 1b
2:  ldr r2, =bss_end
    movs r3, #0
3:  cmp r1, r2
    bhs 4f
    stmia r1!, {r3}
    b 3b
4:  ldr r0, =vectors
    ldr r1, =0xe000ed08
    str r0, [r1]
    ldr r0, =main
    bx r0
    .ltorg

    .section .vectors, "a"
    .balign 256
    .global vectors
vectors:
    .word 0x20040000
    .word start + 1
    .rept 14
    .word fault
    .endr
    .irp n, 0,1,2,3,4,5,6,7,8,9,10,11,12,13,14,15,16,17,18,19,20,21,22,23,24,25
    .weak irq_\n
    .thumb_set irq_\n, fault
    .word irq_\n
    .endr

    .section .text
    .thumb_func
fault:
    bkpt #1
    b fault
