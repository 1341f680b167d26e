/**
 * What a link holds behind #, taken out of the address at once: it shall not stay in the history of the browser.
 */
export function takeLinkSecret(): string {
  const secret = location.hash.slice(1)
  if (secret !== '') history.replaceState(history.state, '', location.pathname)
  return secret
}
