import { useState } from 'preact/hooks'
import type { PartsFoundView } from '../../server/contract/parts.ts'
import { partPage, partsAddress } from '../data/part-addresses.ts'
import { useQuery } from '../data/query.ts'
import { useResource } from '../data/resource.ts'
import { Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'
import { counted } from '../words/quantities.ts'

/** Finds a part by its serial number or a piece of it, whatever its part number. */
export function FindPartPage() {
  useTitle('Find a part')
  const { query, change } = useQuery()
  const asked = query.serial ?? ''
  const [typed, setTyped] = useState(asked)
  const found = useResource<PartsFoundView>(partsAddress(asked))
  return (
    <>
      <p class="back">
        <a href="/record">The record</a>
      </p>
      <header class="opening">
        <h1>Find a part</h1>
        <p class="grounds">All that is on record of it: where it was printed and sintered, every value.</p>
      </header>
      <form
        class="controls"
        onSubmit={(event) => {
          event.preventDefault()
          change({ serial: typed.trim() === '' ? null : typed.trim() }, false)
        }}
      >
        <label>
          {'serial number, or a piece of it '}
          <input type="search" value={typed} onInput={(event) => setTyped(event.currentTarget.value)} />
        </label>
        <button type="submit">Find</button>
      </form>
      {asked !== '' && <Reading resource={found} what="the parts" />}
      {found.value !== null && <Found view={found.value} asked={asked} />}
    </>
  )
}

function Found({ view, asked }: { view: PartsFoundView; asked: string }) {
  const { parts, more } = view
  if (parts.length === 0) return <p>No part on record has “{asked}” in its serial number.</p>
  return (
    <>
      <p role="status">
        {more
          ? `More than ${parts.length} parts; here are some. A longer piece finds fewer.`
          : `${counted(parts.length, 'part')}.`}
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="Parts found" tabIndex={0}>
        <table class="list">
          <thead>
            <tr>
              <th scope="col">serial</th>
              <th scope="col">part number</th>
              <th scope="col">build</th>
            </tr>
          </thead>
          <tbody>
            {parts.map((part) => (
              <tr key={`${part.number} ${part.revision} ${part.serial}`}>
                <td>
                  <a href={partPage(part, part.serial)}>{part.serial}</a>
                </td>
                <td>{`${part.number}, rev ${part.revision}`}</td>
                <td>{part.build}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  )
}
