// Elements made, numbers written, and what is said aloud.

const SVG = "http://www.w3.org/2000/svg";

export const by = (id) => document.getElementById(id);

function filled(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "on") {
      for (const [event, does] of Object.entries(value)) node.addEventListener(event, does);
    } else if (value === true) {
      node.setAttribute(name, "");
    } else if (value !== false && value !== undefined) {
      node.setAttribute(name, value);
    }
  }
  node.append(...children.filter((child) => child !== undefined && child !== null));
  return node;
}

/** An HTML element; {on: {click: f}} listens. Texts go in as texts, never as markup. */
export function element(name, attributes = {}, ...children) {
  return filled(document.createElement(name), attributes, children);
}

/** The same of SVG. */
export function drawn(name, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG, name), attributes, children);
}

export function button(text, does, attributes = {}) {
  return element("button", { type: "button", ...attributes, on: { click: does } }, text);
}

export const smallButton = (text, does, attributes = {}) =>
  button(text, does, { class: "small-button", ...attributes });

const withMinus = (text) => text.replace("-", "\u2212");

/** "+0.067", "−0.335". */
export function signed(value, digits = 3) {
  const text = value.toFixed(digits);
  return withMinus(value >= 0 ? `+${text}` : text);
}

export const plain = (value, digits = 3) => withMinus(value.toFixed(digits));

export const percent = (share, digits = 1) => `${(100 * share).toFixed(digits)}%`;

export const plusMinus = (value) => `\u00b1\u00a0${value.toFixed(3)}`;

const NUMBERS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
                 "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen"];

/** "five checkers". */
export function checkersWords(count) {
  return `${NUMBERS[count] ?? count} ${count === 1 ? "checker" : "checkers"}`;
}

/** Read out by a screen reader. The same words twice are said twice. */
export function announce(text) {
  const place = by("announcements");
  place.textContent = place.textContent === text ? `${text}\u00a0` : text;
}

/** Draws a place anew; what had the focus is known again by its name. */
export function keepingFocus(place, draws) {
  const nameOf = (node) => node.getAttribute("aria-label") ?? node.textContent;
  const had = place.contains(document.activeElement) ? document.activeElement : null;
  draws();
  if (!had) return;
  const again = [...place.querySelectorAll(had.localName)].find((node) =>
      nameOf(node) === nameOf(had));
  again?.focus({ preventScroll: true });
}

/** What went wrong, in its place; "" takes it away. */
export function complain(place, text) {
  place.textContent = text;
  place.hidden = text === "";
}

/** Gives the reader's browser a file to keep. */
export function download(name, type, content) {
  const address = URL.createObjectURL(new Blob([content], { type }));
  element("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}
