import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { dirname, join, relative } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../src/errors.ts'
import * as core from '../../src/index.ts'

const src = fileURLToPath(new URL('../../src/', import.meta.url))

interface Walk {
  /** Paths within src of every file reached. */
  readonly files: ReadonlySet<string>
  /** Imports that lead out of src's statistics, as "file: what it imports". */
  readonly astray: readonly string[]
}

/** Every file that the entry reaches through imports and re-exports, types included. */
function walk(entry: string): Walk {
  const files = new Set<string>()
  const astray: string[] = []
  const visit = (path: string) => {
    const name = relative(src, path)
    if (files.has(name)) return
    files.add(name)
    const text = readFileSync(path, 'utf8')
    for (const [, wanted = ''] of text.matchAll(
      /^(?:(?:import|export|\}) ?[^'\n]*from |import )'([^'\n]+)'$/gm,
    )) {
      const target = join(dirname(path), wanted)
      const inside = relative(src, target)
      const folder = inside.split('/')[0] ?? ''
      if (!wanted.startsWith('.') || folder === '..' || ['figures', 'words', 'evidence'].includes(folder)) {
        astray.push(`${name}: ${wanted}`)
      } else if (!existsSync(target)) astray.push(`${name}: ${wanted} is not there`)
      else visit(target)
    }
  }
  visit(join(src, entry))
  return { files, astray }
}

describe('the public index of the core', () => {
  const { files, astray } = walk('index.ts')

  it('reaches the statistics, and nothing but them', () => {
    expect(files.has('charts/chart.ts')).toBe(true)
    expect(files.has('numbers/brent.ts')).toBe(true)
    expect(astray).toEqual([])
  })

  it('compiles without the types of a page or of Node', () => {
    const options =
      '--noEmit --ignoreConfig --target ES2023 --lib ES2023 --module nodenext --strict --skipLibCheck ' +
      '--allowImportingTsExtensions --verbatimModuleSyntax --types'
    const compiler = fileURLToPath(new URL('../../node_modules/.bin/tsc', import.meta.url))
    const { stdout } = spawnSync(compiler, [...options.split(' '), '', join(src, 'index.ts')], {
      encoding: 'utf8',
    })
    expect(stdout).toBe('')
  })

  it('gives the functions themselves', () => {
    expect(core.d2(2)).toBeCloseTo(2 / Math.sqrt(Math.PI), 14)
    expect(core.buildChart(core.DEFAULT_STUDY, [], []).subgroups).toEqual([])
    expect(core.ArgumentError).toBe(ArgumentError)
  })
})
