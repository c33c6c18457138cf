// Prints "PASSED FAILED" of a vitest JSON report. A skipped test counts as failed: on CI every tool is there.
import { readFileSync } from 'node:fs'

const report = JSON.parse(readFileSync(process.argv[2], 'utf8'))
let passed = 0
let failed = 0
for (const file of report.testResults) {
  if (file.status === 'failed' && file.assertionResults.length === 0) failed++
  for (const test of file.assertionResults) {
    if (test.status === 'passed') passed++
    else failed++
    if (test.status !== 'passed') console.error(`!! ${test.status}: ${test.fullName}`)
  }
}
if (passed + failed === 0) failed++
console.log(`${passed} ${failed}`)
