/** The few files that browsers fetch, each under an address that changes with its content. */
import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

export interface Asset {
  body: Buffer
  type: string
  version: string
}

const script = 'text/javascript; charset=utf-8'
const files: Record<string, { from: URL; type: string }> = {
  'style.css': { from: new URL('style.css', import.meta.url), type: 'text/css; charset=utf-8' },
  'patient.css': { from: new URL('../patient/style.css', import.meta.url), type: 'text/css; charset=utf-8' },
  'handset.css': { from: new URL('../handset/style.css', import.meta.url), type: 'text/css; charset=utf-8' },
  'icon.svg': { from: new URL('icon.svg', import.meta.url), type: 'image/svg+xml; charset=utf-8' },
  'live.js': { from: new URL('live.js', import.meta.url), type: script },
  'deadline.js': { from: new URL('../clinician/deadline.js', import.meta.url), type: script },
  'passkey.js': { from: new URL('../staff/passkey.js', import.meta.url), type: script },
  'webauthn.js': {
    from: new URL('dist/bundle/index.umd.min.js', packageFolder('@simplewebauthn/browser')),
    type: script,
  },
}

function packageFolder(name: string): URL {
  const entry = import.meta.resolve(name)
  return new URL(`${entry.slice(0, entry.lastIndexOf(`/node_modules/${name}/`))}/node_modules/${name}/`)
}

const assets = new Map<string, Asset>(
  Object.entries(files).map(([name, { from, type }]) => {
    const body = readFileSync(fileURLToPath(from))
    return [name, { body, type, version: createHash('sha256').update(body).digest('hex').slice(0, 12) }]
  }),
)

export const findAsset = (name: string): Asset | undefined => assets.get(name)

/** @throws when there is no such asset */
export function assetPath(name: string): string {
  const asset = assets.get(name)
  if (!asset) throw new Error(`There is no asset ${name}.`)
  return `/assets/${name}?v=${asset.version}`
}
