import { defineConfig } from 'vitest/config'

/** The tests of the scorer and the scope rules, on findings and sentences built by hand: none runs the whole reader, so that a mutant takes a fraction of a second. */
export default defineConfig({
  test: {
    include: [
      'tests/replies/score{,-cases,-reasons}.test.ts',
      'tests/replies/{person,time}.test.ts',
      'tests/replies/scope-{denied,said-asked,asked,words}.test.ts',
    ],
    isolate: false,
    pool: 'threads',
    fileParallelism: false,
    testTimeout: 10_000,
    watch: false,
  },
})
