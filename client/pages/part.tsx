import { useEffect } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { PartView } from '../../server/contract/parts.ts'
import { capitalise, characteristicTitle } from '../../src/words/format.ts'
import { onDecided } from '../data/decide.ts'
import { buildPartsPage, partAddress } from '../data/part-addresses.ts'
import { useResource } from '../data/resource.ts'
import { Caution, ReadingOfPartNumber } from '../parts/notice.tsx'
import { PartValues } from '../parts/record/part-values.tsx'
import { SaveTable } from '../parts/save-table.tsx'
import { Opening } from '../parts/sentence.tsx'
import { useTitle } from '../parts/title.ts'
import { buildWords, loadWords, placeWords } from '../words/build-words.ts'
import { partTable } from '../words/part-table.ts'

/** Everything on record of one part: whether it is proved to conform, where it has been, and every value with its row. */
export function PartPage() {
  const { params } = useRoute()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  const serial = params.serial ?? ''
  useTitle(`Part ${serial}`)
  const resource = useResource<PartView>(partAddress(key, serial))
  useEffect(() => onDecided(resource.again), [resource.again])
  const view = resource.value
  return (
    <>
      <p class="back">
        <a href="/record/parts">Find another part</a>
      </p>
      <ReadingOfPartNumber resource={resource} what="the part" />
      {view !== null && (
        <>
          <Opening headline={view.headline} grounds={view.grounds} />
          <Caution />
          <Whereabouts view={view} />
          <h2>What was measured</h2>
          <PartValues view={view} />
          {view.unmeasured.length > 0 && (
            <p class="quiet">
              {`Never measured on it: ${view.unmeasured.map(characteristicTitle).join(', ')}.`}
            </p>
          )}
          <SaveTable title={`Part ${view.serial}`} table={() => partTable(view)} />
        </>
      )}
    </>
  )
}

function Whereabouts({ view }: { view: PartView }) {
  const { partNumber, build, load } = view
  const printed = buildWords({ ...build, furnaces: [], gauges: [] })
  const place = placeWords(view)
  return (
    <dl class="whereabouts">
      <dt>Part number</dt>
      <dd>{`${partNumber.number}, rev ${partNumber.revision}${partNumber.name === null ? '' : `, ${partNumber.name}`}`}</dd>
      <dt>Build</dt>
      <dd>
        <a href={buildPartsPage(partNumber, build.name)}>{build.name}</a>
        {printed === '' ? '' : `: ${printed}`}
      </dd>
      <dt>Place in the bed</dt>
      <dd>{place.bed ?? 'not recorded'}</dd>
      <dt>Furnace load</dt>
      <dd>{load === null ? 'not recorded' : `${load.name}${loadWords(load)}`}</dd>
      <dt>Tray</dt>
      <dd>{place.tray === null ? 'not recorded' : capitalise(place.tray)}</dd>
    </dl>
  )
}
