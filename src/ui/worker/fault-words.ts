import type { WorkFault } from './messages.ts'

/** What has happened, what it means and what to do. @param what cannot be had, as "The plan"; @param again what to press, as "plan again" */
export const faultWords = (fault: WorkFault, what: string, again: string): string =>
  fault === 'not-loaded'
    ? `${what} cannot be worked out: the page could not load what it needs. Nothing was changed. Check the network, then ${again}.`
    : `${what} cannot be worked out: the work stopped in the midst, perhaps for want of memory. Nothing was changed. Close other pages, then ${again}.`
