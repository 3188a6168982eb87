/** A p-chart as SVG, drawn on the server; a mark's shape and words say what its colour says. */
import { type PChart, type PChartPoint, percent } from './statistics.ts'

export interface ChartWords {
  /** Unique on its page: the title and the description are found by it. */
  id: string
  title: string
  /** What the share is a share of, such as "visits that arrived unsoftened". */
  measure: string
  /** One label a point, in order, such as a month. */
  labels: readonly string[]
}

const WIDTH = 720
const HEIGHT = 320
const PLOT = { left: 64, right: 704, top: 24, bottom: 256 }

export const escapeXml = (text: string): string =>
  text
    // Control characters have no place in XML, not even escaped.
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
    .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g, '')
    .toWellFormed()
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replaceAll("'", '&#39;')

const fixed = (value: number): string => String(Math.round(value * 10) / 10)

/** The chart in one sentence after another, for those who do not see it. */
export function describeChart({ centre, points }: PChart, { measure, labels }: ChartWords): string {
  const out = points.flatMap((point, i) =>
    point.out === null ? [] : [`${labels[i]} (${percent(point.share)}, ${point.out} its limits)`],
  )
  const span = points.length === 1 ? '1 period' : `${points.length} periods`
  const beyond = out.length === 0 ? 'None lies beyond its limits.' : `Beyond its limits: ${out.join('; ')}.`
  return `Share of ${measure} in ${span}. The centre line is ${percent(centre)}. ${beyond}`
}

/** The whole chart as one `<svg>` element. Throws a RangeError where labels and points do not match. */
export function pChartSvg(chart: PChart, words: ChartWords): string {
  const { points, centre } = chart
  if (words.labels.length !== points.length)
    throw new RangeError(`The chart has ${points.length} points and ${words.labels.length} labels.`)
  const top = niceTop(Math.max(centre, ...points.flatMap(({ share, upper }) => [share, upper])))
  const slot = (PLOT.right - PLOT.left) / points.length
  const x = (i: number): number => PLOT.left + slot * (i + 0.5)
  const y = (share: number): number => PLOT.bottom - (share / top) * (PLOT.bottom - PLOT.top)
  const id = escapeXml(words.id)
  return [
    `<svg class="p-chart" role="img" aria-labelledby="${id}-title ${id}-desc" viewBox="0 0 ${WIDTH} ${HEIGHT}" xmlns="http://www.w3.org/2000/svg">`,
    `<title id="${id}-title">${escapeXml(words.title)}</title>`,
    `<desc id="${id}-desc">${escapeXml(describeChart(chart, words))}</desc>`,
    ...gridLines(top, y),
    stepLine(
      'limit upper',
      points.map(({ upper }) => y(upper)),
      slot,
    ),
    stepLine(
      'limit lower',
      points.map(({ lower }) => y(lower)),
      slot,
    ),
    `<line class="centre" x1="${PLOT.left}" x2="${PLOT.right}" y1="${fixed(y(centre))}" y2="${fixed(y(centre))}" fill="none" stroke="currentColor"/>`,
    `<polyline class="shares" points="${points.map(({ share }, i) => `${fixed(x(i))},${fixed(y(share))}`).join(' ')}" fill="none" stroke="currentColor"/>`,
    ...points.map((point, i) => mark(point, x(i), y(point.share))),
    ...axisLabels(words.labels, x),
    `<text class="key" x="${PLOT.left}" y="${HEIGHT - 12}" font-size="14">Line: centre ${percent(centre)}. Dashes: limits. Diamond: beyond its limits.</text>`,
    '</svg>',
  ].join('')
}

/** The least of a few shares, each with four whole steps, that everything fits under. */
function niceTop(most: number): number {
  return [0.04, 0.08, 0.2, 0.4, 0.6, 0.8].find((top) => most <= top) ?? 1
}

function gridLines(top: number, y: (share: number) => number): string[] {
  return [0, 0.25, 0.5, 0.75, 1].map((part) => {
    const at = fixed(y(part * top))
    return (
      `<line class="grid" x1="${PLOT.left}" x2="${PLOT.right}" y1="${at}" y2="${at}" stroke="currentColor" stroke-opacity="0.15"/>` +
      `<text class="scale" x="${PLOT.left - 8}" y="${at}" text-anchor="end" dominant-baseline="middle" font-size="14">${percent(part * top)}</text>`
    )
  })
}

/** A limit is flat across each period and dashed, so that it is not taken for the shares. */
function stepLine(name: string, heights: readonly number[], slot: number): string {
  const steps = heights.map((height, i) => {
    const from = fixed(PLOT.left + slot * i)
    return `${i === 0 ? 'M' : 'L'}${from},${fixed(height)}H${fixed(PLOT.left + slot * (i + 1))}`
  })
  return `<path class="${name}" d="${steps.join('')}" fill="none" stroke="currentColor" stroke-dasharray="6 4"/>`
}

/** A disc within the limits; beyond them a larger diamond with the word beside it. */
function mark({ share, out }: PChartPoint, cx: number, cy: number): string {
  const [x, y] = [fixed(cx), fixed(cy)]
  if (out === null) return `<circle class="within" cx="${x}" cy="${y}" r="4" fill="currentColor"/>`
  const textY = fixed(cy + (out === 'above' ? -12 : 22))
  return (
    `<path class="beyond" d="M${x},${fixed(cy - 8)}L${fixed(cx + 8)},${y}L${x},${fixed(cy + 8)}L${fixed(cx - 8)},${y}Z" fill="currentColor"/>` +
    `<text class="beyond" x="${x}" y="${textY}" text-anchor="middle" font-size="14">${percent(share)} ${out}</text>`
  )
}

/** At most about twelve labels, evenly spaced, the first and the last among them when they fit. */
function axisLabels(labels: readonly string[], x: (i: number) => number): string[] {
  const step = Math.ceil(labels.length / 12)
  return labels.flatMap((label, i) =>
    i % step === 0
      ? [
          `<text class="label" x="${fixed(x(i))}" y="${PLOT.bottom + 24}" text-anchor="middle" font-size="14">${escapeXml(label)}</text>`,
        ]
      : [],
  )
}
