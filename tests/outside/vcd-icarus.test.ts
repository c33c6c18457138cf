import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, it } from 'vitest'
import { CaptureReader } from '../title/vcd/capture-reader.ts'
import { readVcd } from '../title/vcd/read-vcd.ts'
import { captureOf, listed } from '../title/vcd/arbitrary.ts'
import { describeWith, findTool } from '../tools.ts'

/**
 * A lamp reader with its port: nested scopes, aliases, a bus, a real, an event and an escaped name beside the wire
 * that is asked for. Times are in units of the first timescale, stamps in units of the second.
 */
const SOURCE = (unit: string, precision: string) => `
\`timescale ${unit}/${precision}
module lamp_reader;
  reg select = 1'bx;
  reg [7:0] seen = 0;
  integer reads = 0;
  tri pulled;
  console console(.select(select));
  initial begin
    $dumpfile("lamp.vcd");
    $dumpvars(0, lamp_reader);
    #1    select = 1;
    #2.34 select = 0;
    #0    select = 1;
    #0    select = 0;
    #5    select = 1'bz;
    #3    select = 1;
    #1    $dumpoff;
    #10   select = 0;
    #10   $dumpon;
    repeat (3) begin
      #1.5 select = ~select;
      seen = seen + 8'h55;
      reads = reads + 1;
    end
    #0.999 $dumpall;
    #7    $finish;
  end
endmodule

module console(input select);
  wire [1:0] both = {select, ~select};
  wire \\odd.name[3] = ~select;
  real warmth;
  event lit;
  socket socket(.pin7(select));
  always @(posedge select) begin : counting
    reg done;
    done = 1;
    warmth = warmth + 0.5;
    -> lit;
  end
  initial warmth = 20.25;
endmodule

module socket(input pin7);
  wire inverted = ~pin7;
endmodule
`

// Source: Icarus Verilog (Debian package iverilog).
describeWith('dumps of Icarus Verilog are read', ['iverilog', 'vvp'], () => {
  let folder = ''
  beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'ninepin-icarus-'))))
  afterAll(() => rmSync(folder, { recursive: true, force: true }))

  function simulated(unit: string, precision: string): Buffer {
    writeFileSync(join(folder, 'lamp.v'), SOURCE(unit, precision))
    const run = (tool: string, ...args: string[]) =>
      execFileSync(findTool(tool) as string, args, { cwd: folder })
    run('iverilog', '-o', 'lamp.vvp', 'lamp.v')
    run('vvp', '-n', 'lamp.vvp')
    return readFileSync(join(folder, 'lamp.vcd'))
  }

  /**
   * What the source above does, in thousandths of its unit. A delay is rounded to the precision; the dump is told of
   * a wire once it has settled, so the pulse without length is not in it.
   */
  const EVENTS = [
    [0, 'x'],
    [1000, '1'],
    [3340, '0'],
    [8340, 'z'],
    [11340, '1'],
    [12340, 'x'],
    [32340, '0'],
    [33840, '1'],
    [35340, '0'],
    [36840, '1'],
  ] as const
  const END = 44839

  it.each([
    // unit, precision, and of how many femtoseconds each is
    ['1us', '1ns', 10n ** 9n, 10n ** 6n],
    ['1ns', '10ps', 10n ** 6n, 10n ** 4n],
    ['10ns', '100ps', 10n ** 7n, 10n ** 5n],
    ['1ms', '10us', 10n ** 12n, 10n ** 10n],
    ['100s', '1s', 10n ** 17n, 10n ** 15n],
    ['1ps', '1fs', 10n ** 3n, 1n],
  ])('with a unit of %s and stamps of %s', (unit, precision, unitFs, precisionFs) => {
    const bytes = simulated(unit, precision)
    const perUnit = unitFs / precisionFs
    /** Delays of the source, each rounded to the precision by itself, as the language has it. */
    const delays = EVENTS.map(([at], k) => at - (EVENTS[k - 1]?.[0] ?? 0))
    const stampOf = (delay: number): bigint => (BigInt(delay) * perUnit * 2n + 1000n) / 2000n
    let stamp = 0n
    const nsOf = (ticks: bigint): number => Number((ticks * precisionFs) / 10n ** 6n)
    const changes = EVENTS.map(([, value], k) => ({ atNs: nsOf((stamp += stampOf(delays[k] ?? 0))), value }))
    const endNs = nsOf(stamp + stampOf(999) + stampOf(END - 36840 - 999))

    const capture = captureOf({ signalPath: 'lamp_reader.select', changes, startNs: 0, endNs })
    const expected = { ok: true, value: capture }
    expect(readVcd(bytes)).toEqual(expected)
    const reader = new CaptureReader({ signal: 'lamp_reader.select' })
    for (let at = 0; at < bytes.length; at += 7) reader.push(bytes.subarray(at, at + 7))
    expect(reader.finish()).toEqual(expected)
    for (const alias of ['lamp_reader.console.select', 'pin7', 'lamp_reader.console.socket.pin7']) {
      const read = readVcd(bytes, { signal: alias })
      expect(read.ok && listed(read.value).changes).toEqual(changes)
    }
  })

  it('by any name in them, and refused where the name is no wire of one bit', () => {
    const bytes = simulated('1ns', '10ps')
    const pathOf = (signal: string) => {
      const result = readVcd(bytes, { signal })
      return result.ok ? result.value.signalPath : result.error.message
    }
    expect(pathOf('inverted')).toBe('lamp_reader.console.socket.inverted')
    expect(pathOf('done')).toBe('lamp_reader.console.counting.done')
    expect(pathOf('\\odd.name[3]')).toBe('lamp_reader.console.\\odd.name[3]')
    expect(pathOf('both')).toMatch(/console\.both\[1:0\]" is 2 bits wide, not one\.$/)
    expect(pathOf('reads')).toMatch(/is 32 bits wide/)
    expect(pathOf('warmth')).toMatch(/is of type real, not a wire\.$/)
    expect(pathOf('lit')).toMatch(/is of type event, not a wire\.$/)
    expect(pathOf('nothing')).toMatch(/one-bit wires here: .*lamp_reader\.select/)
  })
})
