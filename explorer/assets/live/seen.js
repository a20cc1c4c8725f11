// What nobody sees is not drawn: it waits until it comes near the window.

/** A function that calls `draw` when `home` is near the window, within `margin` of it, at once or as soon as it comes near. */
export function whenSeen(home, draw, margin = '300px') {
  let [seen, due] = [false, false];
  new IntersectionObserver((entries) => {
    seen = entries[entries.length - 1].isIntersecting;
    if (!seen || !due) return;
    due = false;
    draw();
  }, { rootMargin: margin }).observe(home);
  return () => {
    if (seen) draw();
    else due = true;
  };
}
