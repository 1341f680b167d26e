import type { JsonSchema, OpenApiDocument, OpenApiOperation } from '../../server/contract/openapi.ts'

/** How a program would make a call, as a command for curl; values to be filled in stand in capitals. */
export function exampleCall(
  document: OpenApiDocument,
  method: string,
  path: string,
  operation: OpenApiOperation,
  origin: string,
): string {
  const required = operation.parameters.filter((parameter) => parameter.in === 'query' && parameter.required)
  const query = required.map(({ name }) => `${name}=${name.toUpperCase()}`).join('&')
  const address = `${origin}${path.replace(/\{(\w+)\}/g, (_, name: string) => name.toUpperCase())}${query === '' ? '' : `?${query}`}`
  const parts = ['curl']
  if (method !== 'get') parts.push(`-X ${method.toUpperCase()}`)
  if (operation.security.some((scheme) => 'token' in scheme)) parts.push('-H "Authorization: Bearer TOKEN"')
  const content = operation.requestBody?.content ?? {}
  const json = content['application/json']
  if (json !== undefined) {
    parts.push('-H "Content-Type: application/json"')
    parts.push(`-d '${JSON.stringify(exampleOf(document, json.schema))}'`)
  } else if (operation.requestBody !== undefined) parts.push('--data-binary @FILE')
  parts.push(`"${address}"`)
  return parts.join(' \\\n  ')
}

/** Something that a schema would let through, or nearly: texts are there for their place. */
export function exampleOf(document: OpenApiDocument, schema: JsonSchema): unknown {
  const {
    $ref,
    const: only,
    enum: choices,
    anyOf,
    oneOf,
    type,
    properties,
    required,
    items,
  } = schema as {
    $ref?: string
    const?: unknown
    enum?: readonly unknown[]
    anyOf?: readonly JsonSchema[]
    oneOf?: readonly JsonSchema[]
    type?: string
    properties?: Readonly<Record<string, JsonSchema>>
    required?: readonly string[]
    items?: JsonSchema
  }
  if ($ref !== undefined) {
    const found = document.components.schemas?.[$ref.split('/').at(-1) ?? '']
    return found === undefined ? null : exampleOf(document, found as JsonSchema)
  }
  if (only !== undefined) return only
  if ('default' in schema) return schema.default
  if (choices !== undefined) return choices[0]
  const either = anyOf ?? oneOf
  if (either !== undefined) return either[0] === undefined ? null : exampleOf(document, either[0])
  switch (type) {
    case 'object':
      return Object.fromEntries(
        Object.entries(properties ?? {})
          .filter(([name]) => required?.includes(name))
          .map(([name, each]) => [name, exampleOf(document, each)]),
      )
    case 'array':
      return items === undefined ? [] : [exampleOf(document, items)]
    case 'number':
    case 'integer':
      return Math.max(1, Number(schema.minimum ?? 1))
    case 'boolean':
      return true
    case 'string':
      return 'TEXT'
    default:
      return null
  }
}

/** What a parameter may be, in a few words. */
export function schemaWords(schema: JsonSchema): string {
  const {
    type,
    enum: choices,
    minimum,
    maximum,
    maxLength,
  } = schema as {
    type?: string
    enum?: readonly unknown[]
    minimum?: number
    maximum?: number
    maxLength?: number
  }
  const words: string[] = []
  if (choices !== undefined) words.push(choices.map(String).join(' or '))
  else if (type === 'integer') words.push('whole number')
  else if (type === 'number') words.push('number')
  else words.push('text')
  if (minimum !== undefined) words.push(`from ${minimum}`)
  if (maximum !== undefined && maximum < 2 ** 31 - 1) words.push(`to ${maximum}`)
  if (maxLength !== undefined && choices === undefined) words.push(`up to ${maxLength} characters`)
  if ('default' in schema) words.push(`else ${String(schema.default)}`)
  return words.join(', ')
}
