// Which part of the chart is in sight and how large: zoom, shift, and from points to cells and back.

/** Room for the row numbers at the sides and the stitch numbers below, in CSS pixels. */
export const GUTTER = { side: 38, top: 10, bottom: 26 };
const LARGEST_CELL = 64;

/** @typedef {{column: number, row: number}} Cell From 0, rows from the bottom. */

export class View {
  /** Width of a cell in CSS pixels. */
  cell = 10;
  /** Place of the chart's top left corner in CSS pixels. */
  left = 0;
  top = 0;
  width = 0;
  height = 0;
  fitted = true;

  /** @param {{columns: number, rows: number, proportion: number}} chart `proportion`: height of a cell over its width. */
  constructor({ columns, rows, proportion }) {
    this.columns = columns;
    this.rows = rows;
    this.proportion = proportion;
  }

  get cellHeight() {
    return this.cell * this.proportion;
  }

  /** The frame inside the gutters. */
  get frame() {
    return {
      left: GUTTER.side, top: GUTTER.top,
      right: Math.max(GUTTER.side + 1, this.width - GUTTER.side), bottom: Math.max(GUTTER.top + 1, this.height - GUTTER.bottom),
    };
  }

  /**
   * @param {number} width
   * @param {number} height
   */
  resize(width, height) {
    if (width === this.width && height === this.height) return;
    this.width = width;
    this.height = height;
    if (this.fitted) this.fit();
    else this.#keepInSight();
  }

  /** The width of a cell at which the whole chart is in sight. */
  get fittingCell() {
    const { left, top, right, bottom } = this.frame;
    return Math.min((right - left) / this.columns, (bottom - top) / (this.rows * this.proportion), LARGEST_CELL);
  }

  /** Shows all of it. */
  fit() {
    const { left, top, right, bottom } = this.frame;
    this.cell = this.fittingCell;
    this.left = (left + right - this.cell * this.columns) / 2;
    this.top = (top + bottom - this.cellHeight * this.rows) / 2;
    this.fitted = true;
  }

  /**
   * Makes cells larger or smaller; the point stays where it is.
   * @param {number} factor
   * @param {number} x
   * @param {number} y
   */
  zoom(factor, x = this.width / 2, y = this.height / 2) {
    const least = Math.min(this.fittingCell, 4);
    const cell = Math.min(LARGEST_CELL, Math.max(least, this.cell * factor));
    const by = cell / this.cell;
    this.cell = cell;
    this.left = x - (x - this.left) * by;
    this.top = y - (y - this.top) * by;
    this.fitted = cell <= least;
    if (this.fitted && this.fittingCell === least) this.fit();
    else this.#keepInSight();
  }

  /**
   * @param {number} x
   * @param {number} y
   */
  shift(x, y) {
    this.left += x;
    this.top += y;
    this.fitted = false;
    this.#keepInSight();
  }

  /** A third of the frame at least stays filled, so that the chart can't be lost. */
  #keepInSight() {
    const { left, top, right, bottom } = this.frame;
    const slackX = Math.min((right - left) * 0.66, this.cell * this.columns * 0.8);
    const slackY = Math.min((bottom - top) * 0.66, this.cellHeight * this.rows * 0.8);
    this.left = Math.min(right - slackX, Math.max(left + slackX - this.cell * this.columns, this.left));
    this.top = Math.min(bottom - slackY, Math.max(top + slackY - this.cellHeight * this.rows, this.top));
  }

  /**
   * @param {number} column
   * @returns {number} Left edge of a column; a boundary's place as well.
   */
  x(column) {
    return this.left + column * this.cell;
  }

  /**
   * @param {number} row
   * @returns {number} Top edge of a row.
   */
  y(row) {
    return this.top + (this.rows - 1 - row) * this.cellHeight;
  }

  /**
   * @param {number} x
   * @param {number} y
   * @returns {Cell | null}
   */
  cellAt(x, y) {
    const column = Math.floor((x - this.left) / this.cell);
    const row = this.rows - 1 - Math.floor((y - this.top) / this.cellHeight);
    return column >= 0 && column < this.columns && row >= 0 && row < this.rows ? { column, row } : null;
  }

  /**
   * The nearest cell, for strokes that leave the chart.
   * @param {number} x
   * @param {number} y
   * @returns {Cell}
   */
  nearest(x, y) {
    const within = (/** @type {number} */ value, /** @type {number} */ count) => Math.min(count - 1, Math.max(0, value));
    return {
      column: within(Math.floor((x - this.left) / this.cell), this.columns),
      row: within(this.rows - 1 - Math.floor((y - this.top) / this.cellHeight), this.rows),
    };
  }

  /** Columns and rows in sight: from, included, to, not included. */
  get inSight() {
    const { left, top, right, bottom } = this.frame;
    return {
      fromColumn: Math.max(0, Math.floor((left - this.left) / this.cell)),
      toColumn: Math.min(this.columns, Math.ceil((right - this.left) / this.cell)),
      fromRow: Math.max(0, this.rows - Math.ceil((bottom - this.top) / this.cellHeight)),
      toRow: Math.min(this.rows, this.rows - Math.floor((top - this.top) / this.cellHeight)),
    };
  }

  /**
   * Moves just so far that the cell is in sight, with some cells around it.
   * @param {Cell} cell
   */
  reveal({ column, row }) {
    const { left, top, right, bottom } = this.frame;
    const spare = Math.min(this.cell * 2, (right - left) / 4, (bottom - top) / 4);
    const x = this.x(column);
    const y = this.y(row);
    const before = [this.left, this.top];
    if (x - spare < left) this.left += left + spare - x;
    else if (x + this.cell + spare > right) this.left -= x + this.cell + spare - right;
    if (y - spare < top) this.top += top + spare - y;
    else if (y + this.cellHeight + spare > bottom) this.top -= y + this.cellHeight + spare - bottom;
    if (before[0] === this.left && before[1] === this.top) return;
    this.fitted = false;
    this.#keepInSight();
  }
}
