import { useEffect, useRef, useState } from 'preact/hooks'
import type { ExclusionView } from '../../../server/contract/decisions.ts'
import type { ChartView, SubgroupView, TimelineBuild, TracedValue } from '../../../server/contract/views.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { characteristicTitle, formatNumber, valueDecimals } from '../../../src/words/format.ts'
import { filePage, sourceAddress, subgroupAddress } from '../../data/addresses.ts'
import { CALLS } from '../../data/calls.ts'
import { onDecided } from '../../data/decide.ts'
import { buildPartsPage, partPage } from '../../data/part-addresses.ts'
import { useResource } from '../../data/resource.ts'
import { useMay } from '../../data/session.ts'
import type { TableModel } from '../../save/csv.ts'
import { timeText, unitText } from '../../words/quantities.ts'
import { type Action, Actions } from '../actions.tsx'
import { saveTable } from '../figure.tsx'
import { Reading } from '../notice.tsx'
import { SourceRowsView } from '../source-rows.tsx'
import { exclusionWords, LeaveOutForm, TakeBackForm } from './leave-out.tsx'
import { OpenPhase } from './limits-in-force.tsx'
import { RemarkForm } from './remarks.tsx'

interface ValuesOfBuildProps {
  readonly view: ChartView
  /** The timeline. */
  readonly builds: readonly TimelineBuild[]
  readonly build: string
  onClose(): void
}

/** The single values behind one point, each with the way back to its row. */
export function ValuesOfBuild({ view, builds, build, onClose }: ValuesOfBuildProps) {
  const { partNumber, characteristic, stage } = view
  const resource = useResource<SubgroupView>(
    subgroupAddress(partNumber, characteristic.designator, build, stage),
  )
  useEffect(() => onDecided(resource.again), [resource.again])
  const place = useRef<HTMLElement>(null)
  // Another build comes into view anew.
  useEffect(() => place.current?.scrollIntoView({ block: 'nearest' }), [build, resource.value?.build.id])
  const { value } = resource
  const table = value === null ? null : valuesTable(value, characteristic)
  return (
    <section class="values" ref={place}>
      <h3>
        {`Build ${build}, ${characteristicTitle(characteristic)}: the single values`}
        <button type="button" class="plain" onClick={onClose}>
          Close
        </button>
      </h3>
      <Reading resource={resource} what="the values" />
      {value !== null && table !== null && (
        <>
          <BuildActions view={view} builds={builds} build={build} exclusions={value.exclusions} />
          <TracedTable view={view} build={build} subgroup={value} caption={table.caption} />
          <p class="actions">
            <button type="button" class="plain" onClick={() => saveTable(table, table.caption)}>
              Save the values as CSV
            </button>
            <a href={buildPartsPage(partNumber, build)}>All parts of this build: do they conform?</a>
          </p>
        </>
      )}
    </section>
  )
}

/** What can be decided about the build. */
function BuildActions({
  view,
  builds,
  build,
  exclusions,
}: Omit<ValuesOfBuildProps, 'onClose'> & { readonly exclusions: readonly ExclusionView[] }) {
  const { partNumber, characteristic, stage } = view
  const whole = exclusions.find((exclusion) => exclusion.single === null)
  const counting: Action =
    whole === undefined
      ? {
          label: 'Leave out this build',
          needs: CALLS.leaveOut,
          form: (close) => (
            <LeaveOutForm
              partNumber={partNumber}
              characteristic={characteristic}
              stage={stage}
              build={build}
              single={null}
              onClose={close}
            />
          ),
        }
      : {
          label: 'Count this build again',
          needs: CALLS.takeBack,
          form: (close) => (
            <TakeBackForm partNumber={partNumber} stage={stage} exclusion={whole} onClose={close} />
          ),
        }
  const actions: Action[] = [
    counting,
    {
      label: 'Open a phase here',
      needs: CALLS.changeStudy,
      form: (close) => <OpenPhase view={view} builds={builds} build={build} onClose={close} />,
    },
    {
      label: 'Write a remark',
      needs: CALLS.writeRemark,
      form: (close) => <RemarkForm view={view} build={build} before={null} onClose={close} />,
    },
  ]
  return (
    <div class="about-build">
      {whole !== undefined && <p>{`This build is ${exclusionWords(whole)}.`}</p>}
      <Actions key={build} items={actions} />
    </div>
  )
}

