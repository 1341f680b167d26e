import type { Characteristic } from '../domain/characteristic.ts'
import type { Split, SplitGroup } from '../places/model.ts'
import {
  buildSpan,
  capitalise,
  characteristicTitle,
  countOf,
  formatNumber,
  listed,
  meanDecimals,
} from './format.ts'
import type { Phrase, Sentence } from './sentence.ts'

interface Sure {
  readonly split: Split
  readonly group: SplitGroup
}

/** What the page of places says: which place or condition gives other parts, the clearest first. */
export function placeWords(
  characteristic: Characteristic,
  splits: readonly Split[],
  span: { readonly parts: number; readonly first: string; readonly last: string } | null,
): { readonly headline: Sentence; readonly grounds: Sentence } {
  const name = characteristicTitle(characteristic)
  if (span === null) return { headline: [{ text: `${name} is not measured in these builds.` }], grounds: [] }
  const counted = `${buildSpan(span.first, span.last)}, ${countOf(span.parts, 'part')}. `
  if (splits.length === 0) {
    return {
      headline: [
        { text: `${name}: nothing is on record that sets its parts apart, so that they cannot be compared.` },
      ],
      grounds: [
        {
          text: `${counted}It takes two trays, furnaces, gauges, printers or powder lots.`,
        },
      ],
    }
  }
  const sure = splits
    .filter((split) => split.compares === 'parts')
    .flatMap((split) => split.groups.filter((group) => group.surely).map((group): Sure => ({ split, group })))
    .sort((a, b) => clearness(b.group) - clearness(a.group))
  const [first] = sure
  const between = splits.filter((split) => split.compares === 'builds' && split.groups.some((g) => g.surely))
  return {
    headline:
      first === undefined
        ? [{ text: `${name}: no tray, gauge or furnace surely differs from those beside it.` }]
        : differs(characteristic, name, first),
    grounds: [
      { text: counted },
      ...others(sure.slice(1)),
      ...between.map(
        (split): Phrase => ({
          text: `${buildsDiffer(split)}, but build against build, where other conditions may have changed with it. `,
        }),
      ),
      {
        text: 'What moves a whole build is taken off first; intervals hold together, with 95 % confidence for each split.',
      },
    ],
  }
}

function differs(characteristic: Characteristic, name: string, { split, group }: Sure): Sentence {
  const { value, lower, upper } = group as { value: number; lower: number; upper: number }
  const decimals = meanDecimals(characteristic)
  const unit = characteristic.unit === 'um' ? 'µm' : characteristic.unit === 'deg' ? '°' : characteristic.unit
  const word: Phrase = value < 0 ? { text: 'small', role: 'under' } : { text: 'large', role: 'over' }
  return [
    { text: `${name} comes out ` },
    word,
    {
      text: ` ${preposition(split, group)}, by ${formatNumber(Math.abs(value), decimals)} ± ${formatNumber((upper - lower) / 2, decimals)} ${unit}.`,
    },
  ]
}

function preposition({ by }: Split, { name }: SplitGroup): string {
  if (by === 'tray') return `on ${name}`
  if (by === 'furnace') return `in furnace ${name}`
  return `by gauge ${name}`
}

function others(rest: readonly Sure[]): Phrase[] {
  if (rest.length === 0) return []
  const names = rest.slice(0, 3).map(({ split, group }) => preposition(split, group))
  return [{ text: `Others differ too: ${listed(names)}${rest.length > 3 ? ' and more' : ''}. ` }]
}

function buildsDiffer({ by, groups }: Split): string {
  const names = groups.filter((group) => group.surely).map((group) => group.name)
  return names.length === 1
    ? `${capitalise(by)} ${names[0]} differs too`
    : `${capitalise(by)}s ${names.length > 4 ? `${listed(names.slice(0, 4))} and more` : listed(names)} differ too`
}

/** Distance from zero in half widths of the interval. */
function clearness({ value, lower, upper }: SplitGroup): number {
  return value === null || lower === null || upper === null ? 0 : (2 * Math.abs(value)) / (upper - lower)
}
