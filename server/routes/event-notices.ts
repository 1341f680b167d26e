import { Hono } from 'hono'
import { signed } from '../access/signer.ts'
import { now } from '../clock.ts'
import {
  type DeliveryView,
  deliveryNumber,
  type EventNoticesView,
  type NoticeSettingsRequest,
  type NoticeSettingsView,
  noticeSettings,
  type TrialView,
  trialNotice,
} from '../contract/event-notices.ts'
import type { PartNumber } from '../contract/views.ts'
import { receiversOf } from '../event-notices/look.ts'
import { pageOf, type Sending, titleOf } from '../event-notices/send.ts'
import { NO_SETTINGS, settingsInForce } from '../event-notices/service.ts'
import { settingsChange } from '../event-notices/settings-change.ts'
import { sendTrial } from '../event-notices/trial.ts'
import { notFound, ProblemError } from '../problem.ts'
import { StaleDecisionError } from '../store/decision-writes.ts'
import type { Delivery, NoticeSettingsContent } from '../store/event-notice-reads.ts'
import type { Store } from '../store/store.ts'
import { staleProblem } from './stale.ts'
import { validated } from './validated.ts'

/** Deliveries that the page lists. */
const LISTED = 200

/** Who gets notices of new events, and what was sent; below /api/event-notices. */
export function eventNoticeRoutes(store: Store, sending: Sending) {
  const view = async (): Promise<EventNoticesView> => {
    const [versions, partNumbers, deliveries] = await Promise.all([
      store.noticeSettings(),
      store.partNumbers(),
      store.deliveries(LISTED),
    ])
    const { mail, address } = sending
    return {
      settings: settingsView(versions.at(-1)?.version ?? 0, versions.at(-1) ?? NO_SETTINGS, partNumbers),
      history: versions
        .map((version, i) => ({
          version: version.version,
          who: version.who,
          at: version.at,
          reason: version.reason,
          did: settingsChange(versions[i - 1] ?? NO_SETTINGS, version, version.newSecret, (id) =>
            nameOf(partNumbers, id),
          ),
        }))
        .reverse(),
      mail: mail === null ? null : { server: `${mail.host}:${mail.port}`, sender: mail.sender },
      address,
      deliveries: deliveries.map(deliveryView),
    }
  }
  return new Hono()
    .get('/', async (c) => c.json(await view()))
    .post('/settings', validated('json', noticeSettings), async (c) => {
      const request = signed(c, c.req.valid('json'))
      const settings = await settingsOf(store, request)
      if (
        request.webhook !== null &&
        request.webhook.secret === null &&
        (await store.webhookSecret()) === null
      ) {
        throw new ProblemError(422, {
          what: 'The webhook has no secret yet, so that its receiver could not tell a notice from a forgery.',
          where: 'webhook.secret',
          next: 'Give a secret, and give the same one to the receiver.',
        })
      }
      const { who, reason, version } = request
      try {
        await store.write((writer) =>
          writer.addNoticeSettings(
            { ...settings, who, reason, version: version + 1, at: now() },
            request.webhook?.secret ?? null,
          ),
        )
      } catch (error) {
        if (!(error instanceof StaleDecisionError)) throw error
        const other = (await view()).history[0]
        throw staleProblem(other ?? 'Somebody else decided about this meanwhile.')
      }
      return c.json(await view(), 201)
    })
    .post('/trial', validated('json', trialNotice), async (c) => {
      const { who } = signed(c, c.req.valid('json'))
      const settings = await settingsInForce(store)
      if (receiversOf(settings).length === 0) {
        throw new ProblemError(422, {
          what: 'Nobody receives notices, so that there is nobody to send a trial to.',
          where: null,
          next: 'Name a recipient or a webhook first.',
        })
      }
      const outcome = await sendTrial(store, sending, settings, who, now)
      return c.json(outcome satisfies TrialView)
    })
    .post('/deliveries/:delivery{[0-9]+}/again', validated('param', deliveryNumber), async (c) => {
      const { delivery } = c.req.valid('param')
      if (!(await store.write((writer) => writer.retryDelivery(delivery, now())))) {
        throw notFound(`No notice ${delivery} was given up.`, 'Pick one from the list.')
      }
      return c.json(await view())
    })
}

function settingsView(
  version: number,
  { recipients, webhook, partNumberIds, quiet }: NoticeSettingsContent,
  partNumbers: readonly PartNumber[],
): NoticeSettingsView {
  return {
    version,
    recipients,
    webhook,
    partNumbers:
      partNumberIds?.flatMap((id) => {
        const found = partNumbers.find((each) => each.id === id)
        return found === undefined ? [] : [{ number: found.number, revision: found.revision }]
      }) ?? null,
    quiet,
  }
}

async function settingsOf(
  store: Store,
  { recipients, webhook, partNumbers, quiet }: NoticeSettingsRequest,
): Promise<NoticeSettingsContent> {
  const ids: number[] = []
  for (const { number, revision } of partNumbers ?? []) {
    const found = await store.partNumber(number, revision)
    if (found === null) {
      throw new ProblemError(422, {
        what: `Part number ${number}, revision ${revision}, is not known.`,
        where: 'partNumbers',
        next: 'Pick one from the list of part numbers.',
      })
    }
    ids.push(found.id)
  }
  return {
    recipients: [...new Set(recipients)],
    webhook: webhook?.address ?? null,
    partNumberIds: partNumbers === null ? null : [...new Set(ids)],
    quiet,
  }
}

function nameOf(partNumbers: readonly PartNumber[], id: number): string {
  const found = partNumbers.find((each) => each.id === id)
  return found === undefined ? `part number ${id}` : `${found.number} rev ${found.revision}`
}

function deliveryView(delivery: Delivery): DeliveryView {
  const { id, noticeId, at, content, channel, target, state, tries, triedAt, nextAt, error } = delivery
  return {
    id,
    notice: noticeId,
    at,
    title: titleOf(content),
    page: pageOf(content),
    channel,
    target,
    state,
    tries,
    triedAt,
    nextAt: state === 'waiting' ? nextAt : null,
    error,
  }
}
