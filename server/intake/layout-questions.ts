import type { ImportChoices, LayoutChoices, Question } from '../contract/receipt.ts'
import type { Meaning } from './meaning.ts'
import { findAmbiguousNumber, looksNumeric } from './numbers.ts'
import type { Delimiter } from './rows.ts'
import { findAmbiguousDate } from './times.ts'

/** What the beginning of a file leaves open about its layout, asked of the person who brought it. */

export function markQuestion(
  numbers: Iterable<string>,
  delimiter: Delimiter,
  said: LayoutChoices,
): Question[] {
  if (said.decimalMark !== undefined) return []
  const doubtful = findAmbiguousNumber(numbers, delimiter)
  if (doubtful === null) return []
  return [
    {
      about: 'decimal-mark',
      text: `Numbers such as ${doubtful} can be read in two ways, and no number of the file shows which is meant. What is the comma?`,
      position: null,
      options: [
        { choice: ',', text: 'The decimal mark' },
        { choice: '.', text: 'A mark between thousands' },
      ],
      suggested: null,
      waits: true,
    },
  ]
}

export function dateQuestion(dates: Iterable<string>, said: LayoutChoices): Question[] {
  if (said.dateOrder !== undefined) return []
  const doubtful = findAmbiguousDate(dates)
  if (doubtful === null) return []
  return [
    {
      about: 'date-order',
      text: `Dates such as ${doubtful} can be read in two ways, and no date of the file gives the order away. Which comes first?`,
      position: null,
      options: [
        { choice: 'day-month', text: 'The day' },
        { choice: 'month-day', text: 'The month' },
      ],
      suggested: null,
      waits: true,
    },
  ]
}

export function namesQuestions(
  meanings: readonly (Meaning | null)[],
  needsBuild: boolean,
  rows: readonly (readonly string[])[],
  choices: ImportChoices,
  likely: () => readonly string[],
): Question[] {
  const questions: Question[] = []
  const says = (meaning: Meaning) => {
    const index = meanings.indexOf(meaning)
    return index >= 0 && (rows.length === 0 || rows.some((row) => row[index] !== ''))
  }
  if (!says('partNumber') && choices.partNumber === null) {
    const numbers = likely()
    questions.push({
      about: 'part-number',
      text: 'The file does not say to which part number its parts belong.',
      position: null,
      options: numbers.map((number) => ({ choice: number, text: number })),
      suggested: numbers.length === 1 ? (numbers[0] as string) : null,
      waits: true,
    })
  }
  if (needsBuild && !says('build') && (choices.build ?? null) === null) {
    questions.push({
      about: 'build',
      text: 'The file does not say in which build its parts were printed. Parts on record keep their build; new ones need one.',
      position: null,
      options: [],
      suggested: null,
      waits: false,
    })
  }
  return questions
}

/** Whether what stands in the columns of values are deviations: all of them small beside their nominals. */
export function valuesQuestion(
  rows: readonly (readonly string[])[],
  meanings: readonly (Meaning | null)[],
  said: LayoutChoices,
): Question[] {
  if (said.values !== undefined || meanings[meanings.length - 1] !== 'value') return []
  const nominal = meanings.indexOf('nominal')
  if (nominal < 0) return []
  let small = 0
  let all = 0
  for (const row of rows) {
    const [of, value] = [row[nominal] ?? '', row[row.length - 1] ?? '']
    if (!looksNumeric(of) || !looksNumeric(value)) continue
    const [n, v] = [of, value].map((text) =>
      Math.abs(Number.parseFloat(text.replace(',', '.').replace('−', '-'))),
    )
    if (!((n as number) > 0)) continue
    all++
    if ((v as number) < (n as number) * 0.2) small++
  }
  if (all < 3 || small < all * 0.9) return []
  return [
    {
      about: 'values',
      text: 'The values are small beside their nominals. Are they measured values, or deviations from nominal?',
      position: null,
      options: [
        { choice: 'actual', text: 'Measured values' },
        { choice: 'deviation', text: 'Deviations from nominal' },
      ],
      suggested: 'deviation',
      waits: true,
    },
  ]
}
