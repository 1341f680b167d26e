import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { FileProblemError } from '../../../../server/intake/faults.ts'
import { XmlWalk } from '../../../../server/intake/qif/xml-walk.ts'
import { qifDocument, readQif } from './document.ts'

/** Everything that a walk tells of a text handed over in these pieces. */
function events(pieces: readonly string[]): string[] {
  const told: string[] = []
  const walk = new XmlWalk({
    open: (name, attribute, line, namespace) =>
      told.push(`open ${name} ${attribute('id') ?? ''} ${line} ${namespace}`),
    close: (name, text) => told.push(`close ${name} ${text}`),
  })
  for (const piece of pieces) walk.push(piece)
  walk.end()
  return told
}

describe('a walk through a document', () => {
  it('tells elements with their lines, and the texts of those without children', () => {
    expect(events(['<a xmlns="u">\n<b id="1">x &amp; <![CDATA[<y>]]></b>\n<!-- no -->\n<c/></a>'])).toEqual([
      'open a  1 u',
      'open b 1 2 u',
      'close b x & <y>',
      'open c  4 u',
      'close c ',
      'close a ',
    ])
  })

  it('tells the same wherever the text is cut', () => {
    const text = qifDocument()
    const whole = events([text])
    fc.assert(
      fc.property(fc.array(fc.nat(text.length), { maxLength: 20 }), (cuts) => {
        const at = [0, ...cuts.sort((a, b) => a - b), text.length]
        expect(events(at.slice(1).map((end, i) => text.slice(at[i], end)))).toEqual(whole)
      }),
      { numRuns: 100 },
    )
  })

  it('ends where a text goes on and on', () => {
    const walk = new XmlWalk({ open: () => undefined, close: () => undefined })
    walk.push('<a>')
    const piece = 'x'.repeat(1 << 20)
    expect(() => {
      for (let i = 0; i < 40; i++) walk.push(piece)
    }).toThrow(/longer than/)
  })
})

it('a damaged document is read or refused with a reason, never anything else', async () => {
  const text = qifDocument()
  await fc.assert(
    fc.asyncProperty(
      fc.nat(text.length),
      fc.nat(40),
      fc.oneof(
        fc.string({ maxLength: 12 }),
        fc.constantFrom('<', '>', '&', '"', '<Value>', '</a>', '1e999', '-'),
      ),
      async (at, length, instead) => {
        try {
          await readQif(text.slice(0, at) + instead + text.slice(at + length))
        } catch (error) {
          if (error instanceof FileProblemError) {
            expect(error.problem.next).not.toBe('')
          } else {
            // Whatever does not begin as XML any more is left to the other formats.
            expect((error as Error).message).toBe('not recognised')
          }
        }
      },
    ),
    { numRuns: 300 },
  )
})
