/** What the page needs of the bench, in one chunk: a first visit does not wait for it. */
export { compareMeasured, readStimulus } from '../../bench/measured.ts'
export { reading } from '../../bench/reading.ts'
export { Judge } from './judge-all.ts'
export { JudgePool, workersFor } from './judge-pool.ts'
export { newBridge } from '../worker/start-worker.ts'
