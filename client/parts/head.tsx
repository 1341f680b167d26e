import { useRef } from 'preact/hooks'
import { useLocation } from 'preact-iso'
import type { PartNumberSummary } from '../../server/contract/views.ts'
import { capabilityPage, driftPage, type PartNumberKey } from '../data/addresses.ts'
import { useShop } from '../data/shop.ts'
import { shrinkagePage } from '../data/shrinkage-addresses.ts'
import { SignedIn } from './access/signed-in.tsx'

interface Place {
  readonly name: string
  readonly href: string
  readonly here: boolean
}

/** Name of the program, the places, and the part number in view. */
export function Head() {
  const { path, route } = useLocation()
  const shop = useShop()
  const partNumbers = shop.value?.partNumbers ?? []
  const named = partNumberIn(path)
  // Kept while the page is open, so that the way back from another place leads to the part number last in view.
  const lastNamed = useRef<PartNumberKey | null>(null)
  if (named !== null) lastNamed.current = named
  const only = partNumbers.length === 1 ? partNumbers[0] : undefined
  const current = named ?? lastNamed.current ?? only ?? null
  const inside = (start: string) => path === start || path.startsWith(`${start}/`)
  const places: Place[] = [
    { name: 'Intake', href: '/intake', here: inside('/intake') },
    { name: 'Drift', href: current === null ? '/drift' : driftPage(current), here: inside('/drift') },
    {
      name: 'Shrinkage',
      href: current === null ? '/shrinkage' : shrinkagePage(current),
      here: inside('/shrinkage'),
    },
    {
      name: 'Capability',
      href: current === null ? '/capability' : capabilityPage(current),
      here: inside('/capability'),
    },
    { name: 'Gauges', href: '/gauges', here: inside('/gauges') },
    { name: 'Record', href: '/record', here: inside('/record') },
  ]
  const pick = (key: string) => {
    const chosen = partNumbers.find((each) => keyText(each) === key)
    const [all, page] = inside('/capability')
      ? ['/capability', capabilityPage]
      : inside('/shrinkage')
        ? ['/shrinkage', shrinkagePage]
        : ['/drift', driftPage]
    route(chosen === undefined ? all : page(chosen))
  }
  return (
    <header class="head">
      <a class="name" href="/">
        as-sintered
      </a>
      <nav aria-label="Places">
        {places.map(({ name, href, here }) => (
          <a key={name} href={href} aria-current={here ? 'page' : undefined}>
            {name}
          </a>
        ))}
      </nav>
      {partNumbers.length > 0 && (
        <PartNumberChoice partNumbers={partNumbers} current={named ?? only ?? null} onPick={pick} />
      )}
      <SignedIn />
    </header>
  )
}

interface PartNumberChoiceProps {
  readonly partNumbers: readonly PartNumberSummary[]
  /** Null on pages that are about none. */
  readonly current: PartNumberKey | null
  onPick(key: string): void
}

function PartNumberChoice({ partNumbers, current, onPick }: PartNumberChoiceProps) {
  const [first, ...others] = partNumbers
  if (first !== undefined && others.length === 0 && current !== null && keyText(first) === keyText(current))
    return <span class="part-number">{title(first)}</span>
  const known = current === null || partNumbers.some((each) => keyText(each) === keyText(current))
  return (
    <select
      class="part-number"
      aria-label="Part number"
      value={current === null ? ALL : keyText(current)}
      onChange={(event) => onPick(event.currentTarget.value)}
    >
      <option value={ALL}>all part numbers</option>
      {!known && <option value={keyText(current)}>pick a part number</option>}
      {partNumbers.map((each) => (
        <option key={keyText(each)} value={keyText(each)}>
          {title(each)}
        </option>
      ))}
    </select>
  )
}

/** Value of the choice that names no part number. */
const ALL = ''

function title({ number, revision, name }: PartNumberSummary): string {
  return `${number}${name === null ? '' : ` ${name}`}, rev ${revision}`
}

function keyText({ number, revision }: PartNumberKey): string {
  return JSON.stringify([number, revision])
}

/** Places whose pages are about one part number. */
const PLACES: ReadonlySet<string> = new Set(['drift', 'shrinkage', 'capability'])

/** The part number that the address of a page names. */
function partNumberIn(path: string): PartNumberKey | null {
  const [place, number, revision] = path.split('/').filter((each) => each !== '')
  if (!PLACES.has(place ?? '') || number === undefined || revision === undefined) return null
  return { number: decodeURIComponent(number), revision: decodeURIComponent(revision) }
}
