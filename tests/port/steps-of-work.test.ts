import fc from 'fast-check'
import { expect, it } from 'vitest'
import { workToEnd } from '../../src/port/steps-of-work.ts'
import type { StepsOfWork } from '../../src/port/steps-of-work.ts'

it('work is done to its last step, each once and in order, and its answer given', () => {
  const arbSteps = fc.array(fc.anything(), { maxLength: 30 })
  fc.assert(
    fc.property(arbSteps, fc.anything(), (steps, answer) => {
      const done: unknown[] = []
      function* work(): StepsOfWork<unknown, unknown> {
        for (const step of steps) {
          done.push(step)
          yield step
        }
        done.push('end')
        return answer
      }
      expect(workToEnd(work())).toBe(answer)
      expect(done).toStrictEqual([...steps, 'end'])
    }),
  )
})

it('work that fails half-way fails for whoever runs it', () => {
  function* work(): StepsOfWork<number, number> {
    yield 1
    throw new Error('half-way')
  }
  expect(() => workToEnd(work())).toThrow('half-way')
})
