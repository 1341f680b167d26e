import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { readQifFile } from './document.ts'

/** Sample results of the open standard; expected values were read by Python's expat (tests/reference/qif/make.py). */
const reference = (name: string) => fileURLToPath(new URL(`../../../reference/qif/${name}`, import.meta.url))

interface Expected {
  readonly values: readonly { line: number; serial: string; designator: string; value: string }[]
}
const expected = (name: string) => JSON.parse(readFileSync(reference(name), 'utf8')) as Expected

describe('sample results of six parts', () => {
  it('give every value with its line, characteristic and part', async () => {
    const { rows, words } = await readQifFile(reference('results-six-parts.qif'))
    expect(words).toBe('QIF 3.0.0, UTF-8')
    expect(
      rows.map(({ line, fields }) => ({
        line,
        serial: fields.serial,
        designator: fields.characteristic,
        value: fields.value,
      })),
    ).toEqual(expected('results-six-parts.json').values)
    for (const { fields } of rows) {
      expect(fields).toMatchObject({
        partNumber: 'Wing mirror reinforcement',
        revision: '1.6',
        unit: 'mm',
        gauge: 'CMM',
        replicate: '1',
      })
    }
  })
})

describe('sample results of one part', () => {
  it('give every value but that which was set, not measured', async () => {
    const { rows, notes } = await readQifFile(reference('results-one-part.qif'))
    const measured = expected('results-one-part.json').values.filter((v) => v.designator !== '-NONE-')
    expect(rows.map(({ line, fields }) => [line, fields.characteristic, fields.value])).toEqual(
      measured.map((v) => [v.line, v.designator, v.value]),
    )
    expect(notes).toContain('Values that were set and not measured passed over: -NONE-.')
  })

  it('give nominal and limits as the file’s own comments describe them', async () => {
    const { rows } = await readQifFile(reference('results-one-part.qif'))
    const of = (designator: string) => rows.find((r) => r.fields.characteristic === designator)?.fields
    // "A uniform profile zone ±2.0", "An offset profile zone +1.0/-0.5"
    expect(of('5')).toMatchObject({ kind: 'other', nominal: '0', lower: '-2', upper: '2' })
    expect(of('4')).toMatchObject({ kind: 'other', nominal: '0', lower: '-0.5', upper: '1' })
    // "A basic coordinate dimension" has no tolerance; "bi-directional" deviates from nominal; "limit" does not.
    expect(of('1')).not.toHaveProperty('upper')
    expect(of('1')).not.toHaveProperty('plusTolerance')
    expect(of('2')).toMatchObject({
      kind: 'length',
      nominal: '774.26989746093795',
      minusTolerance: '-0.2',
      plusTolerance: '0.2',
    })
    expect(of('3')).toMatchObject({ lower: '944.80274658203098', upper: '945.20274658203107' })
    expect(of('3')).not.toHaveProperty('nominal')
    expect(of('8')).toMatchObject({ kind: 'diameter', lower: '9.6', upper: '10.4', gauge: 'CALIPERS' })
    expect(of('9')).toMatchObject({ kind: 'position', upper: '1' })
    expect(of('9')).not.toHaveProperty('lower')
    expect(of('11')).toMatchObject({ characteristicName: 'DIST1', kind: 'length' })
  })

  it('say that the bonus of a tolerance at maximum material condition is not counted', async () => {
    const { notes } = await readQifFile(reference('results-one-part.qif'))
    expect(notes.find((note) => note.includes('material condition'))).toMatch(/: 7\.$/)
  })
})
