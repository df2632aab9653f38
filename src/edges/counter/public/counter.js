// Keeps the lists of the counter page fresh without a reload; everything works without it, too.
const live = document.getElementById('live');
if (live) {
  const events = new EventSource('/counter/events');
  events.addEventListener('changed', async () => {
    if (live.contains(document.activeElement) && document.activeElement.matches('input, textarea, select')) return;
    const answer = await fetch(location.href, { headers: { accept: 'text/html' } });
    if (!answer.ok) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById('live');
    const focused = document.activeElement?.getAttribute('href');
    if (fresh) live.replaceChildren(...fresh.childNodes);
    if (focused) [...live.querySelectorAll('a')].find((link) => link.getAttribute('href') === focused)?.focus();
  });
}
