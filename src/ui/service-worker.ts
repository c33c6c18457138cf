import { scriptAddress } from './script-address.ts'

/** Where the service worker stands: beside the page. */
export const addressOfWorker = (): string => scriptAddress('sw.js')
