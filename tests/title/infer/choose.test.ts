import { describe, expect, it } from 'vitest'
import { chooseSelect, findLine } from '../../../src/title/infer/choose.ts'

const lines = (...paths: string[]) => paths.map((path) => ({ name: path.replace(/^.*\./, ''), path }))
const path = (result: ReturnType<typeof chooseSelect>): string =>
  result.ok ? result.value.path : result.error

describe('the line that must be select', () => {
  it('is the only one, whatever its name', () =>
    expect(path(chooseSelect(lines('a.strobe')))).toBe('a.strobe'))
  it('is the one that is called so, in any case and with a bit', () => {
    expect(path(chooseSelect(lines('a.d0', 'a.SELECT', 'a.selector')))).toBe('a.SELECT')
    expect(path(chooseSelect(lines('a.d0', 'a.select[0]')))).toBe('a.select[0]')
  })
  it('has to be named otherwise', () => {
    expect(path(chooseSelect([]))).toBe('The capture has no line of one bit.')
    expect(path(chooseSelect(lines('a.d0', 'a.d1')))).toBe(
      'No line is called select; choose one of a.d0, a.d1.',
    )
    expect(path(chooseSelect(lines('a.select', 'd', 'b.select')))).toBe(
      'Several lines are called select; choose one of a.select, b.select.',
    )
    const many = Array.from({ length: 25 }, (_, k) => `d${k}`)
    expect(path(chooseSelect(lines(...many)))).toMatch(/d18, d19 and 5 more\.$/)
  })
})

describe('a line that is named', () => {
  it('goes by its path, or by its name where no other has it', () => {
    expect(path(findLine(lines('a.d0', 'b.d0'), 'b.d0'))).toBe('b.d0')
    expect(path(findLine(lines('a.d0', 'b.d1'), 'd1'))).toBe('b.d1')
    expect(path(findLine(lines('a.d0', 'b.d0'), 'd0'))).toMatch(/^Several lines are called "d0"/)
    expect(path(findLine(lines('a.d0'), 'D0'))).toBe('No line is called "D0"; choose one of a.d0.')
  })
})
