// The yarns of the chart as chips to choose from: symbol, name, colour, stitches.

/** @import { PaletteYarn } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */

import { fill, h } from "../base/dom.js";
import { inkOn } from "../base/measure.js";
import { number, t } from "../base/words.js";

export class YarnChips {
  chosen = 0;
  #typed = "";
  #typedAt = 0;

  /**
   * @param {{palette: () => PaletteYarn[], bus: Bus, signal: AbortSignal, change: (yarn: number) => void}} options
   *   `change`: the person wants to change the chosen yarn.
   */
  constructor({ palette, bus, signal, change }) {
    this.palette = palette;
    this.bus = bus;
    this.change = change;
    this.list = h("div", { class: "chips", role: "radiogroup", "aria-label": t("chips.title"), on: { keydown: (event) => this.#key(event) } });
    this.element = this.list;
    bus.on("palette", () => this.#build(), signal);
    bus.on("numbers", () => this.#count(), signal);
    this.#build();
  }

  #build() {
    const palette = this.palette();
    this.chosen = Math.min(this.chosen, palette.length - 1);
    const focused = this.list.contains(document.activeElement);
    fill(this.list, ...palette.map((yarn, at) => {
      const swatch = h("span", { class: "chip-swatch", "aria-hidden": "true" }, yarn.symbol);
      swatch.style.setProperty("background-color", yarn.colour);
      swatch.style.setProperty("color", inkOn(yarn.colour));
      return h("button", {
        type: "button", class: "chip", role: "radio", "aria-checked": at === this.chosen ? "true" : "false",
        tabindex: at === this.chosen ? 0 : -1, title: t("chips.hint", { name: yarn.name, symbol: yarn.symbol }),
        on: { click: () => this.choose(at), dblclick: () => this.change(at) },
      }, swatch, h("span", { class: "chip-words" },
        h("span", { class: "chip-name" }, h("span", { class: "unseen" }, `${yarn.symbol} `), yarn.name), h("span", { class: "chip-count" }, number(yarn.stitches))));
    }));
    if (focused) this.#button(this.chosen)?.focus();
  }

  #count() {
    this.palette().forEach((yarn, at) => {
      const count = this.#button(at)?.querySelector(".chip-count");
      const text = number(yarn.stitches);
      if (count && count.textContent !== text) count.textContent = text;
    });
  }

  /**
   * @param {number} at
   * @returns {HTMLElement | null}
   */
  #button(at) {
    const button = this.list.children[at];
    return button instanceof HTMLElement ? button : null;
  }

  /** @param {number} at */
  choose(at) {
    this.#button(this.chosen)?.setAttribute("aria-checked", "false");
    this.#button(this.chosen)?.setAttribute("tabindex", "-1");
    this.chosen = at;
    const button = this.#button(at);
    button?.setAttribute("aria-checked", "true");
    button?.setAttribute("tabindex", "0");
    button?.scrollIntoView({ block: "nearest", inline: "nearest" });
  }

  /**
   * Chooses by the symbol; a second letter soon after makes a symbol of two.
   * @param {string} letter
   */
  letter(letter) {
    const now = performance.now();
    const two = now - this.#typedAt < 700 ? this.#typed + letter : "";
    this.#typed = letter;
    this.#typedAt = now;
    const find = (/** @type {string} */ symbol) => this.palette().findIndex((yarn) => yarn.symbol === symbol);
    const at = two !== "" && find(two) >= 0 ? find(two) : find(letter);
    if (at < 0) return;
    this.choose(at);
    this.bus.emit("say", { text: t("chips.chosen", { name: this.palette()[at]?.name ?? "" }) });
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const count = this.palette().length;
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    if (step === undefined) return;
    event.preventDefault();
    this.choose((this.chosen + step + count) % count);
    this.#button(this.chosen)?.focus();
  }
}
