import { useEffect, useState } from 'preact/hooks'
import type {
  DeliveryView,
  EventNoticesView,
  NoticeSettingsView,
  TrialView,
} from '../../server/contract/event-notices.ts'
import { countOf } from '../../src/words/format.ts'
import { onDecided, send } from '../data/decide.ts'
import { type Problem, problemOf } from '../data/http.ts'
import { useResource } from '../data/resource.ts'
import { useMay } from '../data/session.ts'
import { Disclosure } from '../parts/disclosure.tsx'
import { NoticeSettingsForm } from '../parts/drift/notice-settings-form.tsx'
import { NoticeTrial } from '../parts/drift/notice-trial.tsx'
import { ProblemNotice, Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'
import { timeText } from '../words/quantities.ts'

const ADDRESS = '/api/event-notices'

/** Who gets notices of new events, and what was sent. */
export function NoticesPage() {
  useTitle('Notices')
  const resource = useResource<EventNoticesView>(ADDRESS)
  useEffect(() => onDecided(resource.again), [resource.again])
  const view = resource.value
  return (
    <>
      <p class="back">
        <a href="/drift">Drift</a>
      </p>
      <Reading resource={resource} what="the notices" />
      {view !== null && <Notices view={view} />}
    </>
  )
}

function Notices({ view }: { view: EventNoticesView }) {
  const { settings, mail, history, deliveries } = view
  const [open, setOpen] = useState(false)
  const may = useMay()
  const decides = may('POST /api/event-notices/settings')
  return (
    <>
      <header class="opening">
        <h1>{headline(settings)}</h1>
        <p class="grounds">{grounds(view)}</p>
      </header>
      {settings.recipients.length > 0 && mail === null && (
        <p class="said-mark">
          No mail server is set, so that no e-mail leaves. Whoever runs the server sets AS_SINTERED_SMTP_HOST
          and AS_SINTERED_SMTP_SENDER, and starts it anew.
        </p>
      )}
      {decides && !open && (
        <p class="actions">
          <button type="button" onClick={() => setOpen(true)}>
            Decide who gets notices
          </button>
        </p>
      )}
      {open && <NoticeSettingsForm settings={settings} onClose={() => setOpen(false)} />}
      {decides && !open && receivers(settings) > 0 && (
        <NoticeTrial ask={(who) => send<TrialView>(`${ADDRESS}/trial`, { who })} />
      )}
      <h2>What was sent</h2>
      {deliveries.length === 0 ? (
        <p class="quiet">Nothing has been sent yet.</p>
      ) : (
        <Deliveries deliveries={deliveries} decides={decides} />
      )}
      {history.length > 0 && (
        <Disclosure name="history" title={`Decisions about receivers: ${history.length}`}>
          <ul>
            {history.map(({ version, who, at, did, reason }) => (
              <li key={version}>{`${timeText(at)}, ${who} ${did} (${reason}).`}</li>
            ))}
          </ul>
        </Disclosure>
      )}
    </>
  )
}

function receivers({ recipients, webhook }: NoticeSettingsView): number {
  return recipients.length + (webhook === null ? 0 : 1)
}

function headline(settings: NoticeSettingsView): string {
  const { recipients, webhook, partNumbers } = settings
  if (receivers(settings) === 0) return 'Nobody gets notice of a new event.'
  const who = [
    ...(recipients.length === 0 ? [] : [countOf(recipients.length, 'recipient')]),
    ...(webhook === null ? [] : ['one webhook']),
  ].join(' and ')
  const of = partNumbers === null ? 'any part number' : countOf(partNumbers.length, 'part number')
  return `Notice of each new event of ${of} goes to ${who}.`
}

function grounds({ settings, mail }: EventNoticesView): string {
  const { recipients, webhook, partNumbers, quiet } = settings
  return [
    'One notice an event, however long it goes on; what was on record before somebody asked for notices is not told.',
    recipients.length === 0
      ? ''
      : `By e-mail to ${recipients.join(', ')}${mail === null ? '' : `, from ${mail.sender}`}.`,
    webhook === null ? '' : `By webhook to ${webhook}.`,
    partNumbers === null
      ? ''
      : `Of ${partNumbers.map((each) => `${each.number} rev ${each.revision}`).join(', ')}.`,
    quiet === null ? '' : `Nothing is sent from ${quiet.from} to ${quiet.to} (${quiet.zone}).`,
  ]
    .filter((text) => text !== '')
    .join(' ')
}

function Deliveries({ deliveries, decides }: { deliveries: readonly DeliveryView[]; decides: boolean }) {
  const [problem, setProblem] = useState<Problem | null>(null)
  const again = async (id: number) => {
    setProblem(null)
    await send(`${ADDRESS}/deliveries/${id}/again`, {}).catch((error) => setProblem(problemOf(error)))
  }
  return (
    <>
      {problem !== null && <ProblemNotice problem={problem} />}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="What was sent, newest first" tabIndex={0}>
        <table class="list">
          <caption class="unseen">What was sent, newest first</caption>
          <thead>
            <tr>
              <th scope="col">made</th>
              <th scope="col">notice</th>
              <th scope="col">to</th>
              <th scope="col">state</th>
              <th scope="col" class="number">
                tries
              </th>
              <th scope="col">last error</th>
            </tr>
          </thead>
          <tbody>
            {deliveries.map((each) => (
              <tr key={each.id}>
                <td class="time">{timeText(each.at)}</td>
                <td>{each.page === null ? each.title : <a href={each.page}>{each.title}</a>}</td>
                <td>{each.target}</td>
                <td class={each.state === 'failed' ? 'said-mark' : undefined}>
                  {stateText(each)}
                  {each.state === 'failed' && each.page !== null && decides && (
                    <button
                      type="button"
                      class="plain"
                      aria-label={`Try again, notice ${each.notice} to ${each.target}`}
                      onClick={() => void again(each.id)}
                    >
                      Try again
                    </button>
                  )}
                </td>
                <td class="number">{each.tries}</td>
                <td>{each.error ?? '–'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  )
}

function stateText({ state, triedAt, nextAt }: DeliveryView): string {
  if (state === 'sent') return `sent ${timeText(triedAt ?? 0)}`
  if (state === 'failed') return 'given up '
  return `waits; next try ${timeText(nextAt ?? 0)}`
}
