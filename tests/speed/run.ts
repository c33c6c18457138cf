import { fileURLToPath } from 'node:url'
import { editToVerdicts } from './edit-to-verdicts.ts'
import { vcdReading } from './vcd-reading.ts'

/**
 * `npm run bench`: how fast the things are that users wait for, each beside a peer in the same run, since these figures mean
 * nothing across machines. `ms NAME MEDIAN` is the median in milliseconds, `ratio NAME VALUE` says how many times faster than the peer.
 */
const root = fileURLToPath(new URL('../../', import.meta.url))
await editToVerdicts(root)
await vcdReading()
