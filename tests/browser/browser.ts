import { chromium } from 'playwright-core'
import type { Browser, BrowserContext, BrowserContextOptions, LaunchOptions, Page } from 'playwright-core'
import { expect } from 'vitest'
import { findTool } from '../tools.ts'

export const CHROMIUM = 'chromium|chromium-browser|google-chrome'

const DESKTOP = { width: 1344, height: 896 } as const
export const PHONE = { width: 390, height: 844 } as const

export const BROWSER_ARGUMENTS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

export const openBrowser = (options: LaunchOptions = {}): Promise<Browser> =>
  chromium.launch({ executablePath: findTool(CHROMIUM) ?? '', args: BROWSER_ARGUMENTS, ...options })

/** Addresses of what a page has made itself. */
const MADE_HERE = ['blob:', 'data:', 'about:']

/** For a page: tells what its content security policy forbids, from its first script on. */
function tellViolations(): void {
  const { tellViolation } = window as unknown as { tellViolation: (violation: string) => Promise<void> }
  document.addEventListener('securitypolicyviolation', (event) => {
    const { effectiveDirective, blockedURI, sample, sourceFile, lineNumber } = event
    void tellViolation(
      `violates ${effectiveDirective}: ${blockedURI} ${sample} at ${sourceFile}:${lineNumber}`,
    )
  })
}

/** One visitor: a browser with nothing in it. What its pages complain about is kept, what their policy forbids and what leaves this machine. */
export class Visitor {
  readonly complaints: string[] = []

  private constructor(readonly context: BrowserContext) {}

  static async arrive(browser: Browser, options: BrowserContextOptions = {}): Promise<Visitor> {
    const context = await browser.newContext({ viewport: DESKTOP, acceptDownloads: true, ...options })
    const visitor = new Visitor(context)
    context.on('request', (request) => {
      const { protocol, origin } = new URL(request.url())
      if (MADE_HERE.includes(protocol) || request.isNavigationRequest()) return
      const from = (request.serviceWorker() ?? request.frame()).url()
      if (origin !== new URL(from).origin) visitor.complaints.push(`asks elsewhere: ${request.url()}`)
    })
    await context.exposeBinding('tellViolation', (_, violation: string) => {
      visitor.complaints.push(violation)
    })
    await context.addInitScript(tellViolations)
    context.on('page', (page) => {
      page.on('console', (message) => {
        const { url } = message.location()
        // The browser itself looks for a picture for the tab of a text, which is not there.
        if (message.type() === 'error' && !url.endsWith('/favicon.ico'))
          visitor.complaints.push(`${message.text()} ${url}`)
      })
      page.on('pageerror', (error) => visitor.complaints.push(error.stack ?? error.message))
    })
    return visitor
  }

  async open(address: string): Promise<Page> {
    const page = await this.context.newPage()
    await page.goto(address)
    await page.getByRole('navigation', { name: 'Stations' }).waitFor()
    return page
  }

  async leave(): Promise<void> {
    await this.context.close()
    expect(this.complaints).toEqual([])
  }
}

/** Goes to a station over the cable, as a user does. */
export async function goTo(page: Page, station: string): Promise<void> {
  await page.getByRole('navigation', { name: 'Stations' }).getByRole('link', { name: station }).click()
  await page.getByRole('main', { name: station }).waitFor()
  await page.getByRole('main').getByRole('heading', { level: 2 }).first().waitFor()
}

/** What the title block says under a label. */
export const blockValue = (page: Page, label: string): Promise<string> =>
  page
    .locator('footer dl > div', { has: page.locator('dt', { hasText: label }) })
    .first()
    .locator('dd')
    .innerText()

/** Puts files on the shelf as somebody does who pastes them. */
export const paste = (page: Page, text: string): Promise<void> =>
  page.evaluate((pasted) => {
    const data = new DataTransfer()
    data.setData('text/plain', pasted)
    document.body.dispatchEvent(
      new ClipboardEvent('paste', { bubbles: true, cancelable: true, clipboardData: data }),
    )
  }, text)

/** The verdict of a title in the list beside the chart. */
export const verdictOf = (page: Page, title: string): Promise<string> =>
  page.getByRole('main').getByRole('button', { name: title }).locator('.verdict').innerText()

/** A pad as the Gamepad API reports it, moved by the test: the standard layout with buttons by index. */
export async function plugInPad(
  page: Page,
): Promise<(buttons: readonly number[], axes?: readonly number[]) => Promise<void>> {
  await page.evaluate(() => {
    const state = { buttons: [] as number[], axes: [0, 0, 0, 0] }
    Object.assign(window, { padState: state })
    const pad = () => ({
      id: 'Museum loan pad (STANDARD GAMEPAD Vendor: 1209 Product: 0001)',
      index: 0,
      connected: true,
      mapping: 'standard',
      timestamp: performance.now(),
      axes: [...state.axes],
      buttons: Array.from({ length: 17 }, (_, k) => {
        const pressed = state.buttons.includes(k)
        return { pressed, touched: pressed, value: pressed ? 1 : 0 }
      }),
    })
    navigator.getGamepads = () => [pad() as unknown as Gamepad, null, null, null]
  })
  return (buttons, axes = [0, 0, 0, 0]) =>
    page.evaluate(
      ([held, sticks]) => {
        Object.assign((window as unknown as { padState: object }).padState, { buttons: held, axes: sticks })
      },
      [[...buttons], [...axes]] as const,
    )
}
