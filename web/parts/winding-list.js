// What to wind, in the order of need, to tick off. The ticks are kept by the program.

/** @import { PaletteYarn, WindMark } from "../types.js" */
/** @import { Settings } from "../base/settings.js" */

import { fill, h } from "../base/dom.js";
import { inkOn, weight, yarnLength } from "../base/measure.js";
import { t } from "../base/words.js";
import { tick } from "./fields.js";

/** Entries that are shown at first, and with each wish for more. */
const SHOWN = 60;
/** Wound yarn may be so much shorter than what is needed now before that is told. */
const SHORT = 0.98;

export class WindingList {
  /** @type {WindMark[][]} */
  #entries = [];
  /** @type {PaletteYarn[]} */
  #palette = [];
  #most = SHOWN;
  #hiding = false;

  /** @param {{settings: Settings, tick: (marks: string[], ticked: boolean) => Promise<boolean>}} options `tick`: whether it was kept. */
  constructor({ settings, tick: keep }) {
    this.settings = settings;
    this.keep = keep;
    this.progress = h("p", { class: "list-progress", role: "status" });
    this.list = h("ol", { class: "tick-list" });
    this.more = h("button", { type: "button", class: "button", hidden: true, on: { click: () => { this.#most += SHOWN; this.#show(); } } }, t("list.more"));
    this.element = h("section", { class: "stack", "aria-labelledby": "winding-title" }, h("h2", { id: "winding-title" }, t("winding.title")), h("p", { class: "soft" }, t("winding.help")),
      h("div", { class: "between" }, this.progress, tick({ label: t("winding.hide"), checked: false, changed: (on) => { this.#hiding = on; this.#show(); } })), this.list, this.more);
  }

  /**
   * @param {WindMark[][]} entries
   * @param {PaletteYarn[]} palette
   */
  show(entries, palette) {
    this.#entries = entries;
    this.#palette = palette;
    this.#show();
  }

  #show() {
    const all = this.#entries.flat();
    this.progress.textContent = t("winding.progress", { done: all.filter(({ ticked }) => ticked).length, of: all.length });
    const shown = this.#entries.filter((entry) => !this.#hiding || entry.some(({ ticked }) => !ticked));
    const focused = document.activeElement instanceof HTMLElement && this.list.contains(document.activeElement) ? document.activeElement.id : "";
    fill(this.list, ...shown.slice(0, this.#most).map((entry) => (entry.length === 1 && entry[0] ? this.#strand(entry[0]) : this.#group(entry))));
    this.more.hidden = shown.length <= this.#most;
    if (focused !== "") document.getElementById(focused)?.focus();
  }

  /** @param {number} yarn */
  #mark(yarn) {
    const { colour = "", symbol = "" } = this.#palette[yarn] ?? {};
    return h("span", { class: "chip-swatch", "aria-hidden": "true", style: { "background-color": colour, color: colour === "" ? "inherit" : inkOn(colour) } }, symbol);
  }

  /** @param {WindMark} strand */
  #strand(strand) {
    const { units } = this.settings.value;
    const short = strand.wound !== null && strand.wound < strand.metres * SHORT;
    const name = this.#palette[strand.yarn]?.name ?? "";
    return h("li", { class: strand.ticked ? "tick-one tick-done" : "tick-one" },
      h("label", { class: "tick-label" },
        h("input", { type: "checkbox", id: `wind-${strand.mark}`, checked: strand.ticked, on: { change: (event) => void this.#tick([strand], event.target.checked) } }),
        this.#mark(strand.yarn), h("span", { class: "tick-words" },
          h("span", {}, h("strong", {}, strand.label), ` ${name} · ${yarnLength(strand.metres, units, true)}`, strand.grams !== null && ` · ${weight(strand.grams, units)}`),
          h("span", { class: "soft" }, t("winding.rows", { joins: strand.joins_at, ends: strand.ends_at })),
          strand.balls !== null && strand.balls > 1 && h("span", { class: "soft" }, t("winding.balls", { balls: strand.balls })),
          short && h("span", { class: "tick-short" }, t("winding.short", { wound: yarnLength(strand.wound ?? 0, units) })))));
  }

  /** @param {WindMark[]} strands Small ones of one yarn. */
  #group(strands) {
    const { units } = this.settings.value;
    const [first] = strands;
    if (first === undefined) return null;
    const all = strands.every(({ ticked }) => ticked);
    const length = strands.reduce((sum, { metres }) => sum + metres, 0);
    const box = h("input", { type: "checkbox", id: `winds-${first.mark}`, checked: all, on: { change: () => void this.#tick(strands, box.checked) } });
    box.indeterminate = !all && strands.some(({ ticked }) => ticked);
    return h("li", { class: all ? "tick-group tick-done" : "tick-group" },
      h("label", { class: "tick-label" }, box, this.#mark(first.yarn), h("span", { class: "tick-words" },
        h("span", {}, h("strong", {}, t("winding.group", { count: strands.length, yarn: this.#palette[first.yarn]?.name ?? "" })), ` · ${yarnLength(length, units, true)}`),
        h("span", { class: "soft" }, t("winding.from", { row: first.joins_at })))),
      h("ul", { class: "tick-list tick-inner" }, ...strands.map((strand) => this.#strand(strand))));
  }

  /**
   * @param {WindMark[]} strands
   * @param {boolean} ticked
   */
  async #tick(strands, ticked) {
    const before = strands.map((strand) => ({ strand, ticked: strand.ticked, wound: strand.wound }));
    for (const strand of strands) {
      if (ticked && !strand.ticked) strand.wound = strand.metres;
      if (!ticked) strand.wound = null;
      strand.ticked = ticked;
    }
    this.#show();
    if (await this.keep(strands.map(({ mark }) => mark), ticked)) return;
    for (const { strand, ...was } of before) Object.assign(strand, was);
    this.#show();
  }
}
