import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { expect, it } from 'vitest'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { CHROMIUM, Visitor, goTo } from './browser.ts'

const CAPTURE = readFileSync(
  new URL('../../static/demo/captures/copper-kite-rally.vcd', import.meta.url),
  'utf8',
)

const drop = (page: Page, name: string, text: string) =>
  page.evaluate(
    ([file, content]) => {
      const data = new DataTransfer()
      data.items.add(new File([content], file))
      for (const type of ['dragenter', 'dragover', 'drop'])
        document.body.dispatchEvent(
          new DragEvent(type, { bubbles: true, cancelable: true, dataTransfer: data }),
        )
    },
    [name, text] as const,
  )

/** What a visitor complains about once this was done to a page. */
async function complaintsAbout(deed: (page: Page) => Promise<void>): Promise<string[]> {
  const visitor = await Visitor.arrive(app.browser)
  const page = await visitor.open(`${app.address}#port`)
  await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
  expect(visitor.complaints).toEqual([])
  await deed(page)
  await expect.poll(() => visitor.complaints.some((one) => one.startsWith('violates'))).toBe(true)
  await visitor.context.close()
  await expect(visitor.leave()).rejects.toThrow('to deeply equal []')
  return visitor.complaints
}

describeWith('what the page may load and run', [CHROMIUM], () => {
  app.comesAndGoes()

  it('is said in the page and in the headers, and the app asks for nothing else', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const response = await (await visitor.context.newPage()).goto(app.address)
    expect(response?.headers()['content-security-policy']).toMatch(/^default-src 'none'; script-src 'self';/)
    const page = await visitor.open(app.address)
    const said = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute('content')
    expect(said).toMatch(/; require-trusted-types-for 'script'; trusted-types ninepin svelte-trusted-html$/)

    // All stations and their sheets, a capture, a flash of the demo adapter, a fix.
    for (const station of ['Pad', 'Profile', 'Adapter', 'Port', 'Titles']) await goTo(page, station)
    await goTo(page, 'Port')
    await page.getByRole('button', { name: 'Fix it: stop after the second cycle' }).click()
    await goTo(page, 'Adapter')
    await page.getByRole('button', { name: 'Flash bank 1 of the demo adapter' }).click()
    await page.getByText('Verified: every byte matches.').waitFor()
    await drop(page, 'evening.vcd', CAPTURE)
    await page.getByRole('dialog').getByRole('button', { name: 'Put it on the shelf' }).waitFor()
    await page.keyboard.press('Escape')
    await visitor.leave()
  })

  it('has the licences of all that is in it behind a link, without a network, too', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await visitor.open(app.address)
    await page.evaluate(() => navigator.serviceWorker.ready)
    await visitor.context.setOffline(true)
    await page.keyboard.press('?')
    const opened = page.waitForEvent('popup')
    await page.getByRole('link', { name: 'Licences of everything in it' }).click()
    const licences = await opened
    const text = await licences.locator('body').innerText()
    const names = ['ninepin', 'svelte', 'valibot', 'fflate', 'rp2040js', 'workbox-precaching', 'vite']
    for (const name of names) expect(text).toMatch(new RegExp(`^${name} \\d+\\.\\d+\\.\\d+ \\(MIT\\)$`, 'm'))
    expect(text).toMatch(/^@fontsource\/barlow-semi-condensed \S+ \(OFL-1\.1\)$/m)
    expect(text).toContain('SIL OPEN FONT LICENSE Version 1.1')
    expect(text).toContain('GCC Runtime Library Exception')
    await visitor.leave()
  })

  it('lets no inline style through, and the tests see it', async () => {
    const complaints = await complaintsAbout((page) =>
      page.evaluate(() => document.body.setAttribute('style', 'color: red')),
    )
    expect(complaints.join('\n')).toMatch(/violates style-src-attr: inline/)
  })

  it('lets no inline script through, nor the address of a worker that went by no policy', async () => {
    const script = await complaintsAbout((page) =>
      page.evaluate(() => {
        const script = document.createElement('script')
        try {
          script.textContent = 'alert(1)'
        } catch {
          // Told by the policy.
        }
        document.body.append(script)
      }),
    )
    expect(script.join('\n')).toMatch(/violates (script-src-attr|require-trusted-types-for)/)
    const worker = await complaintsAbout((page) =>
      page.evaluate(() => {
        try {
          new Worker('assets/any.js')
        } catch {
          // Told by the policy.
        }
      }),
    )
    expect(worker.join('\n')).toMatch(/violates require-trusted-types-for: trusted-types-sink/)
  })

  it('lets nothing ask elsewhere, and the tests see it', async () => {
    const complaints = await complaintsAbout((page) =>
      page.evaluate(() => void fetch('http://elsewhere.invalid/lamp').catch(() => undefined)),
    )
    expect(complaints.join('\n')).toMatch(/violates connect-src: http:\/\/elsewhere\.invalid/)
  })

  it('sees a request that leaves the page where no policy forbids it', async () => {
    const visitor = await Visitor.arrive(app.browser, { bypassCSP: true })
    const page = await visitor.open(app.address)
    await page.evaluate(() => void fetch('http://elsewhere.invalid/lamp').catch(() => undefined))
    await expect.poll(() => visitor.complaints).toContain('asks elsewhere: http://elsewhere.invalid/lamp')
    await visitor.context.close()
  })
})
