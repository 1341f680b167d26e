import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { BuildPartsView, PartsFoundView, PartView } from '../../../server/contract/parts.ts'
import { plain } from '../../../src/words/sentence.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

let server: RunningServer
const part = (serial: string) => server.get<PartView>(`/api/part-numbers/P-1/A/parts/${serial}`)

/**
 * Three parts of one build: one good, one too long, and one 2 µm inside a limit, which the caliper's 20 µm leave open.
 */
beforeAll(async () => {
  server = await startServer()
  const files = {
    'characteristics.csv': [
      'part_number,revision,designator,name,kind,nominal,lower,upper,unit',
      'P-1,A,1,length,length,10,9.9,10.1,mm',
      'P-1,A,2,height,length,5,4.9,5.1,mm',
      'P-1,A,3,flatness,flatness,,,0.06,mm',
    ],
    'builds.csv': ['build,printed_at,powder_lot', '0001,2026-03-01,K8'],
    'values.csv': [
      'part_number,revision,serial,build,stage,characteristic,value,gauge,furnace_load,tray,bed_x',
      'P-1,A,S-1,0001,green,1,11.80,CAL-1,L1,4,20',
      'P-1,A,S-1,0001,sintered,1,10.00,CAL-1,L1,4,20',
      'P-1,A,S-1,0001,sintered,2,5.00,CAL-1,L1,4,20',
      'P-1,A,S-2,0001,sintered,1,10.20,CAL-1,L1,4,40',
      'P-1,A,S-2,0001,sintered,2,5.098,CAL-1,L1,4,40',
      'P-1,A,S-3,0001,sintered,2,5.098,CAL-1,L1,4,60',
    ],
    'own.csv': [
      'part number,revision,serial,build,characteristic,name,kind,tolerance,bonus,value,unit',
      'P-1,A,S-4,0001,7,position of bore,position,0.2,0.1,0.27,mm',
      'P-1,A,S-5,0001,7,position of bore,position,0.2,0.04,0.27,mm',
    ],
    'gauges.csv': [
      'gauge,kind,unit,resolution,expanded_uncertainty,coverage_factor,calibrated_on,part_number,revision,characteristics',
      'CAL-1,caliper,mm,0.01,0.02,2,2026-03-01,P-1,A,2',
    ],
  }
  for (const [name, lines] of Object.entries(files)) {
    const receipt = await server.bring(name, lines.join('\n'))
    expect([name, receipt.verdict, receipt.refused]).toEqual([name, 'taken', []])
  }
})
afterAll(() => server.stop())

