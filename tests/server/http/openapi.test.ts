import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ROUTE_GROUPS } from '../../../server/access/route-roles.ts'
import type { OpenApiDocument, OpenApiOperation } from '../../../server/contract/openapi.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

let server: RunningServer
let document: OpenApiDocument
let operations: { method: string; path: string; operation: OpenApiOperation }[]

beforeAll(async () => {
  server = await startServer()
  document = await server.get('/api/openapi.json')
  operations = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ method, path, operation })),
  )
})
afterAll(() => server.stop())

const find = (id: string) => operations.find(({ operation }) => operation.operationId === id)

/** Every value under a key anywhere in the document. */
function* valuesOf(node: unknown, key: string): Generator<unknown> {
  if (typeof node !== 'object' || node === null) return
  for (const [name, value] of Object.entries(node)) {
    if (name === key) yield value
    yield* valuesOf(value, key)
  }
}

// By the rules of the OpenAPI Specification 3.1.0, sections 4.8.1 to 4.8.12.
describe('the description of the interface', () => {
  it('describes every route that is listed, and no other', () => {
    const listed = ROUTE_GROUPS.flatMap(({ routes }) => routes.map(({ call }) => call))
    const described = operations.map(({ method, path }) => `${method.toUpperCase()} ${path}`)
    expect(described.sort()).toEqual(listed.map((call) => call.replace(/:(\w+)(\{[^}]*\})?/g, '{$1}')).sort())
  })

  it('has operation identities that are unique and can be names in any language', () => {
    const ids = operations.map(({ operation }) => operation.operationId)
    expect(new Set(ids).size).toBe(ids.length)
    for (const id of ids) expect(id).toMatch(/^[a-z][A-Za-z0-9]{2,80}$/)
  })

  it('has references that all resolve', () => {
    const refs = [...valuesOf(document, '$ref')] as string[]
    expect(refs.length).toBeGreaterThan(operations.length)
    for (const ref of refs) {
      expect(ref).toMatch(/^#\//)
      const target = ref
        .slice(2)
        .split('/')
        .reduce<unknown>((node, part) => (node as Record<string, unknown> | undefined)?.[part], document)
      expect(target, ref).toBeDefined()
    }
  })

  it('has a required parameter for every place in a path, none twice, and a body only where one is sent', () => {
    for (const { method, path, operation } of operations) {
      const places = [...path.matchAll(/\{(\w+)\}/g)].map(([, name]) => name)
      const inPath = operation.parameters.filter((parameter) => parameter.in === 'path')
      expect(inPath.map(({ name }) => name)).toEqual(places)
      for (const { required } of inPath) expect(required).toBe(true)
      const keys = operation.parameters.map((parameter) => `${parameter.in} ${parameter.name}`)
      expect(new Set(keys).size, path).toBe(keys.length)
      if (method === 'get' || method === 'delete') expect(operation.requestBody, path).toBeUndefined()
      expect(operation.summary).not.toBe('')
      expect(document.tags.map(({ name }) => name)).toContain(operation.tags[0])
      expect(Object.keys(operation.responses)).toContain('default')
      for (const scheme of operation.security.flatMap((each) => Object.keys(each)))
        expect(Object.keys(document.components.securitySchemes ?? {})).toContain(scheme)
    }
  })

  it('says of requests what the routes check', () => {
    const capability = find('getPartNumbersByNumberByRevisionCapability')?.operation
    expect(capability?.parameters.find(({ name }) => name === 'confidence')).toEqual({
      name: 'confidence',
      in: 'query',
      required: false,
      schema: { type: 'number', minimum: 0.5, maximum: 0.999 },
    })
    expect(
      find('postImports')?.operation.parameters.find(({ name }) => name === 'takeGoodRows')?.schema,
    ).toEqual({
      type: 'string',
      enum: ['true', 'false'],
    })
    const study =
      document.components.schemas?.postPartNumbersByNumberByRevisionCharacteristicsByDesignatorStudyBody
    expect(study).toMatchObject({ required: ['version', 'change', 'who', 'reason'] })
    const remark = find('postPartNumbersByNumberByRevisionRemarks')?.operation
    expect(remark?.['x-roles']).toContain('inspector')
    expect(remark?.security).toEqual([{ session: [] }])
    expect(find('postSession')?.operation.security).toEqual([])
    expect(find('getImportsById')?.operation.security).toEqual([{ session: [] }, { token: [] }])
  })

  it('has a body or a file wherever something is sent with POST or PUT, but for calls without anything to say', () => {
    const silent = operations
      .filter(
        ({ method, operation }) => ['post', 'put'].includes(method) && operation.requestBody === undefined,
      )
      .map(({ operation }) => operation.operationId)
    // A new one here has no schema: check what comes with it by validated().
    expect(silent.sort()).toEqual([
      'postEventNoticesDeliveriesByDeliveryAgain',
      'postPeopleByPersonPasswordLink',
      'postSampleShop',
    ])
  })
})
