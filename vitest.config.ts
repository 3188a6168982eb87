import { defineConfig } from 'vitest/config'

const database = ['tests/database/**/*.test.ts', 'tests/simulation/**/*.test.ts']
const browser = ['tests/browser/**/*.test.ts']

export default defineConfig({
  test: {
    reporters: ['default', './tests/support/closing-line.ts'],
    projects: [
      {
        test: {
          name: 'pure',
          include: ['tests/**/*.test.ts'],
          exclude: [...database, ...browser],
          testTimeout: 30_000,
        },
      },
      {
        test: {
          name: 'database',
          include: database,
          globalSetup: ['tests/support/server.ts'],
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
      {
        test: {
          name: 'browser',
          include: browser,
          globalSetup: ['tests/support/server.ts', 'tests/support/browser.ts'],
          testTimeout: 120_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
})
