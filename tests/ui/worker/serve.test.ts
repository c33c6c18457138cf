import { expect, it } from 'vitest'
import type { FromWorker } from '../../../src/ui/worker/messages.ts'
import { serve } from '../../../src/ui/worker/serve.ts'
import { TOY_ANSWERERS } from './toy-questions.ts'
import type { ToyQuestions } from './toy-questions.ts'

/** All that is told of a question, by a clock on which every look takes so long. */
async function told<K extends 'count'>(question: ToyQuestions[K]['question'], msPerLook: number) {
  const messages: FromWorker<ToyQuestions>[] = []
  let nowMs = 0
  await new Promise<void>((resolve) => {
    const hear = serve(
      TOY_ANSWERERS,
      (message) => {
        messages.push(message)
        if (message.kind === 'answer') resolve()
      },
      () => (nowMs += msPerLook),
    )
    hear({ kind: 'ask', id: 1, name: 'count', question })
  })
  return messages
}

const steps = (messages: readonly FromWorker<ToyQuestions>[]): number[] =>
  messages.flatMap((message) =>
    message.kind === 'progress' && 'at' in message.progress ? [message.progress.at] : [],
  )

it('says that it runs, and answers once', async () => {
  const messages = await told({ name: 'a', to: 2 }, 1)
  expect(messages.map(({ kind }) => kind)).toEqual(['ready', 'progress', 'progress', 'answer'])
})

it('tells the first progress of a kind at once, and more of the same now and then only', async () => {
  expect(steps(await told({ name: 'a', to: 40 }, 0))).toHaveLength(40)
  const same = { name: 'a', to: 2_000, same: true }
  const quick = steps(await told(same, 1))
  expect(quick[0]).toBe(1)
  expect(quick.length).toBeGreaterThan(10)
  expect(quick.length).toBeLessThan(2_000 / 40)
  expect(steps(await told(same, 60))).toHaveLength(2_000)
})
