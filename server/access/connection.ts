import { BlockList, isIP } from 'node:net'
import { getConnInfo } from '@hono/node-server/conninfo'
import type { Context } from 'hono'

/** What stands between browsers and the server. */
export interface Entrance {
  /** Whether an address is that of a proxy whose word is taken for where a request came from. */
  readonly isProxy: (address: string) => boolean
  /** Names under which browsers reach the server, without port; null where any will do. */
  readonly names: ReadonlySet<string> | null
}

/** Straight from the browser, under any name. */
export const OPEN_ENTRANCE: Entrance = { isProxy: () => false, names: null }

/** Names of this machine to itself, as a browser writes them. */
export const LOOPBACK_NAMES: readonly string[] = ['localhost', '127.0.0.1', '[::1]']

/** Whether a name or an address to listen on is reached from this machine only. */
export function isLoopbackName(host: string): boolean {
  return host.toLowerCase() === 'localhost' || isLoopback(host.replace(/^\[|\]$/g, ''))
}

/**
 * Proxies given as addresses or as networks such as 10.0.0.0/8.
 *
 * @throws RangeError naming what is neither
 */
export function proxyList(given: readonly string[]): (address: string) => boolean {
  const list = new BlockList()
  for (const each of given) {
    const [address = '', bits, ...more] = each.split('/')
    const family = isIP(address)
    const width = bits === undefined ? (family === 6 ? 128 : 32) : Number(bits)
    if (family === 0 || more.length > 0 || !/^\d*$/.test(bits ?? '') || width > (family === 6 ? 128 : 32)) {
      throw new RangeError(each)
    }
    list.addSubnet(address, width, family === 6 ? 'ipv6' : 'ipv4')
  }
  return (address) => isIP(address) !== 0 && list.check(address, isIP(address) === 6 ? 'ipv6' : 'ipv4')
}

/** The address that the connection came from; null where the request came over no network. */
function peerOf(c: Context): string | null {
  if (c.env === undefined || c.env === null || !('incoming' in c.env)) return null
  return (getConnInfo(c).remote.address ?? 'unknown').replace(/^::ffff:(?=\d+\.)/, '')
}

/** Headings that a proxy adds. */
const FORWARDING = [
  'forwarded',
  'x-forwarded-for',
  'x-forwarded-host',
  'x-forwarded-proto',
  'x-real-ip',
  'via',
]

/** True for loopback addresses without a proxy between, and where the request came over no network at all. */
export function isFromThisMachine(c: Context): boolean {
  const peer = peerOf(c)
  if (peer === null) return true
  return isLoopback(peer) && !FORWARDING.some((heading) => c.req.header(heading) !== undefined)
}

function isLoopback(address: string): boolean {
  return /^127\.\d+\.\d+\.\d+$|^::1$/.test(address)
}

/** The address that a request came from: what trusted proxies say of it, and the connection's own without them. */
export function addressOf(c: Context, { isProxy }: Entrance): string {
  let address = peerOf(c) ?? 'this program'
  const hops = (c.req.header('x-forwarded-for') ?? '').split(',').map((hop) => hop.trim())
  while (isProxy(address)) {
    const before = hops.pop()
    if (before === undefined || isIP(before) === 0) break
    address = before
  }
  return address
}

/** Whether the browser's side of the connection is encrypted, as far as can be told. */
export function isSecure(c: Context, { isProxy }: Entrance): boolean {
  if (new URL(c.req.url).protocol === 'https:') return true
  const peer = peerOf(c)
  return (
    peer !== null && isProxy(peer) && c.req.header('x-forwarded-proto')?.split(',').at(-1)?.trim() === 'https'
  )
}
