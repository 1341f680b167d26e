import type { SizeSettingView } from '../../../server/contract/shrinkage.ts'
import type { Along, Sense } from '../../../src/shrinkage/terms.ts'
import { ALONG_WORDS, SENSE_WORDS } from '../../words/shrinkage-tables.ts'

interface SizeSettingsProps {
  readonly sizes: readonly SizeSettingView[]
  onChange(sizes: readonly SizeSettingView[]): void
}

/** What every size follows, how bleed acts on it, and whether shrinkage is fitted to it. */
export function SizeSettings({ sizes, onChange }: SizeSettingsProps) {
  const change = (at: number, told: Partial<SizeSettingView>) =>
    onChange(sizes.map((size, i) => (i === at ? { ...size, ...told } : size)))
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label="How sizes are taken" tabIndex={0}>
      <table class="list">
        <thead>
          <tr>
            <th scope="col">characteristic</th>
            <th scope="col">along</th>
            <th scope="col">taken as</th>
            <th scope="col">counts</th>
          </tr>
        </thead>
        <tbody>
          {sizes.map(({ designator, title, along, sense, counts, byDefault }, i) => (
            <tr key={designator}>
              <th scope="row">{title}</th>
              <td>
                <select
                  aria-label={`${title}: along`}
                  value={along ?? ''}
                  onChange={({ currentTarget: { value } }) =>
                    change(i, { along: value === '' ? null : (value as Along) })
                  }
                >
                  <option value="">{`${ALONG_WORDS[byDefault.along]} (by its axis)`}</option>
                  {(Object.keys(ALONG_WORDS) as Along[]).map((each) => (
                    <option key={each} value={each}>
                      {ALONG_WORDS[each]}
                    </option>
                  ))}
                </select>
              </td>
              <td>
                <select
                  aria-label={`${title}: taken as`}
                  value={sense === null ? '' : String(sense)}
                  onChange={({ currentTarget: { value } }) =>
                    change(i, { sense: value === '' ? null : (Number(value) as Sense) })
                  }
                >
                  <option value="">{`${SENSE_WORDS[`${byDefault.sense}`]} (by its name)`}</option>
                  {([1, 0, -1] as const).map((each) => (
                    <option key={each} value={String(each)}>
                      {SENSE_WORDS[`${each}`]}
                    </option>
                  ))}
                </select>
              </td>
              <td>
                <input
                  type="checkbox"
                  aria-label={`${title}: counts in the fit`}
                  checked={counts}
                  onChange={({ currentTarget }) => change(i, { counts: currentTarget.checked })}
                />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
