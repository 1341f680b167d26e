import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { killCampaign } from './kill-campaign.ts'

/** The short form of `npm run soak`, on the built program. */
it('is killed at random moments, and has lost nothing that it answered as done', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-kills-'))
  try {
    const tally = await killCampaign({
      folder,
      kills: 5,
      seed: 4,
      longest: 300,
      program: [process.execPath, 'dist/node/server/main.js'],
    })
    expect(tally.faults).toEqual([])
    expect(tally.kills).toBe(5)
    expect(tally.importsDone).toBeGreaterThan(0)
    const { copy, migration, afterwards } = tally.migrations
    expect(copy + migration + afterwards).toBe(1)
    expect(Object.values(tally.decisionsDone).some((count) => count > 0)).toBe(true)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}, 90_000)
