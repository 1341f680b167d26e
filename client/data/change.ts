import { ask } from './http.ts'

/**
 * Changes what stands at an address.
 *
 * @throws RequestError where the server refuses or cannot be reached
 */
export function put<T>(address: string, body: unknown): Promise<T> {
  return ask<T>(address, {
    method: 'PUT',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
}

/** Takes away what stands at an address. @throws RequestError */
export function remove<T>(address: string): Promise<T> {
  return ask<T>(address, { method: 'DELETE' })
}
