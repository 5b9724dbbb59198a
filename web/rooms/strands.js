// The strands room: the plan drawn on the chart, one strand to follow from join to cut, and the rows
// one after the other in words.

/** @import { StrandPlan, Step } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */
/** @import { Cell } from "../canvas/view.js" */

import { fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { place, setQuery } from "../base/router.js";
import { number, t } from "../base/words.js";
import { drawStrands } from "../canvas/strand-paths.js";
import { legend } from "../parts/legend.js";
import { numberField } from "../parts/fields.js";
import { Sheet } from "../parts/sheet.js";

/** How many steps of a strand are listed before and behind the one looked at. */
const AROUND = 6;

/** @typedef {{row: number, step: number}} Spot A step: row from 0, and its place among the row's steps. */

export class StrandsRoom {
  /** @type {StrandPlan} */
  #plan = { strands: [], rows: [] };
  /** @type {number | null} */
  #chosen = null;
  /** @type {Spot[]} The chosen strand's steps. */
  #way = [];
  #at = 0;
  #row = 0;
  /** @type {AbortController | null} */
  #asking = null;
  #stale = false;

  /** @param {{blanket: OpenBlanket, bus: Bus, settings: Settings, signal: AbortSignal}} options */
  constructor({ blanket, bus, settings, signal }) {
    this.blanket = blanket;
    this.bus = bus;
    this.settings = settings;
    this.signal = signal;
    this.sheet = new Sheet({
      chart: () => ({
        columns: blanket.columns, rows: blanket.rows, cells: blanket.cells, palette: blanket.palette,
        hand: settings.value.hand, proportion: blanket.proportion,
      }),
      bus, signal, label: t("strands.label", { name: blanket.name }), help: t("strands.help"),
      hands: {
        shifting: () => true, begin: () => undefined, draw: () => undefined, end: () => undefined,
        tap: (cell) => this.#pick(cell),
      },
      keys: {
        act: (cell) => this.#pick(cell), along: () => undefined,
        letter: (letter) => this.#letter(letter), describe: (cell) => this.#describe(cell),
      },
      over: (context, view, colours) => drawStrands(context, view, colours, {
        plan: this.#plan, palette: blanket.palette, chosen: this.#chosen, current: this.#way[this.#at] ?? null, row: this.#row,
      }),
      markedRow: () => this.#row,
    });
    this.sheet.symbols = false;
    this.choose = h("select", { id: "strand-choice", on: { change: () => this.#follow(this.choose.value === "" ? null : Number(this.choose.value), true) } });
    this.facts = h("p", { class: "soft" });
    this.steps = h("ol", { class: "steps-list" });
    this.position = h("span", { class: "position" });
    this.follow = h("div", { class: "stack" });
    this.rowField = numberField({ label: t("strands.rowNumber"), value: 1, whole: true, changed: () => this.#typedRow() });
    this.rowHead = h("h3", {});
    this.rowWords = h("ul", { class: "row-words" });
    this.message = h("p", { class: "soft", role: "status" }, t("strands.loading"));
    this.element = h("div", { class: "chart-room strands-room" }, h("h1", { class: "unseen" }, this.title),
      h("div", { class: "chart-main" }, this.#bar(), this.sheet.element),
      h("aside", { class: "chart-side", "aria-label": t("strands.side") }, this.message, this.#followSection(), this.#rowSection(), this.#legend()));
    const again = () => void this.#load().catch((error) => this.#trouble(error));
    bus.on("reloaded", () => { this.sheet.renewChart(); again(); }, signal);
    bus.on("numbers", () => { if (!this.#stale) { this.#stale = true; setTimeout(again, 300); } }, signal);
    bus.on("settings", () => again(), signal);
  }

  get title() {
    return t("strands.heading", { name: this.blanket.name });
  }

  async open() {
    const { query } = place();
    await this.#load();
    const strand = this.#plan.strands.findIndex(({ label }) => label === query.get("strand"));
    const row = Number(query.get("row") ?? NaN);
    if (strand >= 0) this.#follow(strand, true);
    if (Number.isInteger(row)) this.#showRow(Math.min(this.blanket.rows, Math.max(1, row)) - 1, false);
    else if (strand < 0) this.#showRow(0, false);
  }

  async #load() {
    this.#stale = false;
    this.#plan = await http.strands(this.blanket.id, this.signal);
    this.message.hidden = true;
    const { strands } = this.#plan;
    const groups = this.blanket.palette.map((yarn, at) => {
      const own = strands.flatMap((strand, index) => (strand.yarn === at ? [h("option", { value: index }, t("strands.option", { label: strand.label, first: strand.first_row + 1, last: strand.last_row + 1 }))] : []));
      return own.length > 0 && h("optgroup", { label: yarn.name }, ...own);
    });
    fill(this.choose, h("option", { value: "" }, t("strands.none")), ...groups);
    if (this.#chosen !== null && this.#chosen >= strands.length) this.#chosen = null;
    this.#follow(this.#chosen, false);
    this.#showRow(Math.min(this.#row, this.blanket.rows - 1), false);
    this.sheet.ask();
  }

  /** @param {unknown} error */
  #trouble(error) {
    if (!this.signal.aborted) this.bus.emit("trouble", { error });
  }

  #bar() {
    const round = (/** @type {"minus" | "plus" | "whole"} */ name, /** @type {string} */ label, /** @type {() => void} */ run) =>
      h("button", { type: "button", class: "button button-bare", "aria-label": label, title: label, on: { click: run } }, icon(name, 20));
    return h("div", { class: "chart-bar", role: "group", "aria-label": t("chart.bar") },
      h("p", { class: "soft bar-hint" }, t("strands.touch")), h("span", { class: "spring" }),
      round("minus", t("chart.smaller"), () => this.sheet.zoom(0.8)), round("whole", t("chart.fit"), () => this.sheet.fit()), round("plus", t("chart.larger"), () => this.sheet.zoom(1.25)));
  }

  #followSection() {
    const step = (/** @type {"previous" | "next"} */ name, /** @type {string} */ label, /** @type {number} */ by) =>
      h("button", { type: "button", class: "button button-small", "data-do": `${name}-step`, on: { click: () => this.#step(this.#at + by) } }, name === "previous" && icon(name, 18), label, name === "next" && icon(name, 18));
    this.follow = h("div", { class: "stack", hidden: true }, this.facts,
      h("div", { class: "between" }, step("previous", t("strands.previousStep"), -1), this.position, step("next", t("strands.nextStep"), 1)), this.steps);
    return h("section", { class: "side-block", "aria-labelledby": "follow-title" }, h("h2", { id: "follow-title" }, t("strands.follow")),
      h("label", { class: "field", for: "strand-choice" }, h("span", {}, t("strands.which")), this.choose), this.follow);
  }

  #rowSection() {
    const turn = (/** @type {"previous" | "next"} */ name, /** @type {string} */ label, /** @type {number} */ by) =>
      h("button", { type: "button", class: "button button-small", "data-do": `${name}-row`, on: { click: () => this.#showRow(this.#row + by, true) } }, name === "previous" && icon("down", 18), label, name === "next" && icon("up", 18));
    return h("section", { class: "side-block", "aria-labelledby": "row-title" }, h("h2", { id: "row-title" }, t("strands.rowByRow")),
      h("div", { class: "row-turn" }, turn("previous", t("strands.previousRow"), -1), this.rowField.element, turn("next", t("strands.nextRow"), 1)),
      h("div", { "aria-live": "polite" }, this.rowHead, this.rowWords));
  }

  #legend() {
    return h("section", { class: "side-block", "aria-labelledby": "legend-title" }, h("h2", { id: "legend-title" }, t("legend.title")), legend());
  }

  /**
   * Which strands are in one stitch: the one that works it first.
   * @param {Cell} cell
   * @returns {{strand: number, spot: Spot}[]}
   */
  #strandsIn({ column, row }) {
    /** @type {{strand: number, spot: Spot, works: boolean}[]} */
    const found = [];
    (this.#plan.rows[row]?.steps ?? []).forEach((step, at) => {
      const [kind, strand, from] = step;
      if (kind !== "work" && kind !== "carry" && kind !== "draw_back") return;
      if (column >= Math.min(from, step[3]) && column < Math.max(from, step[3])) found.push({ strand, spot: { row, step: at }, works: kind === "work" });
    });
    return found.sort((one, two) => Number(two.works) - Number(one.works));
  }

  /**
   * Takes up the strand at a cell; touched again, the next one inside the same stitch.
   * @param {Cell} cell
   */
  #pick(cell) {
    const found = this.#strandsIn(cell);
    if (found.length === 0) return;
    const before = found.findIndex(({ strand }) => strand === this.#chosen);
    const next = found[(before + 1) % found.length];
    if (next === undefined) return;
    this.#follow(next.strand, false);
    this.#step(this.#way.findIndex(({ row, step }) => row === next.spot.row && step === next.spot.step), false);
    this.#showRow(cell.row, false);
  }

  /**
   * The next strand of a yarn, by its symbol.
   * @param {string} letter
   */
  #letter(letter) {
    const yarn = this.blanket.palette.findIndex(({ symbol }) => symbol === letter);
    const own = this.#plan.strands.flatMap((strand, at) => (strand.yarn === yarn ? [at] : []));
    if (own.length === 0) return;
    const after = own.find((at) => at > (this.#chosen ?? -1)) ?? own[0];
    this.#follow(after ?? null, true);
  }

  /**
   * @param {number | null} strand
   * @param {boolean} show Brings its join into sight.
   */
  #follow(strand, show) {
    const same = strand === this.#chosen;
    this.#chosen = strand;
    this.choose.value = strand === null ? "" : String(strand);
    this.follow.hidden = strand === null;
    const facts = strand === null ? undefined : this.#plan.strands[strand];
    setQuery("strand", facts?.label ?? null);
    if (strand === null || facts === undefined) {
      this.#way = [];
      this.sheet.ask();
      return;
    }
    this.#way = [];
    for (let row = facts.first_row; row <= facts.last_row; row += 1) {
      (this.#plan.rows[row]?.steps ?? []).forEach((step, at) => { if (step[1] === strand) this.#way.push({ row, step: at }); });
    }
    this.facts.textContent = t("strands.facts", {
      label: facts.label, yarn: this.blanket.palette[facts.yarn]?.name ?? "", first: facts.first_row + 1, last: facts.last_row + 1,
      stitches: facts.stitches, carried: facts.carried, lifts: facts.lifts, metres: number(facts.length_m, 1),
    });
    this.#step(same ? this.#at : 0, show);
  }

  /**
   * @param {number} at
   * @param {boolean} [show]
   */
  #step(at, show = true) {
    this.#at = Math.min(this.#way.length - 1, Math.max(0, at));
    const spot = this.#way[this.#at];
    if (spot === undefined) return;
    this.position.textContent = t("strands.position", { at: this.#at + 1, of: this.#way.length });
    const first = Math.max(0, Math.min(this.#at - AROUND, this.#way.length - AROUND * 2 - 1));
    const last = Math.min(this.#way.length, first + AROUND * 2 + 1);
    const focused = this.steps.contains(document.activeElement);
    fill(this.steps, ...this.#way.slice(first, last).map((one, offset) => {
      const here = first + offset === this.#at;
      return h("li", {}, h("button", { type: "button", class: "step", "aria-current": here ? "step" : null, on: { click: () => this.#step(first + offset) } },
        h("span", { class: "step-row" }, t("strands.stepRow", { row: one.row + 1 })), h("span", {}, this.#stepWords(one))));
    }));
    const current = this.steps.querySelector("[aria-current]");
    if (focused && current instanceof HTMLElement) current.focus();
    if (show) {
      const step = this.#stepAt(spot);
      if (this.sheet.view.cell < 12) this.sheet.view.zoom(14 / this.sheet.view.cell);
      if (step) this.sheet.show({ column: Math.min(this.blanket.columns - 1, step[2]), row: spot.row });
      if (spot.row !== this.#row) this.#showRow(spot.row, false);
      this.bus.emit("say", { text: `${t("strands.stepRow", { row: spot.row + 1 })}: ${this.#stepWords(spot)}` });
    }
    this.sheet.ask();
  }

  /** @param {Spot} spot */
  #stepAt({ row, step }) {
    return this.#plan.rows[row]?.steps[step];
  }

  /**
   * How many stitches of the row are made when work stands at a boundary.
   * @param {number} boundary
   * @param {number} row
   */
  #made(boundary, row) {
    const leftwards = (row % 2 === 0) === (this.settings.value.hand === "right");
    return leftwards ? this.blanket.columns - boundary : boundary;
  }

  /** @param {Spot} spot */
  #stepWords(spot) {
    const step = /** @type {Step} */ (this.#stepAt(spot));
    const [kind, , from] = step;
    const made = this.#made(from, spot.row);
    if (kind === "work" || kind === "carry" || kind === "draw_back") return t(`step.${kind}`, { count: Math.abs(step[3] - from), made });
    if (kind === "join" || kind === "cut") {
      const line = step[3] === "next_row" ? "nextRow" : step[3] === "before" ? "before" : "onward";
      return `${t(`step.${kind}`, { made })} ${t(`step.tail.${line}`, { over: step[4] })}`;
    }
    return t(`step.${kind}`, { made });
  }

  #typedRow() {
    const typed = this.rowField.value;
    if (typed !== null && typed >= 1 && typed <= this.blanket.rows) this.#showRow(typed - 1, true, true);
  }

  /**
   * @param {number} row From 0.
   * @param {boolean} show
   * @param {boolean} [typed] The field is being typed in: leave it alone.
   */
  #showRow(row, show, typed = false) {
    this.#row = Math.min(this.blanket.rows - 1, Math.max(0, row));
    if (!typed) this.rowField.value = this.#row + 1;
    setQuery("row", String(this.#row + 1));
    if (show) {
      const { fromColumn, toColumn } = this.sheet.view.inSight;
      this.sheet.show({ column: Math.floor((fromColumn + toColumn) / 2), row: this.#row });
    }
    this.sheet.ask();
    void this.#readRow();
  }

  async #readRow() {
    this.#asking?.abort();
    const asking = new AbortController();
    this.#asking = asking;
    try {
      const words = await http.row(this.blanket.id, this.#row + 1, this.settings.value.terms, AbortSignal.any([asking.signal, this.signal]));
      const body = words.text.replace(/^Rows? [^:]*:\s*/, "");
      this.rowHead.textContent = t("strands.rowHead", { row: words.number, side: t(words.side === "RS" ? "strands.rs" : "strands.ws"), way: t(words.direction.startsWith("l") ? "strands.leftwards" : "strands.rightwards") });
      fill(this.rowWords, ...body.split("\n").flatMap(parts).map((part) => h("li", {}, part)));
    } catch (error) {
      if (!asking.signal.aborted) this.#trouble(error);
    }
  }

  /** @param {Cell} cell */
  #describe(cell) {
    const labels = this.#strandsIn(cell).map(({ strand }) => this.#plan.strands[strand]?.label ?? "");
    const stitch = this.#made(cell.column, cell.row) + ((cell.row % 2 === 0) === (this.settings.value.hand === "right") ? 0 : 1);
    const [worker = "", ...inside] = labels;
    return inside.length === 0
      ? t("strands.cell", { row: cell.row + 1, stitch, label: worker })
      : t("strands.cellOver", { row: cell.row + 1, stitch, label: worker, inside: inside.join(", ") });
  }
}

/**
 * The things to do in a row: split at semicolons, those inside brackets left alone.
 * @param {string} text
 * @returns {string[]}
 */
function parts(text) {
  /** @type {string[]} */
  const found = [];
  let depth = 0;
  let part = "";
  for (const letter of text.replace(/\s+/g, " ")) {
    if (letter === "[") depth += 1;
    if (letter === "]") depth -= 1;
    if (letter === ";" && depth === 0) {
      found.push(part.trim());
      part = "";
    } else {
      part += letter;
    }
  }
  if (part.trim() !== "") found.push(part.trim());
  return found;
}
