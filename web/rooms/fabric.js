// The fabric room: what the finished piece looks like on both sides, and which yarns may be taken for
// each other.

/** @import { Alike } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */

import { fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { area, finished } from "../base/measure.js";
import { maybe, number, t } from "../base/words.js";
import { choice, slider } from "../parts/fields.js";

/** Stitches across the part that is shown large. */
const PART = 40;

export class FabricRoom {
  /** @type {"right" | "wrong"} */
  #face = "right";
  /** @type {"whole" | "part"} */
  #size = "whole";
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;

  /** @param {{blanket: OpenBlanket, bus: Bus, settings: Settings, signal: AbortSignal}} options */
  constructor({ blanket, bus, settings, signal }) {
    this.blanket = blanket;
    this.bus = bus;
    this.signal = signal;
    const { columns, rows, gauge } = blanket;
    const size = finished(columns, rows, gauge);
    this.image = h("img", { class: "fabric fabric-large", alt: t("fabric.alt", { name: blanket.name }) });
    const changed = () => { clearTimeout(this.#timer); this.#timer = setTimeout(() => this.#show(), 150); };
    this.across = slider({ label: t("fabric.across"), value: 50, least: 0, most: 100, low: t("fabric.left"), high: t("fabric.right"), changed });
    this.up = slider({ label: t("fabric.up"), value: 50, least: 0, most: 100, low: t("fabric.bottom"), high: t("fabric.top"), changed });
    this.place = h("div", { class: "field-row", hidden: true }, this.across.element, this.up.element);
    this.alike = h("section", { class: "alike stack", "aria-label": t("alike.title") }, h("h2", {}, t("alike.title")), h("p", { class: "soft", role: "status" }, t("alike.loading")));
    this.element = h("div", { class: "fabric-room" }, h("h1", { class: "unseen" }, this.title),
      h("section", { class: "stack" },
        h("div", { class: "button-row" },
          choice({ label: t("fabric.face"), hideLabel: true, value: this.#face, options: [["right", t("fabric.rightSide")], ["wrong", t("fabric.wrongSide")]], changed: (face) => { this.#face = face; this.#show(); } }),
          choice({ label: t("fabric.size"), hideLabel: true, value: this.#size, options: [["whole", t("fabric.whole")], ["part", t("fabric.part")]], changed: (how) => { this.#size = how; this.place.hidden = how === "whole"; this.#show(); } })),
        this.place, h("div", { class: "cloth-stand" }, this.image),
        h("p", { class: "soft" }, t("fabric.words", { size: area(size.width, size.height, settings.value.units), columns, rows })),
        h("p", { class: "soft" }, t("fabric.impression"))),
      this.alike);
    bus.on("reloaded", () => void this.open(), signal);
  }

  get title() {
    return t("fabric.heading", { name: this.blanket.name });
  }

  async open() {
    this.#show();
    try {
      this.#showAlike(await http.alike(this.blanket.id));
    } catch (error) {
      if (!this.signal.aborted) this.bus.emit("trouble", { error });
    }
  }

  #show() {
    const { id, revision, columns, rows } = this.blanket;
    if (this.#size === "whole") {
      this.image.src = http.fabric(id, revision, this.#face, 1600);
      return;
    }
    const wide = Math.min(columns, PART);
    const high = Math.min(rows, PART);
    this.image.src = http.fabricPart(id, revision, this.#face, {
      column: Math.round(((columns - wide) * this.across.value) / 100), row: Math.round(((rows - high) * this.up.value) / 100), columns: wide, rows: high,
    });
  }

  /** @param {Alike} alike */
  #showAlike({ pairs, bleeding }) {
    const yarn = (/** @type {number} */ at) => {
      const { name = "", colour = "#000000", symbol = "" } = this.blanket.palette[at] ?? {};
      const dot = h("span", { class: "dot", "aria-hidden": "true" });
      dot.style.setProperty("background-color", colour);
      return h("span", { class: "alike-yarn" }, dot, `${symbol} · ${name}`);
    };
    const entry = (/** @type {[number, number]} */ [one, other], /** @type {string} */ where, /** @type {string} */ advice) =>
      h("li", { class: "alike-pair" }, h("div", { class: "button-row" }, yarn(one), yarn(other)), h("strong", {}, where), h("p", { class: "soft" }, advice));
    fill(this.alike, h("h2", {}, t("alike.title")),
      pairs.length === 0 ? h("p", { class: "soft" }, t("alike.none")) : h("ul", { class: "stack" }, ...pairs.map(({ yarns, difference, when, advice }) =>
        entry(yarns, t("alike.when", { when: when.map((eye) => maybe(`eye.${eye}`, eye)).join(", "), difference: number(difference, 1) }), advice))),
      bleeding.length > 0 && h("h2", {}, t("alike.bleeding")),
      bleeding.length > 0 && h("ul", { class: "stack" }, ...bleeding.map(({ yarns }) => h("li", { class: "button-row" }, yarn(yarns[0]), yarn(yarns[1])))),
      // The advice is the same for all pairs.
      ...[...new Set(bleeding.map(({ advice }) => advice))].map((advice) => h("p", { class: "soft" }, advice)));
  }
}
