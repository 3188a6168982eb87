/** Sure wordings of a dose count that the counting of words and times of day (answers.ts) cannot add up. */
import { numberAt } from './answers.ts'
import { ANSWERS, PERIOD, TOLD } from './dose-rules.ts'
import { ASKS } from './dose-times.ts'
import { TIMES_WORDS } from './lexicon/answers.ts'
import type { Token } from './normalise.ts'

/** `null`: told, but not to be counted. `unsure`: the patient does not know. */
export type DosePhrase = { count: number | null; unsure: boolean }

/** Longer replies tell of doses in their first words, or in ways that the counting reads. */
const MAX_TOKENS = 60

const ROMAN: Record<string, number> = { ii: 2, iii: 3, iv: 4 }

/** The count that a sure wording gives; undefined where there is none. */
export function dosePhrase(tokens: readonly Token[], text: string, asked: boolean): DosePhrase | undefined {
  if (tokens.length > MAX_TOKENS) return asked ? undefined : phraseInSentence(tokens)
  if (asked) {
    const words = tokens.filter((t) => t.kind !== 'mark')
    const only = words.length === 1 ? words[0] : undefined
    const roman =
      ROMAN[
        text
          .trim()
          .toLowerCase()
          .replace(/[.!]+$/, '')
      ]
    if (roman !== undefined) return { count: roman, unsure: false }
    const clocks = CLOCKS_ONLY.test(text) ? [...text.matchAll(A_CLOCK)].length : 0
    if (clocks >= 2) return { count: clocks, unsure: false }
    const ticks = [...text.matchAll(/[✔✅☑✓]/gu)].length
    if (only?.emoji && ticks >= 2) return { count: ticks, unsure: false }
    if (/\b2wice\b/i.test(text)) return { count: 2, unsure: false }
    if (only?.emoji && text.includes('✌')) return { count: 2, unsure: false }
    // "⅓" and "⅔" are one and two of three.
    if (only?.kind === 'number' && Math.abs((only.value * 3) % 1) < 0.01 && only.value < 1 && only.value > 0)
      return { count: Math.round(only.value * 3), unsure: false }
  }
  const said = inDigits(tokens)
  if (ASKS.test(said)) return undefined
  for (const [pattern, count] of asked ? [...ANSWERS, ...TOLD] : TOLD) {
    const m = pattern.exec(said)
    if (!m) continue
    const value = count(m)
    if (value === null || typeof value === 'number') {
      if (value !== null && value > 12) continue
      return { count: value, unsure: false }
    }
    return value
  }
  const judged = judgedPeriods(said)
  if (judged !== null && (asked || /\b(dose|doses|lot|drops)\b/.test(said)))
    return { count: judged, unsure: false }
  return undefined
}

/** "9.30 and 5.30", "half 8 and half 3": nothing but times of the clock. */
const A_CLOCK = /\d{1,2}[.:]\d{2}(?:\s?[ap]m)?|half (?:past )?(?:\d{1,2}|[a-z]+)/gi
const CLOCKS_ONLY =
  /^\W*(?:(?:at|about|around|did|done|them|and|again|then|yes|i|it|just after|just before|\d{1,2}[.:]\d{2}(?:\s?[ap]m)?|half (?:past )?(?:\d{1,2}|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve))[\s,&+.]*)+$/i

/** A long reply tells of doses in one of its sentences. */
function phraseInSentence(tokens: readonly Token[]): DosePhrase | undefined {
  let from = 0
  for (let i = 0; i <= tokens.length; i++) {
    if (i < tokens.length && !/^[.!?;\n]$/.test(tokens[i]?.w ?? '')) continue
    const sentence = tokens.slice(from, i)
    from = i + 1
    if (sentence.length === 0 || sentence.length > MAX_TOKENS) continue
    if (!sentence.some((t) => /^(drops|oil)$/.test(t.w)) || tokens[i]?.w === '?') continue
    const found = dosePhrase(sentence, '', false)
    if (found) return found
  }
  return undefined
}

function inDigits(tokens: readonly Token[]): string {
  return tokens
    .map((t, i) => {
      if (t.w === 'ordinal') return ['first', 'second', 'third'][t.value - 1] ?? t.w
      const times = TIMES_WORDS.get(t.w)
      if (times !== undefined) return `${times}x`
      const n = /^(couple|few|several|dozen)$/.test(t.w) ? null : numberAt(tokens, i)
      return n === null ? t.w : String(n)
    })
    .join(' ')
}

const JUDGED = new RegExp(
  `\\b(${PERIOD})( lot| dose| 1| ones| drops)?( was| went)?( [:=,-])? (yes|done|fine|ok|good|emoji-yes|emoji-plain|no|not|missed|forgot|emoji-no|none|the)\\b`,
  'g',
)

/** "Morning lot: yes. Evening lot: no": the parts of the day that were done, where at least two are judged. */
function judgedPeriods(said: string): number | null {
  const found = [...said.matchAll(JUDGED)]
  if (found.length < 2 || !found.some((m) => m[5] !== 'the')) return null
  return found.filter((m) => !/^(no|not|missed|forgot|emoji-no|none)$/.test(m[5] ?? '')).length
}

/** Words after "before" and "after" that name no moment. */
const NO_MOMENT = '(?:that|it|all|them|this|drops?|oil|you|your|procedure|appointment|visit|then|noon)'
const ANCHOR = new RegExp(
  [
    `\\b(?:before|after) (?:the |my |me |a |i )?(?!${NO_MOMENT}\\b)[a-z]+`,
    '\\bwhen i [a-z]+',
    '\\b(?:at|on|in|this) (?:the |my |a )?(?:waking|rising|retiring|breakfast|brekkie|lunch|dinner|tea|supper|bedtime|morning|evening|night|noon|midday|afternoon|news|teatime|dawn|dusk|lights)\\b',
    '^(?:and |again |the )*(?:noon|midday|breakfast|lunch|lunchtime|dinner|teatime|bedtime|morning|evening|dawn|dusk)\\b',
    '\\b(?:an|half an|\\d|couple of|few) (?:hour|hours|minutes) ago\\b',
    '\\b(?:last|first) thing\\b|\\bjust now\\b|\\blights out\\b',
  ].join('|'),
)
const CLOCK = /\b(at|about|around) \d{1,2}\b(?! (drop|time|minute|out|of|or|in ))|\b\d{1,2} (am|pm|oclock)\b/g
const NOT_DONE =
  /\b(next|not|no|will|later|yesterday|forgot|missed|tomorrow|going|gonna|skipped|none|last night|should|every|bottle|to come|to go|to do|due)\b/

/** How many moments of the day an answer names: "before shift and after shift". */
export function momentsNamed(tokens: readonly Token[]): number {
  if (tokens.length > MAX_TOKENS) return 0
  const moments = inDigits(tokens)
    .split(/ ?, | and | an | then | & | \+ | \. | ; /)
    .filter((part) => !NOT_DONE.test(part))
    .map((part) => Math.max(ANCHOR.test(part) ? 1 : 0, [...part.matchAll(CLOCK)].length))
  return moments.reduce((sum, n) => sum + n, 0)
}
