import { useState } from 'preact/hooks'
import type { NoticeSettingsRequest, NoticeSettingsView } from '../../../server/contract/event-notices.ts'
import { send } from '../../data/decide.ts'
import { useShop } from '../../data/shop.ts'
import { DecisionForm } from '../decision-form.tsx'

interface NoticeSettingsFormProps {
  readonly settings: NoticeSettingsView
  onClose(): void
}

/** Who gets notices, of which part numbers, and when not. */
export function NoticeSettingsForm({ settings, onClose }: NoticeSettingsFormProps) {
  const [recipients, setRecipients] = useState(settings.recipients.join('\n'))
  const [webhook, setWebhook] = useState(settings.webhook ?? '')
  const [secret, setSecret] = useState('')
  const [chosen, setChosen] = useState(settings.partNumbers)
  const [quiet, setQuiet] = useState(settings.quiet !== null)
  const [from, setFrom] = useState(settings.quiet?.from ?? '22:00')
  const [to, setTo] = useState(settings.quiet?.to ?? '06:00')
  const zone = settings.quiet?.zone ?? Intl.DateTimeFormat().resolvedOptions().timeZone
  const all = useShop().value?.partNumbers ?? []
  const isChosen = (number: string, revision: string) =>
    chosen?.some((each) => each.number === number && each.revision === revision) ?? true
  const toggle = (number: string, revision: string) => {
    const now = all.filter(
      (each) =>
        isChosen(each.number, each.revision) !== (each.number === number && each.revision === revision),
    )
    setChosen(now.map((each) => ({ number: each.number, revision: each.revision })))
  }
  const request = (signed: { who: string; reason: string }): NoticeSettingsRequest => ({
    version: settings.version,
    recipients: recipients.split(/[\s,;]+/).filter((each) => each !== ''),
    webhook:
      webhook.trim() === '' ? null : { address: webhook.trim(), secret: secret === '' ? null : secret },
    partNumbers: chosen === null ? null : [...chosen],
    quiet: quiet ? { from, to, zone } : null,
    ...signed,
  })
  return (
    <DecisionForm
      title="Who gets notice of a new event"
      submit="Keep it"
      reason="Why"
      ready={chosen === null || chosen.length > 0}
      send={(signed) => send('/api/event-notices/settings', request(signed))}
      onClose={onClose}
    >
      <label class="field">
        E-mail addresses, one a line
        <textarea rows={3} value={recipients} onInput={(event) => setRecipients(event.currentTarget.value)} />
      </label>
      <label class="field">
        Webhook address
        <input
          type="text"
          inputmode="url"
          placeholder="https://"
          value={webhook}
          onInput={(event) => setWebhook(event.currentTarget.value)}
        />
      </label>
      <label class="field">
        {settings.webhook === null
          ? 'Secret that it is signed with, 24 characters or more'
          : 'New secret; empty leaves the one that is set'}
        <input
          type="password"
          autocomplete="new-password"
          value={secret}
          onInput={(event) => setSecret(event.currentTarget.value)}
        />
      </label>
      <fieldset class="ticks">
        <legend>Part numbers</legend>
        <label>
          <input
            type="checkbox"
            checked={chosen === null}
            onChange={() => setChosen(chosen === null ? [] : null)}
          />
          all, and those to come
        </label>
        {chosen !== null &&
          all.map(({ number, revision }) => (
            <label key={`${number} ${revision}`}>
              <input
                type="checkbox"
                checked={isChosen(number, revision)}
                onChange={() => toggle(number, revision)}
              />
              {`${number} rev ${revision}`}
            </label>
          ))}
      </fieldset>
      <fieldset class="ticks">
        <legend>Quiet hours</legend>
        <label>
          <input type="checkbox" checked={quiet} onChange={() => setQuiet(!quiet)} />
          {`send nothing at certain hours (${zone})`}
        </label>
        {quiet && (
          <>
            <label>
              {'from '}
              <input type="time" value={from} onInput={(event) => setFrom(event.currentTarget.value)} />
            </label>
            <label>
              {'to '}
              <input type="time" value={to} onInput={(event) => setTo(event.currentTarget.value)} />
            </label>
          </>
        )}
      </fieldset>
    </DecisionForm>
  )
}
