import { readFileSync } from 'node:fs'
import type { BrowserContext, Page } from 'playwright-core'
import { expect, it } from 'vitest'
import { t } from '../../src/ui/app-texts.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { serveApp } from './app-server.ts'
import { CHROMIUM, Visitor, blockValue, goTo } from './browser.ts'
import { leavesAxeContent, shot } from './looks.ts'
import { NEWER, NEWER_KEY, USED_DESK, WORK, WORK_KEY, besideApp, putRecords, recordsIn } from './stored.ts'

/** The records of somebody who worked here for hours, and the page that sees them. */
async function stored(
  context: BrowserContext,
  records: Readonly<Record<string, unknown>> = { [WORK_KEY]: WORK, desk: USED_DESK },
): Promise<Page> {
  const beside = await besideApp(context, app.address)
  await putRecords(beside, records)
  return beside
}

/** The work is there in its revision or a later one, and it is what the page shows. */
async function hasWork(page: Page, beside: Page): Promise<void> {
  await expect.poll(() => blockValue(page, 'profile')).toBe('Work of hours')
  // What a file brought stands on the page before its write has ended.
  await expect.poll(async () => (await recordsIn(beside))[WORK_KEY]).toEqual(WORK)
}

const kept = (page: Page) => page.getByText(t.saved).waitFor()

/** Changes how the browser's database behaves, before the app begins. The function runs in the page. */
const withDatabase = (context: BrowserContext, change: () => void) => context.addInitScript(change)

