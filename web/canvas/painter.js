// Paints the chart: colours from a cache of one pixel a cell, symbols from small stamps, lines and
// numbers only for what is in sight.

/** @import { PaletteYarn } from "../types.js" */
/** @import { View } from "./view.js" */

import { inkOn } from "../base/measure.js";
import { number } from "../base/words.js";
import { GUTTER } from "./view.js";

/** Cells narrower than this, in CSS pixels, carry no symbol: it could not be read. */
const SMALLEST_WITH_SYMBOL = 13;
const SMALLEST_WITH_LINES = 5;

/**
 * @typedef {object} Colours What of tokens.css is drawn on the canvas.
 * @property {string} table Behind the chart.
 * @property {string} paper Behind the numbers.
 * @property {string} ink
 * @property {string} faint
 * @property {string} rule
 * @property {string} rule10
 * @property {string} mark
 */

export class Painter {
  #cache = document.createElement("canvas");
  /** @type {Map<string, HTMLCanvasElement>} */
  #stamps = new Map();

  /** @param {{columns: number, rows: number}} size */
  constructor({ columns, rows }) {
    this.columns = columns;
    this.rows = rows;
    this.#cache.width = columns;
    this.#cache.height = rows;
  }

  /**
   * Puts cells into the cache; null: all.
   * @param {Uint8Array} cells
   * @param {PaletteYarn[]} palette
   * @param {Iterable<number> | null} changed
   */
  renew(cells, palette, changed) {
    const context = /** @type {CanvasRenderingContext2D} */ (this.#cache.getContext("2d"));
    if (changed !== null) {
      for (const cell of changed) {
        context.fillStyle = palette[cells[cell] ?? 0]?.colour ?? "#000000";
        context.fillRect(cell % this.columns, this.rows - 1 - Math.floor(cell / this.columns), 1, 1);
      }
      return;
    }
    this.#stamps.clear();
    const image = context.createImageData(this.columns, this.rows);
    const bytes = palette.map(({ colour }) => [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16)));
    for (let row = 0; row < this.rows; row += 1) {
      for (let column = 0; column < this.columns; column += 1) {
        const [red = 0, green = 0, blue = 0] = bytes[cells[row * this.columns + column] ?? 0] ?? [];
        image.data.set([red, green, blue, 255], ((this.rows - 1 - row) * this.columns + column) * 4);
      }
    }
    context.putImageData(image, 0, 0);
  }

  /**
   * All of it, colours alone.
   * @param {CanvasRenderingContext2D} context
   * @param {number} width
   * @param {number} height
   */
  plain(context, width, height) {
    context.imageSmoothingEnabled = width < this.columns;
    context.drawImage(this.#cache, 0, 0, width, height);
  }

  /**
   * Colours, symbols, lines.
   * @param {CanvasRenderingContext2D} context In CSS pixels.
   * @param {View} view
   * @param {{cells: Uint8Array, palette: PaletteYarn[], symbols: boolean, colours: Colours, from: "right" | "left", density: number}} what `from`: the
   *   side that stitches are counted from.
   * @returns {number} How many cells were drawn one by one.
   */
  chart(context, view, { cells, palette, symbols, colours, from, density }) {
    const { fromColumn, toColumn, fromRow, toRow } = view.inSight;
    if (toColumn <= fromColumn || toRow <= fromRow) return 0;
    context.imageSmoothingEnabled = view.cell * density < 1;
    context.imageSmoothingQuality = "high";
    context.drawImage(
      this.#cache, fromColumn, this.rows - toRow, toColumn - fromColumn, toRow - fromRow,
      view.x(fromColumn), view.y(toRow - 1), (toColumn - fromColumn) * view.cell, (toRow - fromRow) * view.cellHeight,
    );
    let drawn = 0;
    if (symbols && Math.min(view.cell, view.cellHeight) >= SMALLEST_WITH_SYMBOL) {
      for (let row = fromRow; row < toRow; row += 1) {
        for (let column = fromColumn; column < toColumn; column += 1) {
          const yarn = palette[cells[row * this.columns + column] ?? 0];
          if (yarn === undefined) continue;
          const stamp = this.#stamp(yarn, view, density);
          // On whole device pixels, at its own size: anything else would smear the letters.
          const [x, y] = [Math.round(view.x(column) * density) / density, Math.round(view.y(row) * density) / density];
          context.drawImage(stamp, x, y, stamp.width / density, stamp.height / density);
          drawn += 1;
        }
      }
    }
    this.#rules(context, view, colours, from);
    return drawn;
  }

  /**
   * @param {PaletteYarn} yarn
   * @param {View} view
   * @param {number} density
   */
  #stamp(yarn, view, density) {
    const width = Math.max(1, Math.round(view.cell * density));
    const height = Math.max(1, Math.round(view.cellHeight * density));
    const name = `${yarn.symbol} ${yarn.colour} ${width} ${height}`;
    const known = this.#stamps.get(name);
    if (known !== undefined) return known;
    if (this.#stamps.size > 300) this.#stamps.clear();
    const stamp = document.createElement("canvas");
    stamp.width = width;
    stamp.height = height;
    const context = /** @type {CanvasRenderingContext2D} */ (stamp.getContext("2d"));
    const size = Math.min(width, height) * (yarn.symbol.length === 1 ? 0.62 : 0.46);
    context.font = `${size}px ${getComputedStyle(document.body).fontFamily}`;
    context.textAlign = "center";
    context.textBaseline = "middle";
    context.fillStyle = inkOn(yarn.colour);
    context.globalAlpha = 0.82;
    context.fillText(yarn.symbol, width / 2, height / 2 + size * 0.06);
    this.#stamps.set(name, stamp);
    return stamp;
  }

  /**
   * Lines between cells; every tenth is heavier, counted as the numbers below.
   * @param {CanvasRenderingContext2D} context
   * @param {View} view
   * @param {Colours} colours
   * @param {"right" | "left"} from
   */
  #rules(context, view, colours, from) {
    const { fromColumn, toColumn, fromRow, toRow } = view.inSight;
    const top = view.y(toRow - 1);
    const bottom = view.y(fromRow) + view.cellHeight;
    const left = view.x(fromColumn);
    const right = view.x(toColumn);
    const before = (/** @type {number} */ column) => (from === "right" ? this.columns - column : column);
    for (const heavy of [false, true]) {
      if (view.cell < (heavy ? 2 : SMALLEST_WITH_LINES)) continue;
      context.beginPath();
      for (let column = fromColumn; column <= toColumn; column += 1) {
        if ((before(column) % 10 === 0) !== heavy) continue;
        context.moveTo(Math.round(view.x(column)) + 0.5, top);
        context.lineTo(Math.round(view.x(column)) + 0.5, bottom);
      }
      for (let row = fromRow; row <= toRow; row += 1) {
        if ((row % 10 === 0) !== heavy) continue;
        const y = Math.round(view.y(row) + view.cellHeight) + 0.5;
        context.moveTo(left, y);
        context.lineTo(right, y);
      }
      context.lineWidth = 1;
      context.strokeStyle = heavy ? colours.rule10 : colours.rule;
      context.stroke();
    }
  }

