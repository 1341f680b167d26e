import { randomUUID } from 'node:crypto'
import type { Context, MiddlewareHandler } from 'hono'
import { type DestinationStream, destination, type Logger, pino } from 'pino'
import { matchedRule } from './access/matched-rule.ts'

export const LOG_LEVELS = ['debug', 'info', 'warn', 'error', 'silent'] as const
export type LogLevel = (typeof LOG_LEVELS)[number]

/** Characters of an address or a message that are logged. */
const LONGEST = 300

declare module 'hono' {
  interface ContextVariableMap {
    /** With the number of the request. */
    log: Logger
    /** Number of the request, for the log and for whoever asks about it. */
    requestId: string
  }
}

/**
 * The log: one JSON object a line, to stderr. What a request holds beside method and address never comes into it: no
 * body, no query, no heading, so that neither secrets nor measurements nor names are kept twice.
 *
 * @param stream where it goes; stderr where it is not given
 */
export function createLog(
  level: LogLevel,
  stream: DestinationStream = destination({ fd: 2, sync: true }),
): Logger {
  return pino(
    {
      level,
      base: null,
      timestamp: pino.stdTimeFunctions.isoTime,
      formatters: { level: (label) => ({ level: label }) },
      serializers: { err: errorSummary },
    },
    stream,
  )
}

/** What is said of an error: a message of the database or of a parser may hold values, so only its beginning. */
function errorSummary(error: unknown): Readonly<Record<string, unknown>> {
  if (!(error instanceof Error)) return { type: typeof error }
  const frames = (error.stack ?? '').split('\n').filter((line) => /^\s+at /.test(line))
  return {
    type: error.name,
    ...('code' in error ? { code: error.code } : {}),
    message: error.message.split('\n')[0]?.slice(0, LONGEST),
    stack: frames.map((line) => line.trim()),
  }
}

/**
 * Numbers every request, and logs it once it is answered: at info what changed something or was refused, at debug what
 * was only read, at error what failed.
 */
export function requestLog(log: Logger): MiddlewareHandler {
  return async (c, next) => {
    const begun = performance.now()
    const requestId = randomUUID()
    c.set('requestId', requestId)
    c.set('log', log.child({ request: requestId }))
    await next()
    c.header('X-Request-Id', requestId)
    const { status } = c.res
    const reads = c.req.method === 'GET' || c.req.method === 'HEAD'
    const level = status >= 500 ? 'error' : status >= 400 || !reads ? 'info' : 'debug'
    c.get('log')[level](
      {
        method: c.req.method,
        path: c.req.path.slice(0, LONGEST),
        route: matchedRule(c)?.call ?? null,
        status,
        ms: Math.round((performance.now() - begun) * 10) / 10,
        caller: callerOf(c),
      },
      'answered',
    )
  }
}

/** By number, not by name. */
function callerOf(c: Context): string {
  const caller = c.get('caller')
  if (caller === undefined) return 'not asked'
  return caller.kind === 'person' ? `person ${caller.id}` : caller.kind
}
