import { describe, expect, it } from 'vitest'
import { compactSvg } from '../../../server/report/compact-svg.ts'

const rect = (x: number, fill: string) =>
  `<rect x="${x}" y="1" width="2" height="3" fill="${fill}" stroke="#777777"></rect>`

describe('a figure in fewer elements', () => {
  it('has rectangles of one look as one path, in their order', () => {
    const svg = `<svg>${rect(0, '#f0f0f0')}${rect(2, '#f0f0f0')}${rect(4, '#000000')}<text>a</text>${rect(6, '#000000')}</svg>`
    expect(compactSvg(svg)).toBe(
      '<svg><path d="M0 1h2v3h-2zM2 1h2v3h-2z" fill="#f0f0f0" stroke="#777777"></path>' +
        `<path d="M4 1h2v3h-2z" fill="#000000" stroke="#777777"></path><text>a</text>${rect(6, '#000000')}</svg>`,
    )
  })

  it('opens groups that say nothing, and leaves those that do', () => {
    expect(compactSvg('<svg><g><text>a</text></g></svg>')).toBe('<svg><text>a</text></svg>')
    const said = '<svg><g transform="rotate(9)"><text>a</text></g></svg>'
    expect(compactSvg(said)).toBe(said)
  })
})
