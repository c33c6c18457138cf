import { TRIAL_SLOT } from './constants.ts'
import type { BankNumber } from './constants.ts'

/** Where an adapter keeps an image: in a bank, or in the slot of what is tried once. */
export type Place = BankNumber | 'trial'

/** Its number on the wire. */
export const wireNumber = (place: Place): number => (place === 'trial' ? TRIAL_SLOT : place - 1)
