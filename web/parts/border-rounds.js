// The rounds of a border, one short line of choices each: stitch, yarn, corners, a repeat; to add, move
// and take away.

/** @import { BorderStitch, BorderTold, BorderWish, PaletteYarn, Round } from "../types.js" */
/** @import { Settings } from "../base/settings.js" */

import { fill, h } from "../base/dom.js";
import { icon } from "../base/icons.js";
import { advice, number, t } from "../base/words.js";
import { numberField, selectField } from "./fields.js";

const STITCHES = /** @type {const} */ (["sc", "hdc", "dc", "tr"]);
/** Borders to begin with; all in the yarn that the last round has, or the first. */
const PRESETS = /** @type {const} */ ([["plain", ["sc"]], ["two", ["sc", "sc"]], ["soft", ["sc", "hdc"]], ["deep", ["sc", "dc", "sc"]]]);

export class BorderRounds {
  /** @type {BorderWish} */
  #wish = { rounds: [], along_sides: null, heights: null };
  /** @type {PaletteYarn[]} */
  #yarns = [];
  #ofBlanket = 0;
  /** @type {Set<number>} Rounds whose repeat is asked for. */
  #open = new Set();

  /**
   * @param {object} options
   * @param {Settings} options.settings
   * @param {(wish: BorderWish) => void} options.change
   * @param {() => void} options.addYarn The person wants a yarn that is not there.
   */
  constructor({ settings, change, addYarn }) {
    this.settings = settings;
    this.change = change;
    this.list = h("ol", { class: "round-list" });
    this.none = h("p", { class: "soft" }, t("border.none"));
    this.presets = h("div", { class: "button-row", role: "group", "aria-label": t("border.presets") },
      ...PRESETS.map(([name, stitches]) => h("button", { type: "button", class: "button button-small", "data-preset": name, on: { click: () => this.#preset(stitches) } }, "")));
    this.sides = h("div", { class: "stack" });
    // Until it is known which yarns there are nothing can be chosen.
    this.element = h("section", { class: "card-block stack", hidden: true, "aria-labelledby": "rounds-title" }, h("h2", { id: "rounds-title" }, t("border.rounds")), this.none, this.list,
      h("div", { class: "button-row" }, h("button", { type: "button", class: "button button-main", "data-do": "add-round", on: { click: () => this.#add() } }, icon("plus", 18), t("border.add")),
        h("button", { type: "button", class: "button", on: { click: addYarn } }, t("border.addYarn"))),
      h("h3", {}, t("border.presets")), this.presets, this.sides);
  }

  /** The names of the stitches, as the person calls them. */
  #stitch(/** @type {BorderStitch} */ stitch) {
    return t(`stitch.${this.settings.value.terms}.${stitch}`);
  }

  /** @param {BorderTold} told */
  show(told) {
    this.#wish = told.wish;
    this.#yarns = told.yarns;
    this.#ofBlanket = told.of_blanket;
    this.element.hidden = false;
    const { activeElement } = document;
    const focused = activeElement instanceof HTMLElement && this.element.contains(activeElement) ? activeElement.dataset.field : undefined;
    // What is typed and not yet told must not be lost when the rounds are made anew.
    const typed = activeElement instanceof HTMLInputElement ? activeElement.value : null;
    this.none.hidden = told.wish.rounds.length > 0;
    fill(this.list, ...told.wish.rounds.map((round, at) => this.#round(round, at, told)));
    for (const button of this.presets.children) {
      const preset = PRESETS.find(([name]) => button instanceof HTMLElement && name === button.dataset.preset);
      if (preset) button.textContent = preset[1].map((stitch) => this.#stitch(stitch)).join(", ");
    }
    this.#alongSides(told);
    const again = focused === undefined ? null : this.element.querySelector(`[data-field="${focused}"]`);
    if (again instanceof HTMLElement) {
      if (again instanceof HTMLInputElement && typed !== null) again.value = typed;
      again.focus();
    } else if (focused !== undefined) this.element.querySelector("h2")?.scrollIntoView({ block: "nearest" });
  }

  /**
   * @param {Round} round
   * @param {number} at
   * @param {BorderTold} told
   */
  #round(round, at, told) {
    const found = told.border?.rounds[at];
    const wrong = told.fault?.round === at ? told.fault : null;
    const name = t("border.round", { number: at + 1 });
    const set = (/** @type {Partial<Round>} */ part) => this.#set(at, part);
    const marked = (/** @type {HTMLElement} */ element, /** @type {string} */ field) => { element.dataset.field = `${field}-${at}`; };
    const stitch = selectField({ label: t("border.stitch"), value: round.stitch, options: STITCHES.map((one) => [one, this.#stitch(one)]), changed: (one) => set({ stitch: one }) });
    const left = this.#yarns.some(({ key }) => key === round.yarn) ? [] : [/** @type {[string, string]} */ ([round.yarn, round.yarn])];
    const yarn = selectField({
      label: t("border.yarn"), value: round.yarn, changed: (key) => set({ yarn: key }),
      options: [...this.#yarns.map(({ key, symbol, name: called }, place) => /** @type {[string, string]} */ ([key, place < this.#ofBlanket ? `${symbol} · ${called}` : t("border.leftYarn", { name: called })])), ...left],
    });
    const corners = numberField({ label: t("border.corners"), value: round.corners, whole: true, placeholder: t("border.flat") });
    const multiple = numberField({ label: t("border.multiple"), value: round.repeat?.multiple ?? null, whole: true, placeholder: t("border.noRepeat") });
    const plus = numberField({ label: t("border.plus"), value: round.repeat === null || round.repeat.plus === 0 ? null : round.repeat.plus, whole: true });
    const cornered = () => {
      const value = corners.value;
      const bad = corners.unreadable || (value !== null && (value < 1 || value > 255));
      corners.fail(bad ? t("border.wrongCorners") : "");
      if (!bad) set({ corners: value });
    };
    const repeat = () => {
      const [times, more] = [multiple.value, plus.value];
      multiple.fail(multiple.unreadable || times === 0 ? t("yarn.wrongNumber") : "");
      plus.fail(plus.unreadable ? t("yarn.wrongFree") : "");
      if (multiple.unreadable || plus.unreadable || times === 0) return;
      set({ repeat: times === null ? null : { multiple: times, plus: more ?? 0 } });
    };
    for (const event of ["change", "blur"]) {
      corners.input.addEventListener(event, cornered);
      for (const field of [multiple, plus]) field.input.addEventListener(event, repeat);
    }
    const summary = h("summary", {}, t("border.repeat"));
    const more = h("details", { class: "more", open: round.repeat !== null || this.#open.has(at), on: { toggle: () => { if (more.open) this.#open.add(at); else this.#open.delete(at); } } }, summary, h("div", { class: "field-row" }, multiple.element, plus.element));
    for (const [element, field] of /** @type {[HTMLElement, string][]} */ ([[stitch.select, "stitch"], [yarn.select, "yarn"], [corners.input, "corners"], [multiple.input, "multiple"], [plus.input, "plus"], [summary, "more"]])) marked(element, field);
    const colour = this.#yarns.find(({ key }) => key === round.yarn)?.colour ?? "";
    const button = (/** @type {"up" | "down" | "close"} */ picture, /** @type {string} */ label, /** @type {boolean} */ can, /** @type {() => void} */ run) => {
      const element = h("button", { type: "button", class: "button button-bare", "aria-label": `${name}: ${label}`, title: label, "aria-disabled": can ? null : "true", on: { click: () => { if (can) run(); } } }, icon(picture, 18));
      marked(element, picture);
      return element;
    };
    return h("li", { class: wrong ? "round round-wrong" : "round" }, h("div", { class: "round-inside", role: "group", "aria-label": name },
      h("div", { class: "round-head" }, h("span", { class: "dot", "aria-hidden": "true", style: { "background-color": colour } }), h("h3", {}, name),
        found && h("span", { class: `lie lie-${found.lie}` }, t(`lie.${found.lie}`)), h("span", { class: "spring" }),
        button("down", t("border.inwards"), at > 0, () => this.#move(at, -1)), button("up", t("border.outwards"), at + 1 < this.#wish.rounds.length, () => this.#move(at, 1)), button("close", t("border.remove"), true, () => this.#remove(at))),
      h("div", { class: "round-fields" }, stitch.element, yarn.element, corners.element),
      more,
      found && h("p", { class: "soft", "data-round": at }, t("border.counts", { stitches: found.stitches, growth: found.growth, corners: this.#corners(found.corners), between: found.edges.map((edge, side) => t("border.between", { edge: t(`edge.${/** @type {"top" | "left" | "bottom" | "right"} */ (edge)}`), count: found.between[side] ?? 0 })).join(", ") }), found.fudged.some((by) => by !== 0) && ` ${t("border.fudged", { edges: found.edges.flatMap((edge, side) => ((found.fudged[side] ?? 0) === 0 ? [] : [`${t(`edge.${/** @type {"top" | "left" | "bottom" | "right"} */ (edge)}`)} ${(found.fudged[side] ?? 0) > 0 ? "+" : "−"}${Math.abs(found.fudged[side] ?? 0)}`])).join(", ") })}`),
      wrong !== null && h("p", { class: "remark remark-grave", role: "alert" }, advice(wrong.what, wrong.hint))));
  }

  /** @param {number[]} corners */
  #corners(corners) {
    const [one = 0, two = 0] = corners;
    return corners.every((count) => count === one) ? number(one) : t("border.byTurns", { one, two });
  }

  /** @param {BorderTold} told */
  #alongSides({ wish }) {
    const kind = wish.along_sides === null ? "fitted" : typeof wish.along_sides === "number" ? "count" : "every";
    const count = numberField({ label: t("border.sideCount"), value: typeof wish.along_sides === "number" ? wish.along_sides : null, whole: true });
    count.element.hidden = kind !== "count";
    const put = (/** @type {BorderWish["along_sides"]} */ along_sides) => this.change({ ...this.#wish, along_sides });
    count.input.addEventListener("change", () => {
      count.fail(count.value === null || count.value < 1 ? t("yarn.wrongNumber") : "");
      if (count.value !== null && count.value >= 1) put(count.value);
    });
    const sides = selectField({
      label: t("border.sides"), value: kind, options: [["fitted", t("border.sidesFitted")], ["every", t("border.sidesEvery")], ["count", t("border.sidesCount")]],
      changed: (one) => {
        count.element.hidden = one !== "count";
        if (one === "count") count.input.focus();
        else put(one === "every" ? "every_row_end" : null);
      },
    });
    sides.select.dataset.field = "sides";
    count.input.dataset.field = "side-count";
    fill(this.sides, wish.rounds.length > 0 && sides.element, wish.rounds.length > 0 && count.element);
  }

  /**
   * @param {number} at
   * @param {Partial<Round>} part
   */
  #set(at, part) {
    this.change({ ...this.#wish, rounds: this.#wish.rounds.map((round, other) => (other === at ? { ...round, ...part } : round)) });
  }

  /** The yarn for what is added. */
  get #usual() {
    return this.#wish.rounds.at(-1)?.yarn ?? this.#yarns[0]?.key ?? "";
  }

  #add() {
    const stitch = this.#wish.rounds.at(-1)?.stitch ?? "sc";
    this.change({ ...this.#wish, rounds: [...this.#wish.rounds, { stitch, yarn: this.#usual, corners: null, repeat: null }] });
  }

  /** @param {readonly BorderStitch[]} stitches */
  #preset(stitches) {
    const yarn = this.#usual;
    this.change({ ...this.#wish, rounds: stitches.map((stitch) => ({ stitch, yarn, corners: null, repeat: null })) });
  }

  /**
   * @param {number} at
   * @param {-1 | 1} by
   */
  #move(at, by) {
    const rounds = [...this.#wish.rounds];
    const [moved] = rounds.splice(at, 1);
    if (moved === undefined) return;
    rounds.splice(at + by, 0, moved);
    const { activeElement } = document;
    // The focus goes along with the round.
    if (activeElement instanceof HTMLElement && activeElement.dataset.field !== undefined) activeElement.dataset.field = activeElement.dataset.field.replace(`-${at}`, `-${at + by}`);
    this.change({ ...this.#wish, rounds });
  }

  /** @param {number} at */
  #remove(at) {
    this.change({ ...this.#wish, rounds: this.#wish.rounds.filter((_, other) => other !== at) });
    const { activeElement } = document;
    if (activeElement instanceof HTMLElement && at + 1 === this.#wish.rounds.length && at > 0) activeElement.dataset.field = `close-${at - 1}`;
  }
}
