/** The front desk's pages: its list, visits that will not be soft enough, the best plan, open times, the import. */
import type { App } from '../../access/env.ts'
import { route } from '../../access/route.ts'
import { bookAct, bookPage } from './book.ts'
import { dayPage } from './day.ts'
import { findPage } from './find.ts'
import { frontPage, settleAct } from './front.ts'
import { FILE_LIMIT, importAct, importApi, importPage } from './import.ts'
import { addSlotsAct, importSlotsAct, slotsPage, withdrawSlotAct } from './slots.ts'
import { visitPage } from './visit.ts'
import {
  assessmentAct,
  cancelAct,
  keepAct,
  lengthenAct,
  moveAct,
  proposeAct,
  withdrawAct,
} from './visit-acts.ts'
import { acceptAct, acceptAllAct, togetherAct, weekPage } from './week.ts'

const wholeFile = { body: FILE_LIMIT }

export function mount(app: App): void {
  route(app, 'get', '/reception', 'visits:write', (c) => frontPage(c))
  route(app, 'post', '/reception/items/:id/settle', 'visits:write', settleAct)

  route(app, 'get', '/reception/items/:id/book', 'visits:write', (c) => bookPage(c))
  route(app, 'post', '/reception/items/:id/book', 'visits:write', bookAct)
  route(app, 'get', '/reception/day', 'visits:read', dayPage)
  route(app, 'get', '/reception/find', 'patients:read', findPage)
  route(app, 'post', '/reception/find', 'patients:read', findPage)

  route(app, 'get', '/reception/visits/:id', 'visits:write', (c) => visitPage(c))
  route(app, 'post', '/reception/visits/:id/propose', 'moves', proposeAct)
  route(app, 'post', '/reception/visits/:id/move', 'moves', moveAct)
  route(app, 'post', '/reception/visits/:id/lengthen', 'moves', lengthenAct)
  route(app, 'post', '/reception/visits/:id/assessment', 'moves', assessmentAct)
  route(app, 'post', '/reception/visits/:id/keep', 'moves', keepAct)
  route(app, 'post', '/reception/visits/:id/withdraw', 'moves', withdrawAct)
  route(app, 'post', '/reception/visits/:id/cancel', 'visits:write', cancelAct)

  route(app, 'get', '/reception/week', 'moves', (c) => weekPage(c))
  route(app, 'post', '/reception/week/all', 'moves', acceptAllAct)
  route(app, 'post', '/reception/week/together', 'moves', togetherAct)
  route(app, 'post', '/reception/week/:id/accept', 'moves', acceptAct)

  route(app, 'get', '/reception/slots', 'moves', (c) => slotsPage(c))
  route(app, 'post', '/reception/slots', 'moves', addSlotsAct)
  route(app, 'post', '/reception/slots/import', 'import', importSlotsAct, wholeFile)
  route(app, 'post', '/reception/slots/:id/withdraw', 'moves', withdrawSlotAct)

  route(app, 'get', '/reception/import', 'import', (c) => importPage(c))
  route(app, 'post', '/reception/import', 'import', importAct, wholeFile)
  route(app, 'post', '/api/visits', 'import', importApi, wholeFile)
}
