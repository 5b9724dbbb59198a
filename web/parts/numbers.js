// The numbers beside the chart: ends, strands at once, hours, and how they move with the hand.

/** @import { Numbers } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */

import { fill, h } from "../base/dom.js";
import { moved } from "../base/measure.js";
import { number, t } from "../base/words.js";

/** How long the hand must rest before the numbers are told to those who listen, in milliseconds. */
const REST = 900;
/** How long it is said that nothing changed, in milliseconds. */
const MOMENT = 3000;

export class NumbersPanel {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #resting;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #moment;
  /** @type {number[]} Milliseconds from the hand to the numbers, lately. */
  #waits = [];

  /**
   * @param {object} options
   * @param {() => Numbers} options.numbers
   * @param {Bus} options.bus
   * @param {AbortSignal} options.signal
   * @param {() => {median: number, slow: number, inSight: number}} options.drawing
   * @param {() => string} options.why Why the numbers moved, where that needs a word.
   */
  constructor({ numbers, bus, signal, drawing, why }) {
    this.numbers = numbers;
    this.why = why;
    this.bus = bus;
    this.drawing = drawing;
    this.tiles = ["ends", "strands_at_once", "hours"].map((name) => {
      const value = h("span", { class: "tile-value", "data-number": name });
      const change = h("span", { class: "tile-change", "data-change": name });
      const label = name === "ends" ? t("numbers.ends") : name === "hours" ? t("numbers.hours") : t("numbers.atOnce");
      return { name, value, change, element: h("div", { class: "tile" }, h("span", { class: "tile-label" }, label), value, change) };
    });
    this.list = h("dl", { class: "facts" });
    this.details = h("details", { class: "more", on: { toggle: () => this.#more() } },
      h("summary", {}, t("numbers.moreLabel")), h("div", { class: "more-inside" },
        h("dl", { class: "meanings" }, .../** @type {const} */ (["ends", "atOnce", "hours"]).flatMap((name) => [h("dt", {}, t(`numbers.${name}`)), h("dd", {}, t(`numbers.mean.${name}`))])),
        this.list));
    this.reason = h("p", { class: "soft numbers-why", hidden: true });
    this.element = h("section", { class: "numbers", "aria-label": t("numbers.title") },
      h("div", { class: "tiles" }, ...this.tiles.map((tile) => tile.element)), this.reason, this.details);
    bus.on("numbers", ({ numbers: now, before, waited }) => this.#show(now, before, waited), signal);
    signal.addEventListener("abort", () => { clearTimeout(this.#resting); clearTimeout(this.#moment); }, { once: true });
    this.#show(numbers(), null, null);
  }

  /**
   * @param {Numbers} now
   * @param {Numbers | null} before
   * @param {number | null} waited
   */
  #show(now, before, waited) {
    /** @type {string[]} */
    const told = [];
    for (const { name, value, change } of this.tiles) {
      const pick = (/** @type {Numbers} */ numbers) => (name === "ends" ? numbers.ends : name === "hours" ? numbers.hours.total : numbers.strands_at_once);
      const digits = name === "hours" ? 1 : 0;
      const text = number(pick(now), digits);
      if (value.textContent !== text) value.textContent = text;
      const by = before === null ? "" : moved(pick(before), pick(now), digits);
      if (change.textContent !== by) change.textContent = by;
      change.dataset.way = by === "" || before === null ? "same" : pick(now) < pick(before) ? "fewer" : "more";
      if (by !== "") told.push(t(name === "ends" ? "numbers.sayEnds" : name === "hours" ? "numbers.sayHours" : "numbers.sayAtOnce", { value: text, by }));
    }
    const why = told.length > 0 ? this.why() : "";
    this.reason.hidden = why === "";
    if (this.reason.textContent !== why) this.reason.textContent = why;
    if (why !== "") told.push(why);
    clearTimeout(this.#moment);
    if (waited !== null && before !== null && told.length === 0) {
      told.push(t("numbers.same"));
      this.#same();
    }
    if (waited !== null) {
      this.#waits.push(waited);
      if (this.#waits.length > 200) this.#waits.shift();
      this.element.dataset.waited = String(Math.round(waited));
    }
    if (this.details.open) this.#more();
    clearTimeout(this.#resting);
    if (told.length > 0) this.#resting = setTimeout(() => this.bus.emit("say", { text: told.join(". ") }), REST);
  }

  /** Says for a moment that nothing changed. */
  #same() {
    const change = this.tiles[0]?.change;
    if (change === undefined) return;
    change.textContent = t("numbers.same");
    this.#moment = setTimeout(() => { change.textContent = ""; }, MOMENT);
  }

  #more() {
    const now = this.numbers();
    const sorted = [...this.#waits].sort((one, two) => one - two);
    const slow = sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * 0.95))];
    const drawing = this.drawing();
    /** @type {[string, string][]} */
    const facts = [
      [t("facts.strands"), number(now.strands)],
      [t("facts.carried"), number(now.carried)],
      [t("facts.longest"), number(now.longest_carry)],
      [t("facts.runs"), number(now.runs)],
      [t("facts.cost"), number(now.cost, 1)],
      [t("facts.bound"), now.gap === 0 ? t("facts.boundMet") : number(now.bound, 1)],
      [t("facts.hourParts"), t("facts.hourPartsValue", {
        stitches: number(now.hours.stitches, 1), strands: number(now.hours.strands, 1), ends: number(now.hours.ends, 1),
      })],
      [t("facts.proven"), now.proven ? t("facts.provenYes") : t("facts.provenNo")],
      [t("facts.drawing"), t("facts.drawingValue", { median: number(drawing.median, 1), slow: number(drawing.slow, 1), cells: number(drawing.inSight) })],
      [t("facts.waited"), slow === undefined ? t("facts.waitedNone") : t("facts.waitedValue", { slow: number(slow) })],
    ];
    fill(this.list, ...facts.flatMap(([name, value]) => [h("dt", {}, name), h("dd", {}, value)]));
  }
}
