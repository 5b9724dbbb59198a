// A button that opens a short list of things to do, by mouse, touch or keyboard.

import { freshId, h } from "../base/dom.js";
import { icon } from "../base/icons.js";

/** @import { IconName } from "../base/icons.js" */

/** How near to the window's edge a list may come, in pixels. */
const EDGE = 12;

/**
 * @typedef {object} MenuItem
 * @property {string} label
 * @property {string} [hint]
 * @property {() => void} [run]
 * @property {string} [href] A file to save.
 * @property {boolean} [grave]
 */

export class Menu {
  /** @type {AbortController | null} While it is open. */
  #open = null;

  /**
   * @param {{label: string, icon: IconName, items: MenuItem[], bare?: boolean}} options `bare`: the label
   *   is only heard.
   */
  constructor({ label, icon: name, items, bare = false }) {
    const id = freshId("menu");
    this.list = h("ul", { id, class: "menu-list", hidden: true }, ...items.map((item) => h("li", {}, this.#item(item))));
    this.button = h("button", {
      type: "button", class: bare ? "button button-bare" : "button", "aria-expanded": "false", "aria-controls": id,
      "aria-label": bare ? label : null, title: bare ? label : null,
      on: { click: () => (this.#open ? this.close() : this.open()) },
    }, icon(name), !bare && h("span", { class: "button-words" }, label));
    this.element = h("div", { class: "menu", on: { keydown: (event) => this.#key(event) } }, this.button, this.list);
  }

  /** @param {MenuItem} item */
  #item({ label, hint, run, href, grave }) {
    const words = [h("span", {}, label), hint !== undefined && h("small", {}, hint)];
    const name = grave ? "menu-item grave" : "menu-item";
    return href === undefined
      ? h("button", { type: "button", class: name, on: { click: () => { this.close(); run?.(); } } }, ...words)
      : h("a", { class: name, href, download: "", on: { click: () => this.close(false) } }, ...words);
  }

  open() {
    this.#open = new AbortController();
    this.list.hidden = false;
    this.button.setAttribute("aria-expanded", "true");
    addEventListener("pointerdown", (event) => {
      if (event.target instanceof Node && !this.element.contains(event.target)) this.close(false);
    }, { signal: this.#open.signal });
    this.element.addEventListener("focusout", (event) => {
      if (event.relatedTarget instanceof Node && !this.element.contains(event.relatedTarget)) this.close(false);
    }, { signal: this.#open.signal });
    this.list.style.removeProperty("translate");
    const box = this.list.getBoundingClientRect();
    if (box.left < EDGE) this.list.style.setProperty("translate", `${EDGE - box.left}px 0`);
    this.list.classList.toggle("menu-up", box.bottom > innerHeight && box.height < this.button.getBoundingClientRect().top);
    this.#entries()[0]?.focus();
  }

  /** @param {boolean} [refocus] */
  close(refocus = true) {
    if (this.#open === null) return;
    this.#open.abort();
    this.#open = null;
    this.list.hidden = true;
    this.list.classList.remove("menu-up");
    this.button.setAttribute("aria-expanded", "false");
    if (refocus) this.button.focus();
  }

  /** @returns {HTMLElement[]} */
  #entries() {
    return [...this.list.querySelectorAll("button, a")].filter((entry) => entry instanceof HTMLElement);
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    if (this.#open === null) return;
    const entries = this.#entries();
    const at = entries.findIndex((entry) => entry === document.activeElement);
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (step !== undefined) entries[(at + step + entries.length) % entries.length]?.focus();
    else if (event.key === "Escape") this.close();
    else return;
    event.preventDefault();
    event.stopPropagation();
  }
}
