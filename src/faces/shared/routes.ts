/** Style, scripts and the stream of changes: what the pages of every face fetch. */
import type { App } from '../../access/env.ts'
import { refuse, route } from '../../access/route.ts'
import { findAsset } from './assets.ts'
import { streamChanges } from './live.ts'

export function mount(app: App): void {
  route(app, 'get', '/assets/:name', 'public', (c) => {
    const asset = findAsset(c.req.param('name'))
    if (!asset) return refuse(404, 'There is no such file.')
    const kept = c.req.query('v') === asset.version
    return c.body(new Uint8Array(asset.body), 200, {
      'content-type': asset.type,
      'cache-control': kept ? 'public, max-age=31536000, immutable' : 'no-cache',
    })
  })
  route(app, 'get', '/live', 'account', streamChanges())
}
