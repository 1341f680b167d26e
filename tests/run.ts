import { spawnSync } from 'node:child_process'
import { mkdirSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { ensureChromium } from './tools/chromium.ts'

/**
 * The test command: type check, lint, unit and interface tests, build, browser tests, one after another, all of
 * them even where one fails. Results of the runners are left as JSON in tests/output.
 */

const root = fileURLToPath(new URL('..', import.meta.url))
const output = join(root, 'tests', 'output')

interface Step {
  readonly name: string
  readonly command: string
  readonly args: readonly string[]
}

const bin = (name: string) => join(root, 'node_modules', '.bin', name)
const vitest = (name: string, config: string): Step => ({
  name,
  command: bin('vitest'),
  args: [
    'run',
    '--config',
    config,
    '--reporter=default',
    '--reporter=json',
    `--outputFile.json=${join(output, `${name}.json`)}`,
  ],
})

const steps: readonly Step[] = [
  { name: 'types', command: bin('tsc'), args: ['-p', 'tsconfig.json'] },
  { name: 'lint', command: bin('biome'), args: ['ci', '.'] },
  vitest('unit', 'tests/vitest.config.ts'),
  { name: 'build', command: 'npm', args: ['run', '--silent', 'build'] },
  vitest('browser', 'tests/browser/vitest.config.ts'),
]

rmSync(output, { recursive: true, force: true })
mkdirSync(output, { recursive: true })
const environment = { ...process.env, CHROMIUM: ensureChromium(console.log) }

const failed: string[] = []
for (const step of steps) {
  console.log(`\n── ${step.name}`)
  const began = Date.now()
  const { status } = spawnSync(step.command, step.args, { cwd: root, stdio: 'inherit', env: environment })
  console.log(
    `── ${step.name}: ${status === 0 ? 'passed' : 'failed'} in ${((Date.now() - began) / 1000).toFixed(1)} s`,
  )
  if (status !== 0) failed.push(step.name)
}
if (failed.length > 0) {
  console.error(`\nFailed: ${failed.join(', ')}`)
  process.exit(1)
}
