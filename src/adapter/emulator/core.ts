import type { RP2040 } from 'rp2040js'

/** From an interrupt to the first instruction of its handler (Cortex-M0+ TRM r0p1 §1.1: 15 cycles with memory at no wait). */
const ENTRY_CYCLES = 15

/**
 * Lets the core take time for an exception; rp2040js enters it free of charge.
 *
 * @param spend is told cycles to add to the instruction under way
 */
export function chargeEntry(core: RP2040['core'], spend: (cycles: number) => void): void {
  const enter = core.exceptionEntry.bind(core)
  core.exceptionEntry = (exception) => {
    enter(exception)
    spend(ENTRY_CYCLES)
  }
}

/**
 * Puts right how the core of rp2040js sleeps (ARMv6-M, B1.5.17 and the WFI page): a pending and enabled exception that would be
 * taken were PRIMASK clear ends WFI, even while PRIMASK holds it off; it is then taken as the mask allows, and SysTick
 * counts as any other.
 */
export function mendSleep(core: RP2040['core']): void {
  const enter = core.checkForInterrupts.bind(core)
  core.checkForInterrupts = () => {
    if (!core.waiting) return enter()
    if (!wakes(core)) return false
    core.waiting = false
    core.interruptsUpdated = true
    return true
  }
}

function wakes(core: RP2040['core']): boolean {
  if (core.pendingNMI) return true
  const below = core.exceptionPriority(core.IPSR)
  const pending = core.pendingInterrupts & core.enabledInterrupts
  for (let priority = 0; priority < below; priority += 1) {
    if (pending & (core.interruptPriorities[priority] ?? 0)) return true
    if (core.pendingSVCall && priority === core.svCallPriority) return true
    if (core.pendingPendSV && priority === core.pendSVPriority) return true
    if (core.pendingSystick && priority === core.systickPriority) return true
  }
  return false
}
