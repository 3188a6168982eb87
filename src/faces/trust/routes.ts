/** Records and safety: the audit, patients' rights, the hazard log, privacy. */
import type { App } from '../../access/env.ts'
import { route } from '../../access/route.ts'
import { auditListPage, findAct, verifyAct, whoSawPage } from './audit.ts'
import { hazardsPage } from './hazards.ts'
import { overviewPage } from './overview.ts'
import { privacyPage, retentionAct } from './privacy.ts'
import { consentAct, consentPage, copyJson, copyText, eraseAct, erasePage } from './rights.ts'

export function mount(app: App): void {
  route(app, 'get', '/trust', 'operations:read', overviewPage)
  route(app, 'get', '/trust/audit', 'audit:read', (c) => auditListPage(c))
  route(app, 'post', '/trust/audit/verify', 'audit:read', verifyAct)
  route(app, 'post', '/trust/find', 'audit:read', findAct)
  route(app, 'get', '/trust/hazards', 'operations:read', hazardsPage)
  route(app, 'get', '/trust/privacy', 'operations:read', (c) => privacyPage(c))
  route(app, 'post', '/trust/retention', 'settings:write', retentionAct, { fresh: '/trust/privacy' })
  const patient = '/trust/patients/:id'
  route(app, 'get', patient, 'audit:read', whoSawPage)
  route(app, 'get', `${patient}/copy.json`, 'export', copyJson, { fresh: true })
  route(app, 'get', `${patient}/copy.txt`, 'export', copyText, { fresh: true })
  route(app, 'get', `${patient}/erase`, 'erase', (c) => erasePage(c))
  route(app, 'post', `${patient}/erase`, 'erase', eraseAct, { fresh: '/trust/audit' })
  route(app, 'get', `${patient}/consent`, 'visits:write', consentPage)
  route(app, 'post', `${patient}/consent`, 'visits:write', consentAct)
}
