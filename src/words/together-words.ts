import { TOGETHER_LEVEL, type TogetherChart, type TogetherPoint } from '../charts/together.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import { capitalise, characteristicTitle, countOf, countWord, formatCount, listed } from './format.ts'
import type { Sentence } from './sentence.ts'

/** "3 height and 6 ear height": at most `most` of them, the rest counted. */
export function movedWords(
  moved: readonly number[],
  characteristics: readonly Characteristic[],
  most = 4,
): string {
  const names = moved.slice(0, most).map((r) => characteristicTitle(characteristics[r] as Characteristic))
  if (moved.length > most) names.push(`${countWord(moved.length - most)} more`)
  return listed(names)
}

/** What the chart of all characteristics together says. */
export function togetherWords(
  chart: TogetherChart | null,
  characteristics: readonly Characteristic[],
  buildName: (position: number) => string,
): { readonly headline: Sentence; readonly grounds: Sentence } {
  if (chart === null) {
    return {
      headline: [{ text: 'All characteristics together cannot be judged yet.' }],
      grounds: [
        {
          text: 'It takes two builds more than there are characteristics, all measured, and none of them following exactly from the others.',
        },
      ],
    }
  }
  const { judged, leftOut, baseline, points } = chart
  const outside = points.filter((point) => point.outside)
  const last = outside.at(-1)
  const incomplete = points.filter((point) => point.missing.length > 0).length
  return {
    headline:
      last === undefined
        ? [
            {
              text: `Taken together, ${countOf(judged.length, 'characteristic')} are steady over ${countOf(points.length, 'build')}.`,
            },
          ]
        : headline(outside, last, points, characteristics, buildName),
    grounds: [
      {
        text: `T² over ${countOf(judged.length, 'characteristic')}; limits from ${countOf(baseline.count, 'build')}, ${buildName(baseline.from)} to ${buildName(baseline.to)}, with one false signal in ${formatCount(Math.round(1 / TOGETHER_LEVEL))} builds. `,
      },
      ...(leftOut.length === 0
        ? []
        : [
            {
              text: `Left out, since too few builds were measured in ${leftOut.length === 1 ? 'it' : 'them'}: ${movedWords(leftOut, characteristics)}. `,
            },
          ]),
      ...(incomplete === 0
        ? []
        : [
            {
              text: `${capitalise(countOf(incomplete, 'build'))} ${incomplete === 1 ? 'misses' : 'miss'} a characteristic and ${incomplete === 1 ? 'is' : 'are'} judged over the others. `,
            },
          ]),
      { text: 'Named are the fewest characteristics that leave nothing unusual in the others.' },
    ],
  }
}

function headline(
  outside: readonly TogetherPoint[],
  last: TogetherPoint,
  points: readonly TogetherPoint[],
  characteristics: readonly Characteristic[],
  buildName: (position: number) => string,
): Sentence {
  return [
    {
      text: `Taken together, ${countWord(outside.length)} of ${countOf(points.length, 'build')} ${outside.length === 1 ? 'is' : 'are'} unusual, ${outside.length === 1 ? '' : 'the last of them '}`,
    },
    { text: buildName(last.position), role: 'strong' },
    { text: `: ${movedWords(last.moved, characteristics)} moved.` },
  ]
}
