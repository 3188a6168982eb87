/** The owner's pages: the evidence, the jobs, the settings. */
import type { App } from '../../access/env.ts'
import { route } from '../../access/route.ts'
import { evidenceFile } from './csv.ts'
import { evidencePage } from './evidence.ts'
import { jobsPage } from './jobs.ts'
import { settingsAct, settingsPage } from './settings.ts'

export function mount(app: App): void {
  route(app, 'get', '/owner', 'evidence:read', evidencePage)
  route(app, 'get', '/owner/evidence.csv', 'export', evidenceFile, { fresh: true })
  route(app, 'get', '/owner/jobs', 'operations:read', jobsPage)
  route(app, 'get', '/owner/settings', 'settings:write', (c) => settingsPage(c))
  route(app, 'post', '/owner/settings', 'settings:write', settingsAct)
}
