import { useEffect } from 'preact/hooks'
import { useLocation, useRoute } from 'preact-iso'
import type { CapabilityView } from '../../server/contract/views.ts'
import { LocationSpread, type PointLinks } from '../../src/figures/location-spread.tsx'
import { locationSpreadPoints } from '../../src/figures/location-spread-model.ts'
import { type Palette, SCREEN } from '../../src/figures/palette.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import { capabilityAddress, capabilityDetailPage } from '../data/addresses.ts'
import { CALLS } from '../data/calls.ts'
import { capabilityState, sameSpan } from '../data/capability-state.ts'
import { followDrawnLink } from '../data/drawn-link.ts'
import { useResource } from '../data/resource.ts'
import { useMay } from '../data/session.ts'
import { onReceipt } from '../data/the-intake.ts'
import { CapabilityAllFigures } from '../parts/capability/capability-all-figures.tsx'
import { CapabilityControls } from '../parts/capability/capability-controls.tsx'
import { CapabilityRows } from '../parts/capability/capability-rows.tsx'
import { CapabilityWhy } from '../parts/capability/capability-why.tsx'
import { CorrectedIndices } from '../parts/capability/corrected-indices.tsx'
import { CustomerRequirements } from '../parts/capability/customer-requirements.tsx'
import { ReportForm } from '../parts/capability/report-form.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { Figure } from '../parts/figure.tsx'
import { Caution, ReadingOfPartNumber } from '../parts/notice.tsx'
import { Opening } from '../parts/sentence.tsx'
import { useTitle } from '../parts/title.ts'
import { useWidth } from '../parts/width.ts'
import { capabilityTable } from '../words/capability-table.ts'
import { requirementInList } from '../words/characteristic-words.ts'

/** What the process can hold, with the confidence of the statement. */
export function CapabilityPage() {
  const { params, query } = useRoute()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  useTitle(`Capability of ${key.number}, rev ${key.revision}`)
  const resource = useResource<CapabilityView>(capabilityAddress(key, capabilityState(query)))
  useEffect(() => onReceipt(resource.again), [resource.again])
  const may = useMay()
  const view = resource.value
  return (
    <>
      <ReadingOfPartNumber resource={resource} what="the capability" />
      {view !== null && (
        <div class={resource.loading ? 'stale' : undefined}>
          <Opening headline={view.headline} grounds={view.grounds} />
          <Caution />
          <CapabilityControls />
          {view.rows.length > 0 && (
            <>
              <Disclosure name="asked" title="What the customer asks">
                <CustomerRequirements partNumber={key} />
              </Disclosure>
              <Disclosure name="report" title="Make the report">
                {may(CALLS.makeReport) ? (
                  <ReportForm view={view} />
                ) : (
                  <p>Reports are made by the process engineer, supplier quality and the administrator.</p>
                )}
              </Disclosure>
              <Picture view={view} />
              <Disclosure name="figures" title="All figures">
                <CapabilityAllFigures view={view} />
              </Disclosure>
              <CorrectedIndices view={view} />
              <Disclosure name="why" title="How do you know?">
                <CapabilityWhy confidence={view.fallback.confidence} />
              </Disclosure>
            </>
          )}
        </div>
      )}
    </>
  )
}

function Picture({ view }: { view: CapabilityView }) {
  const [ref, width] = useWidth()
  const { rows, partNumber } = view
  const required = view.fallback.value
  const points = locationSpreadPoints(rows)
  const shown = new Set(points.map((point) => point.summary.characteristic.id))
  const absent = rows.filter((row) => !shown.has(row.characteristic.id)).map((row) => row.characteristic)
  const { route, query } = useLocation()
  const links: PointLinks = {
    hrefOf: (designator) => `${capabilityDetailPage(partNumber, designator)}${sameSpan(query)}`,
    follow: (event, href) => followDrawnLink(event, href, route),
  }
  const draw = (palette: Palette, wide: number, live?: PointLinks) => (
    <LocationSpread
      rows={rows}
      required={required}
      width={wide}
      height={Math.round(Math.min(560, Math.max(360, wide * 0.9)))}
      palette={palette}
      label="Where each characteristic’s mean lies in its tolerance, against its overall sigma"
      {...(live === undefined ? {} : { links: live })}
    />
  )
  return (
    <Figure
      name="capability"
      title={`${partNumber.number} rev ${partNumber.revision}, where means lie and how they scatter`}
      draw={(palette) => draw(palette, 700)}
      table={() => capabilityTable(view)}
    >
      <div class="beside-table">
        <div>
          <div ref={ref}>
            {width !== null && points.length > 0 && draw(SCREEN, Math.min(width, 700), links)}
          </div>
          {absent.length > 0 && (
            <p class="quiet">
              {`Not in the picture, for want of two limits or of spread: ${absent.map((each) => `${characteristicTitle(each)} (${requirementInList(each)})`).join('; ')}.`}
            </p>
          )}
        </div>
        <CapabilityRows view={view} />
      </div>
    </Figure>
  )
}
