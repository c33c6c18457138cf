import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { readLayout, writeLayout } from '../pad/layout/file.ts'
import { LAYOUT_LIMITS } from '../pad/layout/schema.ts'
import { numbersWord } from '../words/hexadecimal.ts'
import { rowWords } from '../words/lists.ts'
import type { Layout } from '../pad/layout/schema.ts'
import { fitLayouts } from '../profile/fit-layouts.ts'
import { shadowing } from '../profile/shadowing.ts'
import { sameInImage } from '../profile/same-in-image.ts'
import { documentFileName } from '../shelf/file-names.ts'
import { BadInput } from './fail.ts'
import { inFile, loadContent, readBytes } from './files.ts'
import type { ProfileAndPads } from './files.ts'
import { fileTexts as t } from './fault-texts.ts'
import { fileTexts as outputTexts } from './output-texts.ts'
import type { Written } from './write.ts'

/** Layouts of pads, as commands take them into a bank and tell of them. */

const loadLayout = (path: string): Layout =>
  inFile(path, readLayout(readBytes(path, LAYOUT_LIMITS.fileBytes)))

/**
 * What goes into a bank: a profile, the pads of it where it comes out of an image, and those of these files. A layout that is there
 * already is not put in twice.
 *
 * @throws BadInput where a layout does not fit, or no pad would ever come to it
 */
export function loadForBank(nameOrPath: string, padPaths: readonly string[]): ProfileAndPads {
  const { profile, layouts: inImage, sweep } = loadContent(nameOrPath)
  const layouts = [...inImage]
  for (const path of padPaths) {
    const layout = loadLayout(path)
    if (layouts.some((one) => sameInImage(one, layout))) continue
    const first = shadowing(layout, layouts)
    if (first !== undefined) throw new BadInput(path, 'pad', t.samePad({ name: first.name }))
    const [refused] = fitLayouts([...layouts, layout]).leftOut
    if (refused !== undefined) throw new BadInput(path, '', refused.sentence)
    layouts.push(layout)
  }
  return { profile, layouts, sweep }
}

type PadTold = Pick<Layout, 'name'> & Layout['pad']

/** What is told of layouts, in JSON. */
export const padsOf = (layouts: readonly Layout[]): readonly PadTold[] =>
  layouts.map(({ name, pad }) => ({ name, ...pad }))

/** The same in words: "Loan pad (1209:2700), Booth pad (1209:2701)". */
export const padsWords = (pads: readonly PadTold[]): string =>
  rowWords(
    pads.map((pad) => {
      const numbers = numbersWord(pad)
      return pad.name.includes(numbers) ? pad.name : outputTexts.pad({ name: pad.name, numbers })
    }),
  )

/**
 * A layout file for each of these, in a folder. A file that says the same stays as it is: it may have notes, which no image keeps.
 *
 * @returns the path of each, and the files that are not there yet
 */
export function layoutFiles(
  folder: string,
  layouts: readonly Layout[],
): { readonly paths: readonly string[]; readonly files: readonly Written[] } {
  const paths = layouts.map((layout) => join(folder, documentFileName('layout', layout.name)))
  const twice = paths.find((path, k) => paths.indexOf(path) !== k)
  if (twice !== undefined) throw new BadInput(twice, '', t.padsTwice)
  const missing = layouts.flatMap((layout, k) => {
    const path = paths[k] as string
    if (!existsSync(path)) return [{ path, layout }]
    if (sameInImage(loadLayout(path), layout)) return []
    throw new BadInput(path, '', t.otherLayout)
  })
  return { paths, files: missing.map(({ path, layout }) => ({ path, content: writeLayout(layout) })) }
}
