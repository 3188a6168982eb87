/** One fact before anything personal: the year of birth, with few tries and a way out. */
import { html } from 'hono/html'
import { pages } from '../../../templates/pages-en.ts'
import { pageText } from '../../messages/render.ts'
import { clinicValues } from '../../messages/send.ts'
import { currentConsent } from '../../privacy/consent.ts'
import { form, mend } from './form.ts'
import type { Sheet } from './frame.ts'
import type { Reader } from './reader.ts'

const texts = pages.gate

export function gateSheet(reader: Reader, error = ''): Sheet {
  if (reader.link.fact === 'locked') return lockedSheet(reader)
  return {
    title: texts.heading,
    ...(error && { status: 422 as const }),
    body: html`${error ? mend(error) : ''}
${form(
  reader.text,
  'fact',
  html`<div class="field"><label for="year">${texts.ask}</label>
<p class="hint" id="year-hint">${texts.help} ${texts.why}</p>
<input id="year" name="year" inputmode="numeric" autocomplete="bday-year" maxlength="20" aria-describedby="year-hint" class="year" required>
</div>
<p>${currentConsent.words}</p>
<button>${texts.send}</button>`,
)}`,
  }
}

const lockedSheet = ({ flow }: Reader): Sheet => ({
  title: texts.lockedHeading,
  status: 403,
  body: html`<p>${pageText(texts.locked, clinicValues(flow.clinic))}</p>`,
})

/** The year in what was written, be it a whole date; null where there is none, which costs no try. */
export function yearIn(written: string): string | null {
  const years = written.normalize('NFKC').match(/(?<!\d)(?:1[89]|20)\d\d(?!\d)/g) ?? []
  return years.length === 1 ? (years[0] as string) : null
}

export function wrongYear(reader: Reader, triesLeft: number): Sheet {
  if (triesLeft <= 0) return lockedSheet(reader)
  return gateSheet(reader, triesLeft === 1 ? texts.lastTry : pageText(texts.wrong, { tries: triesLeft }))
}
