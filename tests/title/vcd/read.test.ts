import { describe, expect, it } from 'vitest'
import type { VcdFault } from '../../../src/title/vcd/capture.ts'
import { VcdReader } from '../../../src/title/vcd/read.ts'
import { CaptureReader } from './capture-reader.ts'
import { readVcd } from './read-vcd.ts'
import type { ListedCapture } from './arbitrary.ts'
import { bytesOf, listed } from './arbitrary.ts'

const read = (text: string | Uint8Array, signal?: string) =>
  readVcd(typeof text === 'string' ? bytesOf(text) : text, signal === undefined ? {} : { signal })

function captured(text: string, signal?: string): ListedCapture {
  const result = read(text, signal)
  if (!result.ok) throw new Error(`line ${result.error.line}: ${result.error.message}`)
  return listed(result.value)
}

function fault(text: string | Uint8Array, signal?: string): VcdFault {
  const result = read(text, signal)
  if (result.ok) throw new Error('the dump was read')
  return result.error
}

/** Changes in short: `0:1` is a 1 at 0 ns. */
const short = (text: string, signal?: string): string =>
  captured(text, signal)
    .changes.map(({ atNs, value }) => `${atNs}:${value}`)
    .join(' ')

const header = (vars = '$var wire 1 ! select $end', timescale = '1 ns') =>
  `$timescale ${timescale} $end\n${vars}\n$enddefinitions $end\n`
/** Lines before the first value. */
const BODY = 4

describe('values', () => {
  it('are taken in order, with first and last stamp', () => {
    expect(captured(header() + '#5\n0!\n#8\n1!\n#20\n')).toEqual({
      signalPath: 'select',
      changes: [
        { atNs: 5, value: '0' },
        { atNs: 8, value: '1' },
      ],
      startNs: 5,
      endNs: 20,
    })
  })

  it('count at time 0 before the first stamp', () => {
    expect(captured(header() + '$dumpvars 1! $end #7 0! #9')).toMatchObject({
      changes: [
        { atNs: 0, value: '1' },
        { atNs: 7, value: '0' },
      ],
      startNs: 0,
      endNs: 9,
    })
  })

  it('may be none, and stamps may be none', () => {
    expect(captured(header())).toMatchObject({ changes: [], startNs: 0, endNs: 0 })
    expect(captured(header() + '1!')).toMatchObject({
      changes: [{ atNs: 0, value: '1' }],
      startNs: 0,
      endNs: 0,
    })
    expect(captured(header() + '#3 #7')).toMatchObject({ changes: [], startNs: 3, endNs: 7 })
  })

  it('may change several times in one nanosecond', () => {
    expect(short(header(undefined, '1 ps') + '#0 0! #1000 1! 0! #1400 1! #1999 0! #2000 1!')).toBe(
      '0:0 1:1 1:0 1:1 1:0 2:1',
    )
  })

  it('are dropped where they repeat', () => {
    expect(short(header() + '#0 x! X! #1 bx ! #2 1! #3 b01 ! #4 z! #5 bzzz !')).toBe('0:x 2:1 4:z')
  })

  it.each([
    ['b0', '0'],
    ['B1', '1'],
    ['b0000', '0'],
    ['b001', '1'],
    ['bxX', 'x'],
    ['bZZ', 'z'],
  ])('of a vector %s on one bit are %s', (vector, value) => {
    expect(short(`${header()}#1 ${vector} !`)).toBe(`1:${value}`)
  })

  it('of other wires are ignored, in whatever form', () => {
    const vars = '$var wire 1 ! select $end $var wire 8 " bus [7:0] $end $var real 64 # r $end'
    expect(short(header(vars) + '#1 b10xz " 1" r-1.5e-3 # R0 # snone " S # 1!')).toBe('1:1')
  })

  it('may stand in dumps that never end', () => {
    expect(short(header() + '#0 $dumpvars 0! #4 $dumpoff x! $end #5 $dumpon 1! $end #6 $dumpall 1!')).toBe(
      '0:0 4:x 5:1',
    )
  })

  it('are not found in comments and sections of other makers', () => {
    const noise =
      '$comment 1! #99 a lamp, and a lamp, and one more lamp, all of them lit $ $var wire 1 ! x $enddefinitions ünïcødé b1 $end'
    expect(short(`${noise}\n${header()}${noise}\n#1 0! ${noise} $attrbegin misc 02 1! $end #2 1!`)).toBe(
      '1:0 2:1',
    )
  })

  it('come in words, whatever blank is between them', () => {
    const text = header() + '#1\n0!\n$comment a $end\n#2\nb1 !\n'
    for (const blank of ['\r\n', '\t', '\n\n\n', ' \f\v ']) {
      expect(captured(text.replaceAll(/\s/g, blank))).toEqual(captured(text))
    }
    expect(captured('\ufeff' + text.trim())).toEqual(captured(text))
    expect(captured('\ufeff ' + text)).toEqual(captured(text))
  })
})

