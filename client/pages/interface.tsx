import type { JsonSchema, OpenApiDocument, OpenApiOperation } from '../../server/contract/openapi.ts'
import { formatCount } from '../../src/words/format.ts'
import { useResource } from '../data/resource.ts'
import { Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'
import { exampleCall, schemaWords } from '../words/example-call.ts'

interface Call {
  readonly method: string
  readonly path: string
  readonly operation: OpenApiOperation
}

/** Every call that a program can make: what it does, what it takes, who may make it. */
export function InterfacePage() {
  useTitle('The interface for programs')
  const resource = useResource<OpenApiDocument>('/api/openapi.json')
  const document = resource.value
  const calls: Call[] = Object.entries(document?.paths ?? {}).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ method, path, operation })),
  )
  return (
    <>
      <p class="back">
        <a href="/record">The record</a>
      </p>
      <Reading resource={resource} what="the description" />
      {document !== null && (
        <>
          <header class="opening">
            <h1>{`${formatCount(calls.length)} calls, open to people by their role and to machines by their token.`}</h1>
            <p class="grounds">
              {document.info.description}{' '}
              <a href="/api/openapi.json" download="openapi.json">
                Save this description as OpenAPI 3.1
              </a>
            </p>
          </header>
          {document.tags.map(({ name }) => (
            <section key={name} class="calls">
              <h2>{name}</h2>
              {calls
                .filter(({ operation }) => operation.tags[0] === name)
                .map((call) => (
                  <CallDetails key={call.operation.operationId} call={call} document={document} />
                ))}
            </section>
          ))}
        </>
      )}
    </>
  )
}

function CallDetails({ call, document }: { call: Call; document: OpenApiDocument }) {
  const { method, path, operation } = call
  const { operationId, summary, parameters } = operation
  const named = location.hash === `#${operationId}`
  return (
    <details
      id={operationId}
      open={named}
      onToggle={(event) => {
        if (event.currentTarget.open) history.replaceState(history.state, '', `#${operationId}`)
      }}
      ref={(element) => {
        if (named) element?.scrollIntoView()
      }}
    >
      <summary>
        {summary} <code>{`${method.toUpperCase()} ${path}`}</code>
      </summary>
      <p>{openTo(operation)}</p>
      {parameters.length > 0 && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
        <section class="scroll" aria-label={`Parameters: ${summary}`} tabIndex={0}>
          <table class="list">
            <thead>
              <tr>
                <th scope="col">parameter</th>
                <th scope="col">in the</th>
                <th scope="col">needed</th>
                <th scope="col">what it may be</th>
              </tr>
            </thead>
            <tbody>
              {parameters.map((parameter) => (
                <tr key={`${parameter.in} ${parameter.name}`}>
                  <td>
                    <code>{parameter.name}</code>
                  </td>
                  <td>{parameter.in}</td>
                  <td>{parameter.required ? 'yes' : 'no'}</td>
                  <td>{schemaWords(parameter.schema)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </section>
      )}
      <BodySchema document={document} operation={operation} />
      <Code label={`Example: ${summary}`}>
        {exampleCall(document, method, path, operation, location.origin)}
      </Code>
    </details>
  )
}

function openTo({ security, ...operation }: OpenApiOperation): string {
  if (security.length === 0) return 'Open to everybody, signed in or not.'
  const scopes = operation['x-scopes']
  return `Open to: ${operation['x-roles'].join(', ')}. ${
    scopes.length === 0 ? 'No token opens it.' : `Tokens that may: ${scopes.join(', ')}.`
  }`
}

function BodySchema({ document, operation }: { document: OpenApiDocument; operation: OpenApiOperation }) {
  const ref = (operation.requestBody?.content['application/json']?.schema as JsonSchema | undefined)?.$ref
  if (typeof ref !== 'string') return null
  const schema = document.components.schemas?.[ref.split('/').at(-1) ?? '']
  return (
    <details>
      <summary>Schema of the body</summary>
      <Code label={`Schema: ${operation.summary}`}>{JSON.stringify(schema, null, 2)}</Code>
    </details>
  )
}

function Code({ label, children }: { label: string; children: string }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label={label} tabIndex={0}>
      <pre>{children}</pre>
    </section>
  )
}
