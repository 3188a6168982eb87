/** Repeatable random numbers for the simulation and for tests. Never for secrets. */

export interface Random {
  /** Uniform in [0, 1). */
  uniform(): number
  /** True with chance p. */
  chance(p: number): boolean
  /** A whole number from 0 to below n. */
  below(n: number): number
  pick<T>(items: readonly T[]): T
  /** Normal with mean 0 and standard deviation 1. */
  normal(): number
  beta(a: number, b: number): number
  /** How many of n independent trials succeed. */
  binomial(n: number, p: number): number
  /** A stream of its own, which does not depend on how much was drawn from this one. */
  fork(label: string | number): Random
}

/** Four 32-bit words from a text: rounds of multiply and shift (the finaliser of MurmurHash3, public domain). */
function words(seed: string): [number, number, number, number] {
  const mix = (h: number): number => {
    let x = h
    x = Math.imul(x ^ (x >>> 16), 0x85ebca6b)
    x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35)
    return (x ^ (x >>> 16)) >>> 0
  }
  const from = (start: number): number =>
    [...seed].reduce((h, c) => mix(Math.imul(h ^ (c.codePointAt(0) as number), 0x9e3779b1)), mix(start))
  return [from(1), from(2), from(3), from(4)]
}

/** A generator seeded with any text or number: sfc32, 128 bits of state, which passes PractRand. */
export function seededRandom(seed: string | number): Random {
  const name = String(seed)
  let [a, b, c, counter] = words(name)
  const next = (): number => {
    const t = (a + b + counter) | 0
    counter = (counter + 1) | 0
    a = b ^ (b >>> 9)
    b = (c + (c << 3)) | 0
    c = ((c << 21) | (c >>> 11)) + t
    c |= 0
    return t >>> 0
  }
  for (let i = 0; i < 16; i++) next()
  // 53 bits: the upper 27 and 26 of two draws.
  const uniform = (): number => ((next() >>> 5) * 67_108_864 + (next() >>> 6)) / 9_007_199_254_740_992
  const chance = (p: number): boolean => uniform() < p
  const below = (n: number): number => Math.floor(uniform() * n)
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform())
  /** Gamma(shape, 1) by Marsaglia and Tsang, ACM Trans Math Softw 2000;26:363-72. */
  const gamma = (shape: number): number => {
    if (shape < 1) return gamma(shape + 1) * (1 - uniform()) ** (1 / shape)
    const d = shape - 1 / 3
    const k = 1 / Math.sqrt(9 * d)
    for (;;) {
      const z = normal()
      const v = (1 + k * z) ** 3
      if (v > 0 && Math.log(1 - uniform()) < z * z * 0.5 + d - d * v + d * Math.log(v)) return d * v
    }
  }
  return {
    uniform,
    chance,
    below,
    pick: <T>(items: readonly T[]): T => {
      if (items.length === 0) throw new RangeError('There is nothing to pick from.')
      return items[below(items.length)] as T
    },
    normal,
    beta: (alpha, beta) => {
      const x = gamma(alpha)
      const y = gamma(beta)
      return x + y > 0 ? x / (x + y) : chance(alpha / (alpha + beta)) ? 1 : 0
    },
    binomial: (n, p) => {
      let successes = 0
      for (let i = 0; i < n; i++) if (chance(p)) successes++
      return successes
    },
    fork: (label) => seededRandom(`${name}/${label}`),
  }
}
