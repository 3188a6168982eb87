/** Where the service may listen: a demo, which anybody may enter, on this machine only. */
import type { Config } from '../config.ts'
import { Trouble } from '../trouble.ts'
import { isLoopback } from './origin.ts'

/** @throws Trouble when these settings would open the pages to whom they must stay shut */
export function checkBind(config: Pick<Config, 'host' | 'publicUrl'>, clinicIsDemo: boolean): void {
  if (isLoopback(config.host)) {
    if (clinicIsDemo && config.publicUrl && !isLoopback(new URL(config.publicUrl).hostname)) {
      throw new Trouble(
        'The demo clinic lets anybody in, so it cannot have a public address: leave FOREAFT_PUBLIC_URL out, or start a real clinic.',
      )
    }
    return
  }
  if (clinicIsDemo) {
    throw new Trouble(
      `The demo clinic lets anybody in, so it only listens on this machine: set FOREAFT_HOST to 127.0.0.1, not ${config.host}.`,
    )
  }
  if (!config.publicUrl?.startsWith('https:')) {
    throw new Trouble(
      `Health data on ${config.host} needs https: set FOREAFT_PUBLIC_URL to the https address that your proxy answers.`,
    )
  }
}
