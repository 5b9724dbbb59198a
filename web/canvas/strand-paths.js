// Draws the ways of strands over the chart: work as a line through its row, what lies inside other
// stitches dashed and low, lifts as short rises, joins as rings, cuts as crosses.

/** @import { PaletteYarn, StrandPlan, Step } from "../types.js" */
/** @import { Colours } from "./painter.js" */
/** @import { View } from "./view.js" */

/** How strongly the others are drawn while one is followed. */
const BESIDE = 0.4;
/** Heights in a cell, from its top. */
const WORKED = 0.42;
const INSIDE = 0.84;
const DRAWN_BACK = 0.7;
/** Cells lower than this, in CSS pixels, show only where strands begin and end. */
const LEAST_FOR_LINES = 4;
/** Below this the lines are plain, without dashes and marks: there are thousands of them in sight. */
const LEAST_FOR_MARKS = 11;

/**
 * @typedef {object} Drawn
 * @property {StrandPlan} plan
 * @property {PaletteYarn[]} palette
 * @property {number | null} chosen The strand that is followed.
 * @property {{row: number, step: number} | null} current Its step that is looked at; place among the row's steps.
 * @property {number | null} row The row that is read.
 */

/**
 * @param {CanvasRenderingContext2D} context
 * @param {View} view
 * @param {Colours} colours
 * @param {Drawn} drawn
 */
export function drawStrands(context, view, colours, { plan, palette, chosen, current, row: readRow }) {
  const { fromColumn, toColumn, fromRow, toRow } = view.inSight;
  const { left, right } = view.frame;
  context.fillStyle = colours.paper;
  context.globalAlpha = 0.62;
  context.fillRect(view.x(fromColumn), view.y(toRow - 1), (toColumn - fromColumn) * view.cell, (toRow - fromRow) * view.cellHeight);
  context.globalAlpha = 1;
  if (readRow !== null) {
    context.strokeStyle = colours.mark;
    context.lineWidth = 2;
    context.strokeRect(view.x(0) - 1, view.y(readRow) - 1, view.cell * view.columns + 2, view.cellHeight + 2);
  }
  context.lineCap = "round";
  context.lineJoin = "round";
  const seen = (/** @type {number} */ boundary) => view.x(boundary) >= left - view.cell && view.x(boundary) <= right + view.cell;
  const lines = view.cellHeight >= LEAST_FOR_LINES;
  context.globalAlpha = chosen === null ? 1 : BESIDE;
  const batch = new Batch(view);
  for (let row = fromRow; row < toRow; row += 1) {
    for (const step of plan.rows[row]?.steps ?? []) {
      const [kind, strand, from, to] = step;
      if (strand === chosen) continue;
      const far = typeof to === "number" && kind !== "join" && kind !== "cut" ? to : from;
      if (!seen(from) && !seen(far) && (view.x(from) < left) === (view.x(far) < left)) continue;
      const colour = palette[plan.strands[strand]?.yarn ?? 0]?.colour ?? colours.ink;
      if (lines) batch.add(step, row, colour);
      else if (kind === "join" || kind === "cut") dot(context, view.x(from), view.y(row) + view.cellHeight / 2, colour, colours.ink);
    }
  }
  batch.draw(context, colours);
  context.globalAlpha = 1;
  if (chosen !== null) drawChosen(context, view, colours, { plan, palette, chosen, current });
}

/** The steps of many strands, put together by yarn so that thousands of them are a few strokes. */
class Batch {
  /** @type {Map<string, {worked: Path2D, inside: Path2D, back: Path2D, up: Path2D}>} */
  #paths = new Map();
  #worked = new Path2D();
  /** @type {{start: [number, number], end: [number, number], colour: string, thick: number, outlined: boolean}[]} */
  #plain = [];
  /** @type {[Step, number, string][]} Joins and cuts, drawn one by one on top. */
  #marks = [];

