/** The description of the interface as OpenAPI 3.1 has it; only what is made here. */

/** A schema of JSON Schema 2020-12. */
export type JsonSchema = Readonly<Record<string, unknown>>

export interface OpenApiParameter {
  readonly name: string
  readonly in: 'path' | 'query'
  readonly required: boolean
  readonly schema: JsonSchema
}

export interface OpenApiOperation {
  readonly operationId: string
  readonly summary: string
  readonly tags: readonly string[]
  readonly parameters: readonly OpenApiParameter[]
  readonly requestBody?: {
    readonly required: true
    readonly content: Readonly<Record<string, { readonly schema: JsonSchema }>>
  }
  readonly responses: Readonly<Record<string, unknown>>
  /** Empty where anybody may call it. */
  readonly security: readonly Readonly<Record<string, readonly never[]>>[]
  /** Roles of people, and scopes of tokens, that it is open to. */
  readonly 'x-roles': readonly string[]
  readonly 'x-scopes': readonly string[]
}

export type OpenApiMethod = 'get' | 'post' | 'put' | 'delete'

export interface OpenApiDocument {
  readonly openapi: '3.1.0'
  readonly info: { readonly title: string; readonly version: string; readonly description: string }
  readonly tags: readonly { readonly name: string }[]
  readonly paths: Readonly<Record<string, { readonly [method in OpenApiMethod]?: OpenApiOperation }>>
  readonly components: Readonly<Record<string, Readonly<Record<string, unknown>>>>
}
