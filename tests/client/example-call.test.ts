import { Hono } from 'hono'
import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { exampleCall, exampleOf, schemaWords } from '../../client/words/example-call.ts'
import * as schemas from '../../server/contract/requests.ts'
import { openApiDocument } from '../../server/openapi.ts'

const document = openApiDocument(new Hono().routes)

describe('an example', () => {
  // What is shown as an example should be let through by the schema that it is an example of.
  it.each(
    ['newRemark', 'studyDecision', 'exclusionDecision', 'newFinding', 'withdrawal'].map(
      (name) => [name, schemas[name as 'newRemark']] as const,
    ),
  )('of %s passes its own schema', (_, schema) => {
    const example = exampleOf(document, z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' }))
    expect(schema.safeParse(example).error?.issues ?? []).toEqual([])
  })

  it('of a call is a command', () => {
    expect(
      exampleCall(
        document,
        'post',
        '/api/imports/{id}/withdraw',
        {
          operationId: 'x',
          summary: '',
          tags: [],
          parameters: [
            { name: 'id', in: 'path', required: true, schema: {} },
            { name: 'name', in: 'query', required: true, schema: {} },
          ],
          requestBody: { required: true, content: { 'application/json': { schema: { type: 'boolean' } } } },
          responses: {},
          security: [{ token: [] }],
          'x-roles': [],
          'x-scopes': [],
        },
        'https://sinter.example',
      ),
    ).toBe(`curl \\
  -X POST \\
  -H "Authorization: Bearer TOKEN" \\
  -H "Content-Type: application/json" \\
  -d 'true' \\
  "https://sinter.example/api/imports/ID/withdraw?name=NAME"`)
  })
})

describe('words of a parameter', () => {
  it.each([
    [{ type: 'integer', minimum: 1, maximum: 100 }, 'whole number, from 1, to 100'],
    [{ type: 'number', default: 1.33 }, 'number, else 1.33'],
    [{ type: 'string', enum: ['pdf', 'html'] }, 'pdf or html'],
    [{ type: 'string', maxLength: 200 }, 'text, up to 200 characters'],
    [{}, 'text'],
  ])('%j', (schema, words) => expect(schemaWords(schema)).toBe(words))
})
