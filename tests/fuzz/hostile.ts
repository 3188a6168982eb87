/** Hostile values, bodies, addresses and headers, all from one seed. */

export interface Random {
  /** In [0, 1). */
  next(): number
  below(n: number): number
  pick<T>(list: readonly T[]): T
  chance(p: number): boolean
  bytes(n: number): Buffer
}

/** mulberry32: small, and the same everywhere. */
export function seeded(seed: number): Random {
  let state = seed >>> 0
  const next = () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
  const below = (n: number) => Math.floor(next() * n)
  return {
    next,
    below,
    pick: (list) => list[below(list.length)] as (typeof list)[number],
    chance: (p) => next() < p,
    bytes: (n) => Buffer.from(Array.from({ length: n }, () => below(256))),
  }
}

const texts = [
  '',
  ' ',
  '\0',
  'a\0b',
  '\uD800',
  '\uDFFF\uD83D',
  '\uFEFF',
  '\u202E\u0000\u2028',
  'ﷺ'.repeat(50),
  'e\u0301'.repeat(200),
  '👩‍⚕️',
  "'; drop table patient; --",
  '" or 1=1 --',
  '<script>alert(1)</script>',
  '"><img src=x onerror=alert(1)>',
  '{{7*7}}#{7*7}<%= 7*7 %>',
  '../../../../etc/passwd',
  '..\\..\\windows',
  '%00%0d%0aSet-Cookie: a=b',
  '\r\nSet-Cookie: a=b',
  '=HYPERLINK("http://other.example")',
  '__proto__',
  'constructor',
  'toString',
  'null',
  'undefined',
  'NaN',
  'true',
  '-1',
  '0',
  '-0',
  '1e309',
  '99999999999999999999',
  '2147483648',
  '9007199254740993',
  '0x10',
  '١٢٣',
  '0000-00-00',
  '2026-02-30',
  '2026-13-01',
  '9999-12-31T23:59:60Z',
  '+292278994-08-17T07:12:55Z',
  '-000000-01-01',
  '2026-03-29T01:30',
  '24:00',
  '+447700900123',
  '+'.repeat(40),
  'a@b',
  `${'a'.repeat(300)}@clinic.example`,
  '00000000-0000-0000-0000-000000000000',
  'ffffffff-ffff-ffff-ffff-ffffffffffff',
  '//other.example',
  'javascript:alert(1)',
  '(a+)+$',
  'https://[::1]:99999/',
] as const

export function hostileText(random: Random, known: readonly string[] = []): string {
  const kind = random.below(10)
  if (kind < 5) return random.pick(texts)
  if (kind === 5 && known.length > 0) return random.pick(known)
  if (kind === 6)
    return random
      .pick(texts)
      .repeat(1 + random.below(200))
      .slice(0, 20_000)
  if (kind === 7) return random.bytes(random.below(200)).toString('latin1')
  if (kind === 8) {
    const units = Array.from({ length: random.below(60) }, () => String.fromCharCode(random.below(65_536)))
    return units.join('')
  }
  return random.pick(texts) + random.pick(texts)
}

function hostileJson(random: Random, depth: number, names: readonly string[]): unknown {
  const kind = random.below(depth > 3 ? 6 : 9)
  if (kind === 0) return null
  if (kind === 1) return random.chance(0.5)
  if (kind === 2) return random.pick([0, -1, 1e308, -1e-308, 2 ** 53, 0.1, 4_294_967_296])
  if (kind < 6) return hostileText(random)
  if (kind === 6) return Array.from({ length: random.below(6) }, () => hostileJson(random, depth + 1, names))
  const keys = Array.from({ length: random.below(6) }, () =>
    random.chance(0.7) ? random.pick(names.length > 0 ? names : ['a']) : hostileText(random),
  )
  return Object.fromEntries(keys.map((key) => [key, hostileJson(random, depth + 1, names)]))
}

export interface Body {
  type: string | undefined
  content: Buffer
}

const column = [
  'reference',
  'name',
  'mobile',
  'email',
  'birth_date',
  'start',
  'minutes',
  'practitioner',
  'purpose',
  'ears',
  'status',
]

function csvBody(random: Random): string {
  const separator = random.pick([',', ',', ',', ';', '\t', '\0'])
  const end = random.pick(['\r\n', '\n', '\r', '\n\r'])
  const cell = () => {
    const text = hostileText(random)
    return random.pick([text, `"${text.replaceAll('"', '""')}"`, `"${text}`, `${text}"`, `""${text}""`])
  }
  const header = random.chance(0.7)
    ? column.join(separator)
    : Array.from({ length: random.below(40) }, cell).join(separator)
  const rows = Array.from({ length: random.below(12) }, () =>
    Array.from({ length: random.pick([11, 11, 11, 1, 0, 60]) }, cell).join(separator),
  )
  return random.pick(['', '', '\uFEFF']) + [header, ...rows].join(end)
}

