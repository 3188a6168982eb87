/** The few functions of the independent library that the tests use. */
declare module 'jstat' {
  interface Distribution {
    pdf(x: number, ...parameters: number[]): number
    cdf(x: number, ...parameters: number[]): number
    inv(p: number, ...parameters: number[]): number
  }
  const jstat: {
    gammaln(x: number): number
    betaln(a: number, b: number): number
    combination(n: number, k: number): number
    beta: Distribution
    binomial: Distribution
  }
  export default jstat
}
