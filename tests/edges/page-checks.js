/* global window, document */
// Runs inside a page, in the browser, beside axe-core.
window.checks = {
  /** What axe-core finds, by its rules for WCAG and its own best practices. */
  async findings() {
    const { violations } = await window.axe.run();
    return violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html.slice(0, 200)}`));
  },

  /** By how many pixels the page is wider than its window. */
  tooWide() {
    return document.documentElement.scrollWidth - document.documentElement.clientWidth;
  },

  /** Marks everything that the Tab key should reach, and answers how much that is. */
  markStops() {
    document.activeElement?.blur();
    const groups = new Set();
    const stops = [...document.querySelectorAll('a[href], button, input, select, textarea, summary')].filter(
      (element) => {
        if (!element.checkVisibility() || element.matches('[type=hidden], [disabled]')) return false;
        // The Tab key enters a group of radio buttons once; the arrow keys move within it.
        if (element.type !== 'radio') return true;
        const first = !groups.has(element.name);
        groups.add(element.name);
        return first;
      },
    );
    stops.forEach((element, index) => element.setAttribute('data-stop', String(index)));
    return stops.length;
  },

  /** Takes the mark off what has the focus. */
  reach() {
    document.activeElement?.removeAttribute('data-stop');
  },

  /** Marked things that were not reached. */
  passedBy() {
    return [...document.querySelectorAll('[data-stop]')].map((element) => element.outerHTML.slice(0, 160));
  },
};
