/** What a yes, no, number or side says to the one question that was open. */
import { has, scores } from './answers.ts'
import { isBareSide } from './bare-answers.ts'
import { describeDischarge, wordedPain } from './described.ts'
import type { Token } from './normalise.ts'
import { sideAnswer } from './sides.ts'
import type { Finding, Question } from './types.ts'
import { cues } from './vocabulary.ts'

export type Answered = {
  findings: Finding[]
  doses: number | null
  softened: boolean | null
  doubt: string | null
  used: boolean
}

/** Reads a bare or leading yes, no or number against the one open question. */
export function answer(
  text: string,
  tokens: readonly Token[],
  q: Question | undefined,
  bare: 'yes' | 'no' | null,
  lead: 'yes' | 'no' | null,
  findings: Finding[],
  doses: number | null,
): Answered {
  const out: Answered = { findings: [], doses: null, softened: null, doubt: null, used: false }
  if (!q) return out
  const at = tokens.find((t) => t.kind === 'word' || t.kind === 'number')
  if (!at) return out
  const finding = (
    kind: Finding['kind'],
    polarity: Finding['polarity'],
    tags: Finding['tags'] = [],
  ): Finding => ({
    kind,
    flag: kind === 'ringing' || kind === 'other' ? 'other' : (kind as Finding['flag']),
    start: at.start,
    end: at.end,
    words: text.slice(at.start, at.end),
    side: sideAnswer(tokens),
    severity: null,
    onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
    course: null,
    polarity,
    tags: polarity === 'affirmed' && has(tokens, cues.lasting) ? [...tags, 'lasting'] : tags,
  })
  if (q.kind === 'discharge' || q.kind === 'bleeding') {
    const described = describeDischarge(tokens, findings)
    if (described) {
      for (const [kind, tags] of described) out.findings.push(finding(kind, 'affirmed', tags))
      out.used = true
      return out
    }
  }
  if (q.kind === 'bleeding' && findings.length === 0) {
    const heavy = tokens.find((t) =>
      /^(gushing|pouring|streaming|soaked|everywhere|loads|dripping|constantly)$/.test(t.w),
    )
    if (heavy) {
      out.findings.push(finding('bleeding', 'affirmed', ['heavy']))
      return out
    }
  }
  // "10/10": asked of the hearing, it is praise.
  const marks = scores(tokens)
  if (q.kind === 'hearing' && findings.length === 0 && marks.length === 1 && marks[0]?.marked) {
    if (marks[0].value >= 8) out.findings.push(finding('hearing-loss', 'denied'))
    if (marks[0].value >= 8) return out
  }
  const noneTheWorse = /\bnone the worse\b/.test(tokens.map((t) => t.w).join(' '))
  if (q.kind === 'hearing' && findings.length === 0 && lead !== 'yes' && !noneTheWorse) {
    const poor =
      tokens.some(
        (t, i) =>
          /^(same|worse|duller|dull|poor|rubbish|bad|muffled|quieter|off|gone|went|disappeared|vanished|nothing|none|nil|zero|zilch|nowt|nada|zip|silence|deaf)$/.test(
            t.w,
          ) &&
          !/^(no|not)$/.test(tokens[i - 1]?.w ?? '') &&
          // "Same as the other one"
          !(t.w === 'same' && tokens.slice(i + 1, i + 4).some((x) => /^(other|good)$/.test(x.w))) &&
          // "Was deaf as a post before"
          !(
            t.w === 'deaf' &&
            (/^(was|were)$/.test(tokens[i - 1]?.w ?? '') || tokens.some((x) => x.w === 'before'))
          ),
      ) ||
      tokens.some(
        (t, i) =>
          t.w === 'not' &&
          !(tokens[i - 1]?.w === 'could' && tokens[i + 1]?.w === 'be') &&
          tokens
            .slice(i + 1, i + 4)
            .some((x) =>
              /^(sausage|dicky|dickie|peep|whisper|back|better|great|good|improved|come|came|different|right|budged|shifted|moved|changed|returned)$/.test(
                x.w,
              ),
            ),
      ) ||
      tokens.some(
        (t, i) =>
          t.w === 'no' && /^(better|different|difference|improvement|change)$/.test(tokens[i + 1]?.w ?? ''),
      )
    if (poor) {
      out.findings.push(
        finding(
          'hearing-loss',
          'affirmed',
          tokens.some((t) => t.w === 'worse')
            ? ['worse']
            : tokens.some((t) =>
                  /^(gone|went|disappeared|vanished|nothing|none|nil|zero|zilch|nowt|nada|zip|silence|deaf|sausage|dicky|dickie|peep|whisper)$/.test(
                    t.w,
                  ),
                )
              ? ['marked']
              : ['slight'],
        ),
      )
      return out
    }
  }
  if (q.kind === 'pain' && findings.length === 0) {
    const worded = wordedPain(tokens)
    if (worded !== null) {
      out.findings.push({
        ...finding('pain', worded === 0 ? 'denied' : 'affirmed'),
        severity: { value: worded, how: 'implied' },
      })
      return out
    }
  }
  // "More", "still there", "yes still": of what was asked.
  if (q.asksProblem && q.asked.length === 1 && findings.length === 0 && tokens.length <= 6) {
    const kind = q.asked[0] as Finding['kind']
    const w = tokens.map((t) => t.w)
    if (
      w.some((x) => /^(more|worse|increasing|increased)$/.test(x)) &&
      !w.some((x) => /^(no|not|any)$/.test(x))
    ) {
      out.findings.push({ ...finding(kind, 'affirmed', ['worse']), course: 'worse' })
      return out
    }
    const same =
      /^(about |just |still |much |roughly |its |it is )*(the )?same( as (yesterday|before|ever|last time|this morning|monday|it was))?( thanks| really| today)?$/
    if (same.test(w.filter((x) => !/^[.,!]$/.test(x)).join(' '))) {
      out.findings.push({ ...finding(kind, 'affirmed', ['lasting']), course: 'same' })
      return out
    }
    if (w.includes('still') && !w.some((x) => /^(no|not|none)$/.test(x))) {
      out.findings.push({ ...finding(kind, 'affirmed', ['lasting']), course: 'same' })
      return out
    }
  }
  // "Which ear hurts?" and "left": it hurts.
  if (q.kind === 'side' && q.asked.length === 1 && findings.length === 0 && isBareSide(tokens)) {
    out.findings.push(finding(q.asked[0] as Finding['kind'], 'affirmed'))
    out.used = true
    return out
  }
  // A thumb and "all clear": well, whatever was asked.
  const well = tokens[0]?.emoji === true && has(tokens, cues.well) && q.asksProblem
  const value = well && lead === 'yes' ? 'no' : lead
  if (value === null) return out
  out.used = bare !== null
  if (q.kind === 'doses') {
    if (
      value === 'no' &&
      doses === null &&
      !findings.some((f) => f.polarity === 'denied') &&
      (bare !== null ||
        !tokens.some((t) =>
          /^(problem|problems|trouble|pain|issues|bother|worries|change|difference)$/.test(t.w),
        ))
    )
      out.doses = 0
    return out
  }
  if (q.kind === 'softened') {
    if (bare !== null) out.softened = value === 'yes'
    return out
  }
  if (q.asked.length > 0) {
    const problem = q.asksProblem ? value === 'yes' : value === 'no'
    const thumb = tokens.every((t) => t.kind === 'mark' || t.emoji)
    // "How is your hearing?" and a thumb up: well. "Any pain?" and a thumb up: who knows.
    if (thumb && value === 'yes' && q.kind === 'hearing') {
      out.findings.push(finding('hearing-loss', 'denied'))
      return out
    }
    if (thumb && q.asksProblem) {
      out.doubt = 'u-contradiction'
      return out
    }
    const mentioned = (kind: Finding['kind']) =>
      findings.some((f) => f.kind === kind && f.polarity !== 'hypothetical' && f.polarity !== 'asked-about')
    if (!problem) {
      if (bare !== null || value === 'no')
        for (const kind of q.asked) if (!mentioned(kind)) out.findings.push(finding(kind, 'denied'))
    } else if (q.asked.length > 1) {
      if (!q.asked.some(mentioned)) out.doubt = 'u-vague'
    }
    // Blood told of in place of a yes is the answer: "spots of red".
    else
      for (const kind of q.asked)
        if (
          !mentioned(kind) &&
          !(kind === 'discharge' && mentioned('bleeding') && !AS_WELL.test(tokens.map((t) => t.w).join(' ')))
        )
          out.findings.push({
            ...finding(
              kind,
              'affirmed',
              kind === 'hearing-loss' ? ['new'] : /\bworse\b/i.test(q.words) ? ['worse'] : [],
            ),
            course: /\bworse\b/i.test(q.words) ? 'worse' : null,
          })
    return out
  }
  if (
    q.kind === 'anything-else' &&
    q.asksProblem &&
    value === 'yes' &&
    findings.length === 0 &&
    bare !== null
  )
    out.doubt = 'u-vague'
  if (q.kind === 'screening' && value === 'yes' && bare !== null && q.about.length !== 1)
    out.doubt = 'u-contradiction'
  if (q.kind === 'side' || q.kind === 'unknown') out.doubt = bare !== null ? 'u-bare' : null
  return out
}

/** "Yes, and some blood too": both. "Yes, blood": no more than blood. */
const AS_WELL =
  /\b(?:and (?:a (?:bit|little|drop)|some|bits?|also|there|blood|bleeding)|also|too|plus|with)\b/
