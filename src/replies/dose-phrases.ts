/** Sure wordings of a dose count that the counting of words and times of day (answers.ts) cannot add up. */
import { numberAt } from './answers.ts'
import { TIMES_WORDS } from './lexicon/answers.ts'
import type { Token } from './normalise.ts'

/** `null`: told, but not to be counted. `unsure`: the patient does not know. */
export type DosePhrase = { count: number | null; unsure: boolean }

/** Longer replies tell of doses in their first words, or in ways that the counting reads. */
const MAX_TOKENS = 60

const nth = (m: RegExpExecArray, group: number) => Number(m[group])
const CAN_NOT_TELL = { count: null, unsure: true } as const

type Rule = [RegExp, (m: RegExpExecArray) => number | null | typeof CAN_NOT_TELL]

/** Numbers are digits, "twice" is `2x`. First that fits wins; for replies to the question about doses. */
const ANSWERS: Rule[] = [
  [
    /\b(can not|not|cannot|never) (remember|sure|recall|know|certain)\b.*\b(\d)x? (or|and|-) (\d)/,
    () => CAN_NOT_TELL,
  ],
  [/\b\d ?,? (it )?(might|may|could) (have been|be) \d/, () => CAN_NOT_TELL],
  [/\btoday (only |just )?(the )?(\d)x?( |$)(?!drop|ear|or)/, (m) => nth(m, 3)],
  [/\bnot (\d) ,? ?(but )?(\d)x?$/, (m) => nth(m, 3)],
  [/\bso (just |only |that is )?(the )?(\d)x?( in all| today| then)?$/, (m) => nth(m, 3)],
  [/, then (just |only )?(the )?(\d)x?$/, (m) => nth(m, 3)],
  [
    /\b(only|just) (did|done|managed|had|got) (the )?(\d)x?( |$)(?!drop|ear|side|minute|out|of|more|left|right)/,
    (m) => nth(m, 4),
  ],
  [/^(all|every 1 of|each of)( of)?( the)? (\d)( done| today| in)?$/, (m) => nth(m, 4)],
  [/^(neither|neither of them|not either)( of them)?( today)?$/, () => 0],
  [
    /\b(missed|forgot|skipped) the (first|morning|1) .*\b(did|done|had) the (second|third|other 2)( and( the)? (third|fourth|last))?/,
    (m) => (m[5] || m[4] === 'other 2' ? 2 : 1),
  ],
  [
    /\b(forgot|missed|skipped) the \w+( 1| one| lot| dose)? but (did|had|done) (.*)$/,
    (m) => [...(m[4] ?? '').matchAll(new RegExp(`\\b${PERIOD}\\b`, 'g'))].length || null,
  ],
  [
    /^(just |only |did |done )*(the )?(first thing|this morning|morning|breakfast|first)( \w+){0,2} (but |then )?(missed|forgot|skipped) (the |all the )?(rest|others?|second|last)/,
    () => 1,
  ],
  [/^(i )?(have |only )?(forgot|missed|forgotten|skipped) the (second|other|evening|night)( 1)?$/, () => 1],
  [/^(\d)x? (down|so far|done)\b/, (m) => nth(m, 1)],
  [/\b(\d)x? (so far|up to now|until now|till now|thus far)\b/, (m) => nth(m, 1)],
  [/\b(missed|forgot|skipped) (\d) (of|out of) (my |the |them )?(\d)\b/, (m) => nth(m, 5) - nth(m, 2)],
  [/\b(\d) (out of|of) (the |my )?(\d)\b(?! (drops|minutes|days))/, (m) => nth(m, 1)],
  [/\b(will|would) make (it )?(\d)\b/, (m) => Math.max(0, nth(m, 3) - 1)],
  [/\b(\d)x? (session|sessions|sitting|sittings|application|applications|rounds?)\b/, (m) => nth(m, 1)],
  [/\bhad (his|her|my|their) (\d)( |$)(?!drop)/, (m) => nth(m, 2)],
  [/(^|, |and |only ,? ?)1 time( |$)/, () => 1],
  [/^1 \. (\d)$/, (m) => nth(m, 1)],
  [/\b(none|nothing|not) since( then)?$/, () => 1],
  [/^not yet\b(?!.*\b(did|had|done)\b)/, () => 0],
  [/\bstopped (on|since|last|them|it|using)\b/, () => 0],
]

