/**
 * The software bill of materials: CycloneDX 1.6 in JSON, made from the lock file alone (cyclonedx.org/docs/1.6).
 * Pure: the same lock file and time give the same document but for its serial number, which is given too.
 */
import { z } from 'zod'

const lockedPackage = z.object({
  name: z.string().optional(),
  version: z.string(),
  license: z.string().optional(),
  integrity: z.string().optional(),
  dev: z.boolean().optional(),
  optional: z.boolean().optional(),
  dependencies: z.record(z.string(), z.string()).optional(),
  devDependencies: z.record(z.string(), z.string()).optional(),
  optionalDependencies: z.record(z.string(), z.string()).optional(),
})
export const lockSchema = z.object({
  name: z.string(),
  version: z.string(),
  lockfileVersion: z.literal(3),
  packages: z.record(z.string(), lockedPackage),
})
export type Lock = z.infer<typeof lockSchema>
type Locked = z.infer<typeof lockedPackage>

const FOLDER = 'node_modules/'
const nameOf = (path: string, { name }: Locked): string =>
  name ?? path.slice(path.lastIndexOf(FOLDER) + FOLDER.length)

/** A package URL; the @ of a scope is written %40 (purl specification). */
const purlOf = (name: string, version: string): string => `pkg:npm/${name.replace(/^@/, '%40')}@${version}`

// CycloneDX takes an id of the SPDX list, or an expression; what is neither is a name.
function licencesOf(license: string | undefined) {
  if (!license) return {}
  if (/ (OR|AND|WITH) /.test(license)) return { licenses: [{ expression: license }] }
  return { licenses: [{ license: /^[\w.+-]+$/.test(license) ? { id: license } : { name: license } }] }
}

function hashesOf(integrity: string | undefined) {
  const [, encoded] = /sha512-([A-Za-z0-9+/=]+)/.exec(integrity ?? '') ?? []
  return encoded
    ? { hashes: [{ alg: 'SHA-512', content: Buffer.from(encoded, 'base64').toString('hex') }] }
    : {}
}

/** The path of what `wanted` resolves to from `path`: the nearest folder upwards, as Node looks. */
function resolve(packages: Lock['packages'], path: string, wanted: string): string | null {
  const parts = path === '' ? [] : path.split(`/${FOLDER}`)
  for (let depth = parts.length; depth >= 0; depth -= 1) {
    const folder = parts.slice(0, depth).join(`/${FOLDER}`)
    const candidate = `${folder ? `${folder}/` : ''}${FOLDER}${wanted}`
    if (candidate in packages) return candidate
  }
  return null
}

/** `serial` is a UUID, `at` an RFC 3339 time. `licences` fills in what the lock file does not say, by name. */
export function cycloneDx(
  { name, version, packages }: Lock,
  { serial, at, licences = {} }: { serial: string; at: string; licences?: Readonly<Record<string, string>> },
) {
  const installed = Object.entries(packages).filter(([path]) => path !== '')
  // Two copies of one version are one component.
  const refOf = (path: string, one: Locked): string => purlOf(nameOf(path, one), one.version)
  const components = new Map(
    installed.map(([path, one]) => {
      const full = nameOf(path, one)
      const [group, short] = full.startsWith('@') ? full.split('/') : [undefined, full]
      return [
        refOf(path, one),
        {
          type: 'library',
          'bom-ref': refOf(path, one),
          ...(group && { group }),
          name: short as string,
          version: one.version,
          scope: one.dev || one.optional ? 'optional' : 'required',
          ...hashesOf(one.integrity),
          ...licencesOf(one.license ?? licences[full]),
          purl: refOf(path, one),
          ...(one.dev && { properties: [{ name: 'cdx:npm:package:development', value: 'true' }] }),
        },
      ] as const
    }),
  )
  const root = purlOf(name, version)
  const edges = new Map<string, Set<string>>()
  for (const [path, one] of Object.entries(packages)) {
    const ref = path === '' ? root : refOf(path, one)
    const list = edges.get(ref) ?? new Set<string>()
    edges.set(ref, list)
    const wanted = { ...one.dependencies, ...one.devDependencies, ...one.optionalDependencies }
    for (const dependency of Object.keys(wanted)) {
      const found = resolve(packages, path, dependency)
      if (found) list.add(refOf(found, packages[found] as Locked))
    }
  }
  return {
    $schema: 'http://cyclonedx.org/schema/bom-1.6.schema.json',
    bomFormat: 'CycloneDX',
    specVersion: '1.6',
    serialNumber: `urn:uuid:${serial}`,
    version: 1,
    metadata: {
      timestamp: at,
      component: { type: 'application', 'bom-ref': root, name, version, purl: root },
    },
    components: [...components.values()].sort((a, b) => (a['bom-ref'] < b['bom-ref'] ? -1 : 1)),
    dependencies: [...edges]
      .map(([ref, on]) => ({ ref, dependsOn: [...on].sort() }))
      .sort((a, b) => (a.ref < b.ref ? -1 : 1)),
  }
}

/** Licences of packages whose lock entry names none; read in their own package. */
export const KNOWN_LICENCES: Readonly<Record<string, string>> = { jstat: 'MIT' }
