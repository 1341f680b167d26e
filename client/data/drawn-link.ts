/** Follows a link inside a drawing without loading the page anew, which the router does for links of HTML alone. */
export function followDrawnLink(event: MouseEvent, href: string, route: (address: string) => void): void {
  // The browser's own ways of opening it elsewhere stay.
  if (event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return
  event.preventDefault()
  route(href)
}
