import type { BrowserContext, Page } from 'playwright-core'
import type { ModelAdapter } from '../reference/adapter/model-adapter.ts'

/**
 * Web Serial (WICG), as far as the app uses it, with adapters behind it: none can be plugged in here, so the model adapter of this
 * process answers, byte for byte. `choose` says which of them the browser's list gives.
 */
export async function fakeSerial(
  context: BrowserContext,
  boxes: Readonly<Record<string, ModelAdapter>>,
): Promise<{ choose(page: Page, box: string): Promise<void> }> {
  await context.exposeBinding('fakeSerialOpen', ({ page }, box: string) => {
    boxes[box]?.attach({
      bytes: (bytes) => {
        void page
          .evaluate(
            ([name, all]) =>
              (
                window as unknown as { fakeSerialIn(box: string, bytes: readonly number[]): void }
              ).fakeSerialIn(name, all),
            [box, [...bytes]] as const,
          )
          // The page may be gone by then.
          .catch(() => undefined)
      },
      lost: () => undefined,
    })
  })
  await context.exposeBinding('fakeSerialOut', (_, box: string, bytes: number[]) => {
    boxes[box]?.receive(Uint8Array.from(bytes))
  })
  await context.exposeBinding('fakeSerialClose', (_, box: string) => {
    boxes[box]?.detach()
  })
  await context.addInitScript(inPage)
  return {
    choose: (page, box) =>
      page.evaluate((name) => {
        Object.assign(window, { fakeSerialBox: name })
      }, box),
  }
}

/** What of it runs in the page. */
function inPage(): void {
  interface Bridge {
    fakeSerialBox?: string
    fakeSerialOpen(box: string): Promise<void>
    fakeSerialOut(box: string, bytes: number[]): Promise<void>
    fakeSerialClose(box: string): Promise<void>
  }
  const bridge = window as unknown as Bridge
  const streams = new Map<string, ReadableStreamDefaultController<Uint8Array>>()

  class Port extends EventTarget {
    readable: ReadableStream<Uint8Array> | null = null
    writable: WritableStream<Uint8Array> | null = null
    constructor(readonly box: string) {
      super()
    }
    open() {
      this.readable = new ReadableStream({ start: (controller) => void streams.set(this.box, controller) })
      this.writable = new WritableStream({ write: (chunk) => bridge.fakeSerialOut(this.box, [...chunk]) })
      return bridge.fakeSerialOpen(this.box)
    }
    setSignals() {
      return Promise.resolve()
    }
    close() {
      streams.delete(this.box)
      this.readable = null
      this.writable = null
      return bridge.fakeSerialClose(this.box)
    }
  }
  Object.assign(window, {
    fakeSerialIn: (box: string, bytes: number[]) => streams.get(box)?.enqueue(Uint8Array.from(bytes)),
  })
  Object.defineProperty(navigator, 'serial', {
    value: { requestPort: () => Promise.resolve(new Port(bridge.fakeSerialBox ?? 'A')) },
    configurable: true,
  })
}
