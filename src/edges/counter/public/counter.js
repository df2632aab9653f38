import { movable } from './diary.js';

// Keeps the lists of the counter page fresh without a reload; everything works without it, too.
const live = document.getElementById('live');
if (live) {
  movable(live);
  const refresh = async () => {
    if (live.contains(document.activeElement) && document.activeElement.matches('input, textarea, select')) return;
    if (live.querySelector('.moved')) return;
    const answer = await fetch(location.href, { headers: { accept: 'text/html' } }).catch(() => undefined);
    if (!answer?.ok) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById('live');
    const focused = document.activeElement?.getAttribute('href');
    const [across] = [live.querySelector('.scroll')?.scrollLeft ?? 0];
    if (fresh) live.replaceChildren(...fresh.childNodes);
    movable(live);
    const picture = live.querySelector('.scroll');
    if (picture) picture.scrollLeft = across;
    if (focused) [...live.querySelectorAll('a')].find((link) => link.getAttribute('href') === focused)?.focus();
  };
  const events = new EventSource('/counter/events');
  events.addEventListener('changed', refresh);
  // What changed while there was no connection was told to nobody here.
  let away = false;
  events.addEventListener('error', () => {
    away = true;
  });
  events.addEventListener('open', () => {
    if (away) void refresh();
    away = false;
  });
}

// A torque in newton metres beside what is typed: NIST SP 811, appendix B.8.
for (const field of document.querySelectorAll('[data-newton-metres]')) {
  const shown = document.getElementById(field.dataset.newtonMetres);
  const show = () => {
    shown.textContent = field.value === '' ? '' : `= ${(Number(field.value) * 0.1129848).toFixed(2)} N·m`;
  };
  field.addEventListener('input', show);
  show();
}
