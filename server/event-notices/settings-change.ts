import type { NoticeSettingsContent } from '../store/event-notice-reads.ts'

/**
 * What a version of the settings changed, in words that follow the name: "sends to a@shop.example; leaves the webhook
 * out".
 */
export function settingsChange(
  before: NoticeSettingsContent,
  after: NoticeSettingsContent,
  newSecret: boolean,
  nameOf: (partNumberId: number) => string,
): string {
  const words: string[] = []
  const added = after.recipients.filter((each) => !before.recipients.includes(each))
  const left = before.recipients.filter((each) => !after.recipients.includes(each))
  if (added.length > 0) words.push(`added ${added.join(', ')}`)
  if (left.length > 0) words.push(`left out ${left.join(', ')}`)
  if (after.webhook !== before.webhook)
    words.push(after.webhook === null ? 'left out the webhook' : `set the webhook ${after.webhook}`)
  if (newSecret) words.push('set a new secret')
  if (JSON.stringify(after.partNumberIds) !== JSON.stringify(before.partNumberIds)) {
    words.push(`chose ${after.partNumberIds?.map(nameOf).join(', ') ?? 'all part numbers'}`)
  }
  if (JSON.stringify(after.quiet) !== JSON.stringify(before.quiet)) {
    words.push(
      after.quiet === null
        ? 'ended quiet hours'
        : `set quiet hours from ${after.quiet.from} to ${after.quiet.to} (${after.quiet.zone})`,
    )
  }
  return words.length === 0 ? 'confirmed them as they were' : words.join('; ')
}
