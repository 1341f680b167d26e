import { type SaxesOptions, SaxesParser, type SaxesTagNS } from 'saxes'
import { FileProblemError } from '../faults.ts'

/** An element's own attribute; undefined where it has none of this name. */
export type AttributeOf = (name: string) => string | undefined

/** What is told of each element, in the order of the file. Names come without their prefix. */
export interface XmlListener {
  /** `line` is that on which the start tag ends, counted from 1. */
  open(name: string, attribute: AttributeOf, line: number, namespace: string): void
  /** `text` is what stands in an element without children; of another, what stands after its last child. */
  close(name: string, text: string): void
}

/** Elements within one another; a QIF document stays far below it. */
const DEEPEST = 200
/** Characters of one text, tag or comment. Documents may carry a mesh in one text, but none as long as this. */
const LONGEST_PIECE = 32 * 1024 * 1024

type NamespaceOptions = SaxesOptions & { xmlns: true }

/**
 * Walks an XML document handed over in chunks, keeping nothing but the text at hand. A document type declaration
 * ends the walk: it could define entities, which grow without bound or fetch what is not in the file.
 */
export class XmlWalk {
  readonly #parser: SaxesParser<NamespaceOptions>
  #text = ''
  #depth = 0
  #sinceEvent = 0

  constructor(listener: XmlListener) {
    const parser = new SaxesParser<NamespaceOptions>({ xmlns: true })
    this.#parser = parser
    parser.on('doctype', () => {
      throw hasDoctype(parser.line)
    })
    parser.on('error', (error) => {
      throw malformed(parser.line, error.message.replace(/^[\d:]+\s*/, ''))
    })
    parser.on('opentag', (tag) => {
      this.#sinceEvent = 0
      this.#text = ''
      if (++this.#depth > DEEPEST) throw tooDeep(parser.line)
      listener.open(tag.local, attributeOf(tag), parser.line, tag.uri)
    })
    const gather = (text: string) => {
      this.#sinceEvent = 0
      this.#text += text
    }
    parser.on('text', gather)
    parser.on('cdata', gather)
    parser.on('comment', () => {
      this.#sinceEvent = 0
    })
    parser.on('closetag', (tag) => {
      this.#sinceEvent = 0
      this.#depth--
      listener.close(tag.local, this.#text.trim())
      this.#text = ''
    })
  }

  /** @throws FileProblemError where the text is no well-formed XML, or has a document type declaration */
  push(text: string): void {
    this.#sinceEvent += text.length
    this.#parser.write(text)
    if (this.#sinceEvent > LONGEST_PIECE) throw tooLong(this.#parser.line)
  }

  /** @throws FileProblemError where the document is not complete */
  end(): void {
    this.#parser.close()
  }
}

function attributeOf(tag: SaxesTagNS): AttributeOf {
  return (name) => tag.attributes[name]?.value
}

function hasDoctype(line: number): FileProblemError {
  return new FileProblemError(
    'The file has a document type declaration (<!DOCTYPE …>), which can define entities that stand for other files or for endless text. A QIF document needs none, so nothing of it was read.',
    `line ${line}`,
    'Ask the measuring program for a QIF document without it, and bring that.',
  )
}

function malformed(line: number, reason: string): FileProblemError {
  return new FileProblemError(
    `The file begins as XML but is not well-formed: ${reason.replace(/\.$/, '')}.`,
    `line ${line}`,
    'It may have been cut off or edited by hand. Export it again, and bring it.',
  )
}

function tooDeep(line: number): FileProblemError {
  return new FileProblemError(
    `More than ${DEEPEST} elements stand within one another, which no QIF document needs.`,
    `line ${line}`,
    'Export the results again, and bring them.',
  )
}

function tooLong(line: number): FileProblemError {
  return new FileProblemError(
    `One text or tag is longer than ${LONGEST_PIECE.toLocaleString('en')} characters, which no results need.`,
    `line ${line}`,
    'Export the results without the model of the part, and bring them.',
  )
}
