/**
 * Brings many made-up files, whole and damaged, to an empty shop each, and says what became of them:
 *
 *     npx tsx tests/bench/awkward.ts [files] [seed]
 *
 * 10 000 files unless said otherwise. Ends with an error at the first that is neither taken in whole nor refused whole.
 */
import { openShop } from '../server/intake/shop.ts'
import { awkwardCampaign } from '../tools/awkward-campaign.ts'

const files = Number(process.argv[2] ?? 10_000)
const seed = Number(process.argv[3] ?? 20_261_125)
const shop = await openShop()
try {
  const begun = performance.now()
  const tally = await awkwardCampaign(shop, files, seed)
  console.log(`${files} files in ${((performance.now() - begun) / 1000).toFixed(0)} s, seed ${seed}`)
  for (const [what, count] of Object.entries(tally).sort()) console.log(`${what}: ${count}`)
} finally {
  await shop.close()
}
