/**
 * Writes a database of the schema as it stands as SQL beside this file, named by its last step:
 *
 *   npx tsx tests/reference/databases/make.ts
 *
 * The files are what released programs left behind, so one that is there is never made anew: a program of a later schema
 * must open it. They were made by the program itself, with a shop of one part number.
 */
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import Database from 'better-sqlite3'
import { DEFAULT_SETTINGS } from '../../../server/store/shrinkage-settings.ts'
import { DEFAULT_REQUIREMENTS } from '../../../src/capability/requirement.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { openShop } from '../../server/intake/shop.ts'

const here = fileURLToPath(new URL('.', import.meta.url))
const folder = mkdtempSync(join(tmpdir(), 'as-sintered-reference-'))
const shop = await openShop()
await shop.bring(
  'part_number,revision,designator,name,kind,nominal,lower,upper,unit\nHB-204,C,1,Overall length,length,42,41.9,42.1,mm\nHB-204,C,2,Bore,diameter,8,7.95,8.05,mm\n',
)
await shop.bring('build,printed,powder lot\nB1,2026-05-02,K5\nB2,2026-05-03,K6\n')
const rows = Array.from({ length: 24 }, (_, i) => {
  const place = `HB-204,C,S${i >> 1},B${1 + (i % 4 >> 1)},${1 + (i % 2)}`
  return `${place},${i % 2 === 0 ? 42 + (i % 5) / 100 : 8 - (i % 3) / 100},CMM-1`
})
await shop.bring(`part_number,revision,serial,build,characteristic,value,gauge\n${rows.join('\n')}\n`)
const [partNumber] = await shop.store.partNumbers()
if (partNumber === undefined) throw new Error('nothing was taken in')
const characteristics = await shop.store.characteristics(partNumber.id)
const builds = await shop.store.builds(partNumber.id, 'sintered')
const [first, second] = builds
if (first === undefined || second === undefined) throw new Error('builds are missing')
const signed = { who: 'Ines Quark', at: 1_790_000_000 }
const place = {
  characteristicId: characteristics[0]?.id ?? 0,
  stage: 'sintered' as const,
  buildId: first.id,
}
await shop.store.write(async (writer) => {
  await writer.leaveOut({ ...place, single: { serial: 'S0', replicate: 1 } }, { ...signed, reason: 'mistyped' })
  await writer.addFinding(partNumber.id, {
    stage: 'sintered',
    characteristicIds: [place.characteristicId],
    fromBuildId: first.id,
    toBuildId: second.id,
    cause: 'new powder lot',
    action: 'none',
    state: 'open',
    verified: 'not yet',
    ...signed,
  })
  await writer.addRemark(partNumber.id, { buildId: second.id, text: 'belt replaced', ...signed })
})
// One row of every other kind that somebody decides, so that what later steps do to them is seen.
await shop.store.write(async (writer) => {
  const reason = 'as agreed'
  const { stage: _, exclusions: __, ...study } = DEFAULT_STUDY
  await writer.addStudyVersion('sintered', {
    characteristicId: place.characteristicId,
    version: 1,
    study: { ...study, phases: [...study.phases, { fromBuild: second.id, reason, baselineCount: 25 }] },
    change: { kind: 'open-phase', build: second.id },
    reason,
    ...signed,
  })
  await writer.addCustomerRequirements(partNumber.id, { ...DEFAULT_REQUIREMENTS, version: 1, reason, ...signed })
  await writer.addShrinkageSettings(partNumber.id, { ...DEFAULT_SETTINGS, version: 1, reason, ...signed })
  await writer.addFactorDecision(
    partNumber.id,
    {
      firstBuild: 'B3',
      afterBuildId: second.id,
      before: { x: 1.18, y: 1.18, z: 1.2 },
      factors: { x: 1.182, y: 1.18, z: 1.2 },
      advised: { x: 1.182, y: null, z: null },
      predictions: [],
      reason,
      ...signed,
    },
    null,
  )
  await writer.addGaugeEntry('CMM-1', {
    version: 1,
    kind: 'measuring machine',
    unit: 'mm',
    resolution: 0.0001,
    certificate: null,
    due: '2027-02-01',
    characteristicIds: [place.characteristicId],
    inUse: true,
    reason,
    ...signed,
  })
  const receivers = { recipients: ['ines@shop.example'], webhook: null, partNumberIds: null, quiet: null }
  await writer.addNoticeSettings({ ...receivers, version: 1, reason, ...signed }, null)
  await writer.addPerson({ name: 'Ada Root', role: 'administrator', password: null }, signed)
  await writer.addToken('scales', 'a'.repeat(64), ['read'], signed.at, signed.who)
})
const file = join(folder, 'copy.sqlite')
const database = new Database((shop.store.location as { file: string }).file)
database.exec(`vacuum into '${file}'`)
database.close()
await shop.close()

const copy = new Database(file)
const { version, name } = copy
  .prepare('select version, name from schema_version order by version desc limit 1')
  .get() as { version: number; name: string }
const target = `${String(version).padStart(4, '0')}-${name.replaceAll(' ', '-')}.sql`
if (readdirSync(here).includes(target)) throw new Error(`${target} is there already`)
const objects = copy
  .prepare("select type, name, sql from sqlite_master where sql is not null and name not like 'sqlite_%'")
  .all() as { type: string; name: string; sql: string }[]
const lines = ['begin;']
for (const { type, sql } of objects) if (type === 'table') lines.push(`${sql};`)
for (const { type, name: table } of objects) {
  if (type !== 'table') continue
  const columns = copy.prepare(`select name from pragma_table_info('${table}')`).pluck().all() as string[]
  const quoted = columns.map((column) => `quote("${column}")`).join(` || ',' || `)
  for (const values of copy.prepare(`select ${quoted} from "${table}"`).pluck().iterate()) {
    lines.push(`insert into "${table}" values (${values});`)
  }
}
for (const { type, sql } of objects) if (type !== 'table') lines.push(`${sql};`)
lines.push('commit;')
copy.close()
rmSync(folder, { recursive: true })
writeFileSync(join(here, target), `${lines.join('\n')}\n`)
console.log(target)
