// What the marks on the strands mean, each drawn small.

import { h, s } from "../base/dom.js";
import { t } from "../base/words.js";

/** @param {...SVGElement} shapes */
function mark(...shapes) {
  return s("svg", { viewBox: "0 0 56 28", width: 56, height: 28, class: "legend-mark", "aria-hidden": "true", fill: "none", stroke: "currentColor", "stroke-linecap": "round" }, ...shapes);
}

export function legend() {
  const cell = (/** @type {number} */ x) => s("rect", { x, y: 3, width: 16, height: 22, class: "legend-cell" });
  const cells = () => [cell(4), cell(20), cell(36)];
  const thick = { "stroke-width": 4, class: "legend-strand" };
  const entries = /** @type {const} */ ([
    ["legend.join", mark(...cells(), s("line", { x1: 20, y1: 13, x2: 50, y2: 13, ...thick }), s("circle", { cx: 20, cy: 13, r: 5, "stroke-width": 3, class: "legend-ring" }))],
    ["legend.work", mark(...cells(), s("line", { x1: 6, y1: 13, x2: 50, y2: 13, ...thick }))],
    ["legend.carry", mark(...cells(), s("line", { x1: 6, y1: 21, x2: 50, y2: 21, ...thick, "stroke-width": 3, "stroke-dasharray": "5 6" }))],
    ["legend.drawBack", mark(...cells(), s("line", { x1: 8, y1: 18, x2: 50, y2: 18, ...thick, "stroke-width": 3, "stroke-dasharray": "0.5 6" }), s("path", { d: "M13 13.5 7 18l6 4.5", "stroke-width": 2 }))],
    ["legend.lift", mark(...cells(), s("line", { x1: 20, y1: 25, x2: 20, y2: 5, ...thick, "stroke-width": 3 }), s("path", { d: "M16 10l4-5 4 5", "stroke-width": 2 }))],
    ["legend.drop", mark(...cells(), s("path", { d: "M6 13h30V4", ...thick, "stroke-width": 3 }), s("circle", { cx: 36, cy: 4, r: 2.5, fill: "currentColor" }))],
    ["legend.cut", mark(...cells(), s("line", { x1: 6, y1: 13, x2: 36, y2: 13, ...thick }), s("path", { d: "M31 8l10 10M41 8 31 18", "stroke-width": 3 }))],
  ]);
  return h("dl", { class: "legend" }, ...entries.flatMap(([key, drawing]) => [h("dt", {}, drawing), h("dd", {}, t(key))]));
}
