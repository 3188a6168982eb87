/** Reads replies that were stored and then not read, because something fell in between. */
import { inFlow } from '../src/flow/context.ts'
import { handleReply, unreadReplies } from '../src/flow/replies.ts'
import type { Job } from '../src/jobs.ts'

export const readReplies: Job = {
  name: 'read-replies',
  schedule: '*/10 * * * * *',
  run: async (service, { clinicId }, { signal }) => {
    // Whoever took a reply in reads it at once; what is still unread after that is ours.
    const left = await inFlow(service, clinicId, (flow) =>
      unreadReplies(flow, flow.now.subtract({ seconds: 5 })),
    )
    for (const replyId of left) {
      if (signal.aborted) break
      await handleReply(service, clinicId, replyId)
    }
    return left.length
  },
}
