// The strands room: the plan drawn on the chart, one strand to follow from join to cut, and the rows
// one after the other in words.

/** @import { StrandPlan, Step } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */
/** @import { Colours } from "../canvas/painter.js" */
/** @import { Cell, View } from "../canvas/view.js" */

import { fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { address, go, place, setQuery } from "../base/router.js";
import { number, t } from "../base/words.js";
import { drawStrands } from "../canvas/strand-paths.js";
import { legend } from "../parts/legend.js";
import { LessonPanel } from "../parts/lesson.js";
import { RowByRow } from "../parts/row-by-row.js";
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
  /** Whether the chart goes along with the row. */
  #leading = true;
  /** Whether the strand is to be looked at as soon as the words above it are there. */
  #reaching = false;
  #stale = false;

  /** @param {{blanket: OpenBlanket, bus: Bus, settings: Settings, signal: AbortSignal}} options */
  constructor({ blanket, bus, settings, signal }) {
    this.blanket = blanket;
    this.bus = bus;
    this.settings = settings;
    this.signal = signal;
    this.rows = new RowByRow({ blanket, settings, plan: () => this.#plan, signal, moved: (how) => this.#moved(how), trouble: (error) => this.#trouble(error) });
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
      over: (context, view, colours) => {
        drawStrands(context, view, colours, {
          plan: this.#plan, palette: blanket.palette, chosen: this.#chosen, current: this.#way[this.#at] ?? null, row: this.rows.row,
        });
        this.#drawStretch(context, view, colours);
      },
      markedRow: () => this.rows.row,
    });
    this.sheet.symbols = false;
    this.lesson = new LessonPanel({ begin: () => void this.#practise() });
    this.choose = h("select", { id: "strand-choice", on: { change: () => this.#follow(this.choose.value === "" ? null : Number(this.choose.value), true) } });
    this.facts = h("p", { class: "soft" });
    this.steps = h("ol", { class: "steps-list" });
    this.position = h("span", { class: "position" });
    this.follow = h("div", { class: "stack" });
    this.message = h("p", { class: "soft", role: "status" }, t("strands.loading"));
    this.element = h("div", { class: "chart-room strands-room" }, h("h1", { class: "unseen" }, this.title),
      h("div", { class: "chart-main" }, this.#bar(), this.sheet.element),
      h("aside", { class: "chart-side", "aria-label": t("strands.side") }, this.message, this.rows.element, this.#followSection(), this.#legend(), this.lesson.element));
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
    if (strand >= 0) this.#follow(strand, true);
    this.#still(() => this.rows.begin(query.get("row"), strand >= 0));
  }

  /** @param {() => void} work The chart stays where it is meanwhile. */
  #still(work) {
    this.#leading = false;
    work();
    this.#leading = true;
  }

  async #load() {
    this.#stale = false;
    const [plan, { lessons }] = await Promise.all([http.strands(this.blanket.id, this.signal), http.lessons(this.blanket.id)]);
    this.#plan = plan;
    this.lesson.teach(lessons);
    // What a row teaches stands above its words.
    if (lessons.length > 0) this.rows.element.before(this.lesson.element);
    this.message.hidden = true;
    const { strands } = this.#plan;
    const groups = this.blanket.palette.map((yarn, at) => {
      const own = strands.flatMap((strand, index) => (strand.yarn === at ? [h("option", { value: index }, t("strands.option", { label: strand.label, first: strand.first_row + 1, last: strand.last_row + 1 }))] : []));
      return own.length > 0 && h("optgroup", { label: yarn.name }, ...own);
    });
    fill(this.choose, h("option", { value: "" }, t("strands.none")), ...groups);
    if (this.#chosen !== null && this.#chosen >= strands.length) this.#chosen = null;
    this.#follow(this.#chosen, false);
    this.#still(() => this.rows.show(this.rows.row));
    this.sheet.ask();
  }

  /** A patch to practise on, as a blanket of its own. */
  async #practise() {
    try {
      const { id } = await http.createPractice();
      go(address("strands", id));
    } catch (error) {
      this.#trouble(error);
    }
  }

  /** @param {unknown} error */
  #trouble(error) {
    if (!this.signal.aborted) this.bus.emit("trouble", { error });
  }

  #bar() {
    const round = (/** @type {"minus" | "plus" | "whole"} */ name, /** @type {string} */ label, /** @type {() => void} */ run) =>
      h("button", { type: "button", class: "button button-bare", "aria-label": label, title: label, on: { click: run } }, icon(name, 20));
    return h("div", { class: "chart-bar", role: "group", "aria-label": t("chart.bar") },
      ...(/** @type {const} */ ([["row-title", "strands.toRow"], ["follow-title", "strands.toStrand"], ["legend-title", "strands.toMarks"]])).map(([id, words]) =>
        h("button", { type: "button", class: "button button-small", on: { click: () => this.#reach(id, true) } }, t(words))),
      h("p", { class: "soft bar-hint" }, t("strands.touch")), h("span", { class: "spring" }),
      round("minus", t("chart.smaller"), () => this.#zoom(0.8)), round("whole", t("chart.fit"), () => this.sheet.fit()), round("plus", t("chart.larger"), () => this.#zoom(1.25)));
  }

  /**
   * Goes to a part of the side.
   * @param {string} id Of its heading.
   * @param {boolean} focus
   */
  #reach(id, focus) {
    const heading = this.element.querySelector(`#${id}`);
    if (!(heading instanceof HTMLElement)) return;
    heading.scrollIntoView({ block: "start" });
    if (focus) heading.focus({ preventScroll: true });
  }

  /**
   * Larger or smaller; the strand that is followed, or else the row that is read, stays in sight.
   * @param {number} factor
   */
  #zoom(factor) {
    const spot = this.#way[this.#at];
    const step = spot && this.#stepAt(spot);
    const { stretch } = this.rows;
    this.sheet.zoom(factor);
    if (spot && step) this.sheet.show({ column: this.#columnOf(step), row: spot.row });
    else if (stretch !== null) this.sheet.show({ column: Math.min(stretch.from, this.blanket.columns - 1), row: stretch.row });
  }

  /** @param {Step} step */
  #columnOf(step) {
    const [kind, , from] = step;
    const leftwards = (kind === "work" || kind === "carry" || kind === "draw_back") && step[3] < from;
    return Math.min(this.blanket.columns - 1, Math.max(0, leftwards ? from - 1 : from));
  }

  #followSection() {
    const step = (/** @type {"previous" | "next"} */ name, /** @type {string} */ label, /** @type {number} */ by) =>
      h("button", { type: "button", class: "button button-small", "data-do": `${name}-step`, on: { click: () => this.#step(this.#at + by) } }, name === "previous" && icon(name, 18), label, name === "next" && icon(name, 18));
    const jump = (/** @type {"first" | "last"} */ name, /** @type {string} */ label, /** @type {() => number} */ to) =>
      h("button", { type: "button", class: "button button-small", "data-do": `${name}-step`, on: { click: () => this.#step(to()) } }, name === "first" && icon(name, 18), label, name === "last" && icon(name, 18));
    this.follow = h("div", { class: "stack", hidden: true }, this.facts,
      h("div", { class: "between" }, step("previous", t("strands.previousStep"), -1), this.position, step("next", t("strands.nextStep"), 1)),
      h("div", { class: "between" }, jump("first", t("strands.toJoin"), () => 0), jump("last", t("strands.toCut"), () => this.#way.length - 1)), this.steps);
    return h("section", { class: "side-block", "aria-labelledby": "follow-title" }, h("h2", { id: "follow-title", tabindex: -1 }, t("strands.follow")),
      h("label", { class: "field", for: "strand-choice" }, h("span", {}, t("strands.which")), this.choose), this.follow);
  }

  #legend() {
    return h("section", { class: "side-block", "aria-labelledby": "legend-title" }, h("h2", { id: "legend-title", tabindex: -1 }, t("legend.title")), legend());
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
    this.#reaching = true;
    this.#still(() => this.rows.show(cell.row));
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
      if (step) {
        this.sheet.cursor = { column: this.#columnOf(step), row: spot.row };
        this.sheet.show(this.sheet.cursor);
      }
      if (spot.row !== this.rows.row) this.#still(() => this.rows.show(spot.row));
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

  /** @param {"turned" | "line" | "read"} how */
  #moved(how) {
    const { row, stretch } = this.rows;
    this.lesson.turn(row + 1);
    if (how === "turned") {
      setQuery("row", String(row + 1));
      // The strand that is followed goes along, where it has something to do in that row.
      const step = this.#way.findIndex((spot) => spot.row === row);
      if (step >= 0 && this.#way[this.#at]?.row !== row) this.#step(step, false);
    }
    if (how !== "turned" && this.#reaching) {
      this.#reaching = false;
      this.#reach("follow-title", false);
    }
    if (this.#leading && how !== "read") {
      const { fromColumn, toColumn } = this.sheet.view.inSight;
      const middle = Math.floor((fromColumn + toColumn) / 2);
      const column = stretch === null || stretch.row !== row ? middle : stretch.to < stretch.from ? stretch.from - 1 : stretch.from;
      this.sheet.show({ column: Math.min(this.blanket.columns - 1, Math.max(0, column)), row });
    }
    this.sheet.ask();
  }

  /**
   * The stretch of the line that is marked, filled; a bar where it makes no stitch.
   * @param {CanvasRenderingContext2D} context
   * @param {View} view
   * @param {Colours} colours
   */
  #drawStretch(context, view, colours) {
    const { stretch } = this.rows;
    if (stretch === null) return;
    const [left, right] = [view.x(Math.min(stretch.from, stretch.to)), view.x(Math.max(stretch.from, stretch.to))];
    const width = Math.max(4, right - left);
    const x = (left + right - width) / 2;
    const height = Math.max(6, view.cellHeight);
    const y = view.y(stretch.row) + (view.cellHeight - height) / 2;
    context.save();
    context.setLineDash([]);
    context.globalAlpha = 0.3;
    context.fillStyle = colours.mark;
    context.fillRect(x, y, width, height);
    context.globalAlpha = 1;
    context.lineWidth = 5;
    context.strokeStyle = colours.paper;
    context.strokeRect(x - 1, y - 2, width + 2, height + 4);
    context.lineWidth = 2.5;
    context.strokeStyle = colours.mark;
    context.strokeRect(x - 1, y - 2, width + 2, height + 4);
    context.restore();
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
