import type { StudyChange } from '../../src/charts/change-study.ts'
import { countOf, countWord, formatCount } from '../../src/words/format.ts'
import { RECORD_KINDS } from '../../src/words/record-kinds.ts'
import { changeWords } from '../../src/words/study-words.ts'
import type { SubjectKind } from '../contract/record.ts'
import type { RecordEntry } from '../store/record/record-reads.ts'

/** What an entry says was done, in words that follow the name of who did it. */
export function entryWords(entry: RecordEntry, buildName: (id: number) => string): string {
  const { kind, details, words } = entry
  const stage = details.stage === undefined ? '' : `, ${details.stage}`
  switch (kind) {
    case 'beginning':
      return `The record begins. Before it there were ${rowsBefore(details)}.`
    case 'schema':
      return `The database was brought up from version ${details.from} by ${countOf((details.steps as unknown[]).length, 'step')}.`
    case 'import': {
      const refused = Number(details.rowsRefused)
      const rest = refused === 0 ? '' : `, ${formatCount(refused)} refused`
      return `brought ${words.fileName ?? 'a file'}: ${countOf(Number(details.rowsTaken), 'row')} taken${rest}`
    }
    case 'withdrawal':
      return `withdrew import ${idOf(entry, 'import')}, ${countOf(Number(details.measurements), 'measurement')}`
    case 'layout':
      return 'decided how files of a layout are read'
    case 'study':
      return `${changeWords(details.change as StudyChange, buildName)}${stage}, version ${details.version}`
    case 'exclusion':
      return `left ${leftOut(entry)} out${stage}`
    case 'exclusion-taken-back':
      return `took ${leftOut(entry)} back into the figures${stage}`
    case 'finding': {
      const id = idOf(entry, 'finding')
      const verb = details.revision === 1 ? `wrote finding ${id}` : `changed finding ${id}`
      return `${verb}, which is ${details.state}${quoted(words.cause)}`
    }
    case 'remark':
      if (words.text === null) return `took remark ${idOf(entry, 'remark')} back`
      return `${details.revision === 1 ? 'wrote' : 'changed'} remark ${idOf(entry, 'remark')}${quoted(words.text)}`
    case 'factor-decision':
      return `decided on scale factors from build ${details.firstBuild} on`
    case 'report':
      return `made report ${idOf(entry, 'report')}${quoted(words.title)}`
    case 'report-file':
      return `Report ${idOf(entry, 'report')} was saved as ${String(details.format).toUpperCase()}.`
    case 'sign-in-failed':
      return failedWords(entry)
    case 'token':
      return `made the token ${words.name ?? ''}`
    case 'token-revoked':
      return `revoked the token ${words.name ?? ''}`
    case 'erasure':
      return erasureWords(details)
    default:
      return typeof words.name === 'string' ? `${RECORD_KINDS[kind]}: ${words.name}` : RECORD_KINDS[kind]
  }
}

function idOf({ about }: RecordEntry, wanted: SubjectKind): string {
  return String(about.find(({ kind }) => kind === wanted)?.id ?? '')
}

function leftOut({ about, details, words }: RecordEntry): string {
  const build = about.find(({ kind }) => kind === 'build')?.name ?? ''
  if (details.what === 'build') return `build ${build}`
  const serial = words.serial === undefined ? 'a value' : `the value of serial number ${words.serial}`
  return `${serial} of build ${build}`
}

function quoted(text: unknown): string {
  return typeof text === 'string' && text !== '' ? `: “${text}”` : ''
}

function failedWords({ details, words }: RecordEntry): string {
  if (details.failures !== undefined) {
    const soon = Number(details.tooSoon)
    const also = soon === 0 ? '' : `, and ${formatCount(soon)} came too soon after others to be looked at`
    return `${countOf(Number(details.failures), 'further sign-in')} failed since ${new Date(Number(details.from) * 1000).toISOString().slice(11, 16)} UTC${also}; from ${words.addresses}.`
  }
  const somebody = `Somebody at ${words.address}`
  if (details.way === 'guest link') return `${somebody} tried a guest’s link that was not good.`
  if (details.way === 'password link')
    return `${somebody} tried a link to choose a password that was not good.`
  return typeof words.name === 'string'
    ? `${somebody} was refused under the name of ${words.name}.`
    : `${somebody} was refused under a name that is not on record.`
}

function erasureWords({
  what,
  parts,
  measurements,
  files,
  pseudonym,
  entries,
}: RecordEntry['details']): string {
  const also = `; words of ${countWord(Number(entries))} ${entries === 1 ? 'entry' : 'entries'} were replaced`
  if (what === 'person') return `erased a person’s name, in whose place stands ${pseudonym}${also}`
  const kept = countOf((files as unknown[] | undefined)?.length ?? 0, 'kept file')
  if (what === 'files') return `erased ${kept}${also}`
  const counts = Object.values((measurements ?? {}) as Record<string, number>)
  const values = countOf(
    counts.reduce((sum, count) => sum + count, 0),
    'measurement',
  )
  return `erased ${countOf(Number(parts), 'part')} with ${values}, and ${kept}${also}`
}

function rowsBefore(details: RecordEntry['details']): string {
  const rows = details.rows as Record<string, number>
  return [
    countOf(rows.import ?? 0, 'import'),
    countOf(rows.measurement ?? 0, 'measurement'),
    countOf(rows.report ?? 0, 'report'),
  ].join(', ')
}
