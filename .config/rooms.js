import { readFileSync } from 'node:fs'

/**
 * @typedef {object} Room
 * @property {string} name the folder under `src`, such as `adapter/emulator`
 * @property {readonly string[]} imports the rooms, and files outside `src`, that it may import, beside itself
 * @property {readonly string[]} packages the packages, and globals that depend on the user's system, that it may use
 * @property {boolean} platform whether it may reach the browser or Node: a clock, a file, the network, chance
 */

const DOCUMENT = new URL('../DEVELOPERS.md', import.meta.url)
const HEADS = ['room', 'what it is', 'imports', 'uses']
const ROW = /^\| `src\/([\w/]+)`/

/** The cells of a row of a Markdown table. */
const cells = (/** @type {string} */ row) =>
  row
    .split('|')
    .slice(1, -1)
    .map((cell) => cell.trim())

/** The words of a cell, where a comma stands between two; none where it says nothing. */
const words = (/** @type {string} */ cell) =>
  cell === 'nothing' ? [] : cell.split(', ').map((word) => word.replaceAll('`', ''))

/** What a part of the cell `imports` names: a list, or `all above`, or `all above but one and another`. */
function named(/** @type {string} */ part, /** @type {string[]} */ above) {
  const all = /^all above(?: but (.*))?$/.exec(part)
  if (all === null) return words(part)
  const without = (all[1] ?? '').split(' and ')
  return above.filter((room) => !without.includes(room))
}

/**
 * The rooms, in the order of the table in DEVELOPERS.md, which is the only place where they are written down.
 *
 * @param {string} [markdown]
 * @returns {readonly Room[]}
 */
export function readRooms(markdown = readFileSync(DOCUMENT, 'utf8')) {
  const lines = markdown.split('\n')
  const head = lines.findIndex((line) => cells(line).join() === HEADS.join())
  const table = lines.slice(head + 2)
  const end = table.findIndex((line) => !ROW.test(line))
  if (head < 0 || end < 1)
    throw new Error(`DEVELOPERS.md has no table of the rooms with the heads ${HEADS.join(', ')}.`)
  /** @type {Room[]} */
  const rooms = []
  for (const row of table.slice(0, end)) {
    const [, , imports = '', uses = ''] = cells(row)
    const name = ROW.exec(row)?.[1] ?? ''
    const above = rooms.map((room) => room.name)
    rooms.push({
      name,
      imports: imports.split('; ').flatMap((part) => named(part, above)),
      packages: words(uses).filter((word) => word !== PLATFORM),
      platform: words(uses).includes(PLATFORM),
    })
  }
  return rooms
}

const PLATFORM = 'the platform'