describe('a part', () => {
  it('is judged by the values that the drawing limits, green ones not among them', async () => {
    const view = await part('S-1')
    expect(plain(view.headline)).toBe(
      'Part S-1 conforms in all two characteristics measured, of four that the drawing limits.',
    )
    expect(view.build).toMatchObject({ name: '0001', powderLot: 'K8' })
    expect(view).toMatchObject({ tray: '4', bed: { x: 20 }, load: { name: 'L1' } })
    expect(view.values.map((each) => [each.characteristic.designator, each.stage, each.line])).toEqual([
      ['1', 'green', 2],
      ['1', 'sintered', 3],
      ['2', 'sintered', 4],
    ])
    expect(view.values[0]?.conformity).toBeNull()
    expect(view.unmeasured.map(({ designator }) => designator)).toEqual(['3', '7'])
  })

  it('does not conform where one value lies outside, and is open where the gauge cannot tell', async () => {
    expect(plain((await part('S-2')).headline)).toBe(
      'Part S-2 does not conform in 1 length, and measuring leaves 2 height open.',
    )
    const view = await part('S-3')
    expect(plain(view.headline)).toMatch(/is not proved to conform in 2 height/)
    const [height] = view.values
    // The certificate's 0.02 mm with the resolution's rectangle of 0.01 mm: k = 2 of the root of the sum of squares.
    const expanded = 2 * Math.hypot(0.02 / 2, 0.01 / Math.sqrt(12))
    expect(height?.conformity?.expanded).toBeCloseTo(expanded, 12)
    expect(height?.conformity?.decision).toBe('inside the uncertainty')
    // SciPy 1.17: norm.cdf(0.002 / u) − norm.cdf(−0.198 / u), u = expanded / 2 = 0.0104083….
    expect(height?.conformity?.probability).toBeCloseTo(0.5761891270968088, 12)
    expect(height?.among).toMatchObject({ n: 3 })
    expect(height?.among.mean).toBeCloseTo((5 + 5.098 + 5.098) / 3, 12)
  })

  it('is judged without a value that was left out, which stays in sight with its reason', async () => {
    const answer = await fetch(
      `${server.url}/api/part-numbers/P-1/A/characteristics/1/exclusions?stage=sintered`,
      {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({
          build: '0001',
          single: { serial: 'S-2', replicate: 1 },
          who: 'Ines Quark',
          reason: 'mistyped',
        }),
      },
    )
    expect(answer.status, await answer.text()).toBeLessThan(300)
    const view = await part('S-2')
    expect(plain(view.headline)).toMatch(/is not proved to conform in 2 height/)
    expect(plain(view.grounds)).toMatch(/One further value that does not count is not judged/)
    expect(view.values[0]).toMatchObject({
      value: 10.2,
      conformity: null,
      counts: false,
      leftOut: { who: 'Ines Quark', reason: 'mistyped' },
    })
  })

  it('with limits of its own is judged by them, and shows what was measured', async () => {
    const view = await part('S-4')
    expect(plain(view.headline)).toBe(
      'Part S-4 conforms in the one characteristic measured, of four that the drawing limits.',
    )
    const [position] = view.values
    expect(position?.own).toMatchObject({ measured: 0.27, upper: 0.3 })
    expect(position?.value).toBeCloseTo(0.9, 12)
    expect(plain((await part('S-5')).headline)).toBe('Part S-5 does not conform in 7 position of bore.')
  })

  it('stands among those of its build, what does not conform first', async () => {
    const view = await server.get<BuildPartsView>('/api/part-numbers/P-1/A/parts-of-build/0001')
    expect(view.parts.map(({ serial, decision }) => [serial, decision])).toEqual([
      ['S-5', 'not conforming'],
      ['S-2', 'inside the uncertainty'],
      ['S-3', 'inside the uncertainty'],
      ['S-1', 'conforming'],
      ['S-4', 'conforming'],
    ])
    expect(view.limited).toBe(4)
    expect(plain(view.headline)).toBe(
      'Of five parts judged of build 0001 two conform, one does not and two are not proved to.',
    )
    for (const each of view.parts) {
      const alone = await part(each.serial)
      const against = each.against.map(({ designator }) => designator)
      for (const designator of against) expect(plain(alone.headline)).toContain(` ${designator} `)
    }
    const missing = await fetch(`${server.url}/api/part-numbers/P-1/A/parts-of-build/0002`)
    expect(missing.status).toBe(404)
  })

  it('stands among hundreds as well, each judged once', async () => {
    const rows = Array.from(
      { length: 620 },
      (_, i) => `P-1,A,M-${i},0003,1,${i % 100 === 7 ? '10.2' : '10.01'}`,
    )
    const lines = ['part_number,revision,serial,build,characteristic,value', ...rows]
    expect((await server.bring('many.csv', lines.join('\n'))).verdict).toBe('taken')
    const view = await server.get<BuildPartsView>('/api/part-numbers/P-1/A/parts-of-build/0003')
    expect(new Set(view.parts.map(({ serial }) => serial)).size).toBe(620)
    expect(view.parts.map(({ judged }) => judged)).toEqual(Array.from({ length: 620 }, () => 1))
    expect(view.parts.slice(0, 8).map(({ serial, decision }) => [serial, decision])).toEqual([
      ...[7, 107, 207, 307, 407, 507, 607].map((i) => [`M-${i}`, 'not conforming']),
      ['M-0', 'conforming'],
    ])
    expect(plain(view.grounds)).toContain('From 620 values; nothing is known of the uncertainty')
  })

  it('of a build left out of the charts as a whole is judged all the same', async () => {
    const answer = await fetch(
      `${server.url}/api/part-numbers/P-1/A/characteristics/7/exclusions?stage=sintered`,
      {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ build: '0001', single: null, who: 'Ines Quark', reason: 'furnace fault' }),
      },
    )
    expect(answer.status, await answer.text()).toBeLessThan(300)
    const view = await part('S-5')
    expect(view.values[0]).toMatchObject({ counts: false, leftOut: { reason: 'furnace fault' } })
    expect(plain(view.headline)).toBe('Part S-5 does not conform in 7 position of bore.')
  })

  it('is found by a piece of its serial number, and missed with words', async () => {
    const { parts, more } = await server.get<PartsFoundView>('/api/parts?serial=s-')
    expect(parts.map(({ serial }) => serial)).toEqual(['S-1', 'S-2', 'S-3', 'S-4', 'S-5'])
    expect(more).toBe(false)
    const missing = await fetch(`${server.url}/api/part-numbers/P-1/A/parts/S-9`)
    expect(missing.status).toBe(404)
    expect(await missing.text()).toMatch(/No part “S-9” of P-1, revision A, is on record/)
    expect((await fetch(`${server.url}/api/parts?serial=%20`)).status).toBe(400)
  })
})
