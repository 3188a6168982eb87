import { expect, test } from 'vitest'
import { stayOption, totalCost } from '../../../src/softening/moves/options.ts'
import { movesModel, planMoves } from '../../../src/softening/moves/plan.ts'
import { search } from '../../../src/softening/moves/search.ts'
import { smallDocument } from './cases.ts'

test('a search that is cut short says so and keeps the best plan so far', () => {
  const doc = smallDocument(0)
  const model = movesModel(doc)
  const stays = model.visits.map((visit) => stayOption(model, visit))
  // Not even one look is allowed.
  const cut = search(model, stays, stays, 0)
  expect(cut).toEqual({ chosen: stays, complete: false })
  expect(totalCost(cut.chosen) / 1e6).toBeGreaterThanOrEqual(planMoves(doc).cost)
})
