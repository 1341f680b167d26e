import type { GaugeStudyView } from '../../../server/contract/gauges.ts'
import { gaugeStudyAddress, gaugeStudyPage } from '../../data/gauge-addresses.ts'
import { useResource } from '../../data/resource.ts'
import { Words } from '../sentence.tsx'

/** What came of a study that a file brought, said on its receipt, with the way to the study. */
export function StudyOutcome({ id, plan }: { id: number; plan: number | null }) {
  const { value } = useResource<GaugeStudyView>(
    gaugeStudyAddress(id, { method: 'suited', interaction: 'tested', layout: 'crossed' }),
  )
  return (
    <li>
      {value !== null && value.id === id && (
        <>
          <Words sentence={value.headline} />{' '}
        </>
      )}
      <a href={gaugeStudyPage(id)}>{`On to gauge study ${id}${plan === null ? '' : ` of plan ${plan}`}`}</a>
    </li>
  )
}
