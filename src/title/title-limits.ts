export const TITLE_FORMAT = 'ninepin-title'

export const TITLE_LIMITS = {
  nameLength: 60,
  notesLength: 2000,
  modes: 8,
  readsPerFrame: 16,
  stepsPerRead: 512,
  /** Nodes of all modes, over all frames until all comes again. */
  nodes: 2_048,
  everyFrames: 64,
  conditions: 4,
  captures: 16,
  /** Of what captures show and no read explains. */
  stretches: 32,
  stretchEdges: 512,
  stretchNs: 10_000_000_000,
  /** What a sample may be taken for, or six buttons be told by, instead. */
  possible: 16,
  /** Combinations of what samples may be that count only if others agree. */
  together: 64,
  cyclesPerRead: 16,
  maxSpacingNs: 1_000_000,
  maxReadJitterNs: 1_000_000,
  /** From one step to the next, and from read to read where no frame ties them. */
  maxGapNs: 100_000_000,
  maxOffsetNs: 100_000_000,
  maxLateNs: 100_000_000,
  maxClockPpm: 10_000,
  fileBytes: 262_144,
} as const
