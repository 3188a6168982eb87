/** New patients with links to their questions, for requests that get past the first page. */
import type { Service } from '../../src/database/service.ts'
import { importRows, messagesOf } from '../support/clinic.ts'

/** Each call books two more visits. @returns what stands after /p/ in their messages */
export function linksOf(service: Service, clinicId: string): () => Promise<string[]> {
  let n = 0
  return async () => {
    const before = new Set((await messagesOf(service, clinicId)).map((one) => one.body))
    const day = service.clock
      .now()
      .add({ hours: 24 * 9 })
      .toString()
      .slice(0, 10)
    const row = (name: string, hour: number) => {
      n += 1
      return `F${n},${name},07700 900${100 + (n % 800)},,1944-05-06,${day}T${hour}:00,30,Ottoline Marsh,removal,both,`
    }
    await importRows(service, clinicId, [row('Zephyrine Quillfeather', 10), row('Barnaby Thistlewood', 11)])
    const messages = await messagesOf(service, clinicId)
    return messages
      .filter((one) => !before.has(one.body))
      .flatMap((one) =>
        [...one.body.matchAll(/\/p\/([a-z0-9-]+\.[\w-]{22})/g)].map((match) => match[1] as string),
      )
  }
}
