import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { CapabilityView, ChartView, SubgroupView } from '../../../server/contract/views.ts'
import { univariateSet } from '../../src/description/nist-strd.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

/**
 * Real measurements through the whole program: Michelson's speeds of light (NIST StRD, Michelso), five runs of
 * twenty, handed to the running server as a CSV file of five builds.
 */

const { values, mean, sd } = univariateSet('Michelso')

const csv = [
  'part_number,revision,serial,build,characteristic,value',
  ...values.map((value, i) => `SPEED,A,${i + 1},run ${Math.floor(i / 20) + 1},1,${value.toFixed(2)}`),
].join('\n')

let server: RunningServer

beforeAll(async () => {
  server = await startServer()
  const receipt = await server.bring('michelson.csv', csv)
  expect(receipt.verdict).toBe('taken')
  expect(receipt.rowsTaken).toBe(100)
})

afterAll(() => server.stop())

describe('Michelson’s data in the running program', () => {
  it('has the certified mean and standard deviation', async () => {
    const view = await server.get<CapabilityView>('/api/part-numbers/SPEED/A/capability')
    const row = view.rows[0]
    expect(row?.n).toBe(100)
    expect(row?.builds).toBe(5)
    expect(row?.mean).toBeCloseTo(mean, 12)
    expect(row?.sigmaOverall).toBeCloseTo(sd, 12)
    expect(row?.ppk).toBeNull()
  })

  it('is charted as five subgroups of twenty with limits from the constants for twenty', async () => {
    const view = await server.get<ChartView>('/api/part-numbers/SPEED/A/characteristics/1/chart')
    expect(view.chart.subgroups.map((subgroup) => [subgroup.label, subgroup.n])).toEqual(
      [1, 2, 3, 4, 5].map((run) => [`run ${run}`, 20]),
    )
    const centre = view.chart.spread?.centre[0] as number
    // B3 and B4 for twenty: ASTM E2587, ISO 7870-2, 0.510 and 1.490
    expect((view.chart.spread?.lower[0] as number) / centre).toBeCloseTo(0.51, 3)
    expect((view.chart.spread?.upper[0] as number) / centre).toBeCloseTo(1.49, 3)
    // R 4.2.2: oneway.test(Speed ~ Expt, morley, var.equal = TRUE)
    expect(view.chart.phases[0]?.betweenTest?.f).toBeCloseTo(4.2878, 4)
    expect(view.chart.phases[0]?.provisional).toBe(true)
  })

  it('leads from a point back to the rows of the file', async () => {
    const view = await server.get<SubgroupView>('/api/part-numbers/SPEED/A/characteristics/1/builds/run%203')
    expect(view.values).toHaveLength(20)
    const lines = csv.split('\n')
    for (const value of view.values) {
      expect(value.fileName).toBe('michelson.csv')
      expect(lines[value.line - 1]).toBe(`SPEED,A,${value.serial},run 3,1,${value.value.toFixed(2)}`)
    }
    const file = await fetch(`${server.url}/api/imports/${view.values[0]?.importId}/file`)
    expect(await file.text()).toBe(csv)
  })
})
