import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { CHARACTERISTICS, openShop, type Shop } from './shop.ts'

let shop: Shop

beforeEach(async () => {
  shop = await openShop()
  await shop.bring(CHARACTERISTICS)
})
afterEach(() => shop.close())

const HEAD = 'part_number,revision,serial,build,characteristic,value\n'
const row = (serial: string, characteristic: string, value: string) =>
  `HB-204,C,${serial},B1,${characteristic},${value}\n`

/** Thirty parts with lengths, bores and flatness as the drawing wants them. */
const RECORD =
  HEAD +
  Array.from({ length: 30 }, (_, i) => {
    const off = ((i * 7) % 11) - 5
    return (
      row(`R${i}`, '1', (42 + off * 0.012).toFixed(3)) +
      row(`R${i}`, '2', (8 + off * 0.005).toFixed(3)) +
      row(`R${i}`, '10', (0.03 + off * 0.002).toFixed(3))
    )
  }).join('')

const SLIPS: readonly [string, string, string, string][] = [
  ['unit', '1', '1.6541', '42.01414'],
  ['decimal-point', '1', '4.2013', '42.013'],
  ['decimal-point', '1', '420.13', '42.013'],
  ['unit', '1', '42013', '42.013'],
  ['decimal-point', '10', '0.31', '0.031'],
  ['digits', '1', '24.013', '42.013'],
  ['sign', '1', '-42.013', '42.013'],
]

describe('a value that a slip explains', () => {
  for (const [kind, characteristic, written, likely] of SLIPS) {
    it(`${kind}: ${written} for ${likely}`, async () => {
      await shop.bring(RECORD)
      const before = shop.everything()
      const receipt = await shop.bring(HEAD + row('S1', characteristic, written) + row('S2', '1', '42.01'))
      expect(receipt).toMatchObject({ verdict: 'asking', importId: null, rowsTaken: 0 })
      expect(receipt.doubtCounts).toContainEqual({ kind, rows: 1, waiting: 1 })
      const doubt = receipt.doubts?.find((each) => each.kind === kind)
      expect(doubt).toMatchObject({
        line: 2,
        column: 'value',
        position: 6,
        value: written,
        serial: 'S1',
        characteristic,
        likely,
        waits: true,
        decision: 'waiting',
      })
      expect(shop.everything()).toBe(before)
    })
  }

  it('is doubted by the drawing alone, where nothing is on record', async () => {
    const receipt = await shop.bring(HEAD + row('S1', '1', '24.01') + row('S2', '1', '1.654'))
    expect(receipt.doubtCounts?.map(({ kind }) => kind)).toEqual(['digits', 'unit'])
  })

  it('is kept as measured, or left out, as the inspector decides by kind or by row', async () => {
    await shop.bring(RECORD)
    const file = HEAD + row('S1', '1', '24.01') + row('S2', '1', '4.2011') + row('S3', '1', '42.02')
    expect((await shop.bring(file)).verdict).toBe('asking')
    expect((await shop.bring(file, { doubts: { kinds: { digits: 'keep' } } })).verdict).toBe('asking')
    const taken = await shop.bring(file, {
      doubts: {
        kinds: { digits: 'keep' },
        rows: [{ kind: 'decimal-point', line: 3, position: 6, decision: 'leave-out' }],
      },
    })
    expect(taken).toMatchObject({ verdict: 'taken', rowsRead: 3, rowsTaken: 2, rowsLeftOut: 1 })
    expect(
      taken.doubts?.flatMap(({ line, kind, decision }) => (kind === 'build-known' ? [] : [[line, decision]])),
    ).toEqual([
      [2, 'kept'],
      [3, 'left-out'],
    ])
    const values = await shop.store.values(1, 1, 'sintered')
    expect(values.flatMap(({ serial, value }) => (serial.startsWith('S') ? [[serial, value]] : []))).toEqual([
      ['S1', 24.01],
      ['S3', 42.02],
    ])
  })

  it('of two columns that changed places is found by the pair', async () => {
    const characteristics =
      'part_number,revision,designator,nominal,tolerance\nP,A,1,42,0.1\nP,A,2,37.9,0.1\n'
    await shop.bring(characteristics)
    const file = 'part_number,revision,serial,build,1,2\nP,A,S1,B1,42.01,37.91\nP,A,S2,B1,37.92,42.02\n'
    const receipt = await shop.bring(file)
    expect(
      receipt.doubts?.map(({ kind, line, column, position, likely }) => [
        kind,
        line,
        column,
        position,
        likely,
      ]),
    ).toEqual([
      ['exchanged', 3, '1', 5, '42.02'],
      ['exchanged', 3, '2', 6, '37.92'],
    ])
    const rows = [5, 6].map(
      (position) => ({ kind: 'exchanged', line: 3, position, decision: 'leave-out' }) as const,
    )
    expect(await shop.bring(file, { doubts: { rows } })).toMatchObject({
      verdict: 'taken',
      rowsTaken: 2,
      rowsLeftOut: 2,
    })
  })

  it('is none where the whole file lies there, or no slip explains it', async () => {
    await shop.bring(RECORD)
    const off = Array.from({ length: 12 }, (_, i) => row(`S${i}`, '1', (43.1 + (i % 5) * 0.01).toFixed(2)))
    expect((await shop.bring(HEAD + off.join(''))).doubts?.some(({ waits }) => waits)).toBe(false)
    expect((await shop.bring(HEAD + row('T1', '1', '43.5'))).verdict).toBe('taken')
  })
})

