/** The clinic's rules: the whole document readable, its versions, drafts, signing. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import { may } from '../../access/permissions.ts'
import { refuse } from '../../access/route.ts'
import { listStaff } from '../../access/staff.ts'
import { whenWords } from '../../messages/words.ts'
import { changesBetween, mendLines } from '../../protocol/changes.ts'
import { type ProtocolDocument, protocolSchema } from '../../protocol/document.ts'
import {
  currentProtocol,
  draftProtocol,
  type ProtocolVersion,
  protocolVersions,
  signProtocol,
} from '../../protocol/store.ts'
import { Trouble } from '../../trouble.ts'
import { csrfField, field, readForm, textArea } from '../shared/forms.ts'
import { type Html, page } from '../shared/layout.ts'
import { doneLine, inClinicOf, refusedLine } from './parts.ts'
import { sectionFields, withFields } from './protocol-form.ts'
import { partsOf, SECTION_IDS, SECTIONS, type SectionId, sectionTable } from './protocol-words.ts'

type Ctx = Context<StaffEnv>

interface Versions {
  inForce: ProtocolVersion
  all: ProtocolVersion[]
}

const load = (c: Ctx): Promise<Versions> =>
  inClinicOf(c, async (flow) => ({
    inForce: await currentProtocol(flow),
    all: await protocolVersions(flow),
  }))

export function versionIn({ all }: Versions, text: string | undefined): ProtocolVersion {
  const found = all.find(({ version }) => String(version) === text)
  return found ?? refuse(404, 'There is no such version of the rules.')
}

const signedWords = (one: ProtocolVersion, zone: string): string =>
  one.signed
    ? `signed by ${one.signed.name} (${one.signed.registration}), ${whenWords(Temporal.Instant.from(one.signed.at), zone)}`
    : 'not signed'

export async function protocolPage(c: Ctx) {
  const versions = await load(c)
  return showVersion(c, versions, versions.inForce)
}

export async function protocolVersionPage(c: Ctx) {
  const versions = await load(c)
  return showVersion(c, versions, versionIn(versions, c.req.param('version')))
}

function showVersion(c: Ctx, versions: Versions, shown: ProtocolVersion) {
  const { inForce, all } = versions
  const zone = c.get('clinic').zone
  const { role } = c.get('staff')
  const before = all.find(({ version }) => version < shown.version)
  const parts = new Map(
    [...partsOf(shown.document)].filter(([, part]) => part.rules.length + part.loose.length > 0),
  )
  const to = `/protocol/${shown.version}`
  return page(c, {
    title: `The clinic's rules, version ${shown.version}`,
    face: 'staff',
    body: html`${doneLine({ drafted: 'Kept as a new draft. Nothing changes until a clinician has signed it.', signed: 'Signed: from now on this version is in force.' }[c.req.query('done') ?? ''])}
<div class="keel ${shown.signed ? '' : 'strong'}"><p><strong>${
      shown.version === inForce.version
        ? shown.signed
          ? 'In force.'
          : 'In use for the demo only: nobody has signed it, so no real patient gets a message.'
        : shown.signed
          ? 'Was in force before.'
          : 'A draft: not in force.'
    }</strong> ${shown.note}; ${signedWords(shown, zone)}.</p></div>
<p class="row no-print">
${!shown.signed && may(role, 'replies:read') ? html`<a class="button plain" href="${to}/replay">Try it on the stored replies</a>` : ''}
${canSign(shown, inForce) && may(role, 'protocol:sign') ? html`<a class="button" href="${to}/sign">Sign it</a>` : ''}
<a class="button plain" href="${to}/file.json">The whole document as a file</a>
${may(role, 'protocol:draft') ? html`<a class="button plain" href="${to}/upload">A new draft from a file</a>` : ''}</p>
${before ? changesPart(before, shown) : ''}
<nav aria-label="Parts of the rules"><ul class="columns">${SECTION_IDS.filter((id) => parts.has(id)).map((id) => html`<li><a href="#${id}">${SECTIONS[id]}</a></li>`)}</ul></nav>
${[...parts].map(
  ([id, part]) => html`<h2 id="${id}">${SECTIONS[id]}</h2>
${may(role, 'protocol:draft') ? html`<p class="no-print"><a href="${to}/edit?part=${id}">Change this part in a new draft</a></p>` : ''}
${sectionTable(part)}`,
)}
<h2>Versions</h2>
<ul class="list">${all.map((one) => html`<li><a href="/protocol/${one.version}">Version ${one.version}</a>: ${one.note}; ${signedWords(one, zone)}${one.version === inForce.version ? html` <strong>(in use)</strong>` : ''}</li>`)}</ul>`,
  })
}

function changesPart(before: ProtocolVersion, shown: ProtocolVersion): Html {
  const changes = changesBetween(before.document, shown.document)
  return html`<h2>What changed since version ${before.version}</h2>
${
  changes.length === 0
    ? html`<p>Nothing.</p>`
    : html`<ul class="list">${changes.map(
        ({ path, before: was, after: is }) =>
          html`<li><code>${path}</code><p>${was === null ? 'New:' : html`<strong>Was:</strong> ${was}`}</p><p>${is === null ? 'Taken out.' : html`<strong>Is:</strong> ${is}`}</p></li>`,
      )}</ul>`
}`
}

/** Only what is newer than the version in force can be signed: an older one would never come into force. */
const canSign = (one: ProtocolVersion, inForce: ProtocolVersion): boolean =>
  one.signed === null && (inForce.signed === null || one.version > inForce.version)

