import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { expect, it } from 'vitest'
import { MAX_SHELF_BYTES, SHELF_FORMAT } from '../../src/shelf/pack.ts'
import { shelfTexts, t } from '../../src/ui/app-texts.ts'
import { t as padTexts } from '../../src/ui/pad/pad-texts.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { serveApp } from './app-server.ts'
import { CHROMIUM, Visitor, blockValue, goTo, openBrowser } from './browser.ts'
import { leavesAxeContent, shot } from './looks.ts'
import { USED_DESK, WORK, WORK_KEY, besideApp, putRecords, recordsIn } from './stored.ts'

const kept = (page: Page) => page.getByText(t.saved).waitFor()

/** The work is what the page shows. */
async function atWork(visitor: Visitor, address: string): Promise<[Page, Page]> {
  const beside = await besideApp(visitor.context, address)
  await putRecords(beside, { [WORK_KEY]: WORK, desk: USED_DESK })
  const page = await visitor.open(`${address}#profile`)
  await expect.poll(() => blockValue(page, 'profile')).toBe(WORK.document.name)
  return [page, beside]
}

const press = (page: Page, name: string) => page.getByRole('button', { name }).click()

describeWith('work in a page that is disturbed', [CHROMIUM], () => {
  app.comesAndGoes()

  it('survives that the page is put to sleep in the middle of a write, and hears afterwards what it slept through', async () => {
    // The library that drives the browser switches this cache off.
    const browser = await openBrowser({ ignoreDefaultArgs: ['--disable-back-forward-cache'] })
    const visitor = await Visitor.arrive(browser)
    await visitor.context.route('**/favicon.ico', (route) => route.fulfill({ status: 204 }))
    const [page, beside] = await atWork(visitor, app.address)
    await page.evaluate(() => {
      window.addEventListener('pagehide', ({ persisted }) => Object.assign(window, { sleeps: persisted }))
      window.addEventListener('pageshow', ({ persisted }) => Object.assign(window, { wakes: persisted }))
    })
    page.on('dialog', (dialog) => void dialog.accept())
    await page.getByRole('textbox', { name: 'Name' }).fill('Typed and gone')
    await page.evaluate((elsewhere) => void (location.href = elsewhere), `${app.address}licences.txt`)
    await page.waitForURL('**/licences.txt')
    const asleep = (await recordsIn(beside))[WORK_KEY] as typeof WORK
    await putRecords(beside, {
      [WORK_KEY]: {
        ...asleep,
        revision: asleep.revision + 1,
        document: { ...asleep.document, notes: 'Written meanwhile' },
      },
    })
    // A page that wakes up does not load.
    await page.goBack({ waitUntil: 'commit' })
    await page.getByRole('navigation', { name: 'Stations' }).waitFor()
    const state = await page.evaluate(() => ({
      sleeps: Reflect.get(window, 'sleeps') as unknown,
      wakes: Reflect.get(window, 'wakes') as unknown,
    }))
    expect(state).toEqual({ sleeps: true, wakes: true })
    await kept(page)
    await expect
      .poll(() => page.getByRole('textbox', { name: 'Notes' }).inputValue())
      .toBe('Written meanwhile')
    const { document } = (await recordsIn(beside))[WORK_KEY] as typeof WORK
    expect(await blockValue(page, 'profile')).toBe(document.name)
    expect(document.notes).toBe('Written meanwhile')
    await visitor.leave()
    await browser.close()
  })

  it('is asked about before the page is left in the middle of a flash, and the flash goes on', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const [page] = await atWork(visitor, app.address)
    await kept(page)
    await goTo(page, 'Adapter')
    await page.getByRole('radio', { name: 'Bank 2' }).check()
    await page.getByText('nothing: the bank is empty').waitFor()
    const flash = page.getByRole('button', { name: 'Flash bank 2 of the demo adapter' })
    // Leaves as soon as the progress of the flash shows.
    await page.evaluate(() => {
      new MutationObserver((_, watch) => {
        if (!document.querySelector('main progress, main [role=progressbar]')) return
        watch.disconnect()
        location.href = 'licences.txt'
      }).observe(document.body, { childList: true, subtree: true })
    })
    const asked: string[] = []
    page.on('dialog', (dialog) => {
      asked.push(dialog.type())
      void dialog.dismiss()
    })
    await flash.click()
    await expect.poll(() => blockValue(page, 'last flashed')).toMatch(/bank 2, verified \(demo\)$/)
    expect(asked).toEqual(['beforeunload'])
    await visitor.leave()
  })

  it('can be saved from a tab of older code whose files are gone', async () => {
    let isGone = false
    const own = await serveApp((path, built) => (isGone && path.startsWith('/assets/') ? null : built))
    const visitor = await Visitor.arrive(app.browser)
    const [page, beside] = await atWork(visitor, own.address)
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null)
    await kept(page)
    isGone = true
    // As the worker of a newer version does with what is not its own.
    await page.evaluate(async () => {
      for (const cache of await caches.keys()) await caches.delete(cache)
    })
    const [download] = await Promise.all([page.waitForEvent('download'), press(page, 'Save the whole shelf')])
    const saved = JSON.parse(readFileSync(await download.path(), 'utf8')) as { entries: unknown[] }
    expect(saved.entries).toContainEqual(WORK)
    // The stations are all there; what was not loaded yet says so, and the page goes on.
    for (const station of ['Titles', 'Port', 'Adapter', 'Pad']) await goTo(page, station)
    await press(page, 'Learn a pad')
    await page.getByRole('alert').filter({ hasText: padTexts.noLearnSheet }).waitFor()
    await goTo(page, 'Profile')
    await page.getByRole('textbox', { name: 'Name' }).fill('Goes on')
    await kept(page)
    expect((await recordsIn(beside))[WORK_KEY]).toMatchObject({ document: { name: 'Goes on' } })
    // What is gone is all that the browser complains about.
    for (const complaint of visitor.complaints.splice(0)) expect(complaint).toMatch(/404 .*\/assets\//)
    await visitor.leave()
    await own.stop()
  })

  it('keeps its notices one above the other, which Escape takes away one by one, and axe has nothing against', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const [page] = await atWork(visitor, app.address)
    const open = async (name: string, text: string) => {
      const [chooser] = await Promise.all([page.waitForEvent('filechooser'), press(page, 'Open a file')])
      await chooser.setFiles([{ name, mimeType: 'application/json', buffer: Buffer.from(text) }])
    }
    const alerts = page.getByRole('alert').locator('p')
    for (const [k, name] of ['one.json', 'two.json', 'three.json'].entries()) {
      await open(name, '{')
      await expect.poll(() => alerts.count()).toBe(k + 1)
    }
    await press(page, 'Save the whole shelf')
    await page.getByRole('status').filter({ hasText: 'holds the whole shelf' }).waitFor()
    await leavesAxeContent(page, 'four notices')
    await shot(page, 'notices')
    for (const left of [['one.json', 'two.json'], ['one.json'], []]) {
      await page.keyboard.press('Escape')
      await expect
        .poll(() => alerts.allInnerTexts())
        .toEqual(left.map((name) => expect.stringContaining(name) as string))
    }
    await visitor.leave()
  })

  it('leaves no room for the demo when a desk that cannot be read is removed', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const beside = await besideApp(visitor.context, app.address)
    await putRecords(beside, { [WORK_KEY]: WORK, desk: 'no desk' })
    const page = await visitor.open(`${app.address}#profile`)
    await page
      .getByRole('region', { name: 'Records that cannot be read' })
      .getByRole('button', { name: 'Remove desk' })
      .click()
    await page.getByRole('dialog').getByRole('button', { name: 'Remove it' }).click()
    await page.getByRole('region', { name: 'Records that cannot be read' }).waitFor({ state: 'detached' })
    await page.reload()
    await expect.poll(() => blockValue(page, 'profile')).toBe(WORK.document.name)
    await kept(page)
    expect(
      Object.keys(await recordsIn(beside)).filter((key) => /^(title|profile|layout):/.test(key)),
    ).toEqual([WORK_KEY])
    await visitor.leave()
  })

  it('comes back out of the largest file that a saved shelf may be, and goes with one step of undo', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const [page, beside] = await atWork(visitor, app.address)
    const entries = Array.from({ length: 1_000 }, (_, k) => ({ ...WORK, id: `saved-${k}` }))
    // What cannot be read is as large as it likes.
    const large = { key: 'title:large', record: { version: 99, rest: '' } }
    const fileOf = () => JSON.stringify({ format: SHELF_FORMAT, version: 1, entries, unreadable: [large] })
    large.record.rest = 'r'.repeat(MAX_SHELF_BYTES - fileOf().length)
    const drop = (text: string) =>
      page.evaluate((text) => {
        const dataTransfer = new DataTransfer()
        dataTransfer.items.add(new File([text], 'large.json'))
        const event = new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true })
        document.body.dispatchEvent(event)
      }, text)
    await drop(fileOf())
    await page.getByText(shelfTexts.restored({ file: 'large.json', restored: 1_000, there: 0 })).waitFor()
    await page.getByRole('region', { name: 'Records that cannot be read' }).waitFor()
    await page.getByText(t.saved).waitFor()
    const records = await recordsIn(beside)
    expect(Object.keys(records)).toHaveLength(1_000 + 3)
    expect(records['title:large']).toEqual(large.record)
    expect(records[WORK_KEY]).toEqual(WORK)
    await press(page, t.undoOf({ what: shelfTexts.restore }))
    await expect
      .poll(async () => Object.keys(await recordsIn(beside)).sort())
      .toEqual(['desk', WORK_KEY, 'title:large'])
    large.record.rest += 'r'
    await drop(fileOf())
    await page.getByRole('alert').filter({ hasText: 'Nothing was changed.' }).waitFor()
    await visitor.leave()
  })
})
