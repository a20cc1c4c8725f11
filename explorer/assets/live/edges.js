// What sticks to the upper and the lower edge of the window: what is scrolled into view, or focused, stays clear of it.

const sticks = (element) => getComputedStyle(element).position === 'sticky' && element.offsetWidth > 0.9 * innerWidth;
const height = (element) => (sticks(element) ? element.offsetHeight : 0);

/**
 * Keeps what the style sheets scroll and arrange by, as properties of the page: --head, the height of the head where it sticks; --said, that
 * of the message under it; --over and --under, how much sticks to the two edges in all.
 */
export function watchEdges({ head, said, stage, foot }) {
  const { style } = document.documentElement;
  const measure = () => {
    const [top, message] = [height(head), said.offsetHeight];
    style.setProperty('--head', `${top}px`);
    style.setProperty('--said', `${message}px`);
    style.setProperty('--over', `${top + message + height(stage)}px`);
    style.setProperty('--under', `${height(foot)}px`);
  };
  const sizes = new ResizeObserver(measure);
  for (const element of [head, said, stage, foot]) sizes.observe(element);
  // Firefox scrolls what Tab reaches into the window, not clear of its edges.
  document.addEventListener('focusin', ({ target }) => {
    if (target.matches(':focus-visible')) target.scrollIntoView({ block: 'nearest', behavior: 'instant' });
  });
}
