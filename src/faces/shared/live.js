// Renews the marked parts of a page when the clinic's data changes. Without it the page still works: reload.
;(() => {
  const regions = () => [...document.querySelectorAll('[data-live]')]
  if (regions().length === 0 || !('EventSource' in window)) return
  let wanted = new Set()
  let timer = 0

  const busy = (region) => {
    const active = document.activeElement
    if (region.contains(active) && /^(INPUT|TEXTAREA|SELECT)$/.test(active.tagName)) return true
    return [...region.querySelectorAll('input, textarea, select')].some((field) =>
      field.type === 'checkbox' || field.type === 'radio'
        ? field.checked !== field.defaultChecked
        : field.tagName !== 'SELECT' && field.type !== 'hidden' && field.value !== field.defaultValue,
    )
  }

  // What is left of the time changes by itself, and our own note is no news.
  const content = (region) => {
    const copy = region.cloneNode(true)
    for (const part of copy.querySelectorAll('.due, .changed')) part.remove()
    return copy.innerHTML
  }

  const offer = (region, fresh) => {
    let note = region.querySelector('.changed')
    if (!note) {
      note = document.createElement('p')
      note.className = 'changed'
      note.setAttribute('role', 'status')
      region.prepend(note)
    }
    note.textContent = 'This has changed since you opened it. '
    const button = document.createElement('button')
    button.type = 'button'
    button.textContent = 'Show how it is now'
    button.addEventListener('click', () => region.replaceWith(fresh))
    note.append(button)
  }

  const renew = async () => {
    const topics = wanted
    wanted = new Set()
    const stale = regions().filter((region) =>
      region.dataset.live.split(' ').some((topic) => topics.has(topic) || topics.has('*')),
    )
    if (stale.length === 0) return
    const answer = await fetch(location.href, { headers: { accept: 'text/html' } })
    if (answer.redirected || answer.status === 401) return location.reload()
    if (!answer.ok) throw new Error(String(answer.status))
    const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html')
    for (const region of stale) {
      const next = fresh.getElementById(region.id)
      if (!next || content(next) === content(region)) continue
      if (busy(region)) offer(region, next)
      else region.replaceWith(next)
    }
  }

  const line = (open) => document.body.classList.toggle('line-down', !open)
  const changed = (topic, wait = 150) => {
    wanted.add(topic)
    clearTimeout(timer)
    timer = setTimeout(() => {
      renew().then(
        () => line(true),
        () => {
          // The page may be old: it says so, and tries until it has read again.
          line(false)
          changed('*', 5000)
        },
      )
    }, wait)
  }

  let source = null
  let later = 0
  const connect = () => {
    clearTimeout(later)
    source?.close()
    source = new EventSource('/live')
    source.addEventListener('change', (event) => changed(event.data))
    // What happened while the line was down is unknown: read everything again.
    source.addEventListener('again', () => changed('*'))
    source.addEventListener('ended', () => location.reload())
    source.addEventListener('error', () => {
      line(false)
      // The browser tries again by itself, but not after an answer that was no stream.
      if (source.readyState === EventSource.CLOSED) later = setTimeout(connect, 10_000)
    })
  }
  connect()
  // A page that nobody looks at gives its line back: browsers have few for one host.
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') connect()
    else {
      clearTimeout(later)
      source.close()
    }
  })
})()
