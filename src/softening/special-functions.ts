/** The few special functions that the beta-binomial needs. */

const LANCZOS = [
  0.999_999_999_999_809_93, 676.520_368_121_885_1, -1259.139_216_722_402_8, 771.323_428_777_653_13,
  -176.615_029_162_140_59, 12.507_343_278_686_905, -0.138_571_095_265_720_12, 9.984_369_578_019_571_6e-6,
  1.505_632_735_149_311_6e-7,
]

/** ln Gamma(x) for x > 0, by the Lanczos approximation (g = 7, 9 terms), to about 1e-14. */
export function logGamma(x: number): number {
  const z = x - 1
  const t = z + 7.5
  const series = LANCZOS.reduce((sum, c, i) => (i === 0 ? c : sum + c / (z + i)), 0)
  return 0.5 * Math.log(2 * Math.PI) + (z + 0.5) * Math.log(t) - t + Math.log(series)
}

/** ln B(a, b). */
export const logBeta = (a: number, b: number): number => logGamma(a) + logGamma(b) - logGamma(a + b)

/** ln of n choose k. */
export const logChoose = (n: number, k: number): number =>
  logGamma(n + 1) - logGamma(k + 1) - logGamma(n - k + 1)

/** n choose k, exact for small n. */
export function choose(n: number, k: number): number {
  let value = 1
  for (let i = 1; i <= k; i++) value = (value * (n - k + i)) / i
  return value
}

/** The continued fraction of the incomplete beta function, by the modified Lentz method. */
function betaFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300
  const away = (value: number): number => (Math.abs(value) < tiny ? tiny : value)
  let c = 1
  let d = 1 / away(1 - ((a + b) * x) / (a + 1))
  let fraction = d
  for (let m = 1; m <= 1000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 / away(1 + even * d)
    c = away(1 + even / c)
    fraction *= d * c
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 / away(1 + odd * d)
    c = away(1 + odd / c)
    fraction *= d * c
    if (Math.abs(d * c - 1) < 1e-15) break
  }
  return fraction
}

/** P(X <= x) for X ~ Beta(a, b). */
export function betaCdf(x: number, a: number, b: number): number {
  if (x <= 0) return 0
  if (x >= 1) return 1
  const front = Math.exp(a * Math.log(x) + b * Math.log1p(-x) - logBeta(a, b))
  return x < (a + 1) / (a + b + 2)
    ? (front * betaFraction(x, a, b)) / a
    : 1 - (front * betaFraction(1 - x, b, a)) / b
}

/** The x in [0, 1] at which an increasing function reaches `target`, by halving down to adjacent numbers. */
export function solveIncreasing(f: (x: number) => number, target: number): number {
  let low = 0
  let high = 1
  for (let i = 0; i < 200; i++) {
    const middle = (low + high) / 2
    if (middle === low || middle === high) break
    if (f(middle) < target) low = middle
    else high = middle
  }
  return high
}

/** P(k of n) of the beta-binomial distribution. */
export const betaBinomial = (k: number, n: number, a: number, b: number): number =>
  Math.exp(logChoose(n, k) + logBeta(a + k, b + n - k) - logBeta(a, b))

/** P(0), P(1), ... P(n) of the beta-binomial, each from the one before it. */
export function betaBinomialAll(n: number, a: number, b: number): number[] {
  const all = new Array<number>(n + 1)
  let p = 1
  for (let i = 0; i < n; i++) p *= (b + i) / (a + b + i)
  for (let k = 0; k <= n; k++) {
    all[k] = p
    p *= ((n - k) * (a + k)) / ((k + 1) * (b + n - k - 1))
  }
  return all
}

export const logistic = (x: number): number => 1 / (1 + Math.exp(-x))
export const logit = (p: number): number => Math.log(p / (1 - p))
