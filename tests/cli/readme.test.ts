import { spawnSync } from 'node:child_process'
import { readFileSync, symlinkSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { beforeAll, describe, expect, it } from 'vitest'
import { builtCli } from './run-cli.ts'

const cli = builtCli()

/** What README gives to paste in its section on a new pad, without what needs an adapter at a port. */
const commands = (/## From a new pad[\s\S]*?(?=\n## )/.exec(readFileSync('README.md', 'utf8'))?.[0] ?? '')
  .split('\n')
  .filter((line) => line.startsWith('npx ninepin ') && !line.includes('--port'))

describe('the commands that README gives for a new pad', () => {
  beforeAll(() => symlinkSync(resolve('static'), join(cli.folder, 'static')))

  it('run one after the other, as they are pasted', { timeout: 60_000 }, () => {
    expect(commands.length).toBeGreaterThan(3)
    for (const line of commands) {
      // The built file itself, as `npx` runs it: a build after `npm ci` has to leave it executable.
      const script = line.replace(/^npx ninepin/, '"$0"')
      const { status, stdout, stderr } = spawnSync('bash', ['-c', script, cli.program], {
        cwd: cli.folder,
        encoding: 'utf8',
      })
      expect({ line, status, stderr }).toEqual({ line, status: 0, stderr: '' })
      expect(stdout).toContain('1209:0008')
    }
  })
})
