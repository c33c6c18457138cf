import type { Timeline } from './timeline.ts'

/** How fast a device on the bus speaks: 1.5 or 12 Mbit/s (USB 2.0 §7.1.5). */
export type UsbSpeed = 'low' | 'full'

/** What a device puts on the bus after an IN token; `garbled` is a packet whose CRC is wrong. */
export type TokenAnswer =
  | { readonly kind: 'nak' | 'stall' | 'silence' | 'garbled' }
  | { readonly kind: 'data'; readonly data1: boolean; readonly bytes: Uint8Array }

/** A device at the other end of the cable, as a host meets it: one packet at a time. */
export interface BusDevice {
  readonly speed: UsbSpeed
  /** Whether it has power and pulls one of the two lines up. */
  readonly connected: boolean
  /** The host drives both lines low, or lets them go. */
  reset(driven: boolean): void
  /** A start of frame, or the keep-alive of low speed. */
  frame(): void
  setup(address: number, packet: Uint8Array): 'ack' | 'silence'
  in(address: number, endpoint: number): TokenAnswer
  /** The host has acknowledged what {@link in} gave. */
  acknowledged(address: number, endpoint: number): void
  out(
    address: number,
    endpoint: number,
    data1: boolean,
    bytes: Uint8Array,
  ): 'ack' | 'nak' | 'stall' | 'silence'
}

/** A device that can be plugged into the adapter's own connector, and gets its power there. */
export interface PluggableDevice extends BusDevice {
  /** Called when {@link connected} changes. */
  onLine: () => void
  /** Draws more than the adapter's switch gives. */
  readonly overloads: boolean
  plug(time: Timeline): void
  unplug(): void
  setPower(on: boolean): void
}
