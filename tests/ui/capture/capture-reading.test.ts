import { expect, it } from 'vitest'
import type { CaptureMessage, CaptureRequest } from '../../../src/ui/capture/capture-messages.ts'
import { CaptureReading } from '../../../src/ui/capture/capture-reading.svelte.ts'
import { fileOf } from './captures.ts'

/** A reading whose jobs the test plays. */
function played() {
  const jobs: { request: CaptureRequest; tell: (message: CaptureMessage) => void; ended: boolean }[] = []
  const file = fileOf('x'.repeat(1_000))
  const reading = new CaptureReading(file, (request, tell) => {
    const job = { request, tell, ended: false }
    jobs.push(job)
    return () => (job.ended = true)
  })
  const job = () => {
    const last = jobs.at(-1)
    if (!last) throw new Error('no job was started')
    return last
  }
  return { reading, jobs, job, file }
}

const lines = (lineId: string | null, sentence = ''): CaptureMessage => ({
  kind: 'lines',
  lines: [
    { id: 'a', label: 'a' },
    { id: 'b', label: 'b' },
  ],
  unlisted: 0,
  lineId,
  sentence,
})
const found: CaptureMessage = {
  kind: 'found',
  found: { title: null, fault: 'No.', findings: [], read: null },
}

it('goes from the choice of a line to what was found, and lets the job go', () => {
  const { reading, job, file } = played()
  expect(job().request).toEqual({ file, lineId: null })
  expect([reading.stage, reading.progress]).toEqual(['opening', 'Opening'])
  job().tell(lines('a'))
  expect([reading.stage, reading.lineId, reading.progress]).toEqual(['reading', 'a', 'Reading'])
  job().tell({ kind: 'progress', bytesRead: 510 })
  expect(reading.progress).toBe('Reading: 51 %, 0.5 kB of 1.0 kB')
  expect(reading.heard).toBe('50 % read')
  job().tell({ kind: 'progress', bytesRead: 740 })
  expect(reading.heard).toBe('50 % read')
  job().tell({ kind: 'looking' })
  expect([reading.busy, job().ended]).toEqual([true, false])
  job().tell(found)
  expect([reading.stage, reading.busy, job().ended]).toEqual(['found', false, true])
  expect(reading.heard).toBe('No read pattern was found.')
})

it('waits for the user where no line must be select, and then reads the chosen one', () => {
  const { reading, jobs, job } = played()
  job().tell(lines(null, 'Choose one.'))
  expect([reading.stage, reading.sentence, reading.busy]).toEqual(['asking', 'Choose one.', false])
  expect(jobs[0]?.ended).toBe(true)
  reading.read('b')
  expect([job().request.lineId, reading.sentence, reading.lines.length]).toEqual(['b', '', 2])
})

it('leaves nothing of another line behind, and ends what reads it', () => {
  const { reading, jobs, job } = played()
  job().tell(lines('a'))
  job().tell({ kind: 'progress', bytesRead: 900 })
  reading.read('b')
  expect(jobs.map(({ ended }) => ended)).toEqual([true, false])
  expect([reading.bytesRead, reading.found, reading.stage]).toEqual([null, null, 'opening'])
  job().tell(lines('b'))
  job().tell(found)
  expect(reading.found).not.toBeNull()
  reading.read('a')
  expect([reading.bytesRead, reading.found, reading.stage]).toEqual([null, null, 'opening'])
})

it('is cancelled at once, and can be taken up again', () => {
  const { reading, jobs, job } = played()
  job().tell(lines('a'))
  reading.cancel()
  expect([reading.stage, job().ended, reading.heard]).toEqual(['cancelled', true, 'Cancelled.'])
  reading.read(reading.lineId)
  expect([jobs.length, job().request.lineId]).toEqual([2, 'a'])
  job().tell({ kind: 'refused', sentence: 'It is gone.' })
  expect([reading.stage, reading.sentence]).toEqual(['refused', 'It is gone.'])
  reading.cancel()
  expect(reading.stage).toBe('refused')
})
