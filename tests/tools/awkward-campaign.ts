import fc from 'fast-check'
import type { Receipt } from '../../server/contract/receipt.ts'
import type { Shop } from '../server/intake/shop.ts'
import { type AwkwardFile, awkwardFile } from './awkward-file.ts'

/** Milliseconds that no file of a few kilobytes may take. */
const LONGEST = 5000

/** What became of the files of a campaign. */
export type Tally = Record<string, number>

/**
 * Bring so many made-up files to a shop: each must be taken in whole or not at all, and one that nothing damaged
 * must be taken in with every value that was written into it.
 *
 * @throws Error naming the file that did otherwise
 */
export async function awkwardCampaign(shop: Shop, files: number, seed: number): Promise<Tally> {
  const tally: Tally = {}
  await fc.assert(
    fc.asyncProperty(awkwardFile, fc.boolean(), async (file, takeGoodRows) => {
      const before = shop.everything()
      const begun = performance.now()
      const receipt = await shop.bring(file.bytes, { takeGoodRows })
      const took = performance.now() - begun
      if (took > LONGEST) throw new Error(`took ${took} ms: ${file.made}`)
      const kind = `${file.says === null ? 'damaged' : 'whole'}: ${receipt.verdict}`
      tally[kind] = (tally[kind] ?? 0) + 1
      if (receipt.importId === null && shop.everything() !== before)
        throw new Error(`left something: ${file.made}`)
      const { rowsRead, rowsTaken, rowsRefused } = receipt
      if (receipt.importId !== null && rowsTaken + rowsRefused !== rowsRead)
        throw new Error(`lost rows: ${file.made}`)
      if (receipt.verdict === 'refused' && receipt.problem === null && receipt.refused.length === 0) {
        throw new Error(`refused without a reason: ${file.made}`)
      }
      if (file.says !== null && receipt.verdict !== 'known') await checkWhole(shop, file, receipt)
      await shop.empty()
    }),
    { numRuns: files, seed, endOnFailure: true },
  )
  return tally
}

async function checkWhole(shop: Shop, file: AwkwardFile, receipt: Receipt): Promise<void> {
  const says = file.says ?? []
  if (receipt.verdict !== 'taken' || receipt.rowsTaken !== says.length) {
    const why = JSON.stringify([
      receipt.problem,
      receipt.refused[0],
      receipt.doubts?.[0],
      receipt.reading?.questions,
    ])
    throw new Error(`${receipt.verdict}, ${receipt.rowsTaken} of ${says.length} rows: ${file.made} ${why}`)
  }
  const found = new Map<string, number>()
  for (const { id } of await shop.store.partNumbers()) {
    for (const characteristic of await shop.store.characteristics(id)) {
      for (const build of await shop.store.builds(id, 'sintered')) {
        for (const { serial, value } of await shop.store.values(characteristic.id, build.id, 'sintered')) {
          found.set(`${serial}/${characteristic.designator}`, value)
        }
      }
    }
  }
  for (const [serial, designator, value] of says) {
    const read = found.get(`${serial}/${designator}`)
    if (read !== value) throw new Error(`${serial} ${designator} is ${read}, not ${value}: ${file.made}`)
  }
}
