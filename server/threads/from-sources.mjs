// A thread does not take over the loader that reads TypeScript, so it registers one before it loads the worker that its
// argument names. Plain JavaScript, since it has to be read without that loader; the compiled program does not use it.
import { register } from 'tsx/esm/api'

register()
await import(process.argv[2])
