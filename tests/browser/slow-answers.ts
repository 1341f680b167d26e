import { createServer, request } from 'node:http'
import type { AddressInfo } from 'node:net'

/**
 * An address whose answers are those of another, each of the interface held back for a while.
 *
 * A test that reads the page before the answer has come passes on a quick machine and fails on a busy one; behind this
 * it fails at once: `SLOW_ANSWERS=700 npx vitest run --config tests/browser/vitest.config.ts tests/browser`, once
 * built.
 *
 * @param delay milliseconds before an answer begins
 */
export async function holdBackAnswers(
  url: string,
  delay: number,
): Promise<{ readonly url: string; close(): void }> {
  const { hostname, port } = new URL(url)
  const between = createServer((asked, answer) => {
    const { method, headers, url: path } = asked
    const passedOn = request({ hostname, port, method, headers, path }, (answered) => {
      const begin = () => {
        answer.writeHead(answered.statusCode ?? 502, answered.headers)
        answered.pipe(answer)
      }
      if (path?.startsWith('/api/') === true) setTimeout(begin, delay)
      else begin()
    })
    passedOn.on('error', () => answer.destroy())
    answer.on('close', () => passedOn.destroy())
    asked.pipe(passedOn)
  })
  await new Promise<void>((resolve) => between.listen(0, '127.0.0.1', resolve))
  return {
    url: `http://127.0.0.1:${(between.address() as AddressInfo).port}`,
    close() {
      between.close()
      between.closeAllConnections()
    },
  }
}
