/** Visits from a file: through the page, and for other programs of the clinic at POST /api/visits. */
import { Readable } from 'node:stream'
import type { Context } from 'hono'
import { html, raw } from 'hono/html'
import { stream } from 'hono/streaming'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import { refuse } from '../../access/route.ts'
import { inFlow } from '../../flow/context.ts'
import { type ImportReport, importVisits } from '../../flow/visits.ts'
import { loggedError } from '../../log.ts'
import { COLUMNS, type ColumnDoc, type RowProblem } from '../../visits/columns.ts'
import { refusedLine } from '../clinician/parts.ts'
import { csrfField, readForm } from '../shared/forms.ts'
import { type Html, page } from '../shared/layout.ts'
import { deskLinks, type Said, saidLines } from './parts.ts'

/** Stands in a page where what comes later is written. */
const LATER = '<!-- later -->'

/** Enough for 20,000 rows and more. */
export const FILE_LIMIT = 16 * 1024 * 1024

export const fileSchema = z.object({
  file: z
    .instanceof(File, { error: 'Choose a file.' })
    .refine((file) => file.size > 0, { error: 'Choose a file that is not empty.' }),
})

export const fileStream = async (file: Blob): Promise<Readable> =>
  Readable.from([Buffer.from(await file.arrayBuffer())])

export function importPage(c: Context<StaffEnv>, said: Said & { later?: Html } = {}) {
  return page(c, {
    title: 'Import visits',
    face: 'staff',
    status: said.refused ? 422 : 200,
    body: html`${deskLinks(c)}${saidLines(said)}
${said.later ?? ''}
<p>A CSV file with a header line. Importing it again changes only what has changed: a visit is known by its reference. Good rows go in; each bad row is listed here with what to mend.</p>
${fileForm(c, '/reception/import', 'Import')}
<p>A large file takes some minutes. The page says how far it is: leave it open until the end.</p>
<h2>The columns</h2>${columnTable(COLUMNS)}
<details><summary>For other programs of the clinic</summary>
<p>Send the file as it is with <code>POST /api/visits</code>, <code>content-type: text/csv</code>, the cookie of a sign-in whose role may import, and the form token of that sign-in in the header <code>x-csrf</code>. The answer is JSON: <code>rows</code>, <code>booked</code>, <code>changed</code>, <code>cancelled</code>, <code>same</code> and <code>problems</code>, each with <code>line</code>, <code>field</code> and <code>message</code>. The status is 200 where every row went in, 422 where some must be mended.</p></details>`,
  })
}

export const fileForm = (c: Context<StaffEnv>, action: string, button: string): Html =>
  html`<form method="post" action="${action}" enctype="multipart/form-data" class="act">${csrfField(c)}
<div class="field"><label for="file">CSV file</label><input id="file" name="file" type="file" accept=".csv,text/csv" required></div>
<button>${button}</button></form>`

export const columnTable = (columns: readonly ColumnDoc[]): Html =>
  html`<div class="scroll"><table class="stack"><thead><tr><th scope="col">Column</th><th scope="col">Needed</th><th scope="col">What it holds</th></tr></thead><tbody>
${columns.map(
  ({ name, needed, says }) =>
    html`<tr><td data-label="Column"><code>${name}</code></td><td data-label="Needed">${needed ? 'yes' : 'no'}</td><td data-label="What it holds">${says}</td></tr>`,
)}</tbody></table></div>`

/** Of very many problems the first are shown: mending those often mends the rest. */
const MOST_PROBLEMS = 500

export function problemTable(problems: readonly RowProblem[]): Html {
  if (problems.length === 0) return html``
  return html`<div class="scroll"><table class="stack"><caption>To mend${problems.length > MOST_PROBLEMS ? ` (the first ${MOST_PROBLEMS} of ${problems.length})` : ''}</caption>
<thead><tr><th scope="col">Line</th><th scope="col">Field</th><th scope="col">What to mend</th></tr></thead><tbody>
${problems
  .slice(0, MOST_PROBLEMS)
  .map(
    ({ line, field, message }) =>
      html`<tr><td data-label="Line">${line}</td><td data-label="Field"><code>${field}</code></td><td data-label="What to mend">${message}</td></tr>`,
  )}</tbody></table></div>`
}

function reportPart({ rows, booked, changed, cancelled, same, problems }: ImportReport): Html {
  const bad = new Set(problems.map(({ line }) => line)).size
  return html`<section class="keel ${bad > 0 ? 'strong' : ''}" role="status"><p><strong>${rows} ${rows === 1 ? 'row' : 'rows'}: ${booked} booked, ${changed} changed, ${cancelled} cancelled, ${same} as before, ${bad} to mend.</strong></p>
${problemTable(problems)}</section>`
}

async function takeFile(
  c: Context<StaffEnv>,
  input: Readable,
  onProgress: (done: number) => void = () => {},
): Promise<ImportReport> {
  const [service, clinicId] = [c.get('service'), c.get('clinicId')]
  const report = await importVisits(service, clinicId, input, onProgress)
  const { rows, booked, changed, cancelled, problems } = report
  await inFlow(service, clinicId, async (flow) =>
    flow.audit({
      actor: `staff:${c.get('staff').staffId}`,
      action: 'import visits',
      detail: { rows, booked, changed, cancelled, problems: problems.length },
    }),
  )
  report.problems.sort((a, b) => a.line - b.line)
  return report
}

/** Rows between two lines of progress. */
const SHOW_EVERY = 500

/** The page is sent while the rows go in: first its top, then how far it is, then the report and the rest. */
export async function importAct(c: Context<StaffEnv>) {
  const form = await readForm(c, fileSchema)
  if (!form.ok) return await importPage(c, { refused: Object.values(form.errors)[0] })
  const input = await fileStream(form.data.file)
  const [top = '', rest = ''] = await (await importPage(c, { later: html`${raw(LATER)}` }))
    .text()
    .then((text) => text.split(LATER))
  c.header('content-type', 'text/html; charset=utf-8')
  // Whatever stands between must not hold back what has been sent so far.
  c.header('x-accel-buffering', 'no')
  return stream(c, async (out) => {
    await out.write(top)
    let shown = 0
    const onProgress = (done: number): void => {
      if (done - shown < SHOW_EVERY) return
      shown = done
      void out.write(`<p>${done} rows so far.</p>\n`)
    }
    try {
      await out.write(String(reportPart(await takeFile(c, input, onProgress))))
    } catch (error) {
      c.get('log')('error', 'import failed', { request: c.get('requestId'), error: loggedError(error) })
      await out.write(String(refusedLine(BROKEN)))
    }
    await out.write(rest)
  })
}

const BROKEN =
  'The import stopped before its end. Rows before that are in: import the file again, it changes only what has changed.'

/** The same for a program: the file is the body. */
export async function importApi(c: Context<StaffEnv>) {
  if (!c.req.header('content-type')?.toLowerCase().startsWith('text/csv'))
    return refuse(400, 'This address takes a file of visits as text/csv.')
  const report = await takeFile(c, Readable.from([Buffer.from(await c.req.arrayBuffer())]))
  return c.json(report, report.problems.length > 0 ? 422 : 200)
}