  /** @param {View} view */
  constructor(view) {
    this.view = view;
    this.thick = Math.max(1.2, Math.min(4, view.cellHeight * 0.18));
    this.size = Math.min(6, view.cellHeight * 0.26);
  }

  /**
   * @param {Step} step
   * @param {number} row
   * @param {string} colour
   */
  add(step, row, colour) {
    const { view } = this;
    const [kind, , from] = step;
    const paths = this.#paths.get(colour) ?? { worked: new Path2D(), inside: new Path2D(), back: new Path2D(), up: new Path2D() };
    this.#paths.set(colour, paths);
    if (kind === "join" || kind === "cut") {
      this.#marks.push([step, row, colour]);
      return;
    }
    const [start, end] = points(view, step, row);
    if (view.cellHeight < LEAST_FOR_MARKS) {
      this.#plain.push({ start, end, colour, thick: this.thick * (kind === "work" ? 1 : 0.6), outlined: kind === "work" });
      return;
    }
    const path = kind === "work" ? paths.worked : kind === "carry" ? paths.inside : kind === "draw_back" ? paths.back : paths.up;
    for (const one of kind === "work" ? [path, this.#worked] : [path]) {
      one.moveTo(...start);
      one.lineTo(...end);
    }
    if (kind === "draw_back") head(paths.up, end[0], end[1], Math.sign(step[3] - from), 0, this.size);
    if (kind === "lift") head(paths.up, start[0], start[1] - view.cellHeight * 0.85, 0, -1, this.size);
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {Colours} colours
   */
  #drawPlain(context, colours) {
    context.fillStyle = colours.ink;
    for (const { start, end, thick, outlined } of this.#plain) if (outlined) bar(context, start, end, thick + 1);
    for (const { start, end, thick, colour } of this.#plain) {
      context.fillStyle = colour;
      bar(context, start, end, thick);
    }
    for (const [step, row, colour] of this.#marks) {
      const [[x, y]] = points(this.view, step, row);
      dot(context, x, y, colour, colours.ink);
    }
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {Colours} colours
   */
  draw(context, colours) {
    if (this.view.cellHeight < LEAST_FOR_MARKS) {
      this.#drawPlain(context, colours);
      return;
    }
    context.setLineDash([]);
    context.strokeStyle = colours.ink;
    context.lineWidth = this.thick + Math.min(1.5, this.thick * 0.5);
    context.stroke(this.#worked);
    for (const [colour, { worked, inside, back, up }] of this.#paths) {
      context.strokeStyle = colour;
      context.lineWidth = this.thick;
      context.stroke(worked);
      context.lineWidth = Math.max(1, this.thick * 0.8);
      context.stroke(up);
      context.setLineDash([this.thick * 1.6, this.thick * 1.8]);
      context.stroke(inside);
      context.setLineDash([this.thick * 0.2, this.thick * 1.9]);
      context.stroke(back);
      context.setLineDash([]);
    }
    for (const [step, row, colour] of this.#marks) {
      const [[x, y]] = points(this.view, step, row);
      if (step[0] === "join") ring(context, x, y, this.size, colour, colours);
      else cross(context, x, y, this.size, colour, colours);
    }
  }
}

/**
 * A line across or upwards as a filled rectangle, which is many times faster than a stroke.
 * @param {CanvasRenderingContext2D} context
 * @param {[number, number]} start
 * @param {[number, number]} end
 * @param {number} thick
 */
function bar(context, start, end, thick) {
  const [x, y] = [Math.min(start[0], end[0]), Math.min(start[1], end[1])];
  const across = start[1] === end[1];
  if (across) context.fillRect(x, y - thick / 2, Math.abs(end[0] - start[0]), thick);
  else context.fillRect(x - thick / 2, y, thick, Math.abs(end[1] - start[1]));
}

/**
 * The two strokes of an arrow's head.
 * @param {Path2D} path
 * @param {number} x
 * @param {number} y
 * @param {number} across Which way it points: 1 to the right, -1 to the left, or
 * @param {number} down -1 upwards.
 * @param {number} size
 */
function head(path, x, y, across, down, size) {
  for (const side of [-1, 1]) {
    path.moveTo(x, y);
    path.lineTo(x - across * size + (across === 0 ? side * size * 0.7 : 0), y - down * size + (down === 0 ? side * size * 0.7 : 0));
  }
}

/**
 * The strand that is followed, from join to cut, on top of all.
 * @param {CanvasRenderingContext2D} context
 * @param {View} view
 * @param {Colours} colours
 * @param {{plan: StrandPlan, palette: PaletteYarn[], chosen: number, current: {row: number, step: number} | null}} what
 */
function drawChosen(context, view, colours, { plan, palette, chosen, current }) {
  const strand = plan.strands[chosen];
  if (strand === undefined) return;
  const colour = palette[strand.yarn]?.colour ?? colours.ink;
  const { fromRow, toRow } = view.inSight;
  const first = Math.max(fromRow - 1, strand.first_row, 0);
  const last = Math.min(toRow, strand.last_row, plan.rows.length - 1);
  const thick = Math.max(2, Math.min(5, view.cellHeight * 0.2));
  /** @type {[number, number] | null} */
  let reached = null;
  for (let row = first; row <= last; row += 1) {
    for (const step of plan.rows[row]?.steps ?? []) {
      if (step[1] !== chosen) continue;
      const [start, end] = points(view, step, row);
      if (reached !== null && (Math.abs(reached[0] - start[0]) > 0.5 || Math.abs(reached[1] - start[1]) > 0.5)) {
        context.setLineDash([]);
        stroke(context, [reached, start], colour, thick, colours.ink, 2);
      }
      drawStep(context, view, colours, { step, row, colour });
      reached = end;
    }
  }
  if (current === null) return;
  const step = plan.rows[current.row]?.steps[current.step];
  if (step === undefined) return;
  const [x, y, width] = place(view, step, current.row);
  context.lineWidth = 5;
  context.strokeStyle = colours.paper;
  const height = Math.max(view.cellHeight, 8);
  context.strokeRect(x - 3, y - 3, width + 6, height + 6);
  context.lineWidth = 2.5;
  context.strokeStyle = colours.mark;
  context.strokeRect(x - 3, y - 3, width + 6, height + 6);
}

/**
 * Where a step begins and ends on the canvas.
 * @param {View} view
 * @param {Step} step
 * @param {number} row
 * @returns {[[number, number], [number, number]]}
 */
function points(view, step, row) {
  const [kind, , from] = step;
  const at = (/** @type {number} */ boundary, /** @type {number} */ part) => /** @type {[number, number]} */ ([view.x(boundary), view.y(row) + view.cellHeight * part]);
  if (kind === "work") return [at(from, WORKED), at(step[3], WORKED)];
  if (kind === "carry") return [at(from, INSIDE), at(step[3], INSIDE)];
  if (kind === "draw_back") return [at(from, DRAWN_BACK), at(step[3], DRAWN_BACK)];
  if (kind === "drop") return [at(from, WORKED), at(from, 0)];
  if (kind === "lift") return [at(from, 1), at(from, 0)];
  return [at(from, WORKED), at(from, WORKED)];
}

/**
 * @param {View} view
 * @param {Step} step
 * @param {number} row
 * @returns {[number, number, number]} Left, top and width of what a step touches.
 */
function place(view, step, row) {
  const [kind, , from, to] = step;
  if (kind === "work" || kind === "carry" || kind === "draw_back") {
    return [view.x(Math.min(from, to)), view.y(row), Math.abs(to - from) * view.cell];
  }
  return [view.x(from) - Math.max(4, view.cell / 2), view.y(row), Math.max(8, view.cell)];
}

/**
 * One step of the strand that is followed.
 * @param {CanvasRenderingContext2D} context
 * @param {View} view
 * @param {Colours} colours
 * @param {{step: Step, row: number, colour: string}} what
 */
function drawStep(context, view, colours, { step, row, colour }) {
  const [kind, , from] = step;
  const high = view.cellHeight;
  const thick = Math.max(3, Math.min(7, high * 0.3));
  const size = Math.max(5, Math.min(9, high * 0.38));
  const [start, end] = points(view, step, row);
  context.setLineDash(kind === "carry" ? [thick * 1.6, thick * 1.8] : kind === "draw_back" ? [thick * 0.2, thick * 1.9] : []);
  if (kind !== "join" && kind !== "cut") stroke(context, [start, end], colour, kind === "work" ? thick : thick * 0.8, colours.ink, kind === "work" ? 3 : 2);
  context.setLineDash([]);
  if (kind === "join") {
    ring(context, ...start, size, colour, colours);
  } else if (kind === "cut") {
    cross(context, ...start, size, colour, colours);
  } else if (kind === "drop") {
    dot(context, end[0], view.y(row) + high * 0.05, colour, colours.ink);
  } else if (kind === "draw_back" || kind === "lift") {
    const arrow = new Path2D();
    if (kind === "lift") head(arrow, end[0], view.y(row) + high * 0.15, 0, -1, size);
    else head(arrow, ...end, Math.sign(step[3] - from), 0, size);
    context.strokeStyle = colours.ink;
    context.lineWidth = Math.max(1, size * 0.35);
    context.stroke(arrow);
  }
}

/**
 * A line with an outline, so that it can be told from the fabric whatever its colour.
 * @param {CanvasRenderingContext2D} context
 * @param {[number, number][]} points
 * @param {string} colour
 * @param {number} width
 * @param {string} outline
 * @param {number} by
 */
function stroke(context, points, colour, width, outline, by) {
  context.beginPath();
  points.forEach(([x, y], at) => (at === 0 ? context.moveTo(x, y) : context.lineTo(x, y)));
  if (by > 0) {
    context.strokeStyle = outline;
    context.lineWidth = width + by;
    context.stroke();
  }
  context.strokeStyle = colour;
  context.lineWidth = width;
  context.stroke();
}

/**
 * @param {CanvasRenderingContext2D} context
 * @param {number} x
 * @param {number} y
 * @param {string} colour
 * @param {string} ink
 */
function dot(context, x, y, colour, ink) {
  context.beginPath();
  context.arc(x, y, 2.2, 0, Math.PI * 2);
  context.fillStyle = colour;
  context.fill();
  context.lineWidth = 1;
  context.strokeStyle = ink;
  context.stroke();
}

/**
 * @param {CanvasRenderingContext2D} context
 * @param {number} x
 * @param {number} y
 * @param {number} size
 * @param {string} colour
 * @param {Colours} colours
 */
function ring(context, x, y, size, colour, colours) {
  context.beginPath();
  context.arc(x, y, size, 0, Math.PI * 2);
  context.fillStyle = colours.paper;
  context.fill();
  context.lineWidth = size * 0.62;
  context.strokeStyle = colour;
  context.stroke();
  for (const radius of [size * 1.34, size * 0.68]) {
    context.beginPath();
    context.arc(x, y, radius, 0, Math.PI * 2);
    context.lineWidth = 1;
    context.strokeStyle = colours.ink;
    context.stroke();
  }
}

/**
 * @param {CanvasRenderingContext2D} context
 * @param {number} x
 * @param {number} y
 * @param {number} size
 * @param {string} colour
 * @param {Colours} colours
 */
function cross(context, x, y, size, colour, colours) {
  context.lineCap = "butt";
  for (const [style, width] of /** @type {[string, number][]} */ ([[colours.ink, size * 0.62 + 2.5], [colours.paper, size * 0.62 + 0.8], [colour, size * 0.5]])) {
    context.beginPath();
    context.moveTo(x - size, y - size);
    context.lineTo(x + size, y + size);
    context.moveTo(x + size, y - size);
    context.lineTo(x - size, y + size);
    context.strokeStyle = style;
    context.lineWidth = width;
    context.stroke();
  }
  context.lineCap = "round";
}
