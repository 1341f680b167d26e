import { describe, expect, it } from 'vitest'
import { browserName } from '../../client/words/browser-name.ts'

// As browsers of these kinds send it: common practice, written from memory.
describe('the name of a browser', () => {
  it.each([
    [
      'Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/141.0.0.0 Safari/537.36',
      'Chromium on Linux',
    ],
    ['Mozilla/5.0 (Windows NT 10.0; Win64; x64; rv:143.0) Gecko/20100101 Firefox/143.0', 'Gecko on Windows'],
    [
      'Mozilla/5.0 (iPad; CPU OS 18_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.0 Safari/604.1',
      'WebKit on iOS',
    ],
    [
      'Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.0 Safari/605.1.15',
      'WebKit on macOS',
    ],
    [
      'Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/141.0.0.0 Mobile Safari/537.36',
      'Chromium on Android',
    ],
    ['curl/8.5.0', 'curl/8.5.0'],
    ['', 'not said'],
  ])('%s is %s', (says, name) => expect(browserName(says)).toBe(name))
})