describe('the signal', () => {
  const VARS = `
    $scope module top $end
      $var wire 1 a clk $end
      $scope module port $end
        $var wire 1 b select $end
        $var wire 1 c sel [0] $end
        $var wire 1 d sel[1] $end
        $var wire 8 e bus [7:0] $end
        $var event 1 f strobe $end
      $upscope $end
      $scope module other $end
        $var reg 1 b sense $end
        $var reg 1 g clk $end
        $var wire 1 h \\odd.name[3] $end
      $upscope $end
    $upscope $end`
  const text = header(VARS) + '#1 1b #2 1c #3 1d #4 1a #5 1g #6 1h'

  it.each([
    [undefined, 'top.port.select', 1],
    ['select', 'top.port.select', 1],
    ['top.port.select', 'top.port.select', 1],
    ['sense', 'top.other.sense', 1],
    ['sel[0]', 'top.port.sel[0]', 2],
    ['sel [1]', 'top.port.sel[1]', 3],
    ['top.port.sel [0]', 'top.port.sel[0]', 2],
    ['top.clk', 'top.clk', 4],
    ['top.other.clk', 'top.other.clk', 5],
    ['\\odd.name[3]', 'top.other.\\odd.name[3]', 6],
  ])('%s is %s', (asked, signalPath, atNs) => {
    const found = captured(text, asked)
    expect(found).toMatchObject({ signalPath, changes: [{ atNs, value: '1' }] })
    expect(captured(text, found.signalPath)).toEqual(found)
  })

  it('is one wire if its namesakes share the code', () => {
    const vars =
      '$scope module a $end $var wire 1 ! select $end $scope module b $end $var wire 1 ! select $end'
    expect(captured(header(vars)).signalPath).toBe('a.select')
  })

  it('outside all scopes is told from its namesakes by its path', () => {
    const vars = '$var wire 1 ! select $end $scope module a $end $var wire 1 " select $end'
    expect(captured(header(vars)).signalPath).toBe('select')
    expect(captured(header(vars), 'a.select').signalPath).toBe('a.select')
  })

  it('is not guessed among namesakes', () => {
    expect(fault(text, 'clk')).toEqual({
      line: 18,
      message: '"clk" names different wires: top.clk, top.other.clk; give the full path of one.',
    })
    expect(fault(text, 'sel').message).toContain('top.port.sel[0], top.port.sel[1];')
  })

  it('is compared exactly', () => {
    for (const asked of [
      'Select',
      'selec',
      'port.select',
      'top.port',
      '',
      'select[0]',
      ' select',
      '[0]',
      '\\odd.name',
    ]) {
      expect(fault(text, asked).message).toMatch(/^No wire is called .*top\.clk, top\.port\.select, /)
    }
  })

  it('may be all bracket, which is no nameless bit', () => {
    const vars = '$var wire 1 ! [0] $end'
    expect(captured(header(vars), '[0]').signalPath).toBe('[0]')
    expect(fault(header(vars), '').message).toContain('No wire')
  })

  it('is asked for again with ten candidates at most, all of one bit', () => {
    expect(fault(text, 'none').message).toBe(
      'No wire is called "none"; one-bit wires here: top.clk, top.port.select, top.port.sel[0], top.port.sel[1], ' +
        'top.other.sense, top.other.clk, top.other.\\odd.name[3].',
    )
    const many = Array.from({ length: 50 }, (_, k) => `$var wire 1 ${k} w${k} $end`).join(' ')
    expect(fault(header(many)).message).toMatch(/here: (w\d, ){9}w9 and more\.$/)
    expect(fault(header('$var wire 8 ! bus $end')).message).toContain('declares no one-bit wire')
    const namesakes = Array.from({ length: 50 }, (_, k) => `$var wire 1 ${k} select[${k}] $end`).join(' ')
    expect(fault(header(namesakes)).message).toContain('select[9] and more;')
  })

  it('has one bit, and a level', () => {
    expect(fault(text, 'bus')).toEqual({ line: 9, message: '"top.port.bus[7:0]" is 8 bits wide, not one.' })
    expect(fault(text, 'bus[7:0]').line).toBe(9)
    expect(fault(text, 'strobe')).toEqual({
      line: 10,
      message: '"top.port.strobe" is of type event, not a wire.',
    })
    expect(fault(header('$var real 1 ! select $end')).message).toContain('of type real')
  })
})

