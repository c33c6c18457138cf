import { adapterCycles } from './adapter-cycles.ts'
import { editToVerdicts } from './edit-to-verdicts.ts'
import { selectEdges } from './select-edges.ts'
import { wholeShelf } from './shelf.ts'
import { vcdReading } from './vcd-reading.ts'

/**
 * `npm run bench`: how fast the things are that users wait for, each beside a peer in the same run, since these figures mean
 * nothing across machines. `ms NAME MEDIAN` is the median in milliseconds, `ratio NAME VALUE` says how many times faster than the peer,
 * `edges/s NAME VALUE` and `MB/s NAME VALUE` are rates, `cycles NAME MIN MEDIAN MAX` counts cycles of 8 ns on the emulated chip.
 */
await editToVerdicts(process.cwd())
await wholeShelf(process.cwd())
await vcdReading()
await selectEdges(process.cwd())
adapterCycles()
