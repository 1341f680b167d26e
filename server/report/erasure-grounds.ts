import { capitalise, countOf } from '../../src/words/format.ts'
import type { Report } from '../contract/report.ts'
import type { Store } from '../store/store.ts'
import { momentText } from './report-text.ts'

/** Erasures since the record began that a report can be told of. */
const MOST = 1000

/** What was erased out of the builds of a report since it was made, a sentence each. */
export async function erasureGrounds(
  store: Store,
  partNumberId: number,
  { madeAt, content }: Report,
): Promise<string[]> {
  const builds = new Set(content.sources.builds.map(({ name }) => name))
  const erasures = await store.recordEntries(
    { kinds: ['erasure'], about: [{ kind: 'part-number', id: partNumberId }], from: madeAt },
    MOST,
  )
  return erasures
    .filter(({ about }) => about.some(({ kind, name }) => kind === 'build' && builds.has(name ?? '')))
    .map(({ sequence, at, details }) => {
      const parts = countOf(Number(details.parts), 'part')
      const were = details.parts === 1 ? 'was' : 'were'
      return `${capitalise(parts)} of its builds ${were} erased on ${momentText(at)}, as entry ${sequence} of the record says.`
    })
}
