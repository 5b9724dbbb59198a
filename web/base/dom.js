// Makes elements without HTML text: one helper for HTML, one for SVG, and a few words on top.

/** @typedef {Node | string | number | null | undefined | false} Child */

/**
 * @typedef {object} Properties
 * @property {string} [class]
 * @property {Record<string, (event: any) => void>} [on] Listeners by event name.
 * @property {Record<string, string | number>} [style] Custom properties and styles, set through the CSSOM.
 */

/**
 * An element with attributes, listeners and children.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Properties & Record<string, unknown>} [properties] Everything but `on`, `style` and the live
 *   properties of form controls is an attribute; false and null leave it out.
 * @param {...Child} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function h(tag, properties = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (value === null || value === undefined || value === false) continue;
    if (name === "on") {
      for (const [event, listener] of Object.entries(properties.on ?? {})) element.addEventListener(event, listener);
    } else if (name === "style") {
      for (const [key, text] of Object.entries(properties.style ?? {})) element.style.setProperty(key, String(text));
    } else if (name === "value" || name === "checked" || name === "disabled" || name === "selected") {
      Reflect.set(element, name, value);
    } else {
      element.setAttribute(name, value === true ? "" : String(value));
    }
  }
  put(element, ...children);
  return element;
}

/**
 * An SVG element with attributes and children.
 * @param {string} tag
 * @param {Record<string, string | number>} [attributes]
 * @param {...SVGElement} children
 * @returns {SVGElement}
 */
export function s(tag, attributes = {}, ...children) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, String(value));
  element.append(...children);
  return element;
}

/**
 * Appends children, leaving out the empty ones.
 * @param {Element} parent
 * @param {...Child} children
 */
export function put(parent, ...children) {
  for (const child of children) {
    if (child === null || child === undefined || child === false) continue;
    parent.append(child instanceof Node ? child : String(child));
  }
}

/**
 * Replaces all children.
 * @param {Element} parent
 * @param {...Child} children
 */
export function fill(parent, ...children) {
  parent.replaceChildren();
  put(parent, ...children);
}

let counted = 0;

/**
 * An id that no other element has.
 * @param {string} stem
 */
export function freshId(stem) {
  counted += 1;
  return `${stem}-${counted}`;
}

/**
 * The colour that a token of tokens.css stands for just now, for drawing on a canvas.
 * @param {string} name As `--ink`.
 * @returns {string}
 */
export function token(name) {
  const probe = h("span", { class: "unseen", style: { color: `var(${name})` } });
  document.body.append(probe);
  const colour = getComputedStyle(probe).color;
  probe.remove();
  return colour;
}

/** Whether the person asked for less motion. */
export function calm() {
  return matchMedia("(prefers-reduced-motion: reduce)").matches;
}

/**
 * A file to the person's disk, from text made here or an address of ours.
 * @param {string} address
 * @param {string} name
 */
export function download(address, name) {
  const link = h("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
}
