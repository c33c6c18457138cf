import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { expect, it } from 'vitest'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import { readProfile, writeProfile } from '../../src/profile/file.ts'
import { describeWith } from '../tools.ts'
import { app } from './app-in-browser.ts'
import { serveApp } from './app-server.ts'
import { CHROMIUM, PHONE, Visitor, blockValue, goTo, plugInPad, verdictOf } from './browser.ts'
import { filled, leavesAxeContent, overflow, shot } from './looks.ts'
import { besideApp, recordsIn } from './stored.ts'

const MISREADER = 'Copper Kite Rally'
const STATIONS = ['Pad', 'Profile', 'Adapter', 'Port', 'Titles'] as const

/** Past the first visit, on the Port. */
async function settled(visitor: Visitor): Promise<Page> {
  const page = await visitor.open(app.address)
  await page.getByRole('button', { name: 'See why a title misreads' }).click()
  await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
  await expect.poll(() => verdictOf(page, MISREADER)).toBe('misread')
  return page
}

const choose = (page: Page, files: { name: string; text: string | Buffer }[]) =>
  Promise.all([
    page.waitForEvent('filechooser').then((chooser) =>
      chooser.setFiles(
        files.map(({ name, text }) => ({
          name,
          mimeType: 'application/json',
          buffer: Buffer.from(text as string),
        })),
      ),
    ),
    page.getByRole('button', { name: 'Open a file' }).click(),
  ])

