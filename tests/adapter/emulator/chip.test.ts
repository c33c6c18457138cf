import { expect, it } from 'vitest'
import { bootChecksum } from '../../../src/adapter/emulator/boot.ts'
import { Chip } from '../../../src/adapter/emulator/chip.ts'
import { ChipTrap } from '../../../src/adapter/emulator/trap.ts'
import { describeWith } from '../../tools.ts'
import { COMPILER, compile } from './program.ts'

/** Where test programs leave what they found. */
const NOTES = 0x20030000
const PREAMBLE = '#define NOTE ((volatile uint32_t *)0x20030000)\n'

const chipWith = (source: string): Chip => new Chip({ flash: compile(PREAMBLE + source) })
const note = (chip: Chip, index: number): number => chip.mcu.readUint32(NOTES + 4 * index) >>> 0

/** What a program is stopped for. */
function trapOf(source: string): string {
  const chip = chipWith(source)
  try {
    chip.runFor(50_000_000)
  } catch (error) {
    if (error instanceof ChipTrap) return error.message
    throw error
  }
  throw new Error('nothing stopped it')
}

const main = (body: string): string => `int main(void) { ${body} for (;;) wfi(); }`
const PINS_ON = 'unreset(1u << RESET_IO_BANK0 | 1u << RESET_PADS_BANK0);'

