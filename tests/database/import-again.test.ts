/** A clinic's own program exports the whole book every night: saying the same again undoes nothing. */
import { expect, test } from 'vitest'
import { cancelVisit } from '../../src/flow/booking.ts'
import { changeKind } from '../../src/flow/change-kind.ts'
import { inFlow } from '../../src/flow/context.ts'
import { moveNow } from '../../src/flow/moves.ts'
import { importRows, openSlot, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'

const { service, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
const staff = await staffClinic(service, clinicId)

type Cell = 'name' | 'mobile' | 'birth' | 'purpose' | 'ears' | 'status'
const row = (ref: string, start: string, more: Partial<Record<Cell, string>> = {}) =>
  [
    ref,
    more.name ?? `Patient ${ref}`,
    more.mobile ?? `07700 9004${ref.slice(1)}`,
    '',
    more.birth ?? '1940-01-01',
    start,
    30,
    'Ottoline Marsh',
    more.purpose ?? 'removal',
    more.ears ?? 'both',
    more.status ?? '',
  ].join(',')
const load = (...rows: string[]) => importRows(service, clinicId, rows)
const visitOf = async (ref: string) => (await visitAndPatient(service, clinicId, ref)).visit

test('a visit moved, lengthened or cancelled here stays so when the same file comes again', async () => {
  const file = [
    row('I01', '2026-03-12T10:00'),
    row('I02', '2026-03-12T11:00'),
    row('I03', '2026-03-12T12:00'),
    row('I04', '2026-03-12T13:00'),
  ]
  await load(...file)
  const [moved, longer, cancelled, assessed] = await Promise.all(['I01', 'I02', 'I03', 'I04'].map(visitOf))
  const slotId = await openSlot(service, clinicId, '2026-03-16T10:00:00Z')
  await inFlow(service, clinicId, async (flow) => {
    await moveNow(flow, moved?.visitId as string, slotId, staff.desk)
    await changeKind(flow, longer?.visitId as string, { kind: 'lengthen', minutes: 45 }, staff.desk)
    await cancelVisit(flow, cancelled?.visitId as string, { staffId: staff.desk, openItsTime: false })
    await changeKind(flow, assessed?.visitId as string, { kind: 'assessment' }, staff.desk)
  })
  expect(await load(...file)).toMatchObject({ same: 4, changed: 0, booked: 0, cancelled: 0 })
  expect((await visitOf('I01')).startAt.toString()).toBe('2026-03-16T10:00:00Z')
  expect((await visitOf('I02')).minutes).toBe(45)
  expect((await visitOf('I03')).status).toBe('cancelled')
  expect((await visitOf('I04')).purpose).toBe('assessment')
})

test('what the file says anew counts, and a file that has caught up changes nothing', async () => {
  expect(await load(row('I01', '2026-03-16T10:00'))).toMatchObject({ same: 1 })
  expect(await load(row('I01', '2026-03-17T10:00'))).toMatchObject({ changed: 1 })
  expect((await visitOf('I01')).startAt.toString()).toBe('2026-03-17T10:00:00Z')
  // Cancelled at the desk, then booked again for another time in the clinic's own program.
  expect(await load(row('I03', '2026-03-19T12:00'))).toMatchObject({ booked: 1 })
  expect((await visitOf('I03')).status).toBe('booked')
  // Cancelled in the file while it was moved here.
  expect(await load(row('I02', '2026-03-12T11:00', { status: 'cancelled' }))).toMatchObject({ cancelled: 1 })
})

test('a reference that comes back with somebody else is told, not mixed up', async () => {
  await load(row('I10', '2026-03-20T10:00'))
  const other = row('I10', '2026-03-20T10:00', { name: 'Else', mobile: '07700 900499', birth: '1950-02-02' })
  const report = await load(other)
  expect(report.problems).toMatchObject([{ line: 2, message: /reference of its own/ }])
  expect((await visitAndPatient(service, clinicId, 'I10')).patient.name).toBe('Patient I10')
  // A new name and number with the same date of birth are the same person's.
  const married = row('I10', '2026-03-20T10:00', { name: 'Patient Newname', mobile: '07700 900498' })
  expect(await load(married)).toMatchObject({ problems: [] })
  expect((await visitAndPatient(service, clinicId, 'I10')).patient.mobile).toBe('+447700900498')
})