describeWith('the whole job in a browser', [CHROMIUM], () => {
  app.comesAndGoes()

  it('begins with a press that lights on the pad, in the chart and on the connector', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await visitor.open(app.address)
    await page.getByRole('heading', { name: 'Press any button on your pad.' }).waitFor()
    await page.getByText('Nothing here reaches a real adapter.').waitFor()
    await shot(page, 'first-visit')

    await page.keyboard.down('ArrowDown')
    await expect.poll(() => filled(page)).toEqual(['Down'])
    expect(await page.locator('[data-control="dpad-down"].held').count()).toBe(1)
    await page.getByText('The port has Down.').waitFor()
    expect(await page.getByLabel(/^pin 2 low/).count()).toBe(1)
    await page.keyboard.up('ArrowDown')
    await expect.poll(() => filled(page)).toEqual([])

    const press = await plugInPad(page)
    await press([2])
    await expect.poll(() => filled(page)).toEqual(['A'])
    await press([])
    await expect.poll(() => filled(page)).toEqual([])

    const arm = page.locator('[data-control="face-east"]')
    await arm.hover()
    await page.mouse.down()
    await expect.poll(() => filled(page)).toEqual(['C'])
    await page.mouse.up()
    await expect.poll(() => filled(page)).toEqual([])
    await visitor.leave()
  })

  it('edits, sees the verdict turn, flashes, reads back, and finds everything after a reload', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await settled(visitor)

    const press = await plugInPad(page)
    await press([13, 2], [0, 0, 0, 0])
    await expect.poll(() => filled(page)).toEqual(['Down', 'A'])
    await page.getByText('sees Up and Down').waitFor()
    await shot(page, 'port')
    await press([], [-0.9, 0, 0, 0])
    await expect.poll(() => filled(page)).toEqual(['Left'])
    await press([])

    await page.getByRole('button', { name: 'Fix it: stop after the second cycle' }).click()
    await expect.poll(() => verdictOf(page, MISREADER)).toBe('clean')
    await expect.poll(() => page.getByRole('status').allInnerTexts()).toContain(`${MISREADER} is clean now.`)
    await page.keyboard.press('Control+z')
    await expect.poll(() => verdictOf(page, MISREADER)).toBe('misread')
    await page.keyboard.press('Control+Shift+z')
    await expect.poll(() => verdictOf(page, MISREADER)).toBe('clean')
    await page.keyboard.press('Control+s')
    await page.getByText('Already saved: every edit saves itself.').waitFor()

    await goTo(page, 'Profile')
    await page.getByLabel('Name').fill('Evening, two cycles')
    const mapping = page.getByRole('group', { name: 'Controls for B', exact: true })
    await mapping.getByRole('button', { name: 'from the pad, for B' }).click()
    await press([7])
    await mapping.getByText('Right trigger').waitFor()
    await press([])

    await goTo(page, 'Adapter')
    await page.getByRole('radio', { name: 'Bank 2' }).check()
    await page.getByText('nothing: the bank is empty').waitFor()
    await page.getByRole('button', { name: 'Flash bank 2 of the demo adapter' }).click()
    await page.getByText('Verified: every byte matches.').waitFor()
    await page.getByText('matches the open profile', { exact: true }).waitFor()
    await shot(page, 'flashed')
    const revision = await blockValue(page, 'revision')
    const image = await blockValue(page, 'image')
    expect(await blockValue(page, 'last flashed')).toBe(`rev ${revision}, bank 2, verified (demo)`)

    await page.reload()
    await page.getByRole('heading', { name: 'Banks' }).waitFor()
    expect(await blockValue(page, 'profile')).toBe('Evening, two cycles')
    expect(await blockValue(page, 'revision')).toBe(revision)
    expect(await blockValue(page, 'image')).toBe(image)
    await page.getByText('matches the open profile', { exact: true }).waitFor()

    await goTo(page, 'Profile')
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Export Evening, two cycles' }).click(),
    ])
    expect(download.suggestedFilename()).toBe('evening-two-cycles.profile.json')
    const exported = readProfile(readFileSync(await download.path()))
    expect(exported.ok && exported.value.name).toBe('Evening, two cycles')
    expect(exported.ok && exported.value.mapping.b).toEqual(['face-south', 'trigger-right'])
    expect(exported.ok && exported.value.chart.cycles.length).toBe(2)
    await visitor.leave()
  })

  it('flashes the emulated chip, and draws what stands on its pins', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await settled(visitor)
    /** How often a pin moved in the read of five cycles, as the analyser on the chip saw it. */
    const changes = async (pin: number) =>
      (await page.getByRole('img', { name: `pin ${pin}: ` }).getAttribute('aria-label')) ?? ''
    const flashActive = async () => {
      await goTo(page, 'Adapter')
      await page.getByRole('radio', { name: 'Bank 1' }).check()
      await page.getByRole('button', { name: 'Flash bank 1 of the demo adapter' }).click()
      await page.getByText('Matches the profile in every phase').waitFor()
    }
    await flashActive()
    // Six buttons: pins 1 and 2 go low for the third low; pins 3 and 4 in the lows of cycles 1, 2, 3 and 5.
    expect([await changes(1), await changes(3)]).toEqual(['pin 1: 2 changes', 'pin 3: 8 changes'])
    expect(await page.getByText('Matches the profile in every phase').innerText()).toMatch(
      /the pins settled (32|40|48) ns to (32|40|48) ns after the edge/,
    )
    await shot(page, 'measured')

    await goTo(page, 'Port')
    await page.getByRole('button', { name: 'Fix it: stop after the second cycle' }).click()
    await expect.poll(() => verdictOf(page, MISREADER)).toBe('clean')
    await flashActive()
    await expect.poll(() => changes(1)).toBe('pin 1: 0 changes')
    expect(await changes(3)).toBe('pin 3: 10 changes')

    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save bank 1 as UF2' }).click(),
    ])
    expect(download.suggestedFilename()).toMatch(/-bank-1\.uf2$/)
    // UF2 specification: every block begins with this word.
    expect(readFileSync(await download.path()).readUInt32LE(0)).toBe(0x0a324655)
    await visitor.leave()
  })

  it('tells what is wrong with a file in one sentence, and nothing changes', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await settled(visitor)
    await goTo(page, 'Profile')
    const before = [await blockValue(page, 'profile'), await blockValue(page, 'revision')]
    const sound = writeProfile(BUILT_IN_PROFILES['three-button'])
    const cases: [string, string | Buffer, RegExp][] = [
      ['cut.json', sound.slice(0, 400), /cut\.json: line \d+: the file is cut off/],
      [
        'newer.json',
        sound.replace(/"version": \d+/, '"version": 9'),
        /newer\.json: version: .*newer Ninepin/,
      ],
      ['cell.json', sound.replace('"1": "up"', '"1": "upp"'), /cell\.json: chart\.cycles\[0\]/],
      ['large.json', 'x'.repeat(300_000), /large\.json: the file has 300000 bytes/],
      ['bytes.json', Buffer.from([0x7b, 0xff, 0xfe]), /bytes\.json: byte 1: the file is not UTF-8/],
    ]
    for (const [name, text, sentence] of cases) {
      await choose(page, [{ name, text }])
      const alert = page.getByRole('alert').filter({ hasText: sentence })
      await alert.waitFor()
      expect(await alert.innerText()).toContain('Nothing was changed.')
      expect([await blockValue(page, 'profile'), await blockValue(page, 'revision')]).toEqual(before)
    }
    await choose(page, [{ name: 'sound.json', text: sound }])
    await expect.poll(() => blockValue(page, 'profile')).toBe('Three buttons')

    // Dropped anywhere, and pasted.
    await page.evaluate(
      (text) => {
        const data = new DataTransfer()
        data.items.add(new File([text], 'dropped.json'))
        for (const type of ['dragenter', 'dragover', 'drop'])
          document.body.dispatchEvent(
            new DragEvent(type, { bubbles: true, cancelable: true, dataTransfer: data }),
          )
      },
      sound.replace('Three buttons', 'Dropped'),
    )
    await expect.poll(() => blockValue(page, 'profile')).toBe('Dropped')
    await page.evaluate(
      (text) => {
        const data = new DataTransfer()
        data.setData('text/plain', text)
        document.body.dispatchEvent(
          new ClipboardEvent('paste', { bubbles: true, cancelable: true, clipboardData: data }),
        )
      },
      sound.replace('Three buttons', 'Pasted'),
    )
    await expect.poll(() => blockValue(page, 'profile')).toBe('Pasted')
    await visitor.leave()
  })

  it('keeps the open work when a field is refused, with the sentence beside it', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await settled(visitor)
    await goTo(page, 'Profile')
    const name = page.getByLabel('Name')
    await name.fill('A name that is far too long for the adapter to keep')
    await page.getByText('the adapter keeps 32 at most').waitFor()
    expect(await name.getAttribute('aria-invalid')).toBe('true')
    expect(await blockValue(page, 'profile')).toBe('Evening set-up')
    await page.getByLabel('Idle reset').fill('1.2')
    await page.getByText('expected a whole number from 10000 to 100000000 ns').waitFor()
    await page.keyboard.press('Tab')
    expect(await page.getByLabel('Idle reset').inputValue()).toBe('1500')
    await visitor.leave()
  })

  it('is all there for the keyboard alone', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await visitor.open(app.address)
    await page.getByRole('heading', { name: 'Press any button on your pad.' }).waitFor()
    const tabTo = async (name: string | RegExp) => {
      for (let k = 0; k < 80; k++) {
        await page.keyboard.press('Tab')
        const at = await page.evaluate(() => {
          const element = document.activeElement
          return (
            element?.getAttribute('aria-label') ?? element?.textContent?.trim().replaceAll(/\s+/g, ' ') ?? ''
          )
        })
        if (typeof name === 'string' ? at === name : name.test(at)) return
      }
      throw new Error(`Tab never came to ${name}`)
    }
    await tabTo('See why a title misreads')
    await page.keyboard.press('Enter')
    await expect.poll(() => verdictOf(page, MISREADER)).toBe('misread')
    expect(await page.evaluate(() => document.activeElement?.localName)).toBe('main')

    await tabTo('Unlock the chart')
    await page.keyboard.press('Enter')
    await tabTo(/^cycle \d.*, (select|pin \d): /)
    await page.keyboard.press('Control+Home')
    await page.keyboard.press('ArrowDown')
    for (let k = 0; k < 5; k++) await page.keyboard.press('ArrowRight')
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toMatch(
      /^cycle 3 low, pin 1: low/,
    )
    const focused = () => page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? '')
    await page.keyboard.press('u')
    await expect.poll(focused).toMatch(/^cycle 3 low, pin 1: Up/)
    await page.keyboard.press('ArrowDown')
    await page.keyboard.press('Delete')
    await expect.poll(focused).toMatch(/^cycle 3 low, pin 2: Down/)
    await page.keyboard.press('Control+z')
    await expect.poll(focused).toMatch(/^cycle 3 low, pin 2: low/)
    await page.keyboard.press('Control+z')

    await tabTo('Fix it: stop after the second cycle')
    await page.keyboard.press('Enter')
    await expect.poll(() => verdictOf(page, MISREADER)).toBe('clean')
    await page.keyboard.press('Control+Home')
    await tabTo(/^Adapter/)
    await page.keyboard.press('Enter')
    await page.getByRole('heading', { name: 'Banks' }).waitFor()
    await tabTo('Flash bank 1 of the demo adapter')
    await page.keyboard.press('Enter')
    await page.getByText('Verified: every byte matches.').waitFor()

    await page.keyboard.press('Escape')
    await page.keyboard.press('?')
    await page.getByRole('dialog', { name: 'Keys' }).waitFor()
    await page.keyboard.press('Escape')
    await page.getByRole('dialog', { name: 'Keys' }).waitFor({ state: 'hidden' })
    await visitor.leave()
  })

  it('judges a title of mine as I type it', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await settled(visitor)
    await page.getByRole('button', { name: 'Add a title of mine' }).click()
    const name = page.getByRole('textbox', { name: 'Name' })
    await expect.poll(() => name.evaluate((element) => element === document.activeElement)).toBe(true)
    await name.fill('Gull Weather')
    const form = page.getByRole('region', { name: 'Read pattern: Gull Weather' })
    // Nobody has said yet what it samples.
    await expect.poll(() => form.locator('.verdict').innerText()).toBe('undecided')
    await form.getByLabel('Cycles per read').fill('5')
    await form.getByLabel('Inputs read').selectOption('every')
    await expect.poll(() => form.locator('.verdict').innerText()).toBe('misread')
    const spacing = form.getByRole('group', { name: 'From one edge to the next within a read' })
    await spacing.getByLabel('at least').fill('9')
    await spacing.getByText('This is above “at most”').waitFor()
    await spacing.getByLabel('at least').fill('4')
    await shot(page, 'title-form')
    await page.getByRole('button', { name: 'Remove Gull Weather' }).click()
    await page.getByRole('heading', { name: 'Gull Weather', exact: true }).waitFor({ state: 'detached' })
    await page.getByRole('button', { name: /^Undo/ }).click()
    await page.getByRole('heading', { name: 'Gull Weather', exact: true }).waitFor()
    await visitor.leave()
  })

  it('takes several files in one step, beside one that is wrong', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await settled(visitor)
    await goTo(page, 'Profile')
    const before = await blockValue(page, 'profile')
    const named = (name: string) => writeProfile({ ...BUILT_IN_PROFILES['three-button'], name })
    await choose(page, [
      { name: 'gull.json', text: named('Gull') },
      { name: 'cut.json', text: named('Cut').slice(0, 300) },
      { name: 'tern.json', text: named('Tern') },
    ])
    const alert = page.getByRole('alert').filter({ hasText: 'cut.json: line' })
    await alert.waitFor()
    expect(await alert.innerText()).toContain('Gull and Tern are on the shelf; Tern is open.')
    await expect.poll(() => blockValue(page, 'profile')).toBe('Tern')
    await page.getByRole('button', { name: 'Undo import of Gull and Tern' }).click()
    await expect.poll(() => blockValue(page, 'profile')).toBe(before)
    expect(await page.getByRole('button', { name: 'Export Gull' }).count()).toBe(0)
    await visitor.leave()
  })

  it('keeps the sheet that was chosen, whatever the system prefers', async () => {
    const visitor = await Visitor.arrive(app.browser, { colorScheme: 'light' })
    const page = await settled(visitor)
    const ground = () => page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor)
    const paper = await ground()
    await page.getByLabel('Sheet', { exact: true }).selectOption('blueprint')
    await expect.poll(ground).not.toBe(paper)
    const blueprint = await ground()
    const beside = await besideApp(visitor.context, app.address)
    await expect.poll(async () => (await recordsIn(beside))['desk']).toMatchObject({ sheet: 'blueprint' })
    await page.reload()
    await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
    expect(await ground()).toBe(blueprint)
    await page.getByLabel('Sheet', { exact: true }).selectOption('system')
    await expect.poll(ground).toBe(paper)
    await page.emulateMedia({ colorScheme: 'dark' })
    await expect.poll(ground).toBe(blueprint)
    await page.getByLabel('Sheet', { exact: true }).selectOption('paper')
    await expect.poll(ground).toBe(paper)
    await visitor.leave()
  })

  it('mends a title by keys alone, and the focus stays beside what was mended', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await settled(visitor)
    const focused = () => page.evaluate(() => (document.activeElement as HTMLElement).innerText)
    await page.reload()
    // A connected adapter states its own figures, so that fixes are looked for once more.
    await page.getByText('demo, bank').first().waitFor()
    await page.getByRole('button', { name: 'Fix it: stop after the second cycle' }).waitFor()
    await page.keyboard.press('Tab')
    expect(await focused()).toBe('Skip to content')
    await page.keyboard.press('Enter')
    for (let k = 0; k < 3; k++) await page.keyboard.press('Tab')
    expect(await focused()).toBe('Fix it: stop after the second cycle')
    await page.keyboard.press('Enter')
    await expect.poll(() => verdictOf(page, MISREADER)).toBe('clean')
    await expect.poll(focused).toContain('clean')
    await visitor.leave()
  })

  it('says what went wrong with a real adapter, and tries again without a reload', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await settled(visitor)
    await page.evaluate(() => {
      let asked = 0
      const serial = {
        requestPort: () => {
          asked++
          // As the Web Serial draft names them: nothing chosen, then a port that another program holds.
          if (asked === 1)
            return Promise.reject(new DOMException('No port selected by the user.', 'NotFoundError'))
          return Promise.resolve({
            open: () => Promise.reject(new DOMException('The port is already open.', 'InvalidStateError')),
            close: () => Promise.resolve(),
            addEventListener: () => undefined,
            removeEventListener: () => undefined,
          })
        },
        getPorts: () => Promise.resolve([]),
        addEventListener: () => undefined,
        removeEventListener: () => undefined,
      }
      Object.defineProperty(navigator, 'serial', { value: serial, configurable: true })
    })
    await page.getByRole('button', { name: 'Connect adapter' }).first().click()
    await page.getByRole('alert').filter({ hasText: 'Nothing was chosen' }).waitFor()
    await page.getByRole('button', { name: 'Connect again' }).click()
    await page.getByRole('alert').filter({ hasText: 'Another tab or program holds the adapter' }).waitFor()
    await shot(page, 'trouble')
    // The demo adapter is still there and still works.
    await page.getByRole('button', { name: 'Flash bank 1 of the demo adapter' }).click()
    await page.getByText('Verified: every byte matches.').waitFor()
    await visitor.leave()
  })

  it('shows two tabs each other’s work', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const first = await settled(visitor)
    const second = await visitor.open(`${app.address}#profile`)
    await second.getByLabel('Name').waitFor()
    await goTo(first, 'Profile')
    await first.getByLabel('Name').fill('From the first tab')
    await expect.poll(() => blockValue(second, 'profile')).toBe('From the first tab')
    await second.getByText('was changed in another tab').waitFor()
    await second.getByLabel('Name').fill('From the second tab')
    await expect.poll(() => blockValue(first, 'profile')).toBe('From the second tab')
    await first.getByRole('button', { name: 'Undo the other tab’s change' }).click()
    await expect.poll(() => blockValue(second, 'profile')).toBe('From the first tab')
    await visitor.leave()
  })

  it('goes on working where the browser keeps nothing, and says so', async () => {
    const visitor = await Visitor.arrive(app.browser)
    await visitor.context.addInitScript(() => {
      IDBFactory.prototype.open = () => {
        throw new DOMException('denied', 'SecurityError')
      }
    })
    const page = await settled(visitor)
    await page.getByText('does not let the page save anything').waitFor()
    await page.getByRole('button', { name: /^Fix it/ }).click()
    await expect.poll(() => verdictOf(page, MISREADER)).toBe('clean')
    await visitor.leave()
  })

  it('judges a large shelf in a worker', async () => {
    const visitor = await Visitor.arrive(app.browser)
    const page = await settled(visitor)
    const title = readFileSync(
      new URL('../../static/demo/titles/copper-kite-rally.json', import.meta.url),
      'utf8',
    )
    await goTo(page, 'Titles')
    await choose(
      page,
      Array.from({ length: 30 }, (_, k) => ({
        name: `${k}.json`,
        text: title.replace('Copper Kite Rally', `Kite ${k + 1}`),
      })),
    )
    await page.getByRole('navigation', { name: 'Stations' }).getByText('31 misread, 1 tight').waitFor()
    await goTo(page, 'Port')
    await page.getByRole('button', { name: 'Fix it: stop after the second cycle' }).click()
    await page.getByRole('navigation', { name: 'Stations' }).getByText('1 tight', { exact: true }).waitFor()
    await visitor.leave()
  })

  it('opens without a network after the first visit', async () => {
    const own = await serveApp()
    const visitor = await Visitor.arrive(app.browser)
    const page = await visitor.open(own.address)
    // The worker takes the page over once everything is cached.
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null)
    await own.stop()
    await page.goto(`${own.address}#port`)
    await page.reload()
    await page.getByRole('heading', { name: 'Phase chart' }).waitFor()
    await expect.poll(() => verdictOf(page, MISREADER)).toBe('misread')
    await goTo(page, 'Titles')
    await visitor.leave()
  })

  it('fits a phone', async () => {
    const visitor = await Visitor.arrive(app.browser, {
      viewport: PHONE,
      hasTouch: true,
      deviceScaleFactor: 2,
    })
    const page = await visitor.open(app.address)
    await page.getByRole('heading', { name: 'Press any button on your pad.' }).waitFor()
    await shot(page, 'phone-first-visit')
    await page.getByRole('button', { name: 'See why a title misreads' }).click()
    for (const station of STATIONS) {
      await goTo(page, station)
      expect(await overflow(page), station).toBe(0)
      await shot(page, `phone-${station.toLowerCase()}`)
    }
    await visitor.leave()
  })

  it.each(['light', 'dark'] as const)('leaves nothing serious to axe, %s', async (colorScheme) => {
    const visitor = await Visitor.arrive(app.browser, { colorScheme })
    const page = await visitor.open(app.address)
    await page.getByRole('heading', { name: 'Press any button on your pad.' }).waitFor()
    await leavesAxeContent(page, 'first visit')
    for (const station of STATIONS) {
      await goTo(page, station)
      if (station === 'Port') await page.getByRole('button', { name: 'Unlock the chart' }).click()
      if (station === 'Titles') await page.getByRole('button', { name: `Edit ${MISREADER}` }).click()
      await leavesAxeContent(page, station)
      await shot(page, `${colorScheme}-${station.toLowerCase()}`)
    }
    await visitor.leave()
  })
})
