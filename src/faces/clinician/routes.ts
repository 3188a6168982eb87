import type { App } from '../../access/env.ts'

export function mount(_app: App): void {}
