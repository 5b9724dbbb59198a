// A corner of the border, to scale: the blanket's own stitches, and each round's stitches as pebbles of
// its yarn, as wide and high as they are. What has too many or too few stitches shows it.

/** @import { BorderTold, RoundTold } from "../types.js" */

import { fill, h, s } from "../base/dom.js";
import { inkOn } from "../base/measure.js";
import { number, t } from "../base/words.js";

/** The width of a stitch in pixels, where the border is not too deep for it. */
const STITCH = 30;
/** The deepest that a border is drawn, in pixels. */
const DEEPEST = 380;
/** What is seen of the blanket, in stitches and in rows. */
const SEEN = 8;

/** @typedef {{from: number, to: number}} Stretch Along the outer edge: from the corner, below 0 along the top, above 0 down the side. */
/** @typedef {{inner: Stretch, outer: Stretch}} Pebble */

export class BorderDrawing {
  /** @type {BorderTold | null} */
  #told = null;
  #width = 0;

  /** @param {{cell: (column: number, row: number) => string, signal: AbortSignal}} options `cell`: the colour of a stitch of the chart. */
  constructor({ cell, signal }) {
    this.cell = cell;
    this.stand = h("div", { class: "border-stand" });
    this.hint = h("p", { class: "soft" });
    this.legend = h("ol", { class: "border-legend" });
    this.element = h("figure", { class: "border-figure" }, this.stand, h("figcaption", { class: "stack" }, this.hint, this.legend));
    const watch = new ResizeObserver(() => { if (Math.abs(this.#room - this.#width) > 2) this.#draw(); });
    watch.observe(this.stand);
    signal.addEventListener("abort", () => watch.disconnect(), { once: true });
  }

  /** @param {BorderTold} told */
  show(told) {
    this.#told = told;
    this.#draw();
  }

  /** How much room there is, in pixels. */
  get #room() {
    const { paddingLeft, paddingRight } = getComputedStyle(this.stand);
    return Math.max(0, this.stand.clientWidth - parseFloat(paddingLeft) - parseFloat(paddingRight));
  }

  #draw() {
    const told = this.#told;
    this.#width = this.#room;
    if (told === null || told.border === null || this.#width === 0) {
      fill(this.stand);
      fill(this.legend);
      return;
    }
    const { border, gauge, yarns } = told;
    const wide = 10 / gauge.stitches;
    const high = 10 / gauge.rows;
    const scale = Math.min(STITCH / wide, DEEPEST / Math.max(border.depth_cm, wide));
    const [w, row, depth] = [wide * scale, high * scale, border.depth_cm * scale];
    // Of a small blanket not so much that the next corners would be missed.
    const width = Math.min(this.#width, depth + Math.max(2, told.columns - 1.5) * w);
    const height = depth + Math.min(SEEN, Math.max(1, told.rows - 1)) * row;
    const left = told.hand === "left";
    /** @type {SVGElement[]} */
    const drawn = [];
    // The corner of the blanket lies at this place; for the left hand all is mirrored.
    const x = (/** @type {number} */ across) => (left ? width - depth - across : depth + across);
    const y = (/** @type {number} */ down) => depth + down;
    for (let up = 0; up < Math.min(told.rows, SEEN + 1); up += 1) {
      for (let across = 0; across < told.columns && across * w < width - depth; across += 1) {
        const column = left ? told.columns - 1 - across : across;
        drawn.push(s("rect", { x: Math.min(x(across * w), x((across + 1) * w)) + 0.5, y: y(up * row) + 0.5, width: Math.max(0.5, w - 1), height: Math.max(0.5, row - 1), rx: Math.min(w, row) * 0.28, fill: this.cell(column, told.rows - 1 - up), class: "drawn-cell" }));
      }
    }
    // Row ends that the first round passes by.
    const passed = border.rounds[0]?.drawn.after ?? [];
    passed.forEach((each, at) => {
      if (each > 0 || (at + 1) * row > height) return;
      const under = this.cell(left ? told.columns - 1 : 0, told.rows - 1 - at);
      drawn.push(s("circle", { cx: x(w * 0.5), cy: y((at + 0.5) * row), r: Math.min(w, row) * 0.22, fill: "none", stroke: under === "" ? "#808080" : inkOn(under), "stroke-width": 2 }));
    });
    this.hint.textContent = t(passed.some((each, at) => each === 0 && (at + 1) * row <= height) ? "border.drawnPassed" : "border.drawnHint");
    let out = 0;
    let below = this.#edge(border.rounds[0], w, row, told.rows);
    for (const [at, round] of border.rounds.entries()) {
      const tall = round.height_cm * scale;
      const pebbles = this.#round(round, below.stitches, below.corner, tall, at === 0);
      const colour = yarns[round.yarn]?.colour ?? "#808080";
      const rim = between(colour, inkOn(colour), 0.45);
      const point = (/** @type {number} */ along, /** @type {number} */ away) => (along <= 0 ? [x(-away - along), y(-away)] : [x(-away), y(-away + along)]);
      for (const { inner, outer } of pebbles.all) {
        const corners = [point(inner.from, out), ...(inner.from < 0 && inner.to > 0 ? [point(0, out)] : []), point(inner.to, out),
          point(outer.to, out + tall), ...(outer.from < 0 && outer.to > 0 ? [point(0, out + tall)] : []), point(outer.from, out + tall)];
        const points = inset(corners, Math.min(w, tall) * 0.2);
        if (points.every(([px = 0, py = 0]) => px < -w || px > width + w || py > height + w)) continue;
        const d = `M${points.map(([px = 0, py = 0]) => `${px.toFixed(1)} ${py.toFixed(1)}`).join("L")}Z`;
        const thick = Math.min(w, tall) * 0.26;
        drawn.push(s("path", { d, fill: rim, stroke: rim, "stroke-width": thick + 2.4, "stroke-linejoin": "round" }), s("path", { d, fill: colour, stroke: colour, "stroke-width": thick, "stroke-linejoin": "round" }));
      }
      out += tall;
      below = { stitches: pebbles.all.map(({ outer }) => outer), corner: pebbles.corner };
      const [tx, ty] = [left ? 14 : width - 14, y(-out + tall / 2)];
      if (tall > 15) {
        drawn.push(s("circle", { cx: tx, cy: ty, r: 10, fill: colour }));
        const text = s("text", { x: tx, y: ty + 4.5, "text-anchor": "middle", "font-size": 13, "font-weight": 700, fill: inkOn(colour) });
        text.textContent = number(at + 1);
        drawn.push(text);
      }
    }
    const label = t("border.alt", { rounds: border.rounds.length, corners: border.rounds.map(({ corners }) => corners[0] ?? 0).join(", ") });
    fill(this.stand, s("svg", { viewBox: `0 0 ${width} ${height}`, width, height, role: "img", "aria-label": label, class: "border-svg" }, ...drawn));
    fill(this.legend, ...border.rounds.map((round, at) => {
      const yarn = yarns[round.yarn];
      return h("li", {}, h("span", { class: "chip-swatch", "aria-hidden": "true", style: { "background-color": yarn?.colour ?? "", color: inkOn(yarn?.colour ?? "#808080") } }, number(at + 1)),
        h("span", {}, t("border.legend", { stitch: round.in_full, yarn: yarn?.name ?? "", corner: round.drawn.corner })));
    }).reverse());
  }

  /**
   * The edge of the blanket as the first round finds it: stitches along the top, and down the side as many
   * as it makes, spread over the row ends.
   * @param {RoundTold | undefined} round
   * @param {number} w
   * @param {number} row
   * @param {number} rows
   * @returns {{stitches: Stretch[], corner: number}}
   */
  #edge(round, w, row, rows) {
    if (round === undefined) return { stitches: [], corner: 0 };
    const before = round.drawn.before.length;
    const top = Array.from({ length: before + 1 }, (_, at) => ({ from: -(before + 1 - at) * w, to: -(before - at) * w }));
    const [, [, made]] = round.drawn.along;
    const pitch = (rows * row) / Math.max(1, made);
    const down = Array.from({ length: Math.min(made, 60) }, (_, at) => ({ from: at * pitch, to: (at + 1) * pitch }));
    return { stitches: [...top, ...down], corner: before };
  }

  /**
   * Every stitch of a round near its corner, on the stitches below.
   * @param {RoundTold} round
   * @param {Stretch[]} below
   * @param {number} corner Which of them is the corner stitch.
   * @param {number} tall
   * @param {boolean} spread Whether it is the first, whose side is spread over the row ends already.
   * @returns {{all: Pebble[], corner: number}}
   */
  #round({ drawn }, below, corner, tall, spread) {
    /** @type {Pebble[]} */
    const all = [];
    const into = (/** @type {Stretch} */ place, /** @type {number} */ each, /** @type {Stretch} */ outer) => {
      const part = (/** @type {Stretch} */ { from, to }, /** @type {number} */ at) => ({ from: from + ((to - from) * at) / each, to: from + ((to - from) * (at + 1)) / each });
      for (let at = 0; at < each; at += 1) all.push({ inner: part(place, at), outer: part(outer, at) });
    };
    const shifted = (/** @type {Stretch} */ { from, to }, /** @type {number} */ by) => ({ from: from + by, to: to + by });
    for (let at = Math.max(0, corner - drawn.before.length); at < corner; at += 1) {
      const place = below[at];
      if (place) into(place, drawn.before[drawn.before.length - corner + at] ?? 1, shifted(place, -tall));
    }
    const first = all.length;
    const stitch = below[corner];
    if (stitch) into(stitch, drawn.corner, { from: stitch.from - tall, to: stitch.to + tall });
    for (let at = corner + 1; at < below.length; at += 1) {
      const place = below[at];
      if (place) into(place, spread ? 1 : drawn.after[at - corner - 1] ?? 1, shifted(place, tall));
    }
    return { all, corner: first + drawn.middle - 1 };
  }
}

/**
 * A colour between two others.
 * @param {string} one `#rrggbb`.
 * @param {string} other
 * @param {number} share Of the other.
 */
function between(one, other, share) {
  const channel = (/** @type {number} */ at) => Math.round(parseInt(one.slice(at, at + 2), 16) * (1 - share) + parseInt(other.slice(at, at + 2), 16) * share);
  return `rgb(${channel(1)} ${channel(3)} ${channel(5)})`;
}

/**
 * The points of a small shape, each drawn towards its middle.
 * @param {(number[])[]} points
 * @param {number} by
 */
function inset(points, by) {
  const middle = [0, 1].map((axis) => points.reduce((sum, point) => sum + (point[axis] ?? 0), 0) / points.length);
  return points.map((point) => {
    const away = [0, 1].map((axis) => (point[axis] ?? 0) - (middle[axis] ?? 0));
    const far = Math.hypot(away[0] ?? 0, away[1] ?? 0);
    const left = far === 0 ? 0 : Math.max(0.2, 1 - (by * 1.2) / far);
    return [0, 1].map((axis) => (middle[axis] ?? 0) + (away[axis] ?? 0) * left);
  });
}
