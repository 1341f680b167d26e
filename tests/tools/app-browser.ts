import type { createApp } from '../../server/app.ts'

export type App = ReturnType<typeof createApp>

/** A browser without a window: it keeps its cookie, and says where its requests come from. */
export interface AppBrowser {
  /** Value of the cookie as it was set last, with its attributes; empty before the first. */
  readonly cookie: string
  send(method: string, path: string, body?: unknown, headers?: Record<string, string>): Promise<Response>
}

/** @param address that the connection comes from */
export function appBrowser(app: App, address = '192.0.2.7'): AppBrowser {
  let cookie = ''
  const socket = {
    remoteAddress: address,
    remotePort: 9,
    remoteFamily: address.includes(':') ? 'IPv6' : 'IPv4',
  }
  return {
    get cookie() {
      return cookie
    },
    async send(method, path, body, headers = {}) {
      const own = cookie.split(';')[0] ?? ''
      const answer = await app.request(
        path,
        {
          method,
          headers: {
            ...(body === undefined ? {} : { 'Content-Type': 'application/json' }),
            ...(own === '' ? {} : { Cookie: own }),
            ...headers,
          },
          ...(body === undefined ? {} : { body: JSON.stringify(body) }),
        },
        { incoming: { socket } },
      )
      const set = answer.headers.get('Set-Cookie')
      if (set !== null) cookie = set
      return answer
    },
  }
}
