/** Minimises a smooth function of a few numbers without derivatives. */

/**
 * The simplex method of Nelder and Mead (Comput J 1965;7:308-13) with their usual coefficients, restarted
 * once from its answer, because a single run can stall on a narrow ridge.
 */
export function minimise(
  f: (x: readonly number[]) => number,
  start: readonly number[],
  { step = 0.5, tolerance = 1e-9, rounds = 2000 } = {},
): { x: number[]; value: number } {
  const first = simplex(f, start, step, tolerance, rounds)
  return simplex(f, first.x, step / 4, tolerance, rounds)
}

interface Corner {
  x: number[]
  value: number
}

function simplex(
  f: (x: readonly number[]) => number,
  start: readonly number[],
  step: number,
  tolerance: number,
  rounds: number,
): Corner {
  const at = (x: number[]): Corner => ({ x, value: f(x) })
  const corners = [
    at([...start]),
    ...start.map((_, i) => at(start.map((value, j) => (i === j ? value + step : value)))),
  ]
  const order = (): void => {
    corners.sort((a, b) => a.value - b.value)
  }
  for (let round = 0; round < rounds; round++) {
    order()
    const best = corners[0] as Corner
    const worst = corners.at(-1) as Corner
    const nextWorst = corners.at(-2) as Corner
    if (worst.value - best.value < tolerance * (1 + Math.abs(best.value))) break
    const others = corners.slice(0, -1)
    const centre = start.map((_, i) => others.reduce((sum, c) => sum + (c.x[i] as number), 0) / others.length)
    const along = (t: number): Corner => at(centre.map((c, i) => c + t * ((worst.x[i] as number) - c)))
    const reflected = along(-1)
    let replacement: Corner | null = null
    if (reflected.value < best.value) {
      const expanded = along(-2)
      replacement = expanded.value < reflected.value ? expanded : reflected
    } else if (reflected.value < nextWorst.value) replacement = reflected
    else {
      const contracted = along(reflected.value < worst.value ? -0.5 : 0.5)
      if (contracted.value < Math.min(reflected.value, worst.value)) replacement = contracted
    }
    if (replacement) corners[corners.length - 1] = replacement
    else
      for (let i = 1; i < corners.length; i++) {
        const corner = corners[i] as Corner
        corners[i] = at(best.x.map((b, j) => (b + (corner.x[j] as number)) / 2))
      }
  }
  order()
  return corners[0] as Corner
}
