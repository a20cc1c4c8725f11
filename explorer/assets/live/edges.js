// What sticks to the upper and the lower edge of the window: what is scrolled into view, or focused, stays clear of it.

const sticks = (element) => getComputedStyle(element).position === 'sticky' && element.offsetWidth > 0.9 * innerWidth;
const reach = (elements) => Math.max(0, ...[...elements].filter(sticks).map((element) => element.offsetHeight));

/** Keeps --over and --under of the page as high as what sticks there; the style sheets scroll by them. */
export function watchEdges(over, under) {
  const { style } = document.documentElement;
  const measure = () => {
    style.setProperty('--over', `${reach(over)}px`);
    style.setProperty('--under', `${reach(under)}px`);
  };
  const sizes = new ResizeObserver(measure);
  for (const element of [...over, ...under]) sizes.observe(element);
}
