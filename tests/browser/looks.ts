import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Locator, Page } from 'playwright-core'
import { expect } from 'vitest'
import { SHOTS } from './app-server.ts'

/** What the tests look at on every sheet. */

const AXE = readFileSync(new URL('../../node_modules/axe-core/axe.min.js', import.meta.url), 'utf8')

/** For people to look at. */
export const shot = (page: Page, name: string) =>
  page.screenshot({ path: join(SHOTS, `${name}.png`), fullPage: true })

/** Inputs that are filled in the chart. */
export const filled = async (page: Page): Promise<string[]> => [
  ...new Set(await page.locator('.run.held text').allTextContents()),
]

/** By how many pixels the page is wider than its window. */
export const overflow = (page: Page): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)

/** Nothing serious is left to axe (npm package axe-core) on the page, or within a part of it. */
export async function leavesAxeContent(page: Page, where: string, part?: Locator): Promise<void> {
  await page.evaluate(AXE)
  const violations = await (part ?? page.locator('html')).evaluate(async (element) => {
    const { axe } = window as unknown as { axe: typeof import('axe-core') }
    const { violations } = await axe.run(element)
    return violations
      .filter(({ impact }) => impact === 'serious' || impact === 'critical')
      .map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 160)).join(' | ')}`)
  })
  expect(violations, where).toEqual([])
}
