/** Which processes live, and what they are: for pid files that may be older than their number's present owner. */
import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'

export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM'
  }
}

/** The command line; '' when there is no such process. */
export function commandOf(pid: number): string {
  try {
    return execFileSync('ps', ['-ww', '-o', 'args=', '-p', String(pid)], { encoding: 'utf8' })
  } catch {
    // A machine without ps, or no such process.
    const file = `/proc/${pid}/cmdline`
    return existsSync(file) ? readFileSync(file, 'utf8').replaceAll('\0', ' ') : ''
  }
}

export const readLines = (file: string): string[] =>
  existsSync(file) ? readFileSync(file, 'utf8').split('\n') : []

/** The number in a pid file; 0 when there is none. */
export const readPid = (file: string): number => Number(readLines(file)[0] ?? 0) || 0

/** Whether this is another living process of Node. */
export const runsAsNode = (pid: number): boolean =>
  pid > 0 && pid !== process.pid && isAlive(pid) && commandOf(pid).includes('node')