export async function protocolFile(c: Ctx) {
  const { version, document } = versionIn(await load(c), c.req.param('version'))
  return c.body(`${JSON.stringify(document, null, 2)}\n`, 200, {
    'content-type': 'application/json; charset=utf-8',
    'content-disposition': `attachment; filename="rules-${version}.json"`,
  })
}

// Drafts

const partOf = (text: string | undefined): SectionId =>
  SECTION_IDS.find((id) => id === text) ?? refuse(404, 'There is no such part of the rules.')

export async function editPage(c: Ctx) {
  const shown = versionIn(await load(c), c.req.param('version'))
  return showEdit(c, shown, partOf(c.req.query('part')), {}, [])
}

function showEdit(
  c: Ctx,
  shown: ProtocolVersion,
  id: SectionId,
  typed: Record<string, string>,
  problems: string[],
) {
  const part = partsOf(shown.document).get(id)
  if (!part) return refuse(404, 'There is no such part of the rules.')
  return page(c, {
    title: `Change: ${SECTIONS[id]}`,
    face: 'staff',
    status: problems.length > 0 ? 422 : 200,
    body: html`${problemsPart(problems)}
<p>From version ${shown.version}. What you save is a new draft: it changes nothing until a clinician has signed it.</p>
<form method="post" action="/protocol/${shown.version}/edit">${csrfField(c)}<input type="hidden" name="part" value="${id}">
${sectionFields(part, typed)}
${field({ name: 'note', label: 'What you change and why', maxlength: 300, value: typed.note })}
<p class="row"><button>Keep as a draft</button> <a class="button plain" href="/protocol/${shown.version}#${id}">Leave it</a></p></form>`,
  })
}

const problemsPart = (problems: string[]): Html =>
  problems.length > 0
    ? html`<div class="summary" role="alert"><p><strong>Nothing was kept yet. Please mend this:</strong></p><ul>${problems.map((line) => html`<li>${line}</li>`)}</ul></div>`
    : html``

export async function editAct(c: Ctx) {
  const shown = versionIn(await load(c), c.req.param('version'))
  const body = await c.req.parseBody().catch(() => refuse(400, 'This form cannot be read.'))
  const typed = Object.fromEntries(
    Object.entries(body).filter((entry): entry is [string, string] => typeof entry[1] === 'string'),
  )
  const id = partOf(typed.part)
  const part = partsOf(shown.document).get(id) ?? { rules: [], loose: [] }
  const { document, problems } = withFields(shown.document, part, typed)
  const note = (typed.note ?? '').trim()
  const lines = [
    ...(note.length < 3 ? ['note: Say what you change and why.'] : []),
    ...problems.map(({ path, message }) => `${path}: ${message}`),
  ]
  return keepDraft(c, document, note, lines, (wrong) => showEdit(c, shown, id, typed, wrong), shown.document)
}

type Again = (problems: string[]) => Response | Promise<Response>

async function keepDraft(
  c: Ctx,
  document: unknown,
  note: string,
  lines: string[],
  again: Again,
  base: ProtocolDocument,
) {
  const checked = protocolSchema.safeParse(document)
  if (!checked.success) return again([...lines, ...mendLines(checked.error)])
  if (lines.length > 0) return again(lines)
  if (changesBetween(base, checked.data).length === 0) return again(['Nothing is changed.'])
  const version = await inClinicOf(c, (flow) =>
    draftProtocol(flow, { document: checked.data, note, by: c.get('staff').staffId }),
  )
  return c.redirect(`/protocol/${version}?done=drafted`, 303)
}

export async function uploadPage(c: Ctx) {
  return showUpload(c, versionIn(await load(c), c.req.param('version')), {}, [])
}

