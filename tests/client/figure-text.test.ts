import { describe, expect, it } from 'vitest'
import { figureText, spanText } from '../../client/words/figure-text.ts'

describe('a figure that is no index', () => {
  it('is never shown as zero where it is above it, and has no tenths where there are thousands', () => {
    expect(figureText(null, 1)).toBe('–')
    expect(figureText(0, 1)).toBe('0.0')
    expect(figureText(0.04, 1)).toBe('below 0.1')
    expect(figureText(632.84, 1)).toBe('632.8')
    expect(figureText(264_648.5, 1)).toBe('264,649')
    expect(figureText(1234.567, 3)).toBe('1234.567')
    expect(spanText(0, 4202.2, 1)).toBe('0.0 to 4,202')
    expect(spanText(0.01, 0.02, 1)).toBe('below 0.1')
  })
})