  /**
   * The numbers, pinned to the edges: each row's on the side where it starts, stitches below from the
   * side that is named.
   * @param {CanvasRenderingContext2D} context
   * @param {View} view
   * @param {{colours: Colours, hand: "right" | "left", from: "right" | "left", pointedFrom: "right" | "left", arrow: boolean, row: number | null, column: number | null}} what
   *   The row and column to point out; `from`: where the stitches below begin, `pointedFrom` for the
   *   column that is pointed out; `arrow`: says which way they run.
   */
  numbers(context, view, { colours, hand, from, pointedFrom, arrow, row: marked, column: markedColumn }) {
    const { left, right, top, bottom } = view.frame;
    const { fromColumn, toColumn, fromRow, toRow } = view.inSight;
    context.fillStyle = colours.paper;
    context.fillRect(0, 0, GUTTER.side, view.height);
    context.fillRect(right, 0, view.width - right, view.height);
    context.fillRect(0, 0, view.width, GUTTER.top);
    context.fillRect(0, bottom, view.width, view.height - bottom);
    context.textBaseline = "middle";
    const every = this.#every(view.cellHeight, 13);
    const family = getComputedStyle(document.body).fontFamily;
    context.font = `11px ${family}`;
    for (let row = fromRow; row < toRow; row += 1) {
      const counted = row + 1;
      if (row !== marked && counted !== 1 && counted % every !== 0) continue;
      const y = view.y(row) + view.cellHeight / 2;
      if (y < top - 2 || y > bottom + 2) continue;
      const onRight = (counted % 2 === 1) === (hand === "right");
      this.#number(context, colours, number(counted), onRight ? right + 6 : left - 6, y, onRight ? "left" : "right", row === marked);
    }
    const step = Math.max(5, this.#every(view.cell, 28));
    for (let column = fromColumn; column < toColumn; column += 1) {
      const counted = (column === markedColumn ? pointedFrom : from) === "right" ? this.columns - column : column + 1;
      if (column !== markedColumn && counted !== 1 && counted % step !== 0) continue;
      const x = view.x(column) + view.cell / 2;
      if (x < left || x > right) continue;
      this.#number(context, colours, number(counted), x, bottom + 13, "center", column === markedColumn);
    }
    if (arrow) this.#arrow(context, from === "right" ? right + 22 : left - 22, bottom + 13, from === "right" ? -1 : 1, colours.mark);
  }

  /**
   * Which way the stitches below are counted, at their beginning.
   * @param {CanvasRenderingContext2D} context
   * @param {number} x Its middle.
   * @param {number} y
   * @param {number} way 1 to the right, -1 to the left.
   * @param {string} colour
   */
  #arrow(context, x, y, way, colour) {
    context.beginPath();
    context.moveTo(x - way * 9, y);
    context.lineTo(x + way * 9, y);
    context.moveTo(x + way * 4, y - 5);
    context.lineTo(x + way * 9, y);
    context.lineTo(x + way * 4, y + 5);
    context.lineWidth = 2.5;
    context.lineCap = "round";
    context.lineJoin = "round";
    context.strokeStyle = colour;
    context.stroke();
  }

  /**
   * @param {CanvasRenderingContext2D} context
   * @param {Colours} colours
   * @param {string} text
   * @param {number} x
   * @param {number} y
   * @param {CanvasTextAlign} align
   * @param {boolean} marked
   */
  #number(context, colours, text, x, y, align, marked) {
    context.textAlign = align;
    if (marked) {
      const width = context.measureText(text).width + 8;
      const from = align === "center" ? x - width / 2 : align === "left" ? x - 4 : x - width + 4;
      context.fillStyle = colours.mark;
      context.fillRect(from, y - 9, width, 18);
      context.fillStyle = colours.paper;
    } else {
      context.fillStyle = colours.faint;
    }
    context.fillText(text, x, y + 0.5);
  }

  /**
   * How many cells apart numbers stand that need so many pixels.
   * @param {number} cell
   * @param {number} needed
   */
  #every(cell, needed) {
    return [1, 2, 5, 10, 20, 50, 100, 200, 500].find((every) => every * cell >= needed) ?? 1000;
  }
}
