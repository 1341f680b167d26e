import type { StudyRow } from '../../../server/contract/gauges.ts'
import { recordPage } from '../../data/addresses.ts'
import { gaugePage, gaugeStudyPage } from '../../data/gauge-addresses.ts'
import { PURPOSE_WORDS, placeText } from '../../words/gauge-tables.ts'
import { dayText } from '../../words/quantities.ts'
import { Words } from '../sentence.tsx'

/** Studies of gauges, newest first, each with what came of it. */
export function StudiesTable({ studies, caption }: { studies: readonly StudyRow[]; caption: string }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label={caption} tabIndex={0}>
      <table class="list studies">
        <caption class="unseen">{caption}</caption>
        <thead>
          <tr>
            <th scope="col">study</th>
            <th scope="col">taken in</th>
            <th scope="col">of</th>
            <th scope="col">gauge</th>
            <th scope="col">characteristic</th>
            <th scope="col">what came of it</th>
            <th scope="col">file</th>
          </tr>
        </thead>
        <tbody>
          {studies.map(({ id, at, purpose, gauges, on, headline, importId, fileName }) => (
            <tr key={id}>
              <th scope="row">
                <a href={gaugeStudyPage(id)}>{`study ${id}`}</a>
              </th>
              <td class="time">{dayText(at)}</td>
              <td>{PURPOSE_WORDS[purpose]}</td>
              <td>
                {gauges.length === 0
                  ? 'not named'
                  : gauges.map((name, i) => (
                      <>
                        {i > 0 && ', '}
                        <a href={gaugePage(name)}>{name}</a>
                      </>
                    ))}
              </td>
              <td>{on === null ? 'not named' : placeText(on)}</td>
              <td class="wrapped">
                <Words sentence={headline} />
              </td>
              <td>
                <a href={recordPage(importId)}>{fileName}</a>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
