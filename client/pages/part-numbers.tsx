import type { PartNumberSummary } from '../../server/contract/views.ts'
import { capitalise, countWord, formatCount } from '../../src/words/format.ts'
import { capabilityPage } from '../data/addresses.ts'
import { useShop } from '../data/shop.ts'
import { shrinkagePage } from '../data/shrinkage-addresses.ts'
import { NothingMeasured, Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'

/** The part numbers on record, to pick one from. */
export function PartNumbersPage({ place }: { place: 'shrinkage' | 'capability' }) {
  useTitle('Part numbers')
  const shop = useShop()
  if (shop.value === null) return <Reading resource={shop} what="the part numbers" />
  const { partNumbers } = shop.value
  if (partNumbers.length === 0) return <NothingMeasured />
  const page = place === 'capability' ? capabilityPage : shrinkagePage
  return (
    <>
      <header class="opening">
        <h1>
          {`${capitalise(countWord(partNumbers.length))} part ${partNumbers.length === 1 ? 'number is' : 'numbers are'} on record.`}
        </h1>
      </header>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="Part numbers" tabIndex={0}>
        <table class="list">
          <thead>
            <tr>
              <th scope="col">part number</th>
              <th scope="col">name</th>
              <th scope="col" class="number">
                characteristics
              </th>
              <th scope="col" class="number">
                builds
              </th>
              <th scope="col" class="number">
                measurements
              </th>
              <th scope="col">last build</th>
            </tr>
          </thead>
          <tbody>
            {partNumbers.map((each) => (
              <Row key={each.id} partNumber={each} href={page(each)} />
            ))}
          </tbody>
        </table>
      </section>
    </>
  )
}

function Row({ partNumber, href }: { partNumber: PartNumberSummary; href: string }) {
  const { number, revision, name, characteristics, builds, measurements, lastBuild } = partNumber
  return (
    <tr>
      <td>
        <a href={href}>
          {number}, rev {revision}
        </a>
      </td>
      <td>{name ?? '–'}</td>
      <td class="number">{formatCount(characteristics)}</td>
      <td class="number">{formatCount(builds)}</td>
      <td class="number">{formatCount(measurements)}</td>
      <td>{lastBuild ?? '–'}</td>
    </tr>
  )
}
