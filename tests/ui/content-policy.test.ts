import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { HEADERS, PAGE_POLICY } from '../../.config/content-policy.ts'
import { POLICY_NAME } from '../../src/ui/script-address.ts'

it('lists the policy that addresses of scripts go by', () => {
  expect(
    PAGE_POLICY.split('; ')
      .find((one) => one.startsWith('trusted-types '))
      ?.split(' '),
  ).toContain(POLICY_NAME)
})

it('allows nothing that is written into the page, and nothing from elsewhere', () => {
  expect(PAGE_POLICY).not.toMatch(/unsafe|https?:|\*|data:|blob:/)
  expect(PAGE_POLICY).toMatch(/^default-src 'none'; /)
})

it('is said in README as it is sent', () => {
  const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8')
  for (const [name, value] of Object.entries(HEADERS)) expect(readme).toContain(`\n${name}: ${value}\n`)
})
