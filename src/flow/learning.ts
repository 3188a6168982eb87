/** What the clinic's own history teaches: how patients do their doses, and what doses do to a plug. */
import { sql } from 'drizzle-orm'
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
  const plans = await finishedPlans(flow)
  const rows = Map.groupBy(
    await doseDayRows(
      flow,
      plans.map((one) => one.planId),
    ),
    (row) => row.planId,
  )
  const histories: DoseHistory[] = []
  const outcomes: SoftnessOutcome[] = []
  const before = (await modelsOf(flow)).adherence
  for (const one of plans) {
    const own = rows.get(one.planId) ?? []
    histories.push(...historiesOfPlan(learnedDays(own, (day) => answerBy(flow, day))))
    for (const ear of knownDays(own, () => true)) {
      if (ear.days.length === 0) continue
      const found = one.found[ear.ear]
      const kept = one.plan.ears.find((own) => own.ear === ear.ear)?.keptDoses ?? 0
      if (!found) continue
      outcomes.push({
        doses: [...new Array<number>(kept).fill(0), ...posterior(ear.days, before).done],
        found,
      })
    }
  }
  const { softening } = flow.rules
  await saveModel(flow, {
    adherence: fitPrior(histories, softening.adherence),
    link: refitSoftness(outcomes, softening.readiness),
  })
  return plans.length
}

interface FinishedPlan {
  planId: string
  plan: SofteningPlan
  found: Partial<Record<'left' | 'right', Softness>>
}

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
      left join procedure_record r on r.clinic_id = p.clinic_id and r.visit_id = p.visit_id
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
