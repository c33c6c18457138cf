// Prints "PASSED FAILED" of a vitest JSON report, and on the other stream what failed and why. A skipped test counts as failed: on
// CI every tool is there.
import { readFileSync } from 'node:fs'

const report = JSON.parse(readFileSync(process.argv[2], 'utf8'))
let passed = 0
let failed = 0

/** What failed and its first message, in so many characters that twenty of them can be read at the end of a run. */
function tell(what, message = '') {
  failed++
  console.error(`!! ${what}\n${message.slice(0, 1500)}`)
}

for (const file of report.testResults) {
  if (file.status === 'failed' && file.assertionResults.length === 0)
    tell(`did not run: ${file.name}`, file.message)
  for (const test of file.assertionResults) {
    if (test.status === 'passed') passed++
    else tell(`${test.status}: ${test.fullName} (${file.name})`, test.failureMessages?.[0])
  }
}
if (passed + failed === 0) failed++
console.log(`${passed} ${failed}`)
