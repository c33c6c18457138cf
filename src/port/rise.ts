/** A line that was held at ground and is let go: a pull-up charges what hangs on it. */
export interface ReleasedLine {
  /** Resistance from the line to the supply, in ohms. */
  readonly pullUpOhm: number
  /** All that hangs on the line (cable, inputs), in picofarads. */
  readonly capacitancePf: number
  /** Voltage from which on the other end takes the line for high, in volts. */
  readonly thresholdV: number
  /** Voltage behind the pull-up, in volts. */
  readonly supplyV: number
}

/**
 * How long after its release the line is taken for high, in whole nanoseconds (nearest): the step response of one resistor and
 * one capacitor, t = R·C·ln(V / (V − Vth)). `Infinity` for a threshold that the supply does not get above.
 */
export function riseNs({ pullUpOhm, capacitancePf, thresholdV, supplyV }: ReleasedLine): number {
  if (thresholdV >= supplyV) return Infinity
  const timeConstantNs = (pullUpOhm * capacitancePf) / 1000
  return Math.round(timeConstantNs * Math.log(supplyV / (supplyV - thresholdV)))
}
