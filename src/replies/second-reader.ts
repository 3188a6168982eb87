/**
 * The second, independent reader. It knows nothing of concepts or scopes: coarse word beginnings of alarm over the
 * raw text. Whatever it sees must be explained by the first reader and, where the first reader says "denied", by a
 * negator close by. A disagreement raises doubt; it never lowers anything.
 */
import { setOf } from './lexicon/set-of.ts'
import type { Span } from './types.ts'

/** Beginnings of words of alarm. */
const STEMS =
  'bleed bled blood pus ooz weep leak discharg gunk smell stink pong swell swoll lump throb agon excruc stabb sting pain hurt ache aching sore numb tingl droop palsy paraly stroke slur dizz giddy vertig spinn wobb unstead faint collaps blackou vomit nause fever temperat shiver rash hives chok chest breath suicid kill die dead deaf muffl ringing tinnit buzz infect perforat burst confus headach migrain stiff worse ambulanc emerg urgent unwell poorly fell fall swallow vision seiz uncons harm overdos cant-hear'.split(
    ' ',
  )

const NEGATOR = setOf(
  'no not none nothing never without nor nil zero free gone stopped any dont didnt havent hasnt isnt wasnt aint doesnt cant wont nowt nae nay neither naw nah nope hardly less better cleared settled eased fine ok good normal great 0 disappeared subsided passed ceased back perfect clear improved excellent brilliant much can could shouldnt wouldnt couldnt havnt hadnt arent werent wernt cannae dinnae didnae lovely grand alright perfectly dried over went finished ended healed resolved vanished unblocked nout nuffin',
)

/** A word of alarm, where it stands, and whether a negator is near enough to explain a denial. */
export type Alarm = Span & { stem: string; nearNegator: boolean }

export function secondReading(text: string, limit: number): Alarm[] {
  const words: { w: string; start: number; end: number; stop: boolean }[] = []
  const end = Math.min(text.length, limit)
  let w = ''
  let start = 0
  const push = (at: number, stop: boolean) => {
    if (w !== '') words.push({ w, start, end: at, stop })
    else if (stop && words.length > 0) (words[words.length - 1] as { stop: boolean }).stop = true
    w = ''
  }
  for (let i = 0; i < end; i++) {
    const code = text.charCodeAt(i)
    const lower = code >= 65 && code <= 90 ? code + 32 : code
    if ((lower >= 97 && lower <= 122) || (code >= 48 && code <= 57)) {
      if (w === '') start = i
      w += String.fromCharCode(lower)
    } else if (code === 39 || code === 0x2019) continue
    else push(i, code === 46 || code === 33 || code === 63 || code === 10 || code === 59)
  }
  push(end, true)

  const alarms: Alarm[] = []
  for (const [i, word] of words.entries()) {
    const stem = STEMS_BY_INITIAL.get(word.w[0] ?? '')?.find(
      (s) => word.w.startsWith(s) && (s.length > 3 || word.w.length <= s.length + 2),
    )
    if (stem === undefined) continue
    alarms.push({ start: word.start, end: word.end, stem, nearNegator: negatorNear(words, i) })
  }
  return alarms
}

const STEMS_BY_INITIAL = new Map<string, string[]>()
for (const s of STEMS) {
  const list = STEMS_BY_INITIAL.get(s[0] ?? '') ?? []
  STEMS_BY_INITIAL.set(s[0] ?? '', [...list, s])
}

function negatorNear(words: { w: string; stop: boolean }[], i: number): boolean {
  for (let j = i - 1, n = 0; j >= 0 && n < 9; j--, n++) {
    if (words[j]?.stop) break
    if (NEGATOR.has(words[j]?.w ?? '')) return true
  }
  for (let j = i, n = 0; j < words.length && n < 12; j++, n++) {
    if (n > 0 && NEGATOR.has(words[j]?.w ?? '')) return true
  }
  return false
}
