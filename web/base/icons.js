// Our icons: single lines like a strand of yarn, drawn here as SVG.

import { s } from "./dom.js";

/** Each icon is a list of path data on a grid of 24; a leading "f" fills the path. */
const SHAPES = /** @type {const} */ ({
  mark: ["M2.5 16.5c3 0 3.6-9 6.6-9s.8 9 3.8 9 1.6-9 4.6-9 1.8 4.5 4 4.5"],
  stitch: ["M5 5.5 12 18l7-12.5", "M8.5 5.5 12 12l3.5-6.5"],
  line: ["M4.5 19.5 19.5 4.5", "M4.5 16v3.5H8", "M16 4.5h3.5V8"],
  flood: ["M3.5 15.5c2.8-2.2 5.7-2.2 8.5 0s5.7 2.2 8.5 0", "M3.5 19.5c2.8-2.2 5.7-2.2 8.5 0s5.7 2.2 8.5 0", "M12 3.5c2.2 2.7 3.3 4.6 3.3 6a3.3 3.3 0 0 1-6.6 0c0-1.4 1.1-3.3 3.3-6z"],
  box: ["M4.5 7h15v10h-15z"],
  oval: ["M12 6.5c4.4 0 7.5 2.5 7.5 5.5s-3.1 5.5-7.5 5.5S4.5 15 4.5 12 7.6 6.5 12 6.5z"],
  area: ["M4.5 7V5.5H6.5M10 5.5h4M17.5 5.5h2V7.5M19.5 10.5v3M19.5 16.5v2h-2M14 18.5h-4M6.5 18.5h-2v-2M4.5 13.5v-3"],
  words: ["M4.5 18.5 9 6l4.5 12.5M6.2 14.2h5.6", "M16 18.5h4M18 11.5v7M18 8.2v.2"],
  letters: ["M4.5 18.5 9 6l4.5 12.5M6.2 14.2h5.6", "M15 10.5h5M15 14.5h5M15 18.5h5"],
  swap: ["M4 8.5h13.5", "M14 5l3.5 3.5L14 12", "M20 15.5H6.5", "M10 12l-3.5 3.5L10 19"],
  pick: ["M12.5 7.5l4 4-8.2 8.2-3.8.8.8-3.8z", "M11.5 6.5l6 6M14.5 9.5l3-3.4a1.8 1.8 0 0 1 2.6 2.6l-3.3 2.9"],
  move: ["M12 3.5v17M3.5 12h17", "M9.5 6 12 3.5 14.5 6M9.5 18l2.5 2.5 2.5-2.5M6 9.5 3.5 12 6 14.5M18 9.5l2.5 2.5-2.5 2.5"],
  back: ["M4.5 9.5h10a5 5 0 0 1 0 10H9", "M8.5 5.5l-4 4 4 4"],
  again: ["M19.5 9.5h-10a5 5 0 0 0 0 10H15", "M15.5 5.5l4 4-4 4"],
  plus: ["M12 5v14M5 12h14"],
  minus: ["M5 12h14"],
  whole: ["M4.5 9V4.5H9M15 4.5h4.5V9M19.5 15v4.5H15M9 19.5H4.5V15"],
  close: ["M6 6l12 12M18 6 6 18"],
  more: ["fM12 4.5a1.7 1.7 0 1 1 0 3.4 1.7 1.7 0 0 1 0-3.4zM12 10.3a1.7 1.7 0 1 1 0 3.4 1.7 1.7 0 0 1 0-3.4zM12 16.1a1.7 1.7 0 1 1 0 3.4 1.7 1.7 0 0 1 0-3.4z"],
  files: ["M6 3.5h8l4.5 4.5v12.5H6z", "M13.5 3.5V8.5H18.5", "M12 11v6M9.5 14.8 12 17.2l2.5-2.4"],
  yarn: ["M12 4a8 8 0 1 0 0 16 8 8 0 0 0 0-16z", "M5.5 8c4.5.3 9 4.5 10.5 11M8.8 5c4.4.7 8.6 4.5 10.4 9.6M4.2 13.4c2.8.3 5.2 2.4 6.5 6.4"],
  settings: ["M4 7.5h8M16 7.5h4M4 16.5h4M12 16.5h8", "M14 5.3a2.2 2.2 0 1 1 0 4.4 2.2 2.2 0 0 1 0-4.4zM10 14.3a2.2 2.2 0 1 1 0 4.4 2.2 2.2 0 0 1 0-4.4z"],
  picture: ["M4 5.5h16v13H4z", "M4.5 17l5-5.5 3.5 3.5 2.5-2.5 4 4", "M15.5 8.2a1.2 1.2 0 1 1 0 2.4 1.2 1.2 0 0 1 0-2.4z"],
  chart: ["M4 4.5h16v15H4z", "M4 9.5h16M4 14.5h16M9.3 4.5v15M14.7 4.5v15"],
  blank: ["M5 4.5h14v15H5z", "M12 9v6M9 12h6"],
  lamp: ["M8 9.5h8l1.5 6h-11z", "M12 4v5.5M9.5 15.5v3.5h5v-3.5", "M7 20h10"],
  turn: ["M19 12a7 7 0 1 1-2.3-5.2", "M17.5 3v4.2h-4.2"],
  previous: ["M14.5 5.5 8 12l6.5 6.5"],
  next: ["M9.5 5.5 16 12l-6.5 6.5"],
  first: ["M17.5 5.5 11 12l6.5 6.5", "M6.5 5.5v13"],
  last: ["M6.5 5.5 13 12l-6.5 6.5", "M17.5 5.5v13"],
  up: ["M5.5 14.5 12 8l6.5 6.5"],
  down: ["M5.5 9.5 12 16l6.5-6.5"],
  check: ["M5 12.5l4.5 4.5L19 7.5"],
  basket: ["M4 10h16l-1.8 9.5H5.8z", "M7.5 10c0-3 2-5.5 4.5-5.5s4.5 2.5 4.5 5.5", "M9 13.5v3M12 13.5v3M15 13.5v3"],
  warn: ["M12 4 3.5 19.5h17z", "M12 10v4.5M12 17v.2"],
  shelf: ["M3.5 19h17", "M6 19V8h5v11M13 19V5h5v14"],
});

/** @typedef {keyof typeof SHAPES} IconName */

/**
 * @param {IconName} name
 * @param {number} [size] In pixels.
 * @returns {SVGElement}
 */
export function icon(name, size = 22) {
  const paths = SHAPES[name].map((shape) => {
    const filled = shape.startsWith("f");
    return filled
      ? s("path", { d: shape.slice(1), fill: "currentColor", stroke: "none" })
      : s("path", { d: shape });
  });
  return s("svg", {
    viewBox: "0 0 24 24", width: size, height: size, class: "icon", "aria-hidden": "true", focusable: "false",
    fill: "none", stroke: "currentColor", "stroke-width": 1.8, "stroke-linecap": "round", "stroke-linejoin": "round",
  }, ...paths);
}