const PLAIN_HEADINGS = [
  'serial',
  'value',
  'against limits',
  'tray',
  'place in bed',
  'gauge',
  'inspector',
  'measured',
  'file and line',
  'counts',
]

function TracedTable({
  view,
  build,
  subgroup,
  caption,
}: {
  view: ChartView
  build: string
  subgroup: SubgroupView
  caption: string
}) {
  const { partNumber, characteristic, stage } = view
  const { values, exclusions } = subgroup
  const may = useMay()
  const [opened, setOpened] = useState<string | null>(null)
  const [traced, setTraced] = useState<string | null>(null)
  const buttons = useRef(new Map<string, HTMLButtonElement>())
  const close = (key: string) => {
    setOpened(null)
    buttons.current.get(key)?.focus()
  }
  const { ownLimits } = characteristic
  const headings =
    ownLimits === undefined
      ? PLAIN_HEADINGS
      : ['serial', 'value', 'measured value', ...PLAIN_HEADINGS.slice(2)]
  const decimals = Math.max(valueDecimals(characteristic), ownLimits === undefined ? resolution(values) : 0)
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll tall" aria-label={caption} tabIndex={0}>
      <table>
        <caption class="unseen">{caption}</caption>
        <thead>
          <tr>
            {headings.map((heading) => (
              <th key={heading} scope="col" class={heading === 'value' ? 'number' : undefined}>
                {headingText(heading, characteristic)}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {values.map((value) => {
            const against = againstLimits(value.value, characteristic)
            const exclusion = exclusions.find(
              ({ single }) => single?.serial === value.serial && single.replicate === value.replicate,
            )
            const key = `${value.serial} ${value.replicate} ${value.importId} ${value.line}`
            return [
              <tr key={key} class={exclusion === undefined ? undefined : 'left-out'}>
                <td>
                  <a href={partPage(partNumber, value.serial)}>{readingName(value)}</a>
                </td>
                <td class="number">{formatNumber(value.value, decimals)}</td>
                {ownLimits !== undefined && <td>{ownText(value.own)}</td>}
                <td class={against === 'inside' ? undefined : 'said-mark'}>{against}</td>
                <td>{trayText(value)}</td>
                <td>{bedText(value)}</td>
                <td>{value.gauge ?? '–'}</td>
                <td>{value.inspector ?? '–'}</td>
                <td class="time">{value.measuredAt === null ? '–' : timeText(value.measuredAt)}</td>
                <td>
                  <a href={filePage(value.importId, value.line)}>
                    {value.fileName}, line {value.line}
                  </a>{' '}
                  <button
                    type="button"
                    class="plain"
                    aria-label={`${traced === key ? 'Hide' : 'Show'} the cell, ${readingName(value)}`}
                    aria-expanded={traced === key}
                    onClick={() => setTraced(traced === key ? null : key)}
                  >
                    {traced === key ? 'Hide the cell' : 'Show the cell'}
                  </button>
                </td>
                <td>
                  {exclusion !== undefined && `${exclusionWords(exclusion)} `}
                  {may(exclusion === undefined ? CALLS.leaveOut : CALLS.takeBack) && (
                    <button
                      type="button"
                      class="plain"
                      aria-label={`${exclusion === undefined ? 'Leave out' : 'Count again'}, ${readingName(value)}`}
                      aria-expanded={opened === key}
                      ref={(button) => {
                        if (button !== null) buttons.current.set(key, button)
                      }}
                      onClick={() => setOpened(opened === key ? null : key)}
                    >
                      {exclusion === undefined ? 'Leave out' : 'Count again'}
                    </button>
                  )}
                </td>
              </tr>,
              traced === key && (
                <tr key={`${key} cell`} class="form">
                  <td colSpan={headings.length}>
                    <SourceRowsView
                      address={sourceAddress(partNumber, characteristic.designator, build, stage, value)}
                    />
                  </td>
                </tr>
              ),
              opened === key && (
                <tr key={`${key} form`} class="form">
                  <td colSpan={headings.length}>
                    {exclusion === undefined ? (
                      <LeaveOutForm
                        partNumber={partNumber}
                        characteristic={characteristic}
                        stage={stage}
                        build={build}
                        single={{
                          serial: value.serial,
                          replicate: value.replicate,
                          text: `${formatNumber(value.value, decimals)} ${unitText(characteristic.unit)}`,
                        }}
                        onClose={() => close(key)}
                      />
                    ) : (
                      <TakeBackForm
                        partNumber={partNumber}
                        stage={stage}
                        exclusion={exclusion}
                        onClose={() => close(key)}
                      />
                    )}
                  </td>
                </tr>
              ),
            ]
          })}
        </tbody>
      </table>
    </section>
  )
}

function headingText(heading: string, { unit, ownLimits }: Characteristic): string {
  if (heading === 'value') return `value, ${unitText(unit)}`
  return heading === 'measured value' && ownLimits !== undefined
    ? `measured, and its own limit, ${unitText(ownLimits.unit)}`
    : heading
}

/** What was measured, and the limits that the part came with: "0.24, at most 0.3". */
function ownText(own: TracedValue['own']): string {
  if (own === undefined) return '–'
  const { measured, lower, upper } = own
  const limits =
    lower === null ? `at most ${upper}` : upper === null ? `at least ${lower}` : `${lower} to ${upper}`
  return `${measured}, ${limits}`
}

function readingName({ serial, replicate }: TracedValue): string {
  return replicate > 1 ? `${serial}, reading ${replicate}` : serial
}

/** Decimals that the values were printed with, six at most. */
function resolution(values: readonly TracedValue[]): number {
  return Math.min(6, Math.max(0, ...values.map(({ value }) => String(value).split('.')[1]?.length ?? 0)))
}

function againstLimits(value: number, { lower, upper }: Characteristic): string {
  if (lower !== null && value < lower) return 'below the lower'
  if (upper !== null && value > upper) return 'above the upper'
  return lower === null && upper === null ? '–' : 'inside'
}

function trayText({ furnaceLoad, tray, trayPlace }: TracedValue): string {
  const parts = [
    furnaceLoad,
    tray === null ? null : `tray ${tray}`,
    trayPlace === null ? null : `place ${trayPlace}`,
  ]
  return parts.filter((part) => part !== null).join(', ') || '–'
}

function bedText({ bed }: TracedValue): string {
  if (bed.x === null && bed.y === null && bed.z === null) return '–'
  return [bed.x, bed.y, bed.z].map((value) => (value === null ? '–' : formatNumber(value, 1))).join(', ')
}

function valuesTable(
  { build, values, exclusions }: SubgroupView,
  characteristic: Characteristic,
): TableModel {
  const { ownLimits } = characteristic
  const words = (heading: string) => ({ heading, decimals: null })
  const figures = (heading: string) => ({ heading, decimals: 3 })
  return {
    caption: `Build ${build.name} ${characteristicTitle(characteristic)} single values`,
    columns: [
      words('serial'),
      figures('reading'),
      figures(`value ${unitText(characteristic.unit)}`),
      ...(ownLimits === undefined
        ? []
        : ['measured', 'own lower limit', 'own upper limit'].map((heading) =>
            figures(`${heading} ${unitText(ownLimits.unit)}`),
          )),
      words('furnace load'),
      words('tray'),
      words('tray place'),
      figures('bed x'),
      figures('bed y'),
      figures('bed z'),
      words('gauge'),
      words('inspector'),
      words('measured at'),
      figures('import'),
      words('file'),
      figures('line'),
      words('left out'),
    ],
    rows: values.map((value) => [
      value.serial,
      value.replicate,
      value.value,
      ...(ownLimits === undefined
        ? []
        : [value.own?.measured ?? null, value.own?.lower ?? null, value.own?.upper ?? null]),
      value.furnaceLoad,
      value.tray,
      value.trayPlace,
      value.bed.x,
      value.bed.y,
      value.bed.z,
      value.gauge,
      value.inspector,
      value.measuredAt === null ? null : new Date(value.measuredAt * 1000).toISOString(),
      value.importId,
      value.fileName,
      value.line,
      leftOutText(value, exclusions),
    ]),
  }
}

/** Why a value does not count; null where it does. */
function leftOutText(value: TracedValue, exclusions: readonly ExclusionView[]): string | null {
  const found = exclusions.find(
    ({ single }) =>
      single === null || (single.serial === value.serial && single.replicate === value.replicate),
  )
  return found === undefined ? null : exclusionWords(found)
}
