import { expect, it } from 'vitest'
import type { CaptureProgress, LineChoice, PinLine } from '../../../src/title/capture/read-capture.ts'
import {
  CaptureReading,
  MOST_DATA_LINES,
  MOST_LINES,
} from '../../../src/ui/capture/capture-reading.svelte.ts'
import type { FileAnswer } from '../../../src/ui/capture/read-file.ts'
import { Bridge } from '../../../src/ui/worker/bridge.ts'
import type { WorkerLike } from '../../../src/ui/worker/bridge.ts'
import type { Questions } from '../../../src/ui/worker/questions.ts'
import { JUDGING, fileOf } from './captures.ts'

/** A worker that reads as the test says. */
class Reader implements WorkerLike<Questions> {
  onmessage: WorkerLike<Questions>['onmessage'] = null
  onerror: WorkerLike<Questions>['onerror'] = null
  ended = false
  choice: LineChoice | null = null
  data: readonly PinLine[] | undefined
  #id = 0

  postMessage(message: Parameters<WorkerLike<Questions>['postMessage']>[0]): void {
    if (message.kind !== 'ask' || message.name !== 'capture') return
    this.#id = message.id
    this.choice = message.question.choice
    this.data = message.question.data
  }
  terminate(): void {
    this.ended = true
  }
  tell(progress: CaptureProgress): void {
    this.onmessage?.({ data: { kind: 'progress', id: this.#id, progress } })
  }
  answer(answer: FileAnswer): void {
    this.onmessage?.({ data: { kind: 'answer', id: this.#id, answer } })
  }
}

/** A reading whose workers the test plays. */
function played() {
  const readers: Reader[] = []
  const file = fileOf('x'.repeat(1_000))
  const bridge = new Bridge<Questions>(() => {
    const reader = new Reader()
    readers.push(reader)
    return reader
  })
  const reading = new CaptureReading(file, bridge, JUDGING)
  const reader = () => {
    const last = readers.at(-1)
    if (!last) throw new Error('nothing is read')
    return last
  }
  return { reading, readers, reader, file }
}

const lines = (lineId: string | null): CaptureProgress => ({
  kind: 'lines',
  lines: [
    { id: 'a', label: 'a' },
    { id: 'b', label: 'b' },
  ],
  lineId,
  data: lineId === 'a' ? [{ pin: 1, lineId: 'b' }] : [],
})
const found: FileAnswer = {
  kind: 'found',
  line: 'a',
  found: { title: null, fault: 'No.', findings: [], read: null },
  byItself: ['Every phase.'],
}

it('goes from the choice of a line to what was found, and lets the worker go', () => {
  const { reading, reader } = played()
  expect(reader().choice).toEqual({ by: 'itself' })
  expect([reading.stage, reading.progress]).toEqual(['opening', 'Opening'])
  reader().tell(lines('a'))
  expect([reading.stage, reading.lineId, reading.progress]).toEqual(['reading', 'a', 'Reading'])
  reader().tell({ kind: 'reading', bytesRead: 510 })
  expect(reading.progress).toBe('Reading: 51 %, 0.5 kB of 1.0 kB')
  expect(reading.heard).toBe('50 % read')
  reader().tell({ kind: 'reading', bytesRead: 740 })
  expect(reading.heard).toBe('50 % read')
  reader().tell({ kind: 'looking' })
  expect([reading.busy, reader().ended]).toEqual([true, false])
  reader().answer(found)
  expect([reading.stage, reading.busy, reader().ended]).toEqual(['found', false, true])
  expect(reading.heard).toBe('No read pattern was found.')
})

it('waits for the user where no line must be select, and then reads the chosen one', () => {
  const { reading, readers, reader } = played()
  reader().tell(lines(null))
  reader().answer({ kind: 'choose', sentence: 'Choose one.' })
  expect([reading.stage, reading.sentence, reading.busy]).toEqual(['asking', 'Choose one.', false])
  expect(readers[0]?.ended).toBe(true)
  reading.read('b')
  expect([reader().choice, reading.sentence, reading.lines.length]).toEqual([{ by: 'id', id: 'b' }, '', 2])
})

it('leaves nothing of another line behind, and ends what reads it', () => {
  const { reading, readers, reader } = played()
  reader().tell(lines('a'))
  reader().tell({ kind: 'reading', bytesRead: 900 })
  reading.read('b')
  expect(readers.map(({ ended }) => ended)).toEqual([true, false])
  expect([reading.bytesRead, reading.found, reading.stage]).toEqual([null, null, 'opening'])
  reader().tell(lines('b'))
  reader().answer(found)
  expect(reading.found).not.toBeNull()
  expect(reading.byItself).toEqual(['Every phase.'])
  reading.read('a')
  expect([reading.bytesRead, reading.found, reading.stage]).toEqual([null, null, 'opening'])
})

it('takes a line for the data line of the pin that the user says, and neither of two for one', () => {
  const { reading, readers, reader } = played()
  expect(reading.others).toEqual([])
  reader().tell({
    kind: 'lines',
    lines: ['a', 'b', 'c'].map((id) => ({ id, label: id })),
    lineId: 'a',
    data: [{ pin: 1, lineId: 'b' }],
  })
  expect(reading.others.map(({ id }) => id)).toEqual(['b', 'c'])
  expect(reader().data).toBeUndefined()
  reader().answer(found)
  reading.sayData('c', 1)
  expect([readers.length, reader().choice]).toEqual([2, { by: 'id', id: 'a' }])
  expect(reader().data).toEqual([])
  expect(['b', 'c'].map((id) => [reading.pinOf(id), reading.isAssignedTwice(id)])).toEqual([
    [1, true],
    [1, true],
  ])
  reading.sayData('b', 9)
  expect(reader().data).toEqual([
    { pin: 1, lineId: 'c' },
    { pin: 9, lineId: 'b' },
  ])
  // A line that becomes select is none of them.
  reading.read('c')
  expect([reader().data, reading.isAssignedTwice('b')]).toEqual([[{ pin: 9, lineId: 'b' }], false])
  reading.read('a')
  reading.sayData('c', null)
  expect(reader().data).toEqual([{ pin: 9, lineId: 'b' }])
  // What the user has said holds on, "none" as well.
  reading.sayData('b', null)
  reading.sayFromPowerOn(true)
  expect(reader().data).toEqual([])
})

it('offers no more lines as data lines than an analyser has channels', () => {
  const { reading, reader } = played()
  const many = Array.from({ length: MOST_DATA_LINES + 1 }, (_, k) => ({ id: `${k}`, label: `wire ${k}` }))
  reader().tell({ kind: 'lines', lines: many.slice(1), lineId: '1', data: [] })
  expect(reading.others.length).toBe(MOST_DATA_LINES - 1)
  reader().tell({ kind: 'lines', lines: many, lineId: '1', data: [] })
  expect(reading.others).toEqual([])
})

it('is cancelled at once, and can be taken up again', () => {
  const { reading, readers, reader } = played()
  reader().tell(lines('a'))
  reading.cancel()
  expect([reading.stage, reader().ended, reading.heard]).toEqual(['cancelled', true, 'Cancelled.'])
  reading.read(reading.lineId)
  expect([readers.length, reader().choice]).toEqual([2, { by: 'id', id: 'a' }])
  reader().answer({ kind: 'refused', place: '', message: 'It is gone.' })
  expect([reading.stage, reading.sentence]).toEqual(['refused', 'evening.vcd: It is gone.'])
  reading.cancel()
  expect(reading.stage).toBe('refused')
})

it('says which file is refused, and where in it', () => {
  const { reading, reader } = played()
  reader().answer({ kind: 'refused', place: 'line 3', message: 'What is this?' })
  expect([reading.stage, reading.sentence]).toEqual(['refused', 'evening.vcd: line 3: What is this?'])
})

it('says that nothing was read where its worker breaks down', () => {
  const { reading, reader } = played()
  reader().onerror?.()
  expect(reading.stage).toBe('refused')
  expect(reading.sentence).toMatch(
    /^evening\.vcd cannot be read: .* Nothing was changed\. .*open the file again\.$/,
  )
})

it('lists a bounded number of lines, and among them the one that is read', () => {
  const { reading, reader } = played()
  const many = Array.from({ length: MOST_LINES + 7 }, (_, k) => ({ id: `${k}`, label: `wire ${k}` }))
  reader().tell({ kind: 'lines', lines: many, lineId: `${MOST_LINES + 6}`, data: [] })
  expect([reading.lines.length, reading.unlisted]).toEqual([MOST_LINES, 7])
  expect(reading.lines.map(({ id }) => id)).toContain(`${MOST_LINES + 6}`)
})
