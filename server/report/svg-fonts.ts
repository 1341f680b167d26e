import type { PrintFonts } from './fonts.ts'

/** The figure with each text in fonts that have its characters. */
export function svgInFonts(svg: string, fonts: PrintFonts): string {
  return svg.replace(/(<text[^>]*>)([^<]*)(?=<\/text>)/g, (whole, open: string, content: string) => {
    const runs = fonts.runs(unescaped(content))
    if (runs.length === 1 && runs[0]?.font === 'IBM Plex Sans') return whole
    return (
      open + runs.map(({ text, font }) => `<tspan font-family="${font}">${escaped(text)}</tspan>`).join('')
    )
  })
}

const NAMED: Readonly<Record<string, string>> = { '&lt;': '<', '&gt;': '>', '&quot;': '"', '&amp;': '&' }

function unescaped(text: string): string {
  return text.replace(/&(lt|gt|quot|amp);/g, (name) => NAMED[name] ?? name)
}

export function escaped(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
}