describe('what was there before, or is not there', () => {
  const TIMED = 'part_number,revision,serial,build,characteristic,value,measured_at\n'
  const timed = (serial: string, value: string, at: string, build = 'B1') =>
    `HB-204,C,${serial},${build},1,${value},${at}\n`

  it('a value of the same part, characteristic and time is a duplicate', async () => {
    await shop.bring(TIMED + timed('S1', '42.01', '2026-03-02 08:00'))
    const receipt = await shop.bring(`${TIMED}${timed('S1', '42.05', '2026-03-02 08:00')}`)
    expect(receipt.verdict).toBe('refused')
    expect(receipt.refused[0]?.reason).toMatch(/already/)
  })

  it('one of another time is a repeat, kept once the inspector says so', async () => {
    await shop.bring(TIMED + timed('S1', '42.01', '2026-03-02 08:00'))
    const again = TIMED + timed('S1', '42.05', '2026-03-03 08:00') + timed('S2', '42.02', '2026-03-03 08:05')
    const asked = await shop.bring(again)
    expect(asked).toMatchObject({ verdict: 'asking' })
    expect(asked.doubtCounts).toContainEqual({ kind: 'measured-before', rows: 1, waiting: 1 })
    const kept = await shop.bring(again, { doubts: { kinds: { 'measured-before': 'keep' } } })
    expect(kept).toMatchObject({ verdict: 'taken', rowsTaken: 2 })
    expect((await shop.store.values(1, 1, 'sintered')).map((v) => [v.serial, v.replicate, v.value])).toEqual([
      ['S1', 1, 42.01],
      ['S1', 2, 42.05],
      ['S2', 1, 42.02],
    ])
    const [cell] = await shop.store.cellsOf(1, 'sintered')
    expect(cell).toMatchObject({ n: 3, min: 42.01, max: 42.05 })
  })

  it('one that an earlier file gave no time of may be the same, which only the inspector can tell', async () => {
    const untimed = 'part_number,revision,serial,build,characteristic,value\nHB-204,C,S1,B1,1,42.01\n'
    await shop.bring(untimed)
    const again = TIMED + timed('S1', '42.05', '2026-03-03 08:00')
    const asked = await shop.bring(again)
    expect(asked).toMatchObject({ verdict: 'asking' })
    expect(asked.doubts?.[0]).toMatchObject({
      kind: 'measured-before',
      text: expect.stringContaining('does not say when: it may be the same measurement'),
    })
    expect(await shop.bring(again, { doubts: { all: 'keep' } })).toMatchObject({
      verdict: 'taken',
      rowsTaken: 1,
    })
    // A third without a time is still a duplicate: nothing tells it from either.
    expect((await shop.bring(untimed.replace('42.01', '42.02'))).verdict).toBe('refused')
  })

  it('and is left out where the inspector says that', async () => {
    await shop.bring(TIMED + timed('S1', '42.01', '2026-03-02 08:00'))
    const again = TIMED + timed('S1', '42.05', '2026-03-03 08:00') + timed('S2', '42.02', '2026-03-03 08:05')
    const receipt = await shop.bring(again, { doubts: { kinds: { 'measured-before': 'leave-out' } } })
    expect(receipt).toMatchObject({ verdict: 'taken', rowsTaken: 1, rowsLeftOut: 1 })
    expect(await shop.store.cellsOf(1, 'sintered')).toMatchObject([{ n: 2, max: 42.02 }])
  })

  it('two times within one file are repeats without a question', async () => {
    const receipt = await shop.bring(
      TIMED + timed('S1', '42.01', '2026-03-02 08:00') + timed('S1', '42.02', '2026-03-02 09:00'),
    )
    expect(receipt).toMatchObject({ verdict: 'taken', rowsTaken: 2 })
    expect((await shop.store.values(1, 1, 'sintered')).map((v) => v.replicate)).toEqual([1, 2])
  })

  it('a build that gets more parts is shown, and takes no decision', async () => {
    await shop.bring(RECORD)
    const receipt = await shop.bring(HEAD + row('S1', '1', '42.01'))
    expect(receipt.verdict).toBe('taken')
    expect(receipt.doubts).toMatchObject([
      { kind: 'build-known', value: 'B1', waits: false, decision: 'kept' },
    ])
  })

  it('a time before the build was printed', async () => {
    await shop.bring('build,printed_at\nB1,2026-03-10 06:00\n')
    const receipt = await shop.bring(
      TIMED +
        timed('S1', '42.01', '2026-03-02 08:00') +
        timed('S2', '42.01', '2026-03-10') +
        timed('S3', '42.02', '2026-03-03 08:00'),
    )
    expect(receipt.verdict).toBe('asking')
    expect(receipt.doubts).toMatchObject([{ kind: 'before-build', line: 2, rows: 2, serial: 'S1' }])
  })

  it('more parts without a characteristic than on record', async () => {
    await shop.bring(RECORD)
    const parts = Array.from(
      { length: 20 },
      (_, i) => `HB-204,C,S${i},B2,42.01,${i < 8 ? '' : '8.01'}\n`,
    ).join('')
    const receipt = await shop.bring(`part_number,revision,serial,build,1,2\n${parts}`)
    expect(receipt.verdict).toBe('asking')
    expect(receipt.doubts).toMatchObject([{ kind: 'missing', characteristic: '2' }])
    const fewer = parts.replace(',42.01,\n', ',42.01,8.02\n')
    expect(fewer).not.toBe(parts)
    const one = Array.from({ length: 20 }, (_, i) => `HB-204,C,S${i},B2,42.01,${i < 1 ? '' : '8.01'}\n`).join(
      '',
    )
    expect((await shop.bring(`part_number,revision,serial,build,1,2\n${one}`)).verdict).toBe('taken')
  })
})

describe('parts out of specification', () => {
  it('are listed with their limits; green parts have none', async () => {
    const receipt = await shop.bring(
      'part_number,revision,serial,build,stage,characteristic,value\n' +
        'HB-204,C,S1,B1,sintered,1,42.11\nHB-204,C,S2,B1,sintered,1,42.1\nHB-204,C,S3,B1,green,1,49.6\nHB-204,C,S4,B1,sintered,2,7.94\n',
    )
    expect(receipt.outOfSpecification).toBe(2)
    expect(receipt.nonconforming?.map((n) => [n.line, n.serial, n.characteristic, n.side, n.limit])).toEqual([
      [2, 'S1', '1', 'above', 42.1],
      [5, 'S4', '2', 'below', 7.95],
    ])
  })
})
