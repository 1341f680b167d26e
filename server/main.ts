import { setFlagsFromString } from 'node:v8'
import { readSecret } from './cli/read-secret.ts'
import { runCommand } from './cli/run-command.ts'

// Left to itself the engine lets the heap grow to four times what is in use before it looks for what is not: a few charts
// of thousands of builds, one after another, would cost the process a hundred megabytes.
setFlagsFromString('--heap-growing-percent=50')

const status = await runCommand(process.argv.slice(2), {
  environment: process.env,
  out: (line) => console.log(line),
  err: (line) => console.error(line),
  secret: readSecret,
})
if (status !== null) process.exitCode = status
