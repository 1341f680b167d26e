import { useEffect } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { CapabilityDetailView } from '../../server/contract/capability-detail.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import { characteristicAddress } from '../data/addresses.ts'
import { capabilityState } from '../data/capability-state.ts'
import { onDecided } from '../data/decide.ts'
import { useResource } from '../data/resource.ts'
import { onReceipt } from '../data/the-intake.ts'
import { CapabilityControls } from '../parts/capability/capability-controls.tsx'
import { CapabilityCourse } from '../parts/capability/capability-course.tsx'
import { CapabilityDetailWhy } from '../parts/capability/capability-detail-why.tsx'
import { CapabilityFigures } from '../parts/capability/capability-figures.tsx'
import { CapabilityNeighbours } from '../parts/capability/capability-neighbours.tsx'
import { CapabilityValues } from '../parts/capability/capability-values.tsx'
import { CapabilityWhatIf } from '../parts/capability/capability-what-if.tsx'
import { GaugeOfCharacteristic } from '../parts/capability/gauge-of-characteristic.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { Caution, ReadingOfPartNumber } from '../parts/notice.tsx'
import { Opening } from '../parts/sentence.tsx'
import { useTitle } from '../parts/title.ts'

/** What one characteristic can hold, and everything that this rests on. */
export function CapabilityDetailPage() {
  const { params, query } = useRoute()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  const designator = params.designator ?? ''
  const resource = useResource<CapabilityDetailView>(
    characteristicAddress(key, designator, 'capability', capabilityState(query)),
  )
  useEffect(() => onReceipt(resource.again), [resource.again])
  useEffect(() => onDecided(resource.again), [resource.again])
  const view = resource.value
  const name = view === null ? designator : characteristicTitle(view.characteristic)
  useTitle(`Capability of ${name}, ${key.number} rev ${key.revision}`)
  return (
    <>
      <ReadingOfPartNumber resource={resource} what="the capability" />
      {view !== null && (
        <div class={resource.loading ? 'stale' : undefined}>
          <CapabilityNeighbours view={view} />
          <Opening headline={view.headline} grounds={view.grounds} />
          <Caution />
          <CapabilityControls />
          {view.measured !== null && <Measured view={view} measured={view.measured} />}
        </div>
      )}
    </>
  )
}

interface MeasuredProps {
  readonly view: CapabilityDetailView
  readonly measured: NonNullable<CapabilityDetailView['measured']>
}

function Measured({ view, measured }: MeasuredProps) {
  return (
    <>
      <CapabilityValues view={view} measured={measured} />
      <CapabilityCourse view={view} measured={measured} />
      <CapabilityFigures view={view} measured={measured} />
      <CapabilityWhatIf view={view} measured={measured} />
      <GaugeOfCharacteristic view={view} measured={measured} />
      <Disclosure name="why" title="How do you know?">
        <CapabilityDetailWhy confidence={measured.summary.requirement.confidence} />
      </Disclosure>
    </>
  )
}
