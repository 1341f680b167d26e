import { expect, it } from 'vitest'
import { awkwardCampaign } from '../../tools/awkward-campaign.ts'
import { openShop } from './shop.ts'

it('made-up files are taken in whole or not at all, and whole ones with every value', async () => {
  const shop = await openShop()
  try {
    const tally = await awkwardCampaign(shop, 120, 1)
    expect(tally['whole: taken']).toBeGreaterThan(15)
  } finally {
    await shop.close()
  }
}, 30_000)
