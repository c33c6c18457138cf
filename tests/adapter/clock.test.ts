import { expect, test } from 'vitest'
import { realClock } from '../../src/adapter/clock.ts'

test('runs what comes due and not what was called off', async () => {
  const ran: string[] = []
  const callOff = realClock.after(0, () => ran.push('called off'))
  callOff()
  await new Promise<void>((resolve) => realClock.after(1, resolve))
  expect(ran).toEqual([])
})
