import { driftState, windowChoices } from '../data/drift-state.ts'
import { useQuery } from '../data/query.ts'
import { Choice } from './choice.tsx'

/**
 * How many of the last builds are in view, kept in the address; nothing where there is nothing to choose. None is chosen
 * while other builds than the last were zoomed to.
 */
export function WindowChoice({ total }: { total: number }) {
  const { query, change } = useQuery()
  const { builds } = driftState(query)
  const choices = windowChoices(total)
  if (choices.length < 2) return null
  return (
    <Choice
      legend="Builds"
      name="builds"
      value={query.from !== undefined ? '' : builds === null || builds >= total ? 'all' : String(builds)}
      options={choices.map((count) =>
        count === null
          ? { value: 'all', text: `all ${total}` }
          : { value: String(count), text: `last ${count}` },
      )}
      onPick={(value) => change({ builds: value, from: null, to: null })}
    />
  )
}
