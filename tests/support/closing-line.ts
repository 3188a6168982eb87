/** Ends the run with one plain line of counts, for whoever reads only the end. */
import type { Reporter, TestModule } from 'vitest/node'

export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[], errors: readonly unknown[]): void {
    const count = { passed: 0, failed: errors.length, skipped: 0 }
    for (const module of modules) {
      const tests = [...module.children.allTests()]
      if (tests.length === 0 && module.state() === 'failed') count.failed += 1
      for (const test of tests) {
        const state = test.result().state
        count[state === 'passed' || state === 'failed' ? state : 'skipped'] += 1
      }
    }
    // Written after the default reporter's summary, which is printed in the same event.
    setTimeout(() => {
      const skipped = count.skipped > 0 ? `, ${count.skipped} skipped` : ''
      process.stdout.write(`\n${count.passed} passed, ${count.failed} failed${skipped}\n`)
    }, 0)
  }
}
