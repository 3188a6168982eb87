/** Is it English? Scripts first, then closed word lists. */
import { LANGUAGE_WORDS, SCRIPTS } from './lexicon/languages.ts'
import { MAX_LENGTH, type Token } from './normalise.ts'
import { isChat } from './vocabulary.ts'

/** `en`, or the best guess at the language of the reply or of a part of it. */
export function languageOf(text: string, tokens: readonly Token[]): string {
  const head = text.slice(0, MAX_LENGTH)
  if (tokens.some((t) => t.kind === 'word' && !t.emoji && (t.w.codePointAt(0) ?? 0) > 0x24f)) {
    for (const [code, script] of SCRIPTS) if (script.test(head)) return code
    return 'und'
  }
  const words = tokens.filter((t) => t.kind === 'word' && !t.emoji)
  if (words.length === 0) return 'en'
  // As they were written: what the speller parted or mended may be no English at all.
  const strange = words.filter((t) => t.known === 'unknown').length
  const tally = new Map<string, { n: number; foreign: number }>()
  let end = 0
  for (const [i, t] of words.entries()) {
    if (t.start < end) continue
    // The parts of one word stand side by side.
    end = t.end
    for (let k = i + 1; words[k] && (words[k] as Token).start <= end; k++)
      end = Math.max(end, (words[k] as Token).end)
    for (const w of lettersOf(text.slice(t.start, end)))
      for (const code of CODES_OF.get(w) ?? []) {
        const found = tally.get(code) ?? { n: 0, foreign: 0 }
        tally.set(code, found)
        found.n++
        if ((t.known === 'mended' || !isChat(t.w)) && !isChat(w)) found.foreign++
      }
  }
  let best = 'en'
  let most = 0
  for (const [code] of LANGUAGE_WORDS) {
    const { n, foreign } = tally.get(code) ?? { n: 0, foreign: 0 }
    const enough =
      foreign >= 2 || (foreign >= 1 && n >= words.length * 0.5) || (foreign >= 1 && n >= words.length * 0.7)
    if (enough && n > most) {
      best = code
      most = n
    }
  }
  if (best === 'en' && strange >= 3 && strange >= words.length * 0.6) return 'und'
  return best
}

/** The languages of each listed word. */
const CODES_OF = new Map<string, string[]>()
for (const [code, list] of LANGUAGE_WORDS)
  for (const w of list) CODES_OF.set(w, [...(CODES_OF.get(w) ?? []), code])

/** The words in a stretch of text, as the lists are written. */
const lettersOf = (written: string): string[] =>
  /^[a-z]+$/.test(written) ? [written] : (written.match(/[\p{L}\p{M}]+/gu) ?? []).map(folded)

/** Small letters without accents, as the lists are written. */
function folded(w: string): string {
  const low = w.toLowerCase()
  if (/^[a-z]+$/.test(low)) return low
  return low
    .normalize('NFKD')
    .replace(/\p{M}+/gu, '')
    .replaceAll('ł', 'l')
}