function multipartBody(random: Random, fields: [string, string][]): Body {
  const boundary = random.pick(['x', 'x', '----b', '', '"', 'a'.repeat(300)])
  const parts = fields.map(([name, value]) => {
    const file = random.chance(0.3) ? `; filename="${hostileText(random).slice(0, 60)}"` : ''
    const type = random.chance(0.3)
      ? `\r\nContent-Type: ${random.pick(['text/csv', 'image/png', '\0', 'a/b; c'])}`
      : ''
    const gap = random.pick(['\r\n\r\n', '\r\n\r\n', '\n\n', '\r\n', ''])
    return `--${boundary}\r\nContent-Disposition: form-data; name="${name}"${file}${type}${gap}${value}\r\n`
  })
  const end = random.pick([`--${boundary}--\r\n`, `--${boundary}--`, '', '--'])
  const told = random.pick([boundary, boundary, boundary, 'other', `"${boundary}"`])
  return { type: `multipart/form-data; boundary=${told}`, content: Buffer.from(parts.join('') + end) }
}

const encode = (text: string) => {
  try {
    return encodeURIComponent(text)
  } catch {
    return '%ED%A0%80'
  }
}

/** A form that is right but for one field or two. */
export function nearBody(random: Random, fields: [string, string][], known: readonly string[]): Body {
  const spoilt = fields.map(([name, value]): [string, string] => [name, value])
  for (let i = 0; i <= random.below(2) && random.chance(0.85); i += 1) {
    const field = spoilt[random.below(Math.max(1, spoilt.length))]
    if (field && field[0] !== 'csrf') field[1] = hostileText(random, known)
  }
  const content = spoilt.map(([name, value]) => `${encode(name)}=${encode(value)}`).join('&')
  return { type: 'application/x-www-form-urlencoded', content: Buffer.from(content) }
}

/** A body of any kind; `fields` are names (and good values) that some page knows. */
export function hostileBody(random: Random, fields: [string, string][]): Body {
  const names = fields.map(([name]) => name)
  const mutated = fields.flatMap(([name, value]): [string, string][] => {
    const roll = random.below(10)
    if (roll < 5) return [[name, value]]
    if (roll < 8) return [[name, hostileText(random)]]
    if (roll === 8) return []
    return [
      [name, value],
      [random.chance(0.5) ? name : `${name}[]`, hostileText(random)],
    ]
  })
  if (random.chance(0.2)) mutated.push([hostileText(random).slice(0, 100), hostileText(random)])
  switch (random.below(9)) {
    case 0:
    case 1:
    case 2: {
      const content = mutated.map(([name, value]) => `${encode(name)}=${encode(value)}`).join('&')
      return { type: 'application/x-www-form-urlencoded', content: Buffer.from(content) }
    }
    case 3:
      return multipartBody(random, mutated)
    case 4: {
      const text = JSON.stringify(hostileJson(random, 0, names)) ?? ''
      const cut = random.chance(0.2) ? text.slice(0, random.below(text.length + 1)) : text
      return { type: 'application/json', content: Buffer.from(cut) }
    }
    case 5: {
      const deep = 1 + random.below(3000)
      return {
        type: 'application/json',
        content: Buffer.from(random.chance(0.5) ? '['.repeat(deep) : `${'{"a":'.repeat(deep)}1`),
      }
    }
    case 6:
      return {
        type: random.pick(['text/csv', 'text/csv; charset=utf-16']),
        content: Buffer.from(csvBody(random)),
      }
    case 7: {
      const many = Array.from(
        { length: random.below(2000) },
        (_, i) => `${random.pick(['a', 'a[b]', '__proto__', '%zz', `f${i}`])}=${i}`,
      )
      return {
        type: 'application/x-www-form-urlencoded',
        content: Buffer.from(many.join(random.pick(['&', ';', '&&=']))),
      }
    }
    default:
      return {
        type: random.pick([
          undefined,
          'text/plain',
          'application/json',
          'application/x-www-form-urlencoded',
          'multipart/form-data',
          '\u00ff',
          'a/b',
        ]),
        content: random.bytes(random.pick([0, 1, 50, 500, 3000])),
      }
  }
}

/** A piece of an address. */
export function hostileSegment(random: Random, known: readonly string[]): string {
  return random.chance(0.4) && known.length > 0
    ? random.pick(known)
    : random.pick([
        '%00',
        '%ff',
        '%',
        '%2e%2e',
        '..%2f',
        'a'.repeat(3000),
        '%F0%9F%91%82',
        '-1',
        '__proto__',
        encode(hostileText(random)).slice(0, 500),
      ])
}

export function hostileHeaders(random: Random): Record<string, string> {
  const odd: [string, () => string][] = [
    ['host', () => random.pick(['', 'other.example', '127.0.0.1:99999', '[::1', 'a b', '@'])],
    ['origin', () => random.pick(['null', '', 'x', 'https://other.example', 'http://'])],
    ['x-forwarded-for', () => random.pick(['', ',', 'a'.repeat(5000), '::1', '192.0.2.1, '])],
    ['x-csrf', () => random.bytes(20).toString('base64url')],
    ['accept', () => random.pick(['', 'application/json', '*/*;q=x'])],
    ['user-agent', () => random.pick(['', 'a'.repeat(5000)])],
    ['content-encoding', () => random.pick(['gzip', 'br', 'x'])],
    ['if-none-match', () => '"'],
    ['last-event-id', () => random.pick(['', '-1', 'a'.repeat(100)])],
    ['content-length', () => random.pick(['-1', 'x', '999999999999'])],
  ]
  if (random.chance(0.85)) return {}
  const [name, value] = random.pick(odd)
  return { [name]: value() }
}
