/** Talk that reception answers: the way, the time, the bill, lost property, who comes along. */
import { type Layout, within, wordAt } from './clauses.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'

/** "how are you?", "ok?", "see you tuesday?", "is that all?" ask nothing of the clinic. */
export function isSocialQuestion(tokens: readonly Token[], q: { from: number; to: number }): boolean {
  const w = tokens
    .slice(q.from, q.to)
    .filter((t) => t.kind !== 'mark')
    .map((t) => t.w)
    .join(' ')
  // "Softer? I'd say so": the question said again before its answer.
  if (
    /^(the )?(pain|sore|softer|soft|drops|doses|hearing|better|dizzy|discharge|anything else|worse|how many)$/.test(
      w,
    ) &&
    q.to < tokens.length
  )
    return true
  return /^(how are you.*|are you ok|are you well|is that ok|is that all right|is that alright|ok|alright|all right|is that it|what a .*|what lovely .*|how lovely.*|how kind.*|do you|is it not|would you believe.*|can you believe.*|what more could you.*|will do|could not be .*|can not complain.*|how about that|which .* is it not|who would have .*|will see you.*|how many times did .*|did you put .*|q how many times .*|may i say.*|is that you.*|am i right|shall we|did i|did i (heck|eck|hell|chuff)|(does|do|would|will) (that|it|they|those) (even )?(count|matter).*|(so )?am i|are you( lot)? talking about me|how (would|should|can|could) i( ever)? know.*|what can you (do|say).*|is that (everything|enough|what)( that)?( you)?( need| want| after| wanted)?|which was (nothing|none|nil|zero)|who (needs|cares|knows).*|is there no end.*|can you tell|what do you (reckon|think) to that|have you (ever|tried|seen|heard).*(joke|programme|match|news)|what is not to like|who could ask for more|and (yourself|you|yours|your good self)|is that me( all)? (done|finished|sorted)|(is|are|was|were) (that|so|too) (bad|shaky|stiff)|how are you.*)$/.test(
    w,
  )
}

/** Places, means, money, times, and those who come along. */
const LOGISTIC = setOf(
  "monday tuesday wednesday thursday friday mon tue tues wed weds thu thur thurs fri cheques debit credit raffle together battery dogs allowed sighted blind meet book again voucher vouchers wear provided refreshments man woman nhs number name called dropper bike bicycle back lock anywhere somewhere pass time times door doors close shut near nearby nearest daughter son wife husband sister brother friend neighbour carer companion grandson granddaughter lady same nurse girl gentleman park parking car cars appointment appt bus train tram taxi cab bring fetch address postcode directions map open opening opens close closes closed late early o'clock oclock where entrance building street road library floor upstairs downstairs stairs steps lift ramp station stop batteries pay cost owe charge price fee bill invoice receipt refund cheque cash card cards wheelchair scooter frame walker mobility booked booking visit visits date day long still confirm form forms leaflet paperwork letter feedback survey review voucher passport id proof loo toilet toilets coffee cafe waiting reception receptionist desk coat hat cap scarf umbrella brolly gloves glove bag handbag purse wallet keys key phone glasses specs spectacles stick jacket cardigan earring earrings mask masks interpreter dog website email weekend weekends saturday sunday wait stay sit list home",
)

/** Asked with one of these, it is for a clinician. */
const CLINICAL = setOf(
  'ought watch ear ears drops drop oil olive almond pain pains hurt hurts bleed bleeding blood swim swimming fly flying plane flight shower bath wash hair normal safe stop dose doses pus discharge dizzy tablets medicine medicines sore infection infected deaf worse better hear hearing aid aids drive driving exercise gym eat drink alcohol headphones earphones earbuds plugs cotton warfarin thinners symptoms face eye head balance smell leak leaking ringing itch itchy swollen lump ill unwell poorly sick emergency urgent urgently tonight casualty hospital doctor gp dangerous worried wrong help sleep lie blocked wax antibiotics reaction rash allergic feel feeling feels happen happens happening supposed should expect expected soft softer heal heals healing recover recovery settle settles usually',
)
/** To bring one of these, or to ask what it costs, is no matter for a clinician. */
const CARRIED = setOf('tablets medicine medicines aid aids hearing drops drop oil')

const BRINGS = setOf('bring bringing fetch list batteries battery case dropped find found')
const BILL = setOf('cost price pay charge much owe fee bill')
const ASKS_FOR = setOf('how what do does is')
const SIGNS = setOf('blood pain bleed bleeding pus discharge oil drops wax hear swelling')
const STILL = setOf('still')

/** A question about the way, the time or the bill: reception answers it, no clinician need read it. */
export function isLogistic(tokens: readonly Token[], q: { from: number; to: number }): boolean {
  const says = (words: ReadonlySet<string>) => within(tokens, q.from, q.to, words)
  // "How much for two ears" asks for the bill.
  if (says(BILL) && says(ASKS_FOR) && !says(SIGNS)) return true
  const part = tokens.slice(q.from, q.to)
  const times = () => part.some((t) => t.kind === 'number' || t.w === 'ordinal')
  if (!says(LOGISTIC) && !(says(STILL) && times())) return false
  const brings = says(BRINGS)
  const w = part.map((t) => t.w)
  return !w.some((x, i) => CLINICAL.has(x) && !(brings && CARRIED.has(x)) && !harmlessHere(w, i))
}

