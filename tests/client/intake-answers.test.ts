import { describe, expect, it } from 'vitest'
import {
  choicesFrom,
  doubtChoices,
  doubtKey,
  firstAnswers,
  likelyColumns,
  stillToName,
  withAnswers,
} from '../../client/data/intake-answers.ts'
import type { Doubt, Question } from '../../server/contract/receipt.ts'

const question = (about: Question['about'], change: Partial<Question> = {}): Question => ({
  about,
  text: '?',
  position: null,
  options: [],
  suggested: null,
  waits: true,
  ...change,
})

const doubt = (change: Partial<Doubt>): Doubt => ({
  kind: 'digits',
  line: 4,
  column: 'value',
  position: 6,
  value: '5.129',
  serial: 'HB-1',
  characteristic: '7',
  text: '?',
  likely: '5.192',
  rows: 1,
  waits: true,
  decision: 'waiting',
  ...change,
})

describe('answers to the questions of a file', () => {
  const questions = [
    question('part-number'),
    question('date-order', { suggested: 'day-month' }),
    question('column', { position: 3 }),
  ]

  it('begin with what is likely', () => {
    expect(firstAnswers(questions)).toEqual({ 'part-number': '', 'date-order': 'day-month', 'column 3': '' })
  })

  it('become choices; what is not answered is left to the program', () => {
    const answers = { 'part-number': ' HB-204 ', 'date-order': 'month-day', 'column 3': 'value' }
    expect(choicesFrom({ questions, headingLine: 1 }, answers, { '1': 'none' })).toEqual({
      preview: false,
      partNumber: 'HB-204',
      layout: { dateOrder: 'month-day', columns: { '1': 'none', '3': 'value' } },
    })
    expect(choicesFrom({ questions, headingLine: 1 }, {}, {})).toEqual({ preview: false })
    expect(choicesFrom({ questions, headingLine: 0 }, {}, { '2': 'serial' })).toEqual({
      preview: false,
      layout: { columns: { '2': 'serial' }, headingLine: 0 },
    })
  })
})

describe('decisions on doubts', () => {
  it('go row by row, those of the whole file by their kind, undecided ones not at all', () => {
    const row = doubt({})
    const whole = doubt({ kind: 'missing', line: null, position: null })
    const open = doubt({ line: 9 })
    const decisions = { [doubtKey(row)]: 'leave-out', [doubtKey(whole)]: 'keep' } as const
    expect(doubtChoices([row, whole, open], decisions)).toEqual({
      kinds: { missing: 'keep' },
      rows: [{ kind: 'digits', line: 4, position: 6, decision: 'leave-out' }],
    })
  })
})

describe('answers given one after another', () => {
  const first = {
    who: 'I',
    takeGoodRows: false,
    convertUnits: false,
    partNumber: null,
    revision: null,
    layout: { headingLine: 0, columns: { '1': 'serial', '2': 'value' } },
    doubts: { kinds: { missing: 'keep' }, rows: [] },
  } as const

  it('undo none of those before', () => {
    expect(withAnswers(first, { preview: false, partNumber: 'HB-204' })).toMatchObject({
      partNumber: 'HB-204',
      layout: first.layout,
    })
    expect(withAnswers(first, { layout: { headingLine: 0, dateOrder: 'day-month' } }).layout).toEqual({
      ...first.layout,
      dateOrder: 'day-month',
    })
    expect(withAnswers(first, { layout: { columns: { '2': 'deviation' } } }).layout?.columns).toEqual({
      '1': 'serial',
      '2': 'deviation',
    })
    const row = { kind: 'digits', line: 4, position: 6, decision: 'keep' } as const
    expect(withAnswers(first, { doubts: { rows: [row] } }).doubts).toEqual({
      kinds: { missing: 'keep' },
      rows: [row],
    })
  })

  it('add nothing where nothing was said', () => {
    const { layout: _, doubts: __, ...bare } = first
    expect(withAnswers(bare, { takeGoodRows: true })).toEqual({ ...bare, takeGoodRows: true })
  })
})

describe('a table that is not understood', () => {
  it('says what is still to be named before it can be taken in', () => {
    expect(stillToName({})).toEqual(['the measured value', 'the serial number', 'the characteristic'])
    expect(stillToName({ '1': 'serial', '2': 'characteristic', '3': 'value' })).toEqual([])
    expect(stillToName({ '1': 'serial', '2': 'values' })).toEqual([])
    // One characteristic a row has the parts for its headings.
    expect(stillToName({ '1': 'characteristic', '2': 'values' })).toEqual([])
    expect(stillToName({ '1': 'characteristic', '2': 'value' })).toEqual(['the serial number'])
    expect(stillToName({ '1': 'serial', '2': 'none', '3': 'value' })).toEqual(['the characteristic'])
  })

  it('begins with the likely columns', () => {
    const column = { heading: '', role: null, inWords: null }
    expect(
      likelyColumns({
        columns: [
          { ...column, position: 1, likely: 'serial' },
          { ...column, position: 2 },
        ],
      }),
    ).toEqual({ '1': 'serial' })
  })
})
