import { expect, it } from 'vitest'
import { inputsReadBy } from '../../src/title/inputs-read.ts'
import { demo } from '../ui/fix/examples.ts'

it('offers what a title samples, in the usual order', () => {
  expect(inputsReadBy(demo('tidewatch'))).toEqual(['up', 'down', 'left', 'right', 'a', 'b', 'c', 'start'])
  expect(inputsReadBy(demo('nine-moths'))).toContain('mode')
})
