import { inject, vi } from 'vitest'

/**
 * Runs before each test file of `npm run mutate`. A worker keeps its modules from one fault to the next, and Stryker plants a
 * fault only when all modules are imported, so that one in what a module works out as it is imported (a table, an arrow
 * function) would never show. So all are imported again for every fault, with the fault in place.
 */
const stryker = (
  globalThis as { [name: string]: { activeMutant?: string; importedFor?: string } | undefined }
)[inject('globalNamespace')]
const fault = inject('activeMutant')

if (stryker !== undefined && fault !== undefined && stryker.importedFor !== fault) {
  stryker.activeMutant = stryker.importedFor = fault
  vi.resetModules()
}
