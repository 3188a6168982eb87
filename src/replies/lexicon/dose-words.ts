/** Words and makers that the terms of doses are built from. */
import type { Meaning, Status } from '../dose-terms.ts'

/** A pattern over several lines; a line may only be broken before a bar. */
export const any = (text: TemplateStringsArray, ...parts: string[]) =>
  String.raw(text, ...parts).replace(/\n\s*/g, '')

export const DAYTIME = any`mornings?|morn|aft|(?:(?<=\bthis )am|(?<!\bi )am(?= ?(?:[,.+=:]|and|&|pm|not pm|done|yes|no|lot|dose
    |1|ones?|only|missed|noon|lunch|x|emoji)|$))|breakfasts?|brekkie|brekky|brekkers|lunch|lunchtime
    |noon|midday|dinner|dinnertime|afternoons?|elevenses|tea|teatime|supper|suppertime|evenings?|eve
    |tonights?|nights?|nighttime|pm|bedtime|bed|midnight|dawn|dusk|sunrise|sunset|sundown|sun up|sunup
    |coffee time|cocoa time|brunch`
export const LOT = any`(?:1s?|ones?|lots?|dose|doses|drops|go|goes|set|time|session|round|batch|application|treatment)`
export const TIMES = any`(?:times?|x|kiss|goes|go|lots?|doses?|dosages?|applications?|sessions?|rounds?|sittings?|occasions?
    |turns?|attempts?|sets?|batches|treatments?|instalments?|helpings?|administrations?)`
export const THEM = any`(?:the|my|her|his|our|their|them|those|these|todays?|your|of)`
export const NUMBER = any`\d{1,2}`
export const SOFT = any`(?:(?:just|about|around|roughly|like|say|maybe|nearly|gone|early|late|only|approx|approximately) )*`
export const UNIT = any`(?:drops?|drips?|squirts?|puffs?|sprays?|blobs?|splashes|minutes?|mins?|seconds?|secs?|hours?|hrs?
    |days?|weeks?|months?|years?|visitors|people|guests|funerals?|children|grandkids|ml|mls|bottles?
    |ears?|sides?|lugs?|percent|%|degrees|tablets?|pills?|sugars|people|pounds?|quid|grandchildren|kids
    |cups?|pairs? of)`

/** What a pattern matched, and its groups. */
type Groups = readonly (string | undefined)[]

export type Make = (m: Groups) => Meaning
export const n = (m: Groups, group = 1) => Number(m[group])
export const status =
  (s: Status, late = false): Make =>
  () => ({ is: 'status', status: s, late })
export const momentAt = (key: string, loose = false, coming = false): Meaning => ({
  is: 'moment',
  key,
  loose,
  coming,
})
/** A moment named by its first group, or by all that matched. */
export const moment: Make = (m) =>
  momentAt((m[1] ?? m[0] ?? '').replace(/^(?:the|my|a|this|at|in|in the) /, ''))
export const counted = (value: number | null, how: How, of: number | null = null): Meaning => ({
  is: 'count',
  value,
  of,
  how,
})
type How = Extract<Meaning, { is: 'count' }>['how']
export const count =
  (how: How, fixed?: number): Make =>
  (m) =>
    counted(fixed ?? (m[1] === undefined ? null : n(m)), how, m[2] === undefined ? null : n(m, 2))
export const nth = (value: number, told: { coming?: boolean; after?: boolean } = {}): Meaning => ({
  is: 'nth',
  value,
  ...told,
})
type Bare = Exclude<Meaning['is'], 'moment' | 'count' | 'nth' | 'others' | 'again' | 'status' | 'whole'>
export const plain =
  (is: Bare): Make =>
  () => ({ is })
