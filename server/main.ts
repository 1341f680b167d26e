import { readSecret } from './cli/read-secret.ts'
import { runCommand } from './cli/run-command.ts'
import { limitHeapGrowth } from './heap-growth.ts'

limitHeapGrowth()

const status = await runCommand(process.argv.slice(2), {
  environment: process.env,
  out: (line) => console.log(line),
  err: (line) => console.error(line),
  secret: readSecret,
})
if (status !== null) process.exitCode = status
