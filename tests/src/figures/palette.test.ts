import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { LIGHT, PAPER } from '../../../src/figures/palette.ts'

const css = readFileSync(new URL('../../../client/style/tokens.css', import.meta.url), 'utf8')
const tokens = new Map(
  [...css.matchAll(/--(\w+): light-dark\((#\w{6}), (#\w{6})\)/g)].map(
    ([, name = '', light = '', dark = '']) => [name, { light, dark }],
  ),
)

/** Relative luminance and contrast after WCAG 2.2, definitions of "relative luminance" and "contrast ratio". */
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4
  }) as [number, number, number]
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}

function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number]
  return (high + 0.05) / (low + 0.05)
}

describe('colours', () => {
  it('are the same in saved figures as on the light page', () => {
    for (const [name, { light }] of tokens) expect(LIGHT[name as keyof typeof LIGHT]).toBe(light)
    expect(tokens.size).toBe(9)
  })

  it.each(['light', 'dark'] as const)('of text reach 4.5 to 1, of marks 3 to 1, on the %s page', (scheme) => {
    const colour = (name: string) => tokens.get(name)?.[scheme] ?? ''
    for (const text of ['ink', 'soft', 'mark']) {
      expect(contrast(colour(text), colour('paper'))).toBeGreaterThanOrEqual(4.5)
      expect(contrast(colour(text), colour('wash'))).toBeGreaterThanOrEqual(4.5)
    }
    for (const mark of ['under', 'over'])
      expect(contrast(colour(mark), colour('paper'))).toBeGreaterThanOrEqual(3)
  })

  it('on paper are black on white', () => {
    expect(PAPER.paper).toBe('#ffffff')
    for (const name of ['ink', 'under', 'over', 'mark'] as const) expect(PAPER[name]).toBe('#000000')
  })
})
