import type { ShrinkageView } from '../../../server/contract/shrinkage.ts'
import { expectedTable } from '../../words/factor-tables.ts'
import { DataTable } from '../data-table.tsx'
import { SaveTable } from '../save-table.tsx'

/** Builds on their way, with the sizes to expect of them. */
export function AwaitedBuilds({ view }: { view: ShrinkageView }) {
  const { awaited } = view
  return (
    <section>
      <h2>Printed, not measured yet</h2>
      {awaited.length === 0 ? (
        <p class="quiet">
          No build on record is later than the last measured one. Bring the list of builds to the intake when
          they are printed, and the sizes to expect stand here.
        </p>
      ) : (
        <>
          <DataTable table={expectedTable(view)} />
          <SaveTable title={`${view.partNumber.number}, sizes to expect`} table={() => expectedTable(view)} />
        </>
      )}
    </section>
  )
}