describeWith('what is stored', [CHROMIUM], () => {
  app.comesAndGoes()

  it('is there though the database opens later than the app waits, and what was made meanwhile stands beside it', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const beside = await stored(visitor.context)
    await withDatabase(visitor.context, () => {
      const opening = new Promise<void>((resolve) => Object.assign(window, { letItOpen: resolve }))
      const open = IDBFactory.prototype.open
      IDBFactory.prototype.open = function (...args) {
        const request = open.apply(this, args)
        const late: { heard: ((event: Event) => void) | null } = { heard: null }
        Object.defineProperty(request, 'onsuccess', { set: (heard) => (late.heard = heard) })
        request.addEventListener('success', (event) => {
          void opening.then(() => late.heard?.(event))
        })
        return request
      }
    })
    const page = await visitor.open(`${app.address}#profile`)
    await page.getByText('The shelf is still being read.').waitFor()
    expect(await page.getByText(t.saved).count()).toBe(0)
    await page.getByRole('textbox', { name: 'Name' }).fill('Made meanwhile')
    await page.evaluate(() => (Reflect.get(window, 'letItOpen') as () => void)())
    await kept(page)
    const records = await recordsIn(beside)
    expect(records[WORK_KEY]).toEqual(WORK)
    const names = Object.values(records).map((one) => (one as typeof WORK).document?.name)
    expect(names).toContain('Made meanwhile')
    await page.getByRole('button', { name: /^Work of hours/ }).waitFor()
    // Nothing of the demo was laid out over it or beside it.
    expect(Object.keys(records).filter((key) => key.startsWith('title:'))).toEqual([])
    await visitor.leave()
  })

  it('is there though another page writes for six seconds', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const beside = await stored(visitor.context)
    await beside.evaluate(() => {
      const request = indexedDB.open('ninepin')
      request.onsuccess = () => {
        const objects = request.result.transaction('shelf', 'readwrite').objectStore('shelf')
        const untilMs = performance.now() + 6_000
        const hold = () => {
          if (performance.now() < untilMs) objects.get('nothing').onsuccess = hold
          else request.result.close()
        }
        hold()
      }
    })
    const page = await visitor.open(app.address)
    await hasWork(page, beside)
    await kept(page)
    await visitor.leave()
  })

  it('is there though the first opening fails', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const beside = await stored(visitor.context)
    await withDatabase(visitor.context, () => {
      const open = IDBFactory.prototype.open
      let opened = 0
      IDBFactory.prototype.open = function (...args) {
        if (opened++ === 0) throw new DOMException('a hiccup', 'UnknownError')
        return open.apply(this, args)
      }
    })
    const page = await visitor.open(app.address)
    await hasWork(page, beside)
    await kept(page)
    await visitor.leave()
  })

  it('is there though the desk cannot be read and a profile is of a newer version', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const beside = await stored(visitor.context, { [WORK_KEY]: WORK, [NEWER_KEY]: NEWER, desk: 'no desk' })
    const page = await visitor.open(app.address)
    await hasWork(page, beside)
    await kept(page)
    expect(await recordsIn(beside)).toEqual({ [WORK_KEY]: WORK, [NEWER_KEY]: NEWER, desk: 'no desk' })
    await visitor.leave()
  })

  it('is not overwritten by the demo, and a record of a newer version can be saved and is removed by the user alone', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const beside = await stored(visitor.context, { [WORK_KEY]: WORK, [NEWER_KEY]: NEWER, desk: USED_DESK })
    const page = await visitor.open(`${app.address}#titles`)
    await page.getByRole('button', { name: 'Lay out the demo' }).click()
    await kept(page)
    await goTo(page, 'Profile')
    const list = page.getByRole('region', { name: 'Records that cannot be read' })
    await list.getByText(`${NEWER_KEY}: version:`).waitFor()
    expect((await recordsIn(beside))[NEWER_KEY]).toEqual(NEWER)
    expect((await recordsIn(beside))[WORK_KEY]).toEqual(WORK)
    await leavesAxeContent(page, 'records that cannot be read')
    await shot(page, 'unreadable')
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      list.getByRole('button', { name: `Save as a file: ${NEWER_KEY}` }).click(),
    ])
    expect(JSON.parse(readFileSync(await download.path(), 'utf8'))).toEqual(NEWER)
    await list.getByRole('button', { name: `Remove ${NEWER_KEY}` }).click()
    await page.getByRole('dialog').getByRole('button', { name: 'Remove it' }).click()
    await list.waitFor({ state: 'detached' })
    expect((await recordsIn(beside))[NEWER_KEY]).toBeUndefined()
    await visitor.leave()
  })

  it('is not overwritten by a tab with older code: its edit becomes a copy', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const beside = await stored(visitor.context)
    const page = await visitor.open(`${app.address}#profile`)
    await hasWork(page, beside)
    const lifted = { ...NEWER, id: WORK.id }
    await putRecords(beside, { [WORK_KEY]: lifted })
    await page.getByRole('textbox', { name: 'Name' }).fill('Typed in the old tab')
    await page.getByRole('alert').filter({ hasText: 'saved as a copy' }).waitFor()
    await kept(page)
    const records = await recordsIn(beside)
    expect(records[WORK_KEY]).toEqual(lifted)
    const copies = Object.values(records).filter(
      (one) => (one as typeof WORK).document?.name === 'Typed in the old tab',
    )
    expect(copies).toHaveLength(1)
    await visitor.leave()
  })

  it('keeps what two tabs change at once in different fields, round after round', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const beside = await stored(visitor.context)
    const [one, other] = [
      await visitor.open(`${app.address}#profile`),
      await visitor.open(`${app.address}#profile`),
    ]
    await hasWork(one, beside)
    await hasWork(other, beside)
    for (let round = 1; round <= 8; round++) {
      await Promise.all([
        one.getByRole('textbox', { name: 'Name' }).fill(`Round ${round}`),
        other.getByRole('textbox', { name: 'Notes' }).fill(`Notes of round ${round}`),
      ])
      await expect
        .poll(async () => {
          const { document } = (await recordsIn(beside))[WORK_KEY] as typeof WORK
          return [document.name, document.notes]
        })
        .toEqual([`Round ${round}`, `Notes of round ${round}`])
      for (const page of [one, other]) {
        await expect.poll(() => blockValue(page, 'profile')).toBe(`Round ${round}`)
        await expect
          .poll(() => page.getByRole('textbox', { name: 'Notes' }).inputValue())
          .toBe(`Notes of round ${round}`)
      }
    }
    await visitor.leave()
  })

  it('is tried again by itself after a full disk, and leaving meanwhile asks', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const beside = await stored(visitor.context)
    await withDatabase(visitor.context, () => {
      const put = IDBObjectStore.prototype.put
      IDBObjectStore.prototype.put = function (...args) {
        if ('diskIsFull' in window) throw new DOMException('full', 'QuotaExceededError')
        return put.apply(this, args)
      }
    })
    const page = await visitor.open(`${app.address}#profile`)
    await hasWork(page, beside)
    await page.evaluate(() => Object.assign(window, { diskIsFull: true }))
    await page.getByRole('textbox', { name: 'Name' }).fill('On a full disk')
    await page.getByText('no room left').waitFor()
    await page.getByText(t.notSaved, { exact: true }).waitFor()
    expect((await recordsIn(beside))[WORK_KEY]).toEqual(WORK)
    const [dialog] = await Promise.all([page.waitForEvent('dialog'), page.close({ runBeforeUnload: true })])
    expect(dialog.type()).toBe('beforeunload')
    await dialog.dismiss()
    await page.evaluate(() => Reflect.deleteProperty(window, 'diskIsFull'))
    await kept(page)
    expect((await recordsIn(beside))[WORK_KEY]).toMatchObject({
      revision: 4,
      document: { name: 'On a full disk' },
    })
    await visitor.leave()
  })

  it('comes back from memory after the browser’s storage was cleared', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const beside = await stored(visitor.context, { [WORK_KEY]: WORK, 'title:x': 'rubbish', desk: USED_DESK })
    const page = await visitor.open(`${app.address}#profile`)
    await hasWork(page, beside)
    const session = await visitor.context.newCDPSession(page)
    const { origin } = new URL(app.address)
    await session.send('Storage.clearDataForOrigin', { origin, storageTypes: 'indexeddb' })
    await expect.poll(async () => (await recordsIn(beside))[WORK_KEY]).toEqual(WORK)
    await expect.poll(async () => (await recordsIn(beside))['title:x']).toBe('rubbish')
    await kept(page)
    await visitor.leave()
  })

  it('goes into one file with one press, and comes back out of it', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const left = { label: 'left', layoutIds: null }
    const desk = { ...USED_DESK, adapters: { A1: left, B2: { ...left, label: 'right' } } }
    const beside = await stored(visitor.context, { [WORK_KEY]: WORK, [NEWER_KEY]: NEWER, desk })
    const page = await visitor.open(`${app.address}#profile`)
    await hasWork(page, beside)
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save the whole shelf' }).click(),
    ])
    expect(download.suggestedFilename()).toMatch(/^ninepin-shelf-\d{4}-\d{2}-\d{2}\.json$/)
    const file = {
      name: 'shelf.json',
      mimeType: 'application/json',
      buffer: readFileSync(await download.path()),
    }
    await visitor.leave()

    const other = await Visitor.arrive(app.browser)
    const besideOther = await stored(other.context, {
      desk: { seeded: true, visited: true, adapters: { B2: { ...left, label: 'mine' } } },
    })
    const elsewhere = await other.open(`${app.address}#profile`)
    const [chooser] = await Promise.all([
      elsewhere.waitForEvent('filechooser'),
      elsewhere.getByRole('button', { name: 'Open a file' }).click(),
    ])
    await chooser.setFiles([file])
    await hasWork(elsewhere, besideOther)
    await elsewhere.getByRole('region', { name: 'Records that cannot be read' }).waitFor()
    await kept(elsewhere)
    expect((await recordsIn(besideOther))[NEWER_KEY]).toEqual(NEWER)
    expect((await recordsIn(besideOther))['desk']).toMatchObject({
      adapters: { A1: left, B2: { ...left, label: 'mine' } },
    })
    await other.leave()
  })

  it('is offered as a file before it is stored in the form of this version', async () => {
    const visitor = await Visitor.arrive(app.browser)
    // Version 1 had no sticks and no chords (src/profile/migrate.ts).
    const { sticks: _, chords: __, ...rest } = WORK.document
    const before = { ...WORK, document: { ...rest, version: 1 } }
    const beside = await stored(visitor.context, { [WORK_KEY]: before, desk: USED_DESK })
    const page = await visitor.open(`${app.address}#profile`)
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save the shelf as a file first' }).click(),
    ])
    const saved = JSON.parse(readFileSync(await download.path(), 'utf8')) as { entries: unknown[] }
    // As it was written, for the Ninepin that wrote it.
    expect(saved.entries).toEqual([before])
    expect((await recordsIn(beside))[WORK_KEY]).toEqual(before)
    await page.getByRole('textbox', { name: 'Notes' }).fill('Edited now')
    await page.getByText('From an older version.').waitFor({ state: 'detached' })
    await visitor.leave()
  })

  it('does not go with a newer version of the app: no tab is reloaded by another, and none that is busy', async () => {
    let version = 1
    const own = await serveApp((path, built) =>
      path === '/sw.js' ? Buffer.concat([built, Buffer.from(`\n// ${version}\n`)]) : built,
    )
    const visitor = await Visitor.arrive(app.browser)
    const one = await visitor.open(`${own.address}#profile`)
    await one.waitForFunction(() => navigator.serviceWorker.controller !== null)
    const other = await visitor.open(`${own.address}#profile`)
    await other.getByRole('textbox', { name: 'Name' }).waitFor()
    await kept(other)
    version = 2
    await one.evaluate(async () => (await navigator.serviceWorker.ready).update())
    for (const page of [one, other]) {
      await page.getByText('Update available.').waitFor()
      await page.evaluate(() => Object.assign(window, { isThisPage: true }))
    }
    const isSame = (page: Page) => page.evaluate(() => 'isThisPage' in window)
    // The other tab flashes.
    await other.evaluate(() => {
      const held = new Promise<void>((resolve) => Object.assign(window, { letGo: resolve }))
      void navigator.locks.request('ninepin-busy', { mode: 'shared' }, () => held)
    })
    await one.getByRole('button', { name: 'Reload' }).click()
    await one.getByRole('alert').filter({ hasText: 'Another tab is flashing' }).waitFor()
    expect([await isSame(one), await isSame(other)]).toEqual([true, true])
    await other.evaluate(() => (window as unknown as { letGo: () => void }).letGo())
    await Promise.all([one.waitForEvent('load'), one.getByRole('button', { name: 'Reload' }).click()])
    await other.getByText('Updated in another tab.').waitFor()
    expect([await isSame(one), await isSame(other)]).toEqual([false, true])
    await visitor.leave()
    await own.stop()
  })
})
