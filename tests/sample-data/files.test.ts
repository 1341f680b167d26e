import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { generateShop } from '../../sample-data/generate-shop.ts'
import { DEMONSTRATION_SEED } from '../../sample-data/seed.ts'
import { shopFiles } from '../../sample-data/write.ts'

const folder = join(import.meta.dirname, '../../sample-data')
const files = shopFiles(generateShop(DEMONSTRATION_SEED))

describe('files of the demonstration shop', () => {
  it('are, byte for byte, what the generator writes', () => {
    for (const [path, text] of files)
      expect(readFileSync(join(folder, path)).equals(Buffer.from(text)), path).toBe(true)
  })

  it('are all there is in their folders', () => {
    const folders = ['builds', 'characteristics', 'furnace-loads', 'gauges', 'measurements']
    const found = folders.flatMap((name) => readdirSync(join(folder, name)).map((file) => `${name}/${file}`))
    const written = [...files.keys()].filter((path) => path.includes('/'))
    expect(found.sort()).toEqual(written.sort())
  })

  it('have as many fields in every row as headings, and no field that would need quoting', () => {
    for (const [path, text] of files) {
      if (!path.endsWith('.csv')) continue
      const rows = text.split('\n')
      expect(rows.pop(), path).toBe('')
      const width = rows[0]?.split(',').length
      for (const row of rows) expect(row.split(',').length, `${path}: ${row}`).toBe(width)
      expect(text, path).toMatch(/^[\x20-\x7e\n]+$/)
      expect(text, path).not.toContain('"')
    }
  })

  it('stay below six megabytes', () => {
    const bytes = [...files.values()].reduce((sum, text) => sum + text.length, 0)
    expect(bytes).toBeLessThan(6e6)
  })

  it('do not depend on how often or in what order shops are generated', () => {
    generateShop(DEMONSTRATION_SEED + 1)
    expect(shopFiles(generateShop(DEMONSTRATION_SEED))).toEqual(files)
    expect(shopFiles(generateShop(DEMONSTRATION_SEED + 1))).not.toEqual(files)
  })
})
