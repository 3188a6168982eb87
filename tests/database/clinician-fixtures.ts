/** A clinic with people and one patient who writes, for the tests of the clinician's pages. */
import { queue } from '../../src/concerns/store.ts'
import type { Service } from '../../src/database/service.ts'
import { inFlow } from '../../src/flow/context.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { receive } from '../../src/messages/inbound.ts'
import { noToAll } from '../../src/softening/screening.ts'
import type { ScreeningAnswer } from '../../src/softening/types.ts'
import { importRows, visitAndPatient } from '../support/clinic.ts'

let count = 0

/** Books a visit of a patient of this name. @returns the visit, the patient and the number they write from */
export async function book(
  service: Service,
  clinicId: string,
  { name, start, ears = 'both' }: { name: string; start: string; ears?: string },
) {
  count += 1
  const reference = `C${count}`
  const mobile = `07700 900${String(100 + count)}`
  await importRows(service, clinicId, [
    [reference, name, mobile, '', '1941-05-02', start, 30, 'Ottoline Marsh', 'removal', ears, ''].join(','),
  ])
  return { ...(await visitAndPatient(service, clinicId, reference)), reference, mobile }
}

export const answerHistory = (
  service: Service,
  clinicId: string,
  reference: string,
  more: ScreeningAnswer[] = [],
) =>
  visitAndPatient(service, clinicId, reference).then(({ visit, patient }) =>
    inFlow(service, clinicId, (flow) =>
      takeAnswers(
        flow,
        visit,
        patient,
        [
          ...noToAll(flow.rules.softening).filter(
            ({ question }) => !more.some((one) => one.question === question),
          ),
          ...more,
        ],
        { byText: false },
      ),
    ),
  )

/** A text from this number, stored, read and acted on. */
export async function writes(service: Service, clinicId: string, from: string, body: string) {
  count += 1
  const { replyId } = await receive(service, clinicId, {
    transport: 'handset',
    providerId: `clinician-test-${count}`,
    from,
    body,
  })
  const urgency = await handleReply(service, clinicId, replyId)
  const concern = await inFlow(service, clinicId, async (flow) =>
    (await queue(flow)).find((one) => one.replyId === replyId),
  )
  return { replyId, urgency, concernId: concern?.concernId ?? '' }
}

/** The value of a hidden field of a page. */
export function hidden(page: string, name: string, after = ''): string {
  const from = after ? page.slice(page.indexOf(after)) : page
  const found = new RegExp(`name="${name}" value="([^"]*)"`).exec(from)
  if (!found) throw new Error(`no field ${name}`)
  return found[1] as string
}
