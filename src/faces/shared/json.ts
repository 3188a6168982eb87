/** A JSON body, checked. */
import type { Context } from 'hono'
import type { z } from 'zod'
import { refuse } from '../../access/route.ts'

export async function readJson<S extends z.ZodType>(c: Context, schema: S): Promise<z.output<S>> {
  if (!c.req.header('content-type')?.toLowerCase().startsWith('application/json')) {
    return refuse(400, 'This address takes JSON.')
  }
  const body: unknown = await c.req.json().catch(() => refuse(400, 'This is not JSON.'))
  const result = schema.safeParse(body)
  return result.success ? result.data : refuse(400, 'This JSON does not have the right form.')
}
