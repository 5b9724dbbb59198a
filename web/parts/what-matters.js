// A sheet on which the person paints over what matters in the picture: an eye, a whisker, a letter.

/** @import { Crop, Important } from "../types.js" */

import { h } from "../base/dom.js";
import { icon } from "../base/icons.js";
import { t } from "../base/words.js";
import { Dialog } from "./dialog.js";
import { choice } from "./fields.js";

/** Cells of the map along the longer side. */
const CELLS = 96;
/** The brush, in cells of the map. */
const BRUSHES = { small: 1.2, large: 4 };

/** @param {Uint8Array} bytes */
function base64(bytes) {
  let text = "";
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text);
}

/** @param {string} text */
function bytesOf(text) {
  return Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
}

export class WhatMatters {
  /** @type {{x: number, y: number} | null} Where the keyboard is, in cells of the map. */
  #cursor = null;
  /** @type {{x: number, y: number} | null} */
  #last = null;
  #brush = BRUSHES.large;
  #painting = true;

  /**
   * @param {object} options
   * @param {HTMLImageElement} options.image
   * @param {0 | 90 | 180 | 270} options.turn
   * @param {Crop} options.crop Of the turned picture.
   * @param {number} options.proportion Width over height of what is shown.
   * @param {Important | null} options.value
   * @param {(value: Important | null) => void} options.kept
   */
  constructor({ image, turn, crop, proportion, value, kept }) {
    this.image = image;
    this.turn = turn;
    this.crop = crop;
    const [columns, rows] = proportion >= 1 ? [CELLS, Math.max(1, Math.round(CELLS / proportion))] : [Math.max(1, Math.round(CELLS * proportion)), CELLS];
    this.columns = columns;
    this.rows = rows;
    this.weights = value !== null && value.columns === columns && value.rows === rows ? bytesOf(value.weights) : new Uint8Array(columns * rows);
    this.scale = Math.max(4, Math.floor(720 / Math.max(columns, rows)));
    this.canvas = h("canvas", {
      width: columns * this.scale, height: rows * this.scale, class: "matters-sheet", tabindex: 0, role: "application",
      "aria-label": t("matters.label"), "aria-describedby": "matters-help",
      on: {
        pointerdown: (event) => this.#down(event), pointermove: (event) => this.#move(event),
        pointerup: () => { this.#last = null; }, pointercancel: () => { this.#last = null; },
        keydown: (event) => this.#key(event), blur: () => { this.#cursor = null; this.#draw(); },
      },
    });
    this.canvas.style.setProperty("aspect-ratio", `${columns} / ${rows}`);
    const dialog = new Dialog({
      title: t("matters.title"),
      body: [
        h("p", { id: "matters-help" }, t("matters.help")),
        h("div", { class: "button-row" },
          choice({ label: t("matters.does"), hideLabel: true, value: "paint", options: [["paint", t("matters.paint")], ["clear", t("matters.erase")]], changed: (does) => { this.#painting = does === "paint"; } }),
          choice({ label: t("matters.brush"), hideLabel: true, value: "large", options: [["large", t("matters.large")], ["small", t("matters.small")]], changed: (brush) => { this.#brush = BRUSHES[brush]; } })),
        this.canvas,
      ],
      actions: [
        h("button", { type: "button", class: "button", on: { click: () => { this.weights.fill(0); this.#draw(); } } }, icon("back", 18), t("matters.none")),
        h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.cancel")),
        h("button", {
          type: "button", class: "button button-main",
          on: { click: () => { kept(this.weights.some((weight) => weight > 0) ? { columns, rows, weights: base64(this.weights) } : null); dialog.close(); } },
        }, t("action.keep")),
      ],
    });
    this.dialog = dialog;
    this.#draw();
  }

  open() {
    this.dialog.open();
  }

  #draw() {
    const context = this.canvas.getContext("2d");
    if (context === null) return;
    const { width, height } = this.canvas;
    const { x, y, width: across, height: down } = this.crop;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, width, height);
    // The whole turned picture, so large that the frame's part fills the sheet.
    const [wholeWidth, wholeHeight] = [width / across, height / down];
    context.translate(-x * wholeWidth + wholeWidth / 2, -y * wholeHeight + wholeHeight / 2);
    context.rotate((this.turn * Math.PI) / 180);
    const [wide, high] = this.turn % 180 === 0 ? [wholeWidth, wholeHeight] : [wholeHeight, wholeWidth];
    if (this.image.complete && this.image.naturalWidth > 0) context.drawImage(this.image, -wide / 2, -high / 2, wide, high);
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.fillStyle = "rgb(255 224 120 / 55%)";
    this.weights.forEach((weight, at) => {
      if (weight > 0) context.fillRect((at % this.columns) * this.scale, Math.floor(at / this.columns) * this.scale, this.scale, this.scale);
    });
    if (this.#cursor !== null) {
      context.beginPath();
      context.arc((this.#cursor.x + 0.5) * this.scale, (this.#cursor.y + 0.5) * this.scale, this.#brush * this.scale + 2, 0, 2 * Math.PI);
      context.lineWidth = 4;
      context.strokeStyle = "white";
      context.stroke();
      context.lineWidth = 2;
      context.strokeStyle = "black";
      context.stroke();
    }
  }

  /** @param {PointerEvent} event */
  #cell(event) {
    const box = this.canvas.getBoundingClientRect();
    return { x: ((event.clientX - box.left) / box.width) * this.columns - 0.5, y: ((event.clientY - box.top) / box.height) * this.rows - 0.5 };
  }

  /** @param {PointerEvent} event */
  #down(event) {
    if (event.button !== 0) return;
    event.preventDefault();
    this.canvas.setPointerCapture(event.pointerId);
    this.#last = this.#cell(event);
    this.#dab(this.#last);
    this.#draw();
  }

  /** @param {PointerEvent} event */
  #move(event) {
    if (this.#last === null) return;
    const to = this.#cell(event);
    const steps = Math.max(1, Math.ceil(Math.hypot(to.x - this.#last.x, to.y - this.#last.y)));
    for (let step = 1; step <= steps; step += 1) {
      const part = step / steps;
      this.#dab({ x: this.#last.x + (to.x - this.#last.x) * part, y: this.#last.y + (to.y - this.#last.y) * part });
    }
    this.#last = to;
    this.#draw();
  }

  /** @param {{x: number, y: number}} at */
  #dab({ x, y }) {
    const reach = Math.ceil(this.#brush);
    for (let row = Math.round(y) - reach; row <= Math.round(y) + reach; row += 1) {
      for (let column = Math.round(x) - reach; column <= Math.round(x) + reach; column += 1) {
        if (column < 0 || row < 0 || column >= this.columns || row >= this.rows || Math.hypot(column - x, row - y) > this.#brush) continue;
        this.weights[row * this.columns + column] = this.#painting ? 255 : 0;
      }
    }
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const way = /** @type {Record<string, [number, number]>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] })[event.key];
    if (way === undefined && event.key !== " " && event.key !== "Enter") return;
    event.preventDefault();
    const at = this.#cursor ?? { x: Math.floor(this.columns / 2), y: Math.floor(this.rows / 2) };
    const step = event.shiftKey ? 5 : 1;
    if (way !== undefined) this.#cursor = { x: Math.min(this.columns - 1, Math.max(0, at.x + way[0] * step)), y: Math.min(this.rows - 1, Math.max(0, at.y + way[1] * step)) };
    else this.#dab(at);
    this.#draw();
  }
}
