import { useEffect } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { BuildPartsView, JudgedPart } from '../../server/contract/parts.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import { driftPage } from '../data/addresses.ts'
import { onDecided } from '../data/decide.ts'
import { buildPartsAddress, partPage } from '../data/part-addresses.ts'
import { useResource } from '../data/resource.ts'
import { Caution, ReadingOfPartNumber } from '../parts/notice.tsx'
import { SaveTable } from '../parts/save-table.tsx'
import { Opening } from '../parts/sentence.tsx'
import { useTitle } from '../parts/title.ts'
import type { TableModel } from '../save/csv.ts'
import { buildWords, placeWords } from '../words/build-words.ts'
import { figures, words } from '../words/table-columns.ts'

/** The parts of one build, each with what its values prove, for whoever lets them go on. */
export function BuildPartsPage() {
  const { params } = useRoute()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  const build = params.build ?? ''
  useTitle(`Parts of build ${build}`)
  const resource = useResource<BuildPartsView>(buildPartsAddress(key, build))
  useEffect(() => onDecided(resource.again), [resource.again])
  const view = resource.value
  return (
    <>
      <p class="back">
        <a href={`${driftPage(key)}?build=${encodeURIComponent(build)}`}>The build on the page Drift</a>
      </p>
      <ReadingOfPartNumber resource={resource} what="the parts" />
      {view !== null && (
        <>
          <Opening headline={view.headline} grounds={view.grounds} />
          <Caution />
          <p>{aboutBuild(view)}</p>
          <PartsTable view={view} />
          <SaveTable title={`Parts of build ${build}`} table={() => partsTable(view)} />
        </>
      )}
    </>
  )
}

function aboutBuild({ partNumber, build }: BuildPartsView): string {
  const run = buildWords({ ...build, furnaces: [], gauges: [] })
  return `${partNumber.number}, rev ${partNumber.revision}; build ${build.name}${run === '' ? '' : `, ${run}`}.`
}

function PartsTable({ view }: { view: BuildPartsView }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label={`Parts of build ${view.build.name}`} tabIndex={0}>
      <table class="list">
        <thead>
          <tr>
            <th scope="col">serial</th>
            <th scope="col">its values prove</th>
            <th scope="col">against it</th>
            <th scope="col" class="number">
              characteristics judged
            </th>
            <th scope="col">furnace load</th>
            <th scope="col">tray</th>
            <th scope="col">place in the bed</th>
          </tr>
        </thead>
        <tbody>
          {view.parts.map((part) => {
            const place = placeWords(part)
            return (
              <tr key={part.serial}>
                <td>
                  <a href={partPage(view.partNumber, part.serial)}>{part.serial}</a>
                </td>
                <td class={part.decision === 'not conforming' ? 'said-mark' : undefined}>
                  {decisionWords(part)}
                </td>
                <td>{part.against.map(characteristicTitle).join(', ') || '–'}</td>
                <td class="number">{`${part.judged} of ${view.limited}`}</td>
                <td>{part.load ?? '–'}</td>
                <td>{place.tray ?? '–'}</td>
                <td>{place.bed ?? '–'}</td>
              </tr>
            )
          })}
        </tbody>
      </table>
    </section>
  )
}

function decisionWords({ decision }: JudgedPart): string {
  if (decision === null) return 'nothing, no limit binds'
  return decision === 'inside the uncertainty' ? 'neither, inside the uncertainty' : decision
}

function partsTable({ build, limited, parts }: BuildPartsView): TableModel {
  return {
    caption: `Parts of build ${build.name}`,
    columns: [
      words('serial'),
      words('by ISO 14253-1'),
      words('against it'),
      figures('characteristics judged', 0),
      figures('characteristics that the drawing limits', 0),
      words('furnace load'),
      words('tray'),
      words('tray place'),
      figures('bed x', 3),
      figures('bed y', 3),
      figures('bed z', 3),
    ],
    rows: parts.map((part) => [
      part.serial,
      part.decision,
      part.against.map(characteristicTitle).join('; '),
      part.judged,
      limited,
      part.load,
      part.tray,
      part.trayPlace,
      part.bed.x,
      part.bed.y,
      part.bed.z,
    ]),
  }
}
