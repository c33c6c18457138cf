import { placesOfDescriptor } from '../../../src/pad/learn/places.ts'
import type { ReportPlace } from '../../../src/pad/learn/places.ts'

/** The places of a report of so many bytes whose descriptor says nothing of them: no item has a usage. */
export const placesOfOpaqueReport = (report: number, bytes: number): ReportPlace[] =>
  placesOfDescriptor({
    reports: [
      {
        kind: 'input',
        report,
        bits: 8 * bytes,
        items: [
          {
            field: { report, bit: 0, bits: 8, signed: false },
            count: bytes,
            usages: [],
            application: null,
            array: false,
            constant: false,
            relative: false,
            nullState: false,
            noPreferredState: false,
            volatile: false,
            bufferedBytes: false,
            wrap: false,
            nonLinear: false,
            logicalMin: 0,
            logicalMax: 255,
            physicalMin: 0,
            physicalMax: 0,
            unit: 0,
            unitExponent: 0,
          },
        ],
      },
    ],
  })