/** Read in any reply before the visit. */
const TOLD: Rule[] = [
  [/\bif i (forget|miss|skip)\b/, () => null],
  [/\bnot a (single )?drop\b/, () => 0],
  [/\btoo (painful|sore|tender|dizzy|poorly) to (put|do|use|get)\b/, () => 0],
  [/\b(none|nothing) today\b(?!.*\b(did|had)\b)/, () => 0],
  [/\bnot (bothering|using|doing) (with )?(any|them|drops|the drops|it)\b/, () => 0],
  [/\bstart(ing)?( them| it)? tomorrow\b/, () => 0],
  [
    /\b(drops|done|did|oil) (x |kiss )?(\d)x\b|\b(drops|done|did|oil) (?:x|kiss) (\d)\b/,
    (m) => Number(m[3] ?? m[5]),
  ],
  [/\bboth (times|lots|doses|goes)( are| went)? (in|done)\b/, () => 2],
  [/^(\d) (go|goes|lot|lots) (and|then|in)\b/, (m) => nth(m, 1)],
  [/\b(put|did|had|done) (the |my )?first (ones|1|lot|dose)\b(?!.*second)/, () => 1],
]

const ROMAN: Record<string, number> = { ii: 2, iii: 3, iv: 4 }

/** The count that a sure wording gives; undefined where there is none. */
export function dosePhrase(tokens: readonly Token[], text: string, asked: boolean): DosePhrase | undefined {
  if (tokens.length > MAX_TOKENS) return undefined
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
    if (/\b2wice\b/i.test(text)) return { count: 2, unsure: false }
    if (only?.emoji && text.includes('✌')) return { count: 2, unsure: false }
    // "⅓" and "⅔" are one and two of three.
    if (only?.kind === 'number' && Math.abs((only.value * 3) % 1) < 0.01 && only.value < 1 && only.value > 0)
      return { count: Math.round(only.value * 3), unsure: false }
  }
  const said = inDigits(tokens)
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

function inDigits(tokens: readonly Token[]): string {
  return tokens
    .map((t, i) => {
      const times = TIMES_WORDS.get(t.w)
      if (times !== undefined) return `${times}x`
      const n = /^(couple|few|several|dozen)$/.test(t.w) ? null : numberAt(tokens, i)
      return n === null ? t.w : String(n)
    })
    .join(' ')
}

const PERIOD = '(morning|am|breakfast|lunch|lunchtime|noon|afternoon|tea|teatime|evening|night|pm|bedtime)'
const JUDGED = new RegExp(
  `\\b${PERIOD}( lot| dose| 1| ones| drops)?( was| went)?( [:=-])? (yes|done|fine|ok|good|emoji-yes|emoji-plain|no|not|missed|forgot|emoji-no|none|the)\\b`,
  'g',
)

/** "Morning lot: yes. Evening lot: no": the parts of the day that were done, where at least two are judged. */
function judgedPeriods(said: string): number | null {
  const found = [...said.matchAll(JUDGED)]
  if (found.length < 2 || !found.some((m) => m[5] !== 'the')) return null
  return found.filter((m) => !/^(no|not|missed|forgot|emoji-no|none)$/.test(m[5] ?? '')).length
}

const ANCHOR =
  /\b(before|after|at|on|in|this|when i)( the| my| a)? ?(shift|work|church|chapel|mosque|breakfast|brekkie|luncheon|lunch|dinner|tea|supper|bed|bedtime|bath|shower|waking|rising|retiring|lights|morning|evening|night|noon|midday|afternoon|news|prayers|walk|bingo|got up|went to bed|woke|getting up|teatime|home)\b|\b(last|first) thing\b|\bjust now\b|\blights out\b/
const CLOCK = /\b(at|about|around) \d{1,2}\b(?! (drop|time|minute|out|of|or|in ))|\b\d{1,2} (am|pm|oclock)\b/g
const NOT_DONE =
  /\b(not|no|will|later|yesterday|forgot|missed|tomorrow|going|gonna|skipped|none|last night|should|every|bottle)\b/

/** How many moments of the day an answer names: "before shift and after shift". */
export function momentsNamed(tokens: readonly Token[]): number {
  if (tokens.length > MAX_TOKENS) return 0
  const moments = inDigits(tokens)
    .split(/ ?, | and | an | then | & | \+ | \. | ; /)
    .filter((part) => !NOT_DONE.test(part))
    .map((part) => Math.max(ANCHOR.test(part) ? 1 : 0, [...part.matchAll(CLOCK)].length))
  return moments.reduce((sum, n) => sum + n, 0)
}
