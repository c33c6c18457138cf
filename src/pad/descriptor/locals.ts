import { oddTexts } from './descriptor-texts.ts'
import type { Item } from './items.ts'
import type { UsageRange } from './shape.ts'

/** A usage as an item gives it. */
interface Given {
  /** Its own where it has four bytes, else the one that stands. */
  readonly page: number
  readonly own: boolean
  readonly id: number
}

interface GivenRange extends UsageRange {
  readonly own: boolean
}

type Say = (message: string) => void

/** What local items say; it holds for the next main item only (HID 1.11 section 6.2.2.8). */
export class Locals {
  #usages: GivenRange[] = []
  #min: Given | null = null
  #max: Given | null = null
  #delimited = false
  /** Within a delimited set only the first usage counts: it is the most preferred one. */
  #preferred = false

  /**
   * @param page the usage page that stands
   * @returns whether this is a local item
   */
  take(item: Item, page: number, remark: Say): boolean {
    switch (item.code) {
      case 0x08:
        this.#add(single(given(item, page)))
        return true
      case 0x18:
        if (this.#min !== null) remark(oddTexts.minimumAlone)
        this.#min = given(item, page)
        this.#pair(remark)
        return true
      case 0x28:
        if (this.#max !== null) remark(oddTexts.maximumAlone)
        this.#max = given(item, page)
        this.#pair(remark)
        return true
      case 0xa8:
        this.#delimit(item, remark)
        return true
      // Designators and strings say nothing of values.
      case 0x38:
      case 0x48:
      case 0x58:
      case 0x78:
      case 0x88:
      case 0x98:
        return true
      default:
        return false
    }
  }

  /**
   * The usages in the order in which they were given. By the letter (HID 1.11 section 6.2.2.8) all that have no page of their own get the one that
   * stands at the main item; but many devices change the page between usages of one item. So a usage keeps the page that stood when it was given,
   * unless the present page came behind them all (common practice, no source).
   */
  usages(present: number, remark: Say): UsageRange[] {
    const left = this.#min ?? this.#max
    if (left !== null) {
      remark(oddTexts.oneAlone)
      this.#add(single(left))
      this.#min = this.#max = null
    }
    const last = this.#usages.filter(({ own }) => !own).at(-1)
    const late = last !== undefined && last.page !== present
    return this.#usages.map(({ page, own, first, last }) => ({
      page: late && !own ? present : page,
      first,
      last,
    }))
  }

  clear(remark: Say): void {
    if (this.#delimited) remark(oddTexts.alternativesOpen)
    this.#usages = []
    this.#min = this.#max = null
    this.#delimited = this.#preferred = false
  }

  #add(usages: GivenRange): void {
    if (this.#delimited && this.#preferred) return
    this.#usages.push(usages)
    this.#preferred = this.#delimited
  }

  #pair(remark: Say): void {
    const [min, max] = [this.#min, this.#max]
    if (min === null || max === null) return
    this.#min = this.#max = null
    if (max.id < min.id) {
      remark(oddTexts.noUsages({ from: min.id, to: max.id }))
      return
    }
    const { page, own } = min.own ? min : max
    this.#add({ page, own, first: min.id, last: max.id })
  }

  #delimit({ unsigned }: Item, remark: Say): void {
    const opens = unsigned === 1
    if (opens === this.#delimited) remark(opens ? oddTexts.alternativesWithin : oddTexts.alternativesEnd)
    this.#delimited = opens
    this.#preferred = false
  }
}

const given = ({ size, unsigned }: Item, page: number): Given =>
  size === 4
    ? { page: unsigned >>> 16, own: true, id: unsigned & 0xffff }
    : { page, own: false, id: unsigned }

const single = ({ page, own, id }: Given): GivenRange => ({ page, own, first: id, last: id })
