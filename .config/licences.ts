import { existsSync, readFileSync, readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import type { Plugin, Rollup } from 'vite'

/** A package whose code or face is shipped. */
interface Shipped {
  readonly name: string
  readonly version: string
  readonly licence: string
  readonly text: string
}

/** Where the licences stand in a shipped folder. */
const LICENCES_FILE = 'licences.txt'

/** Modules that a tool puts into the bundle itself, by how their names begin, and the package that they are of. */
const OF_TOOLS = [
  ['\0vite/', 'vite'],
  ['\0rolldown/', 'rolldown'],
] as const

/** Where the licences begin of what is in the bundle that a package is itself, and of which no code is in ours. */
const OF_ITS_OWN_BUNDLE = /^# Licenses of bundled dependencies$/m

/** The folder of the package that a file belongs to; nothing for a file of the project. */
function packageOf(file: string): string | null {
  if (!file.includes('/node_modules/')) return null
  for (let folder = dirname(file); folder !== dirname(folder); folder = dirname(folder)) {
    const manifest = join(folder, 'package.json')
    // Some packages have manifests without a name in the folders of their builds.
    if (existsSync(manifest) && 'name' in JSON.parse(readFileSync(manifest, 'utf8'))) return folder
  }
  return null
}

/** @throws Error where the package has no text of a licence: it may not be shipped then */
function licenceOf(folder: string): Shipped {
  const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Record<
    string,
    string
  >
  const file = readdirSync(folder).find((entry) => /^(licen[cs]e|copying)(\.(md|txt))?$/i.test(entry))
  const whole = file === undefined ? '' : readFileSync(join(folder, file), 'utf8')
  const [text] = whole.split(OF_ITS_OWN_BUNDLE).map((part) => part.trim()) as [string]
  if (text === '') throw new Error(`${name} is in the bundle and has no text of a licence in ${folder}`)
  return { name: name ?? folder, version: version ?? '', licence: license ?? '', text }
}

const headingOf = ({ name, version, licence }: Shipped): string => `${name} ${version} (${licence})`

const RULE = '='.repeat(80)

const section = (heading: string, text: string): string => `${RULE}\n${heading}\n${RULE}\n\n${text}\n`

/**
 * What is linked into the firmware beside the sources in `src/adapter/firmware`: the linker's list of files in
 * `static/firmware/ninepin.elf`, which a test looks through.
 */
const FIRMWARE_NOTE = `ninepin.bin, ninepin.elf and ninepin.uf2 are made of the sources of Ninepin and of two object files of libgcc, the
run-time library of the GNU Compiler Collection: _udivsi3.o and _dvmd_tls.o, which divide whole numbers. No code of newlib
or of any other library is in them.

libgcc is under the GNU General Public License, version 3 or later, with the GCC Runtime Library Exception, version 3.1.
The exception gives permission to convey a work that GCC has compiled, with these parts in it, under terms of one's own
choice; the terms here are those of Ninepin, above. The sources of libgcc are part of those of GCC.`

/** Packages that the bundle itself shows to be in it. */
export class ShippedPackages {
  readonly #root: string
  readonly #folders = new Set<string>()

  /** @param root of the project */
  constructor(root: string) {
    this.#root = root
  }

  /** A Vite plugin that takes note of what is bundled; workers are bundles of their own and need it, too. */
  noting(): Plugin {
    return {
      name: 'ninepin:licences-noting',
      apply: 'build',
      generateBundle: (_, bundle) => {
        for (const output of Object.values(bundle)) this.#note(output)
      },
    }
  }

  /**
   * A Vite plugin that writes the file, and fails where a package has no licence.
   *
   * @param later packages that are bundled behind the back of Vite, and after the file is written; `marks` finds their names
   *   in the file that they are bundled into
   */
  writing(later?: {
    readonly packages: readonly string[]
    readonly file: string
    readonly marks: RegExp
  }): Plugin[] {
    // eslint-disable-next-line @typescript-eslint/no-this-alias -- the hooks of a plugin have a `this` of their own
    const shipped = this
    let folder = ''
    return [
      {
        name: 'ninepin:licences',
        apply: 'build',
        generateBundle: {
          order: 'post',
          handler(options, bundle) {
            folder = options.dir ?? ''
            for (const output of Object.values(bundle)) shipped.#note(output)
            for (const name of later?.packages ?? []) shipped.#folders.add(shipped.#folderOf(name))
            this.emitFile({ type: 'asset', fileName: LICENCES_FILE, source: shipped.#written() })
          },
        },
      },
      {
        name: 'ninepin:licences-check',
        apply: 'build',
        closeBundle: {
          order: 'post',
          sequential: true,
          handler: () => {
            if (later === undefined) return
            const text = readFileSync(join(folder, later.file), 'utf8')
            const found = new Set(
              [...text.matchAll(later.marks)].map(([, mark]) => mark?.replace(':', '-') ?? ''),
            )
            const listed = new Set(later.packages)
            if (found.size !== listed.size || [...found].some((name) => !listed.has(name)))
              throw new Error(
                `${later.file} is made of ${[...found].join(', ')}; name these packages in vite.config.ts`,
              )
          },
        },
      },
    ]
  }

  /** Ninepin's own licence, the parts of the firmware, then every package by name. */
  #written(): string {
    const own = licenceOf(this.#root)
    const packages = [...this.#folders].map(licenceOf).sort((p, q) => (p.name < q.name ? -1 : 1))
    return [
      `Ninepin ${own.version}, and all that is shipped with it, each with its licence.\n`,
      section(headingOf(own), own.text),
      section('the firmware of the adapter', FIRMWARE_NOTE),
      ...packages.map((one) => section(headingOf(one), one.text)),
    ].join('\n')
  }

  #folderOf(name: string): string {
    return join(this.#root, 'node_modules', name)
  }

  #note(output: Rollup.OutputChunk | Rollup.OutputAsset): void {
    if (output.type === 'asset') {
      for (const file of output.originalFileNames) this.#noteFile(join(this.#root, 'src', file))
      return
    }
    for (const [id, { renderedLength }] of Object.entries(output.modules)) {
      if (renderedLength === 0) continue
      const tool = OF_TOOLS.find(([start]) => id.startsWith(start))
      if (tool) this.#folders.add(this.#folderOf(tool[1]))
      else this.#noteFile(id)
    }
  }

  #noteFile(file: string): void {
    const folder = packageOf(file.replace(/^\0+/, '').replace(/\?.*$/, ''))
    if (folder !== null) this.#folders.add(folder)
  }
}
