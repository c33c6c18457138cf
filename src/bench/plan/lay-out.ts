import { CONTROLS, controlMask, controlsIn } from '../../pad/controls.ts'
import type { Control } from '../../pad/controls.ts'
import type { Input } from '../../port/pins.ts'
import type { BankHold } from '../../profile/bank-holds.ts'
import { BANKS } from '../../profile/schema.ts'
import type { Bank, Profile } from '../../profile/schema.ts'
import { playingHold, firstCycleHold, powerOnHold, withPlayingHold, withPowerOn } from './holds.ts'

/** A profile that goes into a bank, and whether titles there need it kept to its first cycle. */
export interface Placed {
  readonly profile: Profile
  readonly firstCycle: boolean
}

/** A way into a bank from another; `null` where neither profile has a rule for it nor room for one. */
export interface WayFrom {
  readonly from: Bank
  readonly way: BankHold | null
}

/** How the first cycle only is asked for: at power-on, with the bank active. */
export interface FirstCycleWay {
  readonly held: readonly Control[] | null
  /** The chord that makes the bank the active one before; `null` for bank 1 itself, and where no rule has room. */
  readonly into: BankHold | null
}

export interface LaidOut {
  readonly bank: Bank
  /** The profile with the rules that the plan adds. */
  readonly profile: Profile
  readonly ways: readonly WayFrom[]
  /** A bank that a chord leads to stays active, also after power: the chord that makes bank 1 the active one again. */
  readonly back: BankHold | null
  readonly firstCycle: FirstCycleWay | null
}

/** What fingers find without looking comes first. */
const PREFERRED: readonly Input[] = ['a', 'b', 'c', 'x', 'y', 'z', 'up', 'right', 'down', 'left', 'start']

/**
 * Adds to the profiles of a plan what it takes to get from bank to bank and to the first cycle. Rules that are there are
 * used; new ones stand last and hold what no rule of any of the profiles holds.
 *
 * Power-on rules are judged in the bank that is active then (IMAGE.md), so every profile gets a hold for every other bank.
 *
 * @param placed in the order of banks, bank 1 first; as many as there are banks at most
 */
export function layOut(placed: readonly Placed[]): LaidOut[] {
  const banks = new BankRules(placed.map(({ profile }) => profile))
  const numbers = BANKS.slice(0, placed.length)
  const held = placed.map(({ firstCycle }, at) => (firstCycle ? banks.firstCycle(at) : null))
  const ways = numbers.map((to) =>
    numbers.filter((from) => from !== to).map((from) => ({ from, way: banks.way(from, to) })),
  )
  const firstCycle = placed.map((place, at): FirstCycleWay | null => {
    const bank = numbers[at] as Bank
    if (!place.firstCycle) return null
    return { held: held[at] ?? null, into: bank === 1 ? null : banks.chord(1, bank) }
  })
  const back = numbers.map((bank, at) => {
    const fromFirst = ways[at]?.find(({ from }) => from === 1)?.way ?? null
    const stays = fromFirst?.kind === 'while-playing' || firstCycle[at]?.into
    return stays ? banks.chord(bank, 1) : null
  })
  return numbers.map((bank, at) => ({
    bank,
    profile: banks.profiles[at] as Profile,
    ways: ways[at] ?? [],
    back: back[at] ?? null,
    firstCycle: firstCycle[at] ?? null,
  }))
}

/** The rules that a plan has added to a profile: new ones stand last. */
export const addedRules = (
  finished: Profile,
  given: Profile | undefined,
): Pick<Profile, 'powerOn' | 'bankChange'> => ({
  powerOn: finished.powerOn.slice(given?.powerOn.length ?? 0),
  bankChange: finished.bankChange.slice(given?.bankChange.length ?? 0),
})

/** The profiles of all banks while rules are added. */
class BankRules {
  readonly profiles: Profile[]
  readonly #free: Control[]
  readonly #holds = new Map<Bank, Control>()
  #chord: readonly Control[] | null = null

  constructor(profiles: readonly Profile[]) {
    this.profiles = [...profiles]
    const ruled = new Set(
      profiles.flatMap(({ powerOn, bankChange }) => [...powerOn, ...bankChange].flatMap(({ held }) => held)),
    )
    const mapped = profiles.flatMap(({ mapping }) => PREFERRED.flatMap((input) => mapping[input]))
    this.#free = [...new Set([...mapped, ...CONTROLS])].filter((control) => !ruled.has(control))
  }

  /** A hold for the first cycle only, by preference what stands for Mode. */
  firstCycle(at: number): readonly Control[] | null {
    const profile = this.profiles[at] as Profile
    const known = firstCycleHold(profile)
    if (known !== null) return known
    const control = this.#takeOneOf(profile.mapping.mode) ?? this.#take()
    if (control === undefined) return null
    const held = [control]
    return this.#put(at, withPowerOn(profile, { held, then: { kind: 'first-cycle-only' } })) ? held : null
  }

  /** From one bank to another: by a hold at power-on, or else by a chord while playing. */
  way(from: Bank, to: Bank): BankHold | null {
    const profile = this.#profile(from)
    const known = powerOnHold(profile, from, to) ?? playingHold(profile, from, to)
    if (known !== null) return known
    const control = this.#holds.get(to) ?? this.#take()
    if (control === undefined) return null
    this.#holds.set(to, control)
    const rule = { held: [control], then: { kind: 'bank' as const, bank: to } }
    return this.#put(from - 1, withPowerOn(profile, rule))
      ? powerOnHold(this.#profile(from), from, to)
      : this.chord(from, to)
  }

  /** A chord from one bank to another. New ones are all the same controls where those are still unused there. */
  chord(from: Bank, to: Bank): BankHold | null {
    const profile = this.#profile(from)
    const known = playingHold(profile, from, to)
    if (known !== null) return known
    const unused = this.#chord !== null && !profile.bankChange.some(({ held }) => sameHeld(held, this.#chord))
    const held = unused ? this.#chord : this.#unlikely(profile)
    if (held === null) return null
    this.#chord = held
    return this.#put(from - 1, withPlayingHold(profile, held, to))
      ? playingHold(this.#profile(from), from, to)
      : null
  }

  #profile(bank: Bank): Profile {
    return this.profiles[bank - 1] as Profile
  }

  /** What no game asks to be held for long: Start or Mode with something else, or three at once. */
  #unlikely({ mapping }: Profile): readonly Control[] | null {
    const lead = this.#takeOneOf([...mapping.start, ...mapping.mode])
    const controls = lead === undefined ? [this.#take(), this.#take(), this.#take()] : [lead, this.#take()]
    const held = controls.filter((control) => control !== undefined)
    return held.length === controls.length ? controlsIn(controlMask(held)) : null
  }

  /** A control that no rule holds; nobody gets it again. */
  #take(): Control | undefined {
    return this.#free.shift()
  }

  #takeOneOf(wanted: readonly Control[]): Control | undefined {
    const at = this.#free.findIndex((control) => wanted.includes(control))
    return at === -1 ? undefined : this.#free.splice(at, 1)[0]
  }

  #put(at: number, profile: Profile | null): boolean {
    if (profile === null) return false
    this.profiles[at] = profile
    return true
  }
}

const sameHeld = (p: readonly Control[], q: readonly Control[] | null): boolean =>
  q !== null && controlMask(p) === controlMask(q)
