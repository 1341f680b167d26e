import { describe, expect, it } from 'vitest'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import type { RankedCondition } from '../../../src/events/rank-conditions.ts'
import { type SignalChange, signalChangeWords } from '../../../src/words/signal-change-words.ts'

const step: Characteristic = {
  id: 9,
  designator: '9',
  name: 'step',
  kind: 'length',
  nominal: 12.4,
  lower: 12.35,
  upper: 12.45,
  unit: 'mm',
  axis: 'Z',
}
const size = { value: -0.0152, lower: -0.0181, upper: -0.0121 }
const own = { designator: '9', name: 'step', shift: size, scatter: null }
const lot: RankedCondition = {
  condition: 'powder lot',
  from: 'K7',
  to: 'K8',
  at: 41,
  share: 0.968,
  method: 'least-squares',
  predictedPercent: null,
}
const change: SignalChange = { from: 41, plausible: [39, 41, 45], members: [own], conditions: [lot] }
const words = (patch: Partial<SignalChange>) =>
  signalChangeWords({ ...change, ...patch }, step, (position) => `04${position}`)

describe('the change behind a signal', () => {
  it('says where it began, how large it is, and what accounts for it', () => {
    expect(words({})).toBe(
      'Change point: build 0441, with 95 % confidence between 0439 and 0445; size −0.0152 mm (−0.0181 to −0.0121, 95 %). ' +
        'Powder lot K7 → K8 accounts for 97 % of it.',
    )
  })

  it('names the others that show the same event', () => {
    const other = (designator: string, name: string) => ({ ...own, designator, name })
    expect(words({ members: [other('3', 'height'), other('6', 'ear height'), own] })).toContain(
      'One event with 3 height and 6 ear height.',
    )
  })

  it('ranks conditions, and says where nothing recorded changed', () => {
    const furnace = { ...lot, condition: 'furnace', from: null, to: 'F2', share: 0.4 }
    expect(words({ conditions: [lot, furnace] })).toMatch(
      /Powder lot K7 → K8 accounts for 97 % of it, furnace F2 accounts for 40 % of it\.$/,
    )
    expect(words({ conditions: [] })).toMatch(/Nothing recorded changed there\.$/)
  })

  it('gives scatter as a multiple, and a change point that no other build rivals as such', () => {
    const scatter = { value: 1.84, lower: 1.2, upper: 2.6 }
    expect(words({ plausible: [41], members: [{ ...own, shift: null, scatter }], conditions: [] })).toBe(
      'Change point: build 0441, no other, with 95 % confidence; 1.8 times the scatter (1.2 to 2.6, 95 %). ' +
        'Nothing recorded changed there.',
    )
  })
})