describe('a dump is refused, with the line,', () => {
  it.each<[string, string, number, RegExp]>([
    ['empty', '', 1, /empty/],
    ['blank', ' \n\n', 3, /empty/],
    ['of a byte order mark', '\ufeff', 1, /empty/],
    ['with a byte order mark inside', '$date $end\n\ufeff$timescale 1ns $end', 2, /opens none/],
    ['another text', 'Dear museum,\nthe lamp', 1, /header of a VCD .* "Dear" opens none/],
    ['without $timescale', '$var wire 1 ! select $end\n$enddefinitions $end\n', 2, /without a \$timescale/],
    ['of an odd $timescale', '\n$timescale 3 ns $end', 2, /1, 10 or 100 .* not "3 ns"/],
    ['of no $timescale', '\n$timescale $end', 2, /not ""/],
    ['of two timescales', '$timescale 1ns $end\n$timescale 1ps $end', 2, /contradicts/],
    ['without its header’s end', '$timescale 1ns $end\n', 2, /cut off: its header has no \$enddefinitions/],
    ['cut off in the header', '$timescale 1ns $end\n$var wire 1', 2, /cut off inside "\$var"/],
    ['cut off in a comment of the header', '$comment\n\n', 3, /cut off inside "\$comment"/],
    ['with a stray $end', '$end', 1, /closes nothing/],
    ['with a stamp in the header', '$timescale 1ns $end\n#0', 2, /"#0" opens none/],
    ['with values in the header', '$timescale 1ns $end\n$dumpvars', 2, /"\$dumpvars" comes before/],
    ['with a nameless scope', '$scope module $end', 1, /\$scope takes a type and a name/],
    ['with a scope of two names', '$scope module a b $end', 1, /\$scope takes/],
    ['that leaves no scope', '\n$upscope $end', 2, /leaves no scope/],
    ['with words in $upscope', '$scope module a $end\n$upscope a $end', 2, /\$upscope takes no words/],
    ['with a short $var', '$var wire 1 ! $end', 1, /\$var takes a type, a size/],
    ['with a sizeless $var', '$var wire one ! select $end', 1, /number of bits, not "one"/],
    ['with a $var of two names', '$var wire 1 ! select line $end', 1, /not "line"/],
    [
      'with a $var that goes on',
      '$var wire 1 ! select\n' + '$var wire 1 " clk '.repeat(4),
      2,
      /\$var of line 1 has no \$end/,
    ],
    [
      'with $enddefinitions that goes on',
      '$timescale 1ns $end\n$enddefinitions\n#0 $end',
      3,
      /at once, not by "#0"/,
    ],
  ])('%s', (_, text, line, message) => {
    const found = fault(text)
    expect(found.message).toMatch(message)
    expect(found.line).toBe(line)
  })

  it.each<[string, string, number, RegExp]>([
    ['with a time that goes back', '#5\n#4', 2, /goes back from #5 to #4/],
    ['with a time that goes back past doubles', '#9007199254740990\n#9007199254740989', 2, /goes back/],
    ['with a time that is no number', '#5\n\n#5.5', 3, /whole number, not "#5.5"/],
    ['with a time below zero', '#-1', 1, /whole number/],
    ['with a # alone', '# 5', 1, /whole number, not "#"/],
    ['with a time past 2^53 ns', '1!\n#9007199254740992', 2, /past 2\^53 ns/],
    ['with an undeclared code', '#0\n1!\n1?', 3, /no wire with the identifier code "\?"/],
    ['with an undeclared code of a vector', 'b1\n?', 2, /identifier code "\?"/],
    ['with an undeclared code of a real', 'r1 ?', 1, /identifier code "\?"/],
    ['with a value that names no wire', '#0\n1 !', 2, /"1" has no identifier code/],
    ['with an unknown value', '#0\nU!', 2, /"U!" is neither a time nor a value change/],
    ['with a vector for one bit', 'b10 !', 1, /vector given to "!" does not fit/],
    ['with an extension that is none', 'b0x !', 1, /does not fit/],
    ['with letters in its vector', 'b2 !', 1, /does not fit/],
    ['with an empty vector', 'b !', 1, /vector "b" has no value/],
    ['with a real on the wire', 'r1 !', 1, /real given to "!" does not fit/],
    ['with a string on the wire', 's1 !', 1, /string given to "!" does not fit/],
    ['cut off in a vector', '#0\nb1', 2, /cut off between a value and its identifier code/],
    ['cut off in a comment', '#0\n$comment 1!\n', 3, /cut off inside "\$comment"/],
    ['with a stray $end after the header', '#0\n$end', 2, /closes nothing/],
    ['with one $end too many', '$dumpvars 1! $end\n$end', 2, /closes nothing/],
    ['that declares too late', '#0\n$var wire 1 " clk $end', 2, /"\$var" comes after the header/],
    ['of the extended format', '#0\n$dumpports\npU 0 6 <0\n$end', 2, /extended VCD/],
  ])('%s', (_, body, line, message) => {
    const found = fault(header() + body)
    expect(found.message).toMatch(message)
    expect(found.line).toBe(line + BODY - 1)
  })

  it('with a time that goes back within a nanosecond', () => {
    expect(fault(header(undefined, '1 ps') + '#1001\n#1000').message).toBe(
      'The time goes back from #1001 to #1000.',
    )
  })

  it('that is not text', () => {
    const text = bytesOf(header())
    const at = text.length - 3
    for (const byte of [0, 7, 0x1b, 0x7f]) {
      expect(fault(text.with(at, byte))).toEqual({
        line: 3,
        message: `The file is not text: it has a byte of value ${byte}.`,
      })
    }
    for (const byte of [0x80, 0xc0, 0xff]) {
      expect(fault(text.with(at, byte))).toEqual({ line: 3, message: 'The file is not text in UTF-8.' })
    }
    expect(fault(bytesOf(header() + '$comment ü').subarray(0, -1)).message).toContain('UTF-8')
  })

  it('whose wire changes more often than is kept, where it does', () => {
    const changes = Array.from({ length: 10_000 }, (_, k) => `#${k}\n${k % 2}!\n`)
    const bytes = bytesOf(header() + changes.join(''))
    const handed: number[] = []
    const read = (maxChanges: number) => {
      handed.length = 0
      const reader = new VcdReader((timesNs) => handed.push(...timesNs), { maxChanges })
      reader.push(bytes)
      return reader.finish()
    }
    expect(read(10_000).ok).toBe(true)
    expect(handed).toEqual(changes.map((_, k) => k))
    for (const maxChanges of [1, 4095, 4096, 4097, 8192, 9999]) {
      const message = `The wire changes more than ${maxChanges} times; cut the file into shorter ones.`
      expect(read(maxChanges)).toEqual({ ok: false, error: { line: BODY + 2 * maxChanges + 1, message } })
    }
    expect(new CaptureReader({ maxChanges: 9999 }).push(bytes)).toBe(false)
    const kept = readVcd(bytes)
    expect(kept.ok && [...kept.value.timesNs]).toEqual(changes.map((_, k) => k))
    expect(kept.ok && [...kept.value.values]).toEqual(changes.map((_, k) => k % 2))
  })

  it('with a word that nothing ends, before it is all in memory', () => {
    const message = 'The file has a word of more than 1048576 bytes; it is hardly a VCD.'
    const word = (length: number, rest = '') => `$comment ${'w'.repeat(length)}${rest} $end`
    expect(captured(header() + word(2 ** 20)).changes).toEqual([])
    for (const rest of ['', '\0', '\xff']) {
      const bytes = bytesOf(`\n${header()}${word(2 ** 20 + 1, rest)}`)
      expect(fault(bytes)).toEqual({ line: BODY + 1, message })
      const reader = new CaptureReader()
      for (let at = 0; at < bytes.length; at += 65_536) reader.push(bytes.subarray(at, at + 65_536))
      expect(reader.finish()).toEqual({ ok: false, error: { line: BODY + 1, message } })
    }
    const reader = new CaptureReader()
    let pushed = 0
    while (reader.push(new Uint8Array(65_536).fill(0x77))) pushed += 65_536
    expect(pushed).toBe(2 ** 20)
  })

  it('with a header that has no end to its wires and scopes', () => {
    const scopes = (depth: number) =>
      header('$scope module a $end\n'.repeat(depth) + '$var wire 1 ! select $end')
    expect(captured(scopes(1000)).signalPath).toHaveLength(2 * 1000 + 'select'.length)
    expect(fault(scopes(1001))).toEqual({ line: 1002, message: 'The scopes are nested more than 1000 deep.' })
    const reader = new CaptureReader()
    let wires = 0
    const some = () => bytesOf(Array.from({ length: 1024 }, () => `$var wire 1 ${wires++} w $end\n`).join(''))
    while (reader.push(some())) expect(wires).toBeLessThanOrEqual(2 ** 18)
    expect(reader.finish()).toEqual({
      ok: false,
      error: { line: 2 ** 18 + 1, message: 'The header declares more than 262144 wires.' },
    })
  })

  it('in sentences of bearable length', () => {
    const long = 'w'.repeat(100_000)
    for (const text of [
      long,
      `$timescale ${long} $end`,
      `${header()}b1 ${long}`,
      `${header()}#${long}`,
      `${header()}$${long}`,
      header(`$scope module ${long} $end $var ${long} 1 ! ${long} $end $var wire 1 " clk $end`),
      header(`$scope module ${long} $end ${'$var wire 1 " select $end $var wire 1 # select $end'}`),
    ]) {
      const { message } = fault(text)
      expect(message.length).toBeLessThan(1000)
      expect(message).toMatch(/^[^\n]*\.$/)
    }
    expect(fault(header(), long).message.length).toBeLessThan(1000)
  })
})
