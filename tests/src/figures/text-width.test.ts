import { describe, expect, it } from 'vitest'
import { fitText, textWidth, wrapText } from '../../../src/figures/text-width.ts'

describe('widths of text', () => {
  it('are those of IBM Plex Sans Regular', () => {
    // Advance widths of the font, in thousandths: every digit 600, i 250, m 873, W 891.
    expect(textWidth('0123456789', 1000)).toBe(6000)
    expect(textWidth('imW', 1000)).toBe(250 + 873 + 891)
    expect(textWidth('−', 12)).toBeCloseTo(7.2, 12)
  })
})

describe('fitting text', () => {
  it('leaves a text that fits', () => {
    expect(fitText('step', 12, 100)).toBe('step')
  })

  it('cuts one that does not, and says so', () => {
    const cut = fitText('length overall', 12, 50)
    expect(cut.endsWith('…')).toBe(true)
    expect(textWidth(cut, 12)).toBeLessThanOrEqual(50)
  })

  it('gives nothing where not even one letter fits', () => {
    expect(fitText('step', 12, 3)).toBe('')
  })
})

describe('breaking text', () => {
  it('breaks at spaces', () => {
    const lines = wrapText('step from build to build, mm', 12, 110)
    expect(lines.join(' ')).toBe('step from build to build, mm')
    expect(lines.length).toBe(2)
    for (const line of lines) expect(textWidth(line, 12)).toBeLessThanOrEqual(110)
  })

  it('lets a long word stand alone', () => {
    expect(wrapText('a perpendicularity', 12, 20)).toEqual(['a', 'perpendicularity'])
  })
})