function showUpload(c: Ctx, shown: ProtocolVersion, typed: Record<string, string>, problems: string[]) {
  return page(c, {
    title: 'A new draft from a file',
    face: 'staff',
    status: problems.length > 0 ? 422 : 200,
    body: html`${problemsPart(problems)}
<p>Take <a href="/protocol/${shown.version}/file.json">version ${shown.version} as a file</a>, change it, and give it back here.</p>
<form method="post" action="/protocol/${shown.version}/upload" enctype="multipart/form-data">${csrfField(c)}
<div class="field"><label for="file">The file</label><input id="file" type="file" name="file" accept="application/json,.json"></div>
${textArea({ name: 'text', label: 'Or the whole document, pasted', required: false, rows: 6, maxlength: 500_000, value: typed.text })}
${field({ name: 'note', label: 'What you change and why', maxlength: 300, value: typed.note })}
<p><button>Check it and keep it as a draft</button></p></form>`,
  })
}

export async function uploadAct(c: Ctx) {
  const shown = versionIn(await load(c), c.req.param('version'))
  const body = await c.req.parseBody().catch(() => refuse(400, 'This form cannot be read.'))
  const pasted = typeof body.text === 'string' ? body.text : ''
  const text = body.file instanceof File && body.file.size > 0 ? await body.file.text() : pasted
  const note = typeof body.note === 'string' ? body.note.trim() : ''
  const again: Again = (wrong) => showUpload(c, shown, { text, note }, wrong)
  const lines = note.length < 3 ? ['note: Say what you change and why.'] : []
  let document: unknown
  try {
    document = JSON.parse(text)
  } catch (error) {
    const why = error instanceof Error ? error.message : ''
    return again([...lines, `the document: This is not JSON (${why}).`])
  }
  return keepDraft(c, document, note, lines, again, shown.document)
}

// Signing

export async function signPage(c: Ctx) {
  const versions = await load(c)
  const shown = versionIn(versions, c.req.param('version'))
  return showSign(c, versions, shown, {})
}

async function showSign(
  c: Ctx,
  { inForce }: Versions,
  shown: ProtocolVersion,
  { refused, typed = {} }: { refused?: string; typed?: Record<string, string> },
) {
  if (shown.signed) return refuse(409, 'This version is signed already.')
  if (!canSign(shown, inForce))
    return refuse(
      409,
      `Version ${inForce.version} is in force and newer. Make a new draft from this one first.`,
    )
  const me = await inClinicOf(c, async (flow) =>
    (await listStaff(flow)).find(({ staffId }) => staffId === c.get('staff').staffId),
  )
  const changes = inForce.version === shown.version ? [] : changesBetween(inForce.document, shown.document)
  return page(c, {
    title: `Sign version ${shown.version} of the rules`,
    face: 'staff',
    status: refused ? 422 : 200,
    body: html`${refusedLine(refused)}
<p>With your signature these rules are in force for every patient of this clinic, and messages can go to real patients. You answer for them as a licensed clinician. Read <a href="/protocol/${shown.version}">the whole document</a> first.</p>
<p>${changes.length > 0 ? `${changes.length} places differ from version ${inForce.version}, which is in use now.` : ''}</p>
<form method="post" action="/protocol/${shown.version}/sign">${csrfField(c)}
${field({ name: 'name', label: 'Your full name', value: typed.name ?? me?.name ?? '' })}
${field({ name: 'registration', label: 'Your registration number', value: typed.registration ?? me?.registration ?? '' })}
<label class="choice"><input type="checkbox" name="read" value="yes" required><span>I have read the whole document and take it for this clinic.</span></label>
<p><button>Sign</button></p></form>`,
  })
}

export async function signAct(c: Ctx) {
  const versions = await load(c)
  const shown = versionIn(versions, c.req.param('version'))
  const form = await readForm(
    c,
    z.object({
      name: z.string().trim().max(200),
      registration: z.string().trim().max(60),
      read: z.literal('yes', { error: 'Say that you have read the whole document.' }),
    }),
  )
  if (!form.ok)
    return showSign(c, versions, shown, {
      refused: Object.values(form.errors)[0] ?? 'This form cannot be read.',
      typed: form.values,
    })
  const { name, registration } = form.data
  const refused = await inClinicOf(c, async (flow) => {
    const inForce = await currentProtocol(flow)
    if (!canSign(shown, inForce))
      throw new Trouble(`Version ${inForce.version} came into force meanwhile: nothing was signed.`)
    await signProtocol(flow, shown.version, { staffId: c.get('staff').staffId, name, registration })
    return null
  }).catch((error) => {
    if (error instanceof Trouble) return error.message
    throw error
  })
  if (refused) return showSign(c, await load(c), shown, { refused, typed: { name, registration } })
  return c.redirect(`/protocol/${shown.version}?done=signed`, 303)
}
