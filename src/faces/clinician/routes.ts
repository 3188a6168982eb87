/** The clinician's pages: the queue, one concern, one patient, the day, the procedure, the clinic's rules. */
import type { App } from '../../access/env.ts'
import { route } from '../../access/route.ts'
import {
  claimAct,
  closeAct,
  dropsAct,
  noteAct,
  noticesAct,
  releaseAct,
  showConcern,
  writeAct,
  wrongAct,
} from './concern-acts.ts'
import { DONE } from './concern-page.ts'
import { correctionsFile } from './corrections.ts'
import { dayPage } from './day.ts'
import { patientPage } from './patient.ts'
import { procedureAct, procedurePage, recordedPage } from './procedure.ts'
import {
  editAct,
  editPage,
  protocolFile,
  protocolPage,
  protocolVersionPage,
  signAct,
  signPage,
  uploadAct,
  uploadPage,
} from './protocol.ts'
import { queuePage } from './queue.ts'
import { replayPage } from './replay-page.ts'

export function mount(app: App): void {
  route(app, 'get', '/clinician', 'concerns:read', queuePage)
  route(app, 'post', '/clinician/notices', 'concerns:read', noticesAct)
  route(app, 'get', '/clinician/concerns/:id', 'concerns:read', (c) =>
    showConcern(c, { done: DONE[c.req.query('done') ?? ''] }),
  )
  route(app, 'post', '/clinician/concerns/:id/claim', 'concerns:act', claimAct)
  route(app, 'post', '/clinician/concerns/:id/release', 'concerns:act', releaseAct)
  route(app, 'post', '/clinician/concerns/:id/write', 'concerns:act', writeAct)
  route(app, 'post', '/clinician/concerns/:id/note', 'concerns:act', noteAct)
  route(app, 'post', '/clinician/concerns/:id/close', 'concerns:act', closeAct)
  route(app, 'post', '/clinician/visits/:id/drops', 'concerns:act', dropsAct)
  route(app, 'post', '/clinician/replies/:id/wrong', 'replies:correct', wrongAct)
  route(app, 'get', '/clinician/corrections.jsonl', 'replies:correct', correctionsFile, { fresh: true })
  route(app, 'get', '/clinician/day', 'visits:read', dayPage)
  route(app, 'get', '/clinician/visits/:id/procedure', 'procedure:write', procedurePage)
  route(app, 'post', '/clinician/visits/:id/procedure', 'procedure:write', procedureAct)
  route(app, 'get', '/clinician/visits/:id/recorded', 'procedure:write', recordedPage)
  route(app, 'get', '/clinician/patients/:id', 'patients:read', patientPage)

  const wholeDocument = { body: 1024 * 1024 }
  route(app, 'get', '/protocol', 'protocol:read', protocolPage)
  route(app, 'get', '/protocol/:version', 'protocol:read', protocolVersionPage)
  route(app, 'get', '/protocol/:version/file.json', 'protocol:read', protocolFile)
  route(app, 'get', '/protocol/:version/edit', 'protocol:draft', editPage)
  route(app, 'post', '/protocol/:version/edit', 'protocol:draft', editAct, wholeDocument)
  route(app, 'get', '/protocol/:version/upload', 'protocol:draft', uploadPage)
  route(app, 'post', '/protocol/:version/upload', 'protocol:draft', uploadAct, wholeDocument)
  route(app, 'get', '/protocol/:version/replay', 'replies:read', replayPage)
  route(app, 'get', '/protocol/:version/sign', 'protocol:sign', signPage, { fresh: true })
  route(app, 'post', '/protocol/:version/sign', 'protocol:sign', signAct, { fresh: true })
}
