// The live part of the chat page. Without it every form still works by loading the page again.
const sheet = document.getElementById('sheet');
const form = document.getElementById('write');
const text = document.getElementById('text');
const photo = document.getElementById('photo');
const status = document.getElementById('status');
const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
document.cookie = `telltale_zone=${zone}; path=/; max-age=31536000; samesite=lax`;

const newId = () =>
  Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('');

const show = async () => {
  const answer = await fetch('/chat/lines');
  if (!answer.ok) return;
  const { html } = await answer.json();
  const fresh = document.createElement('ol');
  fresh.innerHTML = html;
  const before = sheet.lastElementChild?.id;
  const focused = document.activeElement?.closest('#sheet') !== null;
  const known = new Map([...sheet.children].map((line) => [line.id, line]));
  for (const line of [...fresh.children]) {
    const same = known.get(line.id);
    if (!same) sheet.append(line);
    else if (same.innerHTML !== line.innerHTML) same.replaceWith(line);
  }
  if (sheet.lastElementChild?.id !== before) {
    sheet.lastElementChild?.scrollIntoView({ block: 'nearest' });
    form.scrollIntoView({ block: 'end' });
    if (focused) text.focus({ preventScroll: true });
  }
};

// What cannot be fetched now comes with the next news, or when the connection is back.
let loading = Promise.resolve();
const load = () => {
  loading = loading.then(show).catch(() => undefined);
  return loading;
};

const post = async (url, body) => {
  status.textContent = '';
  try {
    const answer = await fetch(url, { method: 'POST', body, headers: { accept: 'application/json' } });
    const result = await answer.json().catch(() => ({}));
    if (!answer.ok) status.textContent = result.why ?? answer.statusText;
    return answer.ok;
  } catch {
    status.textContent = status.dataset.offline;
    return false;
  }
};

let pending = newId();
form.addEventListener('submit', async (event) => {
  event.preventDefault();
  if (text.value.trim() === '' && photo.files.length === 0) return;
  const body = new FormData();
  body.set('postId', pending);
  body.set('zone', zone);
  body.set('text', text.value);
  for (const file of photo.files) body.append('photo', file);
  if (await post('/chat/send', body)) {
    pending = newId();
    form.reset();
    text.focus();
  }
  await load();
});

text.addEventListener('keydown', (event) => {
  if (event.key !== 'Enter' || event.shiftKey || event.isComposing) return;
  event.preventDefault();
  form.requestSubmit();
});

sheet.addEventListener('submit', async (event) => {
  event.preventDefault();
  const body = new URLSearchParams({ data: event.submitter.value, postId: newId(), zone });
  for (const button of event.target.elements) button.disabled = true;
  if (!(await post('/chat/press', body))) for (const button of event.target.elements) button.disabled = false;
  text.focus({ preventScroll: true });
  await load();
});

if (sheet.dataset.open !== undefined) {
  const body = new URLSearchParams({ zone });
  if (sheet.dataset.open !== '') body.set('start', sheet.dataset.open);
  await post('/chat/open', body);
}

const events = new EventSource('/chat/events');
events.addEventListener('news', load);
events.addEventListener('open', () => {
  if (status.textContent === status.dataset.offline) status.textContent = '';
  return load();
});
form.scrollIntoView({ block: 'end' });