describeWith('the chip with a program', [COMPILER], () => {
  it('boots, sets up its clocks and blinks by the timer, asleep between', () => {
    const chip = chipWith(`
      void irq_0(void) {
        REG(0x40054034) = 1;
        REG(0x40054010) = REG(0x40054028) + 1000;
        REG(0xd000001c) = 1u << 25;
      }
      ${main(`
        clocks(); ${PINS_ON} unreset(1u << RESET_TIMER);
        REG(0x400140cc) = 5;
        REG(0xd0000024) = 1u << 25;
        REG(0x40054038) = 1;
        irq_enable(0);
        REG(0x40054010) = REG(0x40054028) + 1000;`)}`)
    chip.runFor(20_000_000)
    expect(chip.mcu.stage).toBe('ram')
    let changes = 0
    let was = chip.ledIsOn
    for (let ms = 0; ms < 100; ms += 1) {
      chip.runFor(1_000_000)
      if (chip.ledIsOn !== was) changes += 1
      was = chip.ledIsOn
    }
    expect(changes).toBeGreaterThan(95)
    expect(chip.mcu.core.waiting).toBe(true)
  })

  it('waits for a computer when the boot block is not whole, every line high', () => {
    const flash = compile(main(''))
    flash[17] = (flash[17] as number) ^ 1
    const chip = new Chip({ flash })
    chip.runFor(1_000_000)
    expect(chip.state).toBe('usb-boot')
    expect(chip.de9).toBe(0b111111)
    expect(bootChecksum(flash)).not.toBe(new DataView(flash.buffer).getUint32(252, true))
  })

  it('lets nothing read the flash window once code runs in SRAM', () => {
    expect(trapOf(main('clocks(); NOTE[0] = REG(0x10000100);'))).toContain('long after it was left')
    expect(trapOf(main('((void (*)(void))0x10000201)();'))).toContain('long after it was left')
  })

  it('traps what the silicon would fault or hang on', () => {
    expect(trapOf(main('__asm volatile("ldr r0, [%0]" :: "r"(0x20000002) : "r0");'))).toContain('not aligned')
    expect(trapOf(main('REG(0x30000000) = 1;'))).toContain('nothing')
    expect(trapOf(main('REG(0x10001000) = 1;'))).toContain('nothing')
    expect(trapOf(main('REG(0x40014004) = 5;'))).toContain('held in reset')
    expect(trapOf(main('__asm volatile("udf #7");'))).toContain('code 7')
  })

  it('asks for the clocks that the data sheet asks for (§2.15, §2.16, §2.18, §4.1, §4.7)', () => {
    const pio = 'unreset(1u << RESET_PIO0); REG(0x50200000) = 1;'
    expect(trapOf(main(pio))).toContain('PIO: XOSC')
    const usb = 'unreset(1u << RESET_USBCTRL); REG(0x50110040) = 1;'
    expect(trapOf(main(`clocks(); REG(0x40008054) = 0; ${usb}`))).toContain('USB: clk_usb is not enabled')
    const timer = 'unreset(1u << RESET_TIMER); NOTE[0] = REG(0x40054028);'
    expect(trapOf(main(`clocks(); REG(0x4005802c) = 1u << 9 | 10; ${timer}`))).toContain(
      'the tick is 10 cycles',
    )
    expect(trapOf(main(`clocks(); REG(0x4002400c) = 1; ${timer}`))).toContain('under a millisecond')
    const chip = chipWith(main(`clocks(); ${pio} ${usb} ${timer} NOTE[1] = 77;`))
    chip.runFor(50_000_000)
    expect(note(chip, 1)).toBe(77)
  })

  it('shows the lines as the buffers let them: high while they are off, the pins once they are on', () => {
    const chip = chipWith(
      main(`clocks(); ${PINS_ON}
        for (int n = 2; n <= 7; n++) REG(0x40014004 + 8 * n) = 5;
        REG(0xd0000014) = 0x54; REG(0xd0000024) = 0xfc; NOTE[0] = 1;
        for (volatile int n = 0; n < 1000; n++) {}
        REG(0xd0000014) = 1u << 9; REG(0xd0000024) = 1u << 9; REG(0x4001404c) = 5;
        REG(0xd0000018) = 1u << 9; NOTE[0] = 2;`),
    )
    expect(chip.runUntil(() => note(chip, 0) === 1, 50e6, 1000)).toBe(true)
    expect(chip.de9).toBe(0b111111)
    chip.runFor(1_000_000)
    expect(chip.de9).toBe(0b010101)
    expect(chip.edges.map(({ pins }) => pins)).toEqual([0b010101])
  })

  it('gives select to the processor two cycles late, and never lets the chip drive against it', () => {
    const chip = chipWith(main(`clocks(); ${PINS_ON} for (;;) NOTE[0] = REG(0xd0000004) >> 8 & 1;`))
    chip.runFor(20_000_000)
    expect(note(chip, 0)).toBe(1)
    chip.setSelect('low')
    chip.runFor(400)
    expect(note(chip, 0)).toBe(0)
    const fight = `clocks(); ${PINS_ON} REG(0x40014044) = 5; REG(0xd0000024) = 1u << 8;`
    expect(trapOf(main(fight))).toContain('against the board')
  })

  it('resets the whole chip when the watchdog is not fed, and keeps its scratch registers (§4.7)', () => {
    const chip = chipWith(
      main(`clocks(); ${PINS_ON}
        NOTE[REG(0x40058008)] = REG(0x4005800c);
        if (REG(0x40058008)) { NOTE[9] = 1; for (;;) wfi(); }
        REG(0x4005800c) = 0xcafe;
        REG(0x4001404c) = 5; REG(0xd0000024) = 1u << 9;
        REG(0x40010008) = 0x1fffc;
        REG(0x40058004) = 2 * 5000; SET(0x40058000) = 1u << 30;
        NOTE[8] = 1;`),
    )
    expect(chip.runUntil(() => note(chip, 8) === 1, 50e6, 1000)).toBe(true)
    expect(chip.de9).toBe(0)
    const fed = chip.nowNs
    expect(chip.runUntil(() => chip.watchdogResets === 1, 50e6, 8000)).toBe(true)
    expect(Math.abs(chip.nowNs - fed - 5_000_000)).toBeLessThan(20_000)
    expect(chip.de9).toBe(0b111111)
    expect(chip.runUntil(() => note(chip, 9) === 1, 50e6)).toBe(true)
    expect(note(chip, 1)).toBe(0xcafe)
  })

  it('does not call half a chip reset', () => {
    const body = 'clocks(); REG(0x40058004) = 10; SET(0x40058000) = 1u << 30;'
    expect(trapOf(main(body))).toContain('PSM WDSEL')
  })

  it('sleeps as ARMv6-M does: what is masked wakes it and waits (B1.5.17)', () => {
    const chip = chipWith(`
      void irq_0(void) { REG(0x40054034) = 1; NOTE[0] = NOTE[1] + 1; }
      ${main(`
        clocks(); unreset(1u << RESET_TIMER);
        REG(0x40054038) = 1; irq_enable(0);
        __asm volatile("cpsid i");
        REG(0x40054010) = REG(0x40054028) + 50;
        wfi();
        NOTE[1] = 10;                 // awake, the handler not yet run
        NOTE[2] = NOTE[0];
        wfi();                        // pending already: no sleep
        NOTE[1] = 20;
        __asm volatile("cpsie i\\n isb");
        NOTE[3] = NOTE[0];`)}`)
    chip.runFor(50_000_000)
    expect([0, 1, 2, 3].map((k) => note(chip, k))).toEqual([21, 20, 0, 21])
  })

  it('takes fifteen cycles into a handler (Cortex-M0+ TRM)', () => {
    const chip = chipWith(`
      void irq_0(void) { REG(0x40054034) = 1; REG(0xd000001c) = 1u << 25; }
      ${main(`
        clocks(); ${PINS_ON} unreset(1u << RESET_TIMER);
        REG(0x400140cc) = 5; REG(0xd0000024) = 1u << 25;
        REG(0x40054038) = 1; irq_enable(0);
        NOTE[0] = REG(0x40054028) + 100;
        REG(0x40054010) = NOTE[0];`)}`)
    chip.runFor(1000)
    const raise = chip.mcu.setInterrupt.bind(chip.mcu)
    let raisedNs: number | null = null
    chip.mcu.setInterrupt = (irq, wanted) => {
      if (irq === 0 && wanted) raisedNs ??= chip.mcu.nowNs
      raise(irq, wanted)
    }
    const before = chip.ledIsOn
    expect(chip.runUntil(() => chip.ledIsOn !== before, 50e6, 8)).toBe(true)
    // The handler's own way to the pin is some ten cycles more.
    const cycles = (chip.nowNs - (raisedNs ?? 0)) / 8
    expect(cycles).toBeGreaterThanOrEqual(15)
    expect(cycles).toBeLessThan(50)
  })

  it('reads, erases and programs the flash by commands, and boots from what is then there', () => {
    const chip = chipWith(`
      static void select(int low) { REG(0x4001800c) = (low ? 2u : 3u) << 8; }
      static uint8_t swap(uint8_t byte) {
        REG(0x18000060) = byte;
        while (!(REG(0x18000028) & 8)) {}
        return (uint8_t)REG(0x18000060);
      }
      static void address(uint8_t command, uint32_t at) {
        swap(command); swap(at >> 16); swap(at >> 8); swap(at);
      }
      static void write_enable(void) { select(1); swap(6); select(0); }
      static void wait(void) { select(1); swap(5); while (swap(0) & 1) {} select(0); }
      ${main(`
        clocks();
        REG(0x18000008) = 0; REG(0x18000014) = 4;
        REG(0x18000000) = 7u << 16; REG(0x18000010) = 1; REG(0x18000008) = 1;
        select(0);
        select(1); address(3, 0x100000); NOTE[0] = swap(0); select(0);
        write_enable(); select(1); address(0x20, 0x100000); select(0); wait();
        select(1); address(3, 0x100000); NOTE[1] = swap(0); select(0);
        write_enable(); select(1); address(2, 0x100010); swap(0x12); swap(0x34); select(0); wait();
        select(1); address(3, 0x100010); NOTE[2] = swap(0) << 8; NOTE[2] |= swap(0); select(0);
        NOTE[9] = 1;`)}`)
    chip.flash.bytes[0x100000] = 0x5a
    const before = chip.nowNs
    expect(chip.runUntil(() => note(chip, 9) === 1, 500e6)).toBe(true)
    expect([0, 1, 2].map((k) => note(chip, k))).toEqual([0x5a, 0xff, 0x1234])
    expect(chip.flash.operations.map(({ kind }) => kind)).toEqual(['erase', 'program'])
    expect(chip.nowNs - before).toBeGreaterThan(45_400_000)
    const again = chip.powerCycle()
    expect([...again.flash.bytes.subarray(0x100010, 0x100012)]).toEqual([0x12, 0x34])
    again.flash.bytes[0x100000] = 0x77
    expect(again.runUntil(() => note(again, 9) === 1, 500e6)).toBe(true)
    expect(note(again, 0)).toBe(0x77)
  })

  it('goes dark in the middle of an erase', () => {
    const chip = chipWith(`
      static void select(int low) { REG(0x4001800c) = (low ? 2u : 3u) << 8; }
      static void swap(uint8_t byte) {
        REG(0x18000060) = byte;
        while (!(REG(0x18000028) & 8)) {}
        (void)REG(0x18000060);
      }
      ${main(`
        clocks(); ${PINS_ON}
        REG(0x4001404c) = 5; REG(0xd0000024) = 1u << 9;
        REG(0x18000008) = 0; REG(0x18000014) = 4;
        REG(0x18000000) = 7u << 16; REG(0x18000010) = 1; REG(0x18000008) = 1;
        select(1); swap(6); select(0);
        select(1); swap(0x20); swap(0x10); swap(0); swap(0); select(0);`)}`)
    chip.flash.cutPowerAt({ operation: 0, fraction: 0.5 })
    chip.flash.bytes.fill(0, 0x100000, 0x101000)
    expect(chip.runUntil(() => chip.flash.operations.length === 1, 50e6, 1000)).toBe(true)
    expect(chip.de9).toBe(0)
    chip.runFor(40_000_000)
    expect(chip.state).toBe('off')
    expect(chip.de9).toBe(0b111111)
    const ones = chip.flash.bytes
      .subarray(0x100000, 0x101000)
      .reduce((all, byte) => all + (byte === 0 ? 0 : 1), 0)
    expect(ones).toBeGreaterThan(3000)
  })

  it('says when the flash would be read faster than it can', () => {
    const body = 'clocks(); REG(0x18000008) = 0; REG(0x18000014) = 2; REG(0x18000008) = 1;'
    expect(
      trapOf(
        main(`${body}
      REG(0x18000008) = 0; REG(0x18000000) = 7u << 16; REG(0x18000008) = 1;
      REG(0x4001800c) = 2u << 8; REG(0x18000060) = 3; REG(0x18000060) = 0;
      while (REG(0x18000028) & 1) {}`),
      ),
    ).toContain('plain read at 62500000 Hz')
  })

  it('moves select in the very cycle it was asked to', () => {
    const chip = chipWith(
      main(`clocks(); ${PINS_ON} unreset(1u << RESET_PIO0);
        for (int n = 2; n <= 3; n++) REG(0x40014004 + 8 * n) = 6;
        REG(0x50200048) = 0xa000;                    // mov pins, pins: GPIO 8 on GPIO 2
        REG(0x502000cc) = 0; REG(0x502000dc) = 1u << 20 | 8u << 15 | 2;
        REG(0x502000d8) = 0xe083;                    // set pindirs (no set pins: nothing)
        REG(0x502000dc) = 1u << 26 | 1u << 20 | 8u << 15 | 2u << 5 | 2;
        REG(0x502000d8) = 0xe081;
        REG(0x50200000) = 1;
        REG(0xd0000024) = 1u << 9; REG(0x4001404c) = 5; NOTE[9] = 1;`),
    )
    chip.runUntil(() => note(chip, 9) === 1, 50e6)
    chip.runFor(1000)
    chip.clearEdges()
    const start = chip.nowNs
    for (let k = 1; k <= 10; k += 1) {
      chip.at(start + k * 1000, () => chip.setSelect(k % 2 ? 'low' : 'high'))
    }
    chip.runFor(20_000)
    // Two flip-flops and the instruction: three cycles.
    expect(chip.edges.map(({ atNs }) => atNs - start)).toEqual(
      Array.from({ length: 10 }, (_, k) => (k + 1) * 1000 + 24),
    )
  })
})
