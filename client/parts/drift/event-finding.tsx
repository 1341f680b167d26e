import type { DriftView, EventView } from '../../../server/contract/views.ts'
import { CALLS } from '../../data/calls.ts'
import { Actions } from '../actions.tsx'
import { FindingForm } from './finding-form.tsx'

/** The way to answer an event: a finding about all its characteristics and builds. */
export function EventFinding({ view, event }: { view: DriftView; event: EventView }) {
  const [from, to] = [view.builds[event.from]?.name, view.builds[event.to]?.name]
  if (event.answer !== null || from === undefined || to === undefined) return null
  const start = { characteristics: event.members.map(({ designator }) => designator), from, to }
  return (
    <Actions
      items={[
        {
          label: 'Write a finding',
          needs: CALLS.writeFinding,
          about: `builds ${from} to ${to}`,
          form: (close) => <FindingForm view={view} start={start} onClose={close} />,
        },
      ]}
    />
  )
}
