/** Talk that reception answers: the way, the time, the bill, lost property, who comes along. */
import type { Token } from './normalise.ts'

/** "how are you?", "ok?", "see you tuesday?", "is that all?" ask nothing of the clinic. */
export function isSocialQuestion(tokens: readonly Token[], q: { from: number; to: number }): boolean {
  const w = tokens
    .slice(q.from, q.to)
    .filter((t) => t.kind !== 'mark')
    .map((t) => t.w)
    .join(' ')
  return /^(how are you.*|are you ok|are you well|is that ok|is that all right|is that alright|ok|alright|all right|is that it|what a .*|what lovely .*|how lovely.*|how kind.*|do you|is it not|would you believe.*|can you believe.*|what more could you.*|will do|could not be .*|can not complain.*|how about that|which .* is it not|who would have .*|will see you.*|how many times did .*|did you put .*|q how many times .*|may i say.*|is that you.*|am i right|shall we|did i)$/.test(
    w,
  )
}

const LOGISTIC =
  /^(time|door|close|shut|near|daughter|son|wife|husband|lady|same|nurse|park|parking|appointment|appt|bus|train|bring|address|postcode|open|opening|close|late|o'clock|oclock|where|directions|entrance|upstairs|lift|batteries|pay|cost|owe|charge|price|wheelchair|booked|booking|visit|date|still|confirm|taxi)$/

const CLINICAL =
  /^(ear|ears|drops|drop|oil|olive|almond|pain|hurt|bleed|bleeding|blood|swim|swimming|fly|flying|shower|bath|wash|hair|normal|safe|stop|dose|doses|pus|discharge|dizzy|tablets|medicine|sore|infection|deaf|worse|better|hear)$/

/** A question about the way, the time or the bill: reception answers it, no clinician need read it. */
export function isLogistic(tokens: readonly Token[], q: { from: number; to: number }): boolean {
  const w = tokens.slice(q.from, q.to).map((t) => t.w)
  // "How much for two ears" asks for the bill.
  if (
    w.some((x) => /^(cost|price|pay|charge|much)$/.test(x)) &&
    w.some((x) => /^(how|what)$/.test(x)) &&
    !w.some((x) => /^(blood|pain|bleed|bleeding|pus|discharge|oil|drops)$/.test(x))
  )
    return true
  const times = tokens.slice(q.from, q.to).some((t) => t.kind === 'number' || t.w === 'ordinal')
  return (
    (w.some((x) => LOGISTIC.test(x)) || (times && w.includes('still'))) && !w.some((x) => CLINICAL.test(x))
  )
}
