// A still picture of a chart in the fabric's proportions, drawn here from its cells.

/** @import { PaletteYarn } from "../types.js" */

import { h } from "../base/dom.js";
import { Painter } from "../canvas/painter.js";

export class Fabric {
  /** @param {{label: string}} options */
  constructor({ label }) {
    this.element = h("canvas", { class: "fabric", role: "img", "aria-label": label });
  }

  /**
   * @param {{columns: number, rows: number, cells: Uint8Array, palette: PaletteYarn[], proportion: number}} chart
   * @param {number} longest Pixels of the longer side.
   */
  show({ columns, rows, cells, palette, proportion }, longest = 900) {
    const painter = new Painter({ columns, rows });
    painter.renew(cells, palette, null);
    const cell = Math.max(1, longest / Math.max(columns, rows * proportion));
    this.element.width = Math.round(columns * cell);
    this.element.height = Math.round(rows * cell * proportion);
    const context = this.element.getContext("2d", { alpha: false });
    if (context !== null) painter.plain(context, this.element.width, this.element.height);
  }
}
