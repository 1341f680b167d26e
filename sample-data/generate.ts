/** Writes the demonstration shop's files beside this one: `npm run sample-data`. */

import { mkdirSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { generateShop } from './generate-shop.ts'
import { DEMONSTRATION_SEED } from './seed.ts'
import { shopFiles } from './write.ts'

for (const [path, text] of shopFiles(generateShop(DEMONSTRATION_SEED))) {
  const file = join(import.meta.dirname, path)
  mkdirSync(dirname(file), { recursive: true })
  writeFileSync(file, text)
}
