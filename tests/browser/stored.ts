import type { BrowserContext, Page } from 'playwright-core'
import { BUILT_IN_PROFILES } from '../../src/profile/built-in.ts'
import type { ProfileEntry } from '../../src/shelf/entry.ts'

/** The user's own work, under the id that a profile of the demo has, too. */
export const WORK: ProfileEntry = {
  kind: 'profile',
  id: 'demo-evening-set-up',
  revision: 3,
  place: 0,
  origin: 'own',
  document: { ...BUILT_IN_PROFILES['six-button'], name: 'Work of hours', notes: 'Do not lose this.' },
}
export const WORK_KEY = `profile:${WORK.id}`

/** A profile of a version that is not there yet. */
export const NEWER = {
  ...WORK,
  id: 'demo-school-visits',
  revision: 9,
  document: { ...WORK.document, version: 99, later: true },
}
export const NEWER_KEY = `profile:${NEWER.id}`

/** A desk after a first visit. */
export const USED_DESK = { seeded: true, visited: true, openId: WORK.id }

/** A page of the same origin that is not the app. */
export async function besideApp(context: BrowserContext, address: string): Promise<Page> {
  const page = await context.newPage()
  await page.route('**/favicon.ico', (route) => route.fulfill({ status: 204 }))
  await page.goto(new URL('icons/icon.svg', address).href)
  return page
}

/** Puts records into the app's database, whatever is in it. */
export const putRecords = (page: Page, records: Readonly<Record<string, unknown>>): Promise<void> =>
  page.evaluate(
    (all) =>
      new Promise<void>((resolve, reject) => {
        const request = indexedDB.open('ninepin')
        request.onupgradeneeded = () => request.result.createObjectStore('shelf')
        request.onerror = () => reject(request.error)
        request.onsuccess = () => {
          const tx = request.result.transaction('shelf', 'readwrite', { durability: 'strict' })
          for (const [key, record] of Object.entries(all)) tx.objectStore('shelf').put(record, key)
          tx.onabort = () => reject(tx.error)
          tx.oncomplete = () => {
            request.result.close()
            resolve()
          }
        }
      }),
    records,
  )

/** All records of the app's database. */
export const recordsIn = (page: Page): Promise<Record<string, unknown>> =>
  page.evaluate(
    () =>
      new Promise<Record<string, unknown>>((resolve, reject) => {
        const request = indexedDB.open('ninepin')
        request.onupgradeneeded = () => request.result.createObjectStore('shelf')
        request.onerror = () => reject(request.error)
        request.onsuccess = () => {
          const objects = request.result.transaction('shelf').objectStore('shelf')
          const keys = objects.getAllKeys()
          const values = objects.getAll()
          values.onsuccess = () => {
            request.result.close()
            resolve(Object.fromEntries(keys.result.map((key, k) => [String(key), values.result[k]])))
          }
        }
      }),
  )