/** "Bus stop", "should I bring", "hospital car park", "the doctor's letter" are no clinical words. */
function harmlessHere(w: readonly string[], i: number): boolean {
  const next = w[i + 1] ?? ''
  const before = w[i - 1] ?? ''
  return (
    (w[i] === 'stop' && /^(bus|tram|taxi)$/.test(before)) ||
    (w[i] === 'should' &&
      /^(i|we)$/.test(next) &&
      /^(bring|park|wear|come|pay|wait|expect)$/.test(w[i + 2] ?? '')) ||
    (w[i] === 'hospital' && /^(car|bus|entrance|transport|parking)$/.test(next)) ||
    (w[i] === 'help' &&
      /^(me|with)$/.test(next) &&
      w.some((x) => /^(coat|stairs|steps|door|parking)$/.test(x)))
  )
}

const ASKS = setOf(
  'is are do does did can could may will would shall should have has what whats where wheres which who whos when how any am think',
)
const GREETING = setOf(
  'hi hello hiya morning afternoon evening good please and so sorry also just oh dear love quick question q one more thing ps but ok thanks thank you wondering wondered was i if asking ask to',
)

const LEFT = setOf('left leave leaving forgot forgotten lost dropped mislaid found')
const BELONGING = setOf(
  'coat hat cap scarf umbrella brolly gloves glove bag handbag purse wallet keys key phone glasses specs spectacles stick jacket cardigan earring earrings case book hankie hanky letter list card magazine paper shopping pass flask bottle',
)

const wordsIn = (tokens: readonly Token[], s: { from: number; to: number }): string[] =>
  tokens.slice(s.from, s.to).flatMap((t) => (t.kind === 'mark' ? [] : [t.w]))

/** The place of the first word that is no greeting, else of the last word. */
function pastGreeting(tokens: readonly Token[], s: { from: number; to: number }): number {
  let at = s.from
  for (const [k, { kind, w }] of tokens.slice(s.from, s.to).entries()) {
    if (kind === 'mark') continue
    at = s.from + k
    if (!GREETING.has(w) || ASKS.has(w)) break
  }
  return at
}

/** Does a sentence ask a practical question, or tell of something left behind, without a clinical word? */
export function isPractical(tokens: readonly Token[], layout: Layout): boolean {
  return layout.sentences.some((s) => {
    const says = (words: ReadonlySet<string>) => within(tokens, s.from, s.to, words)
    if (says(LEFT) && says(BELONGING) && !says(CLINICAL)) return true
    return ASKS.has(wordAt(tokens, pastGreeting(tokens, s))) && isLogistic(tokens, s)
  })
}

const INVERTS = setOf('how what why when should shall may must can could is are do does will would')
const INVERTED =
  /^(how (soft|long|many|much|often|do|does|can|should|will|is|are|would|come|soon|far|hard|deep)|what (am|are|do|does|should|if|can|will|would|happens|else can|else should)|why (is|are|do|does|am|has|have|did|would|will)|when (can|should|will|do|does|is|are|am|would)|(should|shall|may|must) (i|we|it|they|the)|(can|could) (i|we) (use|take|have|put|drive|swim|fly|wash|shower|eat|drink|go|still|stop|start|lie|sleep|get)|(is|are) (it|this|that|they|these|the drops) (safe|normal|usual|ok|okay|alright|common|meant|supposed|right|dangerous|harmful|too)|(do|does|will|would|can|could) (the|these|those|my) (drops|oil|ear|ears|pain|bleeding|hole|tube|tablets))\b/
/** "Run out of drops, what shall I do" */
const WHAT = setOf('what')
const WHAT_TO_DO = /\bwhat (shall|should|can|do|must) i do\b/
const NO_QUESTION =
  /^(how (are|is) (you|things|tricks)|how (lovely|kind|nice|good|wonderful)|what a|what are friends|how much (better|clearer|louder))\b/

/** Questions that begin like one and lack the mark, none of them social or practical. */
export function unmarkedQuestions(tokens: readonly Token[], layout: Layout): { from: number; to: number }[] {
  return layout.sentences.filter((s) => {
    if (tokens[s.to - 1]?.w === '?') return false
    if (within(tokens, s.from, s.to, WHAT) && WHAT_TO_DO.test(wordsIn(tokens, s).join(' '))) return true
    const from = pastGreeting(tokens, s)
    if (!INVERTS.has(wordAt(tokens, from))) return false
    const said = wordsIn(tokens, { from, to: s.to }).slice(0, 6).join(' ')
    return (
      INVERTED.test(said) && !NO_QUESTION.test(said) && !isLogistic(tokens, s) && !isSocialQuestion(tokens, s)
    )
  })
}
