// Making elements without markup in strings.

/** An HTML element with properties (or attributes) and children. */
export function element(name, given = {}, children = []) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(given)) {
    if (key === 'data') Object.assign(made.dataset, value);
    else if (key in made && key !== 'list' && key !== 'form') made[key] = value;
    else made.setAttribute(key, value);
  }
  made.append(...children);
  return made;
}

/** Words of an element: the same ones once more would cost the browser a layout, so they are left. */
export function say(home, words) {
  if (home.textContent !== words) home.textContent = words;
}

/** An attribute of an element, left where it is the same. */
export function attribute(home, name, value) {
  if (home.getAttribute(name) !== String(value)) home.setAttribute(name, value);
}

/** Hands a file to the user; it never passes through the server again. */
export function save(blob, name) {
  // Overtaken by the same once more.
  if (!blob) return;
  const link = element('a', { href: URL.createObjectURL(blob), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
