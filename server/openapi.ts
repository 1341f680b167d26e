import type { RouterRoute } from 'hono/types'
import { z } from 'zod'
import { ROUTE_GROUPS, type RouteRule } from './access/route-roles.ts'
import type {
  JsonSchema,
  OpenApiDocument,
  OpenApiMethod,
  OpenApiOperation,
  OpenApiParameter,
} from './contract/openapi.ts'
import { problemAnswer } from './contract/problem.ts'
import { type Checked, checkedOf } from './routes/validated.ts'

/**
 * The description of the interface in OpenAPI 3.1, put together from the table of routes and roles and from the schemas
 * that the routes check requests with. Nothing is declared for it alone, so that it says what the program does.
 *
 * @param routes of the application, as it has them registered
 */
export function openApiDocument(routes: readonly RouterRoute[]): OpenApiDocument {
  const paths: Record<string, { [method in OpenApiMethod]?: OpenApiOperation }> = {}
  const schemas: Record<string, JsonSchema> = { Problem: schemaOf(problemAnswer) }
  for (const { group, routes: rules } of ROUTE_GROUPS) {
    for (const rule of rules) {
      const [method, path] = rule.call.split(' ') as [string, string]
      const checks = routes
        .filter((route) => route.method === method && route.path === path)
        .flatMap((route) => checkedOf(route.handler) ?? [])
      const operation = operationOf(rule, group, path, method, checks, schemas)
      const address = addressOf(path)
      paths[address] = { ...paths[address], [method.toLowerCase()]: operation }
    }
  }
  return {
    openapi: '3.1.0',
    info: {
      title: 'as-sintered',
      version: '1',
      description:
        'Statistical process control for sintered part dimensions. Times are seconds since 1970-01-01 UTC; values are in the unit of their characteristic. A browser is signed in by its cookie; a machine sends its token.',
    },
    tags: ROUTE_GROUPS.map(({ group }) => ({ name: group })),
    paths,
    components: {
      schemas,
      responses: {
        Problem: {
          description: 'What is wrong, where, and what to do next',
          content: { 'application/json': { schema: { $ref: '#/components/schemas/Problem' } } },
        },
      },
      securitySchemes: {
        session: { type: 'apiKey', in: 'cookie', name: 'as-sintered' },
        token: { type: 'http', scheme: 'bearer' },
      },
    },
  }
}

/** Parameters as OpenAPI writes them, without their patterns. */
function addressOf(path: string): string {
  return path.replace(/:(\w+)(\{[^}]*\})?/g, '{$1}')
}

function operationOf(
  rule: RouteRule,
  group: string,
  path: string,
  method: string,
  checks: readonly Checked[],
  schemas: Record<string, JsonSchema>,
): OpenApiOperation {
  const operationId = operationIdOf(method, path)
  const json = checks.find(({ target }) => target === 'json')
  if (json !== undefined) schemas[`${operationId}Body`] = schemaOf(json.schema)
  const body: OpenApiOperation['requestBody'] | null =
    json !== undefined
      ? {
          required: true,
          content: { 'application/json': { schema: { $ref: `#/components/schemas/${operationId}Body` } } },
        }
      : rule.body === 'a file'
        ? { required: true, content: { 'application/octet-stream': { schema: {} } } }
        : null
  return {
    operationId,
    summary: rule.does,
    tags: [group],
    parameters: [...pathParameters(path, checks), ...queryParameters(checks)],
    ...(body === null ? {} : { requestBody: body }),
    responses: {
      '2XX': { description: 'Done', content: { [rule.answers ?? 'application/json']: { schema: {} } } },
      default: { $ref: '#/components/responses/Problem' },
    },
    security: rule.open ? [] : [{ session: [] }, ...(rule.scopes === undefined ? [] : [{ token: [] }])],
    'x-roles': rule.roles,
    'x-scopes': rule.scopes ?? [],
  }
}

/** Unique, since method and path are: "getPartNumbersChart", "postImportsByIdWithdraw". */
function operationIdOf(method: string, path: string): string {
  const words = path
    .replace(/^\/api\//, '')
    .replace(/\{[^}]*\}/g, '')
    .split('/')
    .map((part) => (part.startsWith(':') ? `by-${part.slice(1)}` : part))
    .flatMap((part) => part.split(/[^A-Za-z0-9]+/))
    .filter((word) => word !== '')
  return method.toLowerCase() + words.map((word) => word[0]?.toUpperCase() + word.slice(1)).join('')
}

function pathParameters(path: string, checks: readonly Checked[]): OpenApiParameter[] {
  const checked = propertiesOf(checks, 'param')
  return [...path.matchAll(/:(\w+)/g)].map(([, name = '']) => ({
    name,
    in: 'path',
    required: true,
    schema: checked.properties[name] ?? { type: 'string' },
  }))
}

function queryParameters(checks: readonly Checked[]): OpenApiParameter[] {
  const { properties, required } = propertiesOf(checks, 'query')
  return Object.entries(properties).map(([name, schema]) => ({
    name,
    in: 'query',
    required: required.includes(name),
    schema,
  }))
}

function propertiesOf(
  checks: readonly Checked[],
  wanted: 'param' | 'query',
): { readonly properties: Readonly<Record<string, JsonSchema>>; readonly required: readonly string[] } {
  const found = checks.find(({ target }) => target === wanted)
  const { properties = {}, required = [] } = (found === undefined ? {} : schemaOf(found.schema)) as {
    properties?: Record<string, JsonSchema>
    required?: string[]
  }
  return { properties, required }
}

/** As it is sent, before anything is made of it. What only a function can check is not said. */
function schemaOf(schema: z.ZodType): JsonSchema {
  const { $schema: _, ...rest } = z.toJSONSchema(schema, { io: 'input', unrepresentable: 'any' })
  return rest
}
