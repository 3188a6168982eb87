/** The p-chart as a drawing: whole as XML, named for those who do not see it, and right in its places. */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { describeChart, escapeXml, pChartSvg } from '../../src/evidence/chart.ts'
import { pChart } from '../../src/evidence/statistics.ts'

const words = (labels: string[]) => ({
  id: 'c1',
  title: 'Unsoftened',
  measure: 'visits that arrived unsoftened',
  labels,
})
const CHART = pChart([
  { events: 2, total: 50 },
  { events: 3, total: 50 },
  { events: 20, total: 50 },
  { events: 2, total: 50 },
])
const SVG = pChartSvg(CHART, words(['Jan', 'Feb', 'Mar', 'Apr']))

/** Reads the tags of a drawing and throws where they do not nest or an attribute is not quoted. */
function checkNesting(svg: string): number {
  const open: string[] = []
  let tags = 0
  const rest = svg.replace(
    /<(\/?)([a-z]+)((?:\s[a-zA-Z:-]+[12]?="[^"<>]*")*)(\/?)>/g,
    (_, close, name, _attributes, self) => {
      tags++
      if (close) {
        if (open.pop() !== name) throw new Error(`</${name}> closes nothing`)
      } else if (!self) open.push(name)
      return ''
    },
  )
  if (open.length > 0) throw new Error(`<${open.join('><')}> is left open`)
  if (/[<>]|&(?!(amp|lt|gt|quot|#39);)/.test(rest)) throw new Error(`not escaped: ${rest}`)
  return tags
}

test('the checker of these tests can fail', () => {
  for (const wrong of ['<a><b></a></b>', '<a>', '<a>x & y</a>', '<a b=c/>', '<a>1 < 2</a>'])
    expect(() => checkNesting(wrong)).toThrow()
})

test('it is an image with a title and a description that say what it shows', () => {
  expect(SVG).toMatch(/^<svg class="p-chart" role="img" aria-labelledby="c1-title c1-desc"/)
  expect(SVG).toContain('<title id="c1-title">Unsoftened</title>')
  expect(SVG).toContain(
    '<desc id="c1-desc">Share of visits that arrived unsoftened in 4 periods. The centre line is 13.5%. Beyond its limits: Mar (40%, above its limits).</desc>',
  )
})

test('a point beyond its limits differs in shape and in words, not only in colour', () => {
  expect(SVG.match(/<circle class="within"/g)).toHaveLength(3)
  expect(SVG.match(/<path class="beyond"/g)).toHaveLength(1)
  expect(SVG).toContain('>40% above</text>')
  expect(SVG).not.toMatch(/#[0-9a-f]{3,6}"|rgb\(|style=/i)
})

test('limits are dashed and the centre line is not', () => {
  expect(SVG.match(/<path class="limit (upper|lower)"[^>]*stroke-dasharray/g)).toHaveLength(2)
  expect(SVG.match(/<line class="centre"[^>]*>/)?.[0]).not.toContain('dasharray')
})

test('places are in proportion: 0 at the foot, the top share at the head', () => {
  // The largest of shares and limits is 40 %, so that 40 % is the top: 24 to 256 high.
  const [first] = SVG.match(/<circle class="within" cx="[\d.]+" cy="([\d.]+)"/) ?? []
  expect(first).toContain(`cy="${256 - (0.04 / 0.4) * 232}"`)
  expect(SVG).toContain('d="M464,16')
})

test('each period has its own stretch of the limits, end to end', () => {
  const chart = pChart([
    { events: 20, total: 100 },
    { events: 80, total: 400 },
  ])
  const upper = pChartSvg(chart, words(['a', 'b'])).match(/<path class="limit upper" d="([^"]*)"/)?.[1]
  // Centre .2; .2 + 3 sqrt(.16/100) = .32 and .2 + 3 sqrt(.16/400) = .26; the top is .4.
  expect(upper).toBe('M64,70.4H384L384,105.2H704')
})

test('a point below its limits has its words below it, one above them above', () => {
  const chart = pChart([
    { events: 60, total: 100 },
    { events: 50, total: 100 },
    { events: 10, total: 100 },
    { events: 95, total: 100 },
  ])
  const svg = pChartSvg(chart, words(['a', 'b', 'c', 'd']))
  const placed = [
    ...svg.matchAll(
      /class="beyond" d="M[\d.]+,([\d.]+)[^>]*><text class="beyond" x="[\d.]+" y="([\d.]+)"[^>]*>[\d.]+% (above|below)/g,
    ),
  ]
  expect(placed.map(([, , , side]) => side)).toEqual(['below', 'above'])
  for (const [, top, text, side] of placed) expect(Number(text) > Number(top)).toBe(side === 'below')
})

test.each([
  [1, 1],
  [12, 12],
  [13, 7],
  [30, 10],
])('%d periods carry %d labels, evenly spaced from the first', (periods, shown) => {
  const chart = pChart(Array(periods).fill({ events: 1, total: 10 }))
  const svg = pChartSvg(chart, words(Array.from({ length: periods }, (_, i) => `W${i + 1}`)))
  const places = [...svg.matchAll(/<text class="label" x="([\d.]+)" y="280"[^>]*>(W\d+)</g)]
  expect(places).toHaveLength(shown)
  expect(places[0]?.[2]).toBe('W1')
  const gaps = places.slice(1).map((place, i) => Number(place[1]) - Number(places[i]?.[1]))
  for (const gap of gaps) expect(Math.abs(gap - (gaps[0] as number))).toBeLessThan(0.25)
})

test('in control, it says so', () => {
  const chart = pChart([{ events: 5, total: 50 }])
  expect(describeChart(chart, words(['Jan']))).toBe(
    'Share of visits that arrived unsoftened in 1 period. The centre line is 10%. None lies beyond its limits.',
  )
})

test('labels and points must match', () => {
  expect(() => pChartSvg(CHART, words(['Jan']))).toThrow('The chart has 4 points and 1 labels.')
})

const count = fc
  .nat(500)
  .chain((n) => fc.record({ events: fc.nat(n), total: fc.constant(n) }))
  .filter(({ total }) => total > 0)

test('whatever the words and the numbers, it nests, is escaped and stays on its page', () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(count, fc.string({ unit: 'binary' })), { minLength: 1, maxLength: 60 }),
      fc.string({ unit: 'binary' }),
      (rows, text) => {
        const chart = pChart(rows.map(([counts]) => counts))
        const svg = pChartSvg(chart, {
          id: text,
          title: text,
          measure: text,
          labels: rows.map(([, label]) => label),
        })
        expect(checkNesting(svg)).toBeGreaterThan(10)
        expect(svg).not.toMatch(/NaN|Infinity|undefined/)
        for (const [, y] of svg.matchAll(/ c?y[12]?="(-?[\d.]+)"/g)) {
          expect(Number(y)).toBeGreaterThanOrEqual(0)
          expect(Number(y)).toBeLessThanOrEqual(320)
        }
        expect((svg.match(/<text class="label"/g) ?? []).length).toBeLessThanOrEqual(12)
      },
    ),
    { numRuns: 100 },
  )
})

test('what XML cannot hold is left out', () => {
  expect(escapeXml('a\u0000b\u000bc<&>"\'\ud800')).toBe('abc&lt;&amp;&gt;&quot;&#39;\ufffd')
})
