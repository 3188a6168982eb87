// Keeps "in 40 minutes" true while a page stands open. Without it the time of day beside it still holds.
;(() => {
  const opened = performance.now()
  const plural = (n, one) => (n === 1 ? `1 ${one}` : `${n} ${one}s`)
  const span = (ms) => {
    const minutes = Math.floor(Math.abs(ms) / 60000)
    if (minutes < 1) return 'less than a minute'
    if (minutes < 60) return plural(minutes, 'minute')
    const hours = Math.floor(minutes / 60)
    if (hours < 6 && minutes % 60 > 0) return `${plural(hours, 'hour')} ${plural(minutes % 60, 'minute')}`
    return hours < 48 ? plural(hours, 'hour') : plural(Math.floor(hours / 24), 'day')
  }
  const tick = () => {
    for (const line of document.querySelectorAll('[data-left]')) {
      // The server's own clock, not this machine's; a part that was renewed counts from its renewal.
      line.dataset.since ??= String(performance.now() - opened < 1500 ? opened : performance.now())
      const left = Number(line.dataset.left) - (performance.now() - Number(line.dataset.since))
      const words =
        left > 0
          ? `by ${line.dataset.by}, in ${span(left)}`
          : `OVERDUE by ${span(left)}: it was due ${line.dataset.by}`
      if (line.textContent !== words) line.textContent = words
      line.closest('.due')?.classList.toggle('overdue', left <= 0)
    }
  }
  tick()
  setInterval(tick, 5000)
})()
