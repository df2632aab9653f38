/* global window */
// Moves and lengthens jobs in the picture of a day, by pointer and by keyboard. Nothing is sent before it is confirmed.
const QUARTER = 15;
const KEYS = {
  ArrowUp: [-QUARTER, 0],
  ArrowDown: [QUARTER, 0],
  ArrowLeft: [0, -1],
  ArrowRight: [0, 1],
};

const clock = (minutes, style) => {
  const at = new Date(2000, 0, 1, 0, minutes);
  return style === 'iso'
    ? `${String(at.getHours()).padStart(2, '0')}:${String(at.getMinutes()).padStart(2, '0')}`
    : at.toLocaleTimeString('en-US', { hour: 'numeric', minute: '2-digit' });
};

/** Makes the jobs of a picture movable, if the page has one with a form to confirm in. */
export function movable(root) {
  const picture = root.querySelector('svg[data-plan]');
  const form = document.getElementById('move');
  if (!picture || !form) return;
  const plan = JSON.parse(picture.dataset.plan);
  const status = form.querySelector('[role=status]');
  let moved = null;

  const placeOf = (bay) => plan.places.findIndex(({ id }) => id === bay);

  function draw(job) {
    const { link, from, place, hours } = job;
    const start = placeOf(link.dataset.bay);
    const across = plan.places[place].x - plan.places[start].x;
    const down = ((from - Number(link.dataset.from)) / 60) * plan.hour;
    link.setAttribute('transform', `translate(${across} ${down})`);
    const rect = link.querySelector('rect');
    rect.dataset.height ??= rect.getAttribute('height');
    const longer = ((hours - Number(link.dataset.hours)) * plan.hour) | 0;
    rect.setAttribute('height', Math.max(10, Number(rect.dataset.height) + longer));
  }

  function leave() {
    if (!moved) return;
    const { link } = moved;
    moved = null;
    link.classList.remove('moved');
    link.removeAttribute('transform');
    const rect = link.querySelector('rect');
    if (rect.dataset.height) rect.setAttribute('height', rect.dataset.height);
    form.hidden = true;
  }

  function take(link) {
    if (moved?.link === link) return moved;
    leave();
    const { from, bay, hours } = link.dataset;
    moved = { link, from: Number(from), place: placeOf(bay), hours: Number(hours) };
    link.classList.add('moved');
    return moved;
  }

  function change(job, minutes, places, hours = 0) {
    job.from = Math.min(24 * 60 - QUARTER, Math.max(0, job.from + minutes));
    job.place = Math.min(plan.places.length - 1, Math.max(0, job.place + places));
    job.hours = Math.max(0.25, job.hours + hours);
    draw(job);
    ask(job);
  }

  function ask({ link, from, place, hours }) {
    const { request, revision, verb, truck } = link.dataset;
    const bay = plan.places[place];
    form.action = `/counter/request/${request}/own-time`;
    const values = { revision, date: plan.date, from: clock(from, 'iso'), hours, bay: bay.id };
    for (const [name, value] of Object.entries(values)) form.elements[name].value = value;
    const words = { truck, bay: bay.name, time: clock(from), hours };
    const fill = (text) => text.replace(/\{(\w+)\}/g, (_, name) => words[name]);
    const longer = hours === Number(link.dataset.hours) ? '' : ` ${fill(status.dataset.longer)}`;
    status.textContent = fill(status.dataset.move) + longer;
    for (const button of form.querySelectorAll('button'))
      button.hidden = button.dataset.verb !== verb && button.dataset.verb !== 'leave';
    form.hidden = false;
  }

  for (const link of picture.querySelectorAll('a.movable')) {
    link.addEventListener('keydown', (event) => {
      const step = event.shiftKey ? KEYS[event.key] : undefined;
      const hours = { '+': 0.25, '=': 0.25, '-': -0.25 }[event.key];
      if (event.key === 'Escape') leave();
      else if (step) change(take(link), ...step);
      else if (hours) change(take(link), 0, 0, hours);
      else if (event.key === 'Enter' && moved?.link === link) form.querySelector('button:not([hidden])').focus();
      else return;
      event.preventDefault();
    });

    link.addEventListener('pointerdown', (down) => {
      if (down.button !== 0 || down.pointerType === 'touch') return;
      const begun = { from: Number(link.dataset.from), place: placeOf(link.dataset.bay) };
      if (moved?.link === link) Object.assign(begun, { from: moved.from, place: moved.place });
      let dragged = false;
      const scale = picture.getBoundingClientRect().width / picture.viewBox.baseVal.width;
      const width = plan.places[0].width * scale;
      const follow = (event) => {
        const [across, along] = [event.clientX - down.clientX, event.clientY - down.clientY];
        if (!dragged && Math.hypot(across, along) < 6) return;
        dragged = true;
        const job = take(link);
        const minutes = Math.round(((along / scale / plan.hour) * 60) / QUARTER) * QUARTER;
        const place = begun.place + Math.round(across / width);
        change(job, begun.from + minutes - job.from, place - job.place);
      };
      const end = () => {
        window.removeEventListener('pointermove', follow);
        window.removeEventListener('pointerup', end);
        if (dragged) link.addEventListener('click', (click) => click.preventDefault(), { once: true });
      };
      window.addEventListener('pointermove', follow);
      window.addEventListener('pointerup', end);
    });
    link.addEventListener('dragstart', (event) => event.preventDefault());
  }

  form.querySelector('[data-verb=leave]').addEventListener('click', () => {
    const link = moved?.link;
    leave();
    link?.focus();
  });
}
