/** What the clinic's own history teaches: how patients do their doses, and what doses do to a plug. */
import { sql } from 'drizzle-orm'
import { daysAsked } from '../messages/store.ts'
import { posterior } from '../softening/adherence.ts'
import { fitPrior, historiesOfPlan } from '../softening/prior.ts'
import { refitSoftness, type SoftnessOutcome } from '../softening/softness.ts'
import { doseDayRows, knownDays, learnedDays, saveModel } from '../softening/store.ts'
import type { DoseHistory, SofteningPlan, Softness } from '../softening/types.ts'
import { dayOf, type Flow } from './context.ts'
import { answerBy, modelsOf } from './plans.ts'

/** Plans looked back at, newest first: habits change, and the fit must stay quick. */
const MOST_PLANS = 2000

/** Fits both models anew and stores them. @returns how many finished plans they rest on */
export async function learn(flow: Flow): Promise<number> {
  const { plans, histories, outcomes } = await lessons(flow)
  const { softening } = flow.rules
  await saveModel(flow, {
    adherence: fitPrior(histories, softening.adherence),
    link: refitSoftness(outcomes, softening.readiness),
  })
  return plans
}

/** What finished plans teach: the days that were asked or told of, and the ears whose every day was. */
export async function lessons(
  flow: Flow,
): Promise<{ plans: number; histories: DoseHistory[]; outcomes: SoftnessOutcome[] }> {
  const plans = await finishedPlans(flow)
  const ids = plans.map((one) => one.planId)
  const rows = Map.groupBy(await doseDayRows(flow, ids), (row) => row.planId)
  const asked = await daysAsked(flow, ids)
  const histories: DoseHistory[] = []
  const outcomes: SoftnessOutcome[] = []
  const before = (await modelsOf(flow)).adherence
  for (const one of plans) {
    const all = rows.get(one.planId) ?? []
    // A day of which no question went out and nobody told is no silence: it teaches nothing.
    const own = all.filter(
      ({ done, some, day }) => done !== null || some || asked.get(one.planId)?.has(day) === true,
    )
    histories.push(...historiesOfPlan(learnedDays(own, (day) => answerBy(flow, day))))
    for (const { ear, days } of knownDays(own, () => true)) {
      const found = one.found[ear]
      if (!found || days.length < all.filter((row) => row.ear === ear).length) continue
      const kept = one.plan.ears.find((planned) => planned.ear === ear)?.keptDoses ?? 0
      outcomes.push({ doses: [...new Array<number>(kept).fill(0), ...posterior(days, before).done], found })
    }
  }
  return { plans: plans.length, histories, outcomes }
}

interface FinishedPlan {
  planId: string
  plan: SofteningPlan
  found: Partial<Record<'left' | 'right', Softness>>
}

/**
 * Plans whose days are over, and what their visit found. A plan that another replaced has answers to learn from
 * but no visit of its own; the plan that follows a visit hangs on it too, and was made after it.
 */
async function finishedPlans(flow: Flow): Promise<FinishedPlan[]> {
  const yesterday = dayOf(flow, flow.now).subtract({ days: 1 }).toString()
  const rows = await flow.tx.execute<{
    plan_id: string
    detail: SofteningPlan
    ear: 'left' | 'right' | null
    softness: Softness | null
  }>(
    sql`select p.plan_id, p.detail, r.ear, r.softness
      from (select * from plan where first_day is not null and last_day <= ${yesterday}
            order by created_at desc limit ${MOST_PLANS}) p
      left join visit v on v.clinic_id = p.clinic_id and v.visit_id = p.visit_id
        and p.status = 'done' and p.created_at < v.start_at
      left join procedure_record r on r.clinic_id = v.clinic_id and r.visit_id = v.visit_id
      order by p.plan_id`,
  )
  const byPlan = new Map<string, FinishedPlan>()
  for (const row of rows) {
    const one = byPlan.get(row.plan_id) ?? { planId: row.plan_id, plan: row.detail, found: {} }
    byPlan.set(row.plan_id, one)
    if (row.ear && row.softness) one.found[row.ear] = row.softness
  }
  return [...byPlan.values()]
}
