import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { serve } from '@hono/node-server'
import { createApp } from './app.ts'
import { createIntake } from './intake/jobs.ts'
import { type Options, readOptions, USAGE, UsageError } from './options.ts'
import { openStore } from './store/store.ts'

/** The package's own folder, from dist/node/server as from server. */
function packageFolder(): string {
  const here = fileURLToPath(new URL('.', import.meta.url))
  return here.includes(join('dist', 'node')) ? join(here, '..', '..', '..') : join(here, '..')
}

async function run(options: Options): Promise<void> {
  mkdirSync(options.dataFolder, { recursive: true })
  const store = await openStore({ file: join(options.dataFolder, 'as-sintered.sqlite') })
  const intake = createIntake({ store, dataFolder: options.dataFolder })
  const root = packageFolder()
  const sampleFolder = join(root, 'sample-data')
  if (options.sample && (await store.partNumbers()).length === 0) {
    console.log('Taking in the sample shop …')
    await intake.finished(await intake.acceptFolder(sampleFolder))
  }
  const app = createApp({ store, intake, sampleFolder, clientFolder: join(root, 'dist', 'client') })
  const server = serve({ fetch: app.fetch, hostname: options.host, port: options.port }, (address) => {
    console.log(`as-sintered is at http://${options.host}:${address.port}/`)
    console.log(`Data are kept in ${options.dataFolder}`)
  })
  server.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EADDRINUSE') {
      console.error(
        `Port ${options.port} is taken by another program. Choose another with --port or AS_SINTERED_PORT.`,
      )
    } else {
      console.error(error.message)
    }
    process.exit(1)
  })
  const stop = () => {
    server.close()
    void intake.close().then(() => store.close())
  }
  process.once('SIGINT', stop)
  process.once('SIGTERM', stop)
}

try {
  const options = readOptions(process.argv.slice(2), process.env)
  if (options === 'help') console.log(USAGE)
  else await run(options)
} catch (error) {
  console.error(error instanceof UsageError ? `${error.message}\n\n${USAGE}` : error)
  process.exit(1)
}
