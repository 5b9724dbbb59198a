// The picture with a frame on it that says which part becomes the blanket: by mouse, touch and keys.

/** @import { Crop } from "../types.js" */

import { h } from "../base/dom.js";
import { number, t } from "../base/words.js";

/** The least side of the frame, as a part of the picture. */
const LEAST = 0.05;
/** One press of an arrow, as a part of the picture. */
const STEP = 0.01;

/** @typedef {"move" | "nw" | "ne" | "sw" | "se"} Grip */

export class CropFrame {
  /** @type {Crop} */
  crop;
  /** Width over height of the frame on the picture, or null where it is free. */
  #proportion = /** @type {number | null} */ (null);
  /** @type {0 | 90 | 180 | 270} */
  turn;
  /** @type {{grip: Grip, x: number, y: number, crop: Crop, pointer: number} | null} */
  #drag = null;

  /**
   * @param {object} options
   * @param {string} options.source Address of the picture.
   * @param {{width: number, height: number}} options.size Of the picture as it is, not turned.
   * @param {Crop} options.crop
   * @param {0 | 90 | 180 | 270} options.turn
   * @param {() => void} options.changed
   * @param {string} options.label
   */
  constructor({ source, size, crop, turn, changed, label }) {
    this.size = size;
    this.crop = { ...crop };
    this.turn = turn;
    this.changed = changed;
    this.canvas = h("canvas", { role: "img", "aria-label": label });
    const corners = /** @type {Grip[]} */ (["nw", "ne", "sw", "se"]).map((grip) =>
      h("button", { type: "button", class: `grip grip-${grip}`, "aria-label": t(`crop.${/** @type {"nw"} */ (grip)}`), "data-grip": grip, on: { keydown: (event) => this.#key(event, grip) } }));
    this.words = h("p", { class: "soft crop-words", "aria-live": "polite" });
    this.frame = h("div", { class: "crop-frame" },
      h("button", { type: "button", class: "crop-inside", "data-grip": "move", "aria-label": t("crop.move"), on: { keydown: (event) => this.#key(event, "move") } }), ...corners);
    this.stage = h("div", {
      class: "crop-stage",
      on: {
        pointerdown: (event) => this.#down(event), pointermove: (event) => this.#move(event),
        pointerup: () => this.#up(), pointercancel: () => this.#up(),
      },
    }, this.canvas, this.frame);
    this.element = h("div", { class: "crop" }, h("div", { class: "crop-table" }, this.stage), this.words);
    this.image = new Image();
    this.image.addEventListener("load", () => this.#draw());
    this.image.src = source;
    this.#draw();
    this.#place();
  }

  /** Width and height of the picture as turned. */
  get turned() {
    const { width, height } = this.size;
    return this.turn % 180 === 0 ? { width, height } : { width: height, height: width };
  }

  /** Width over height of what is inside the frame. */
  get inside() {
    return (this.crop.width * this.turned.width) / (this.crop.height * this.turned.height);
  }

  /** A quarter turn clockwise; the frame turns along. */
  turnOnce() {
    const { x, y, width, height } = this.crop;
    this.crop = { x: 1 - y - height, y: x, width: height, height: width };
    this.turn = /** @type {0 | 90 | 180 | 270} */ ((this.turn + 90) % 360);
    this.#draw();
    if (this.#proportion !== null) this.#cutTo(this.#proportion);
    this.#place();
    this.changed();
  }

  /** @param {number | null} proportion Width over height that the frame keeps from now on. */
  keep(proportion) {
    this.#proportion = proportion;
    if (proportion !== null && Math.abs(proportion / this.inside - 1) > 0.002) this.#cutTo(proportion);
    this.#place();
  }

  /** The whole picture, or as much of it as the proportions allow. */
  whole() {
    this.crop = { x: 0, y: 0, width: 1, height: 1 };
    if (this.#proportion !== null) this.#cutTo(this.#proportion);
    this.#place();
    this.changed();
  }

  /** @param {number} proportion */
  #cutTo(proportion) {
    const relative = proportion * (this.turned.height / this.turned.width);
    const middle = { x: this.crop.x + this.crop.width / 2, y: this.crop.y + this.crop.height / 2 };
    let { width, height } = this.crop;
    const area = Math.sqrt((width * height) / relative);
    height = Math.min(1, area, 1 / relative);
    width = height * relative;
    this.crop = { x: middle.x - width / 2, y: middle.y - height / 2, width, height };
    this.#within();
  }

  #within() {
    const { crop } = this;
    crop.width = Math.min(1, crop.width);
    crop.height = Math.min(1, crop.height);
    crop.x = Math.min(1 - crop.width, Math.max(0, crop.x));
    crop.y = Math.min(1 - crop.height, Math.max(0, crop.y));
  }

  /**
   * Moves the frame or one of its corners.
   * @param {Grip} grip
   * @param {Crop} from
   * @param {number} x As a part of the picture.
   * @param {number} y
   */
  #pull(grip, from, x, y) {
    if (grip === "move") {
      this.crop = { ...from, x: from.x + x, y: from.y + y };
      this.#within();
    } else {
      const [west, north] = [grip.endsWith("w"), grip.startsWith("n")];
      const fixed = { x: west ? from.x + from.width : from.x, y: north ? from.y + from.height : from.y };
      const room = { x: west ? fixed.x : 1 - fixed.x, y: north ? fixed.y : 1 - fixed.y };
      let width = Math.min(room.x, Math.max(LEAST, from.width + (west ? -x : x)));
      let height = Math.min(room.y, Math.max(LEAST, from.height + (north ? -y : y)));
      if (this.#proportion !== null) {
        const relative = this.#proportion * (this.turned.height / this.turned.width);
        width = Math.min(Math.max(width, height * relative), room.x, room.y * relative);
        height = width / relative;
      }
      this.crop = { x: west ? fixed.x - width : fixed.x, y: north ? fixed.y - height : fixed.y, width, height };
    }
    this.#place();
    this.changed();
  }

  /** @param {PointerEvent} event */
  #down(event) {
    const grip = event.target instanceof HTMLElement ? event.target.dataset.grip : undefined;
    if (grip === undefined || event.button !== 0) return;
    this.stage.setPointerCapture(event.pointerId);
    this.#drag = { grip: /** @type {Grip} */ (grip), x: event.clientX, y: event.clientY, crop: { ...this.crop }, pointer: event.pointerId };
  }

  /** @param {PointerEvent} event */
  #move(event) {
    const drag = this.#drag;
    if (drag === null || drag.pointer !== event.pointerId) return;
    const box = this.stage.getBoundingClientRect();
    this.#pull(drag.grip, drag.crop, (event.clientX - drag.x) / box.width, (event.clientY - drag.y) / box.height);
  }

  #up() {
    this.#drag = null;
  }

  /**
   * @param {KeyboardEvent} event
   * @param {Grip} grip
   */
  #key(event, grip) {
    const way = /** @type {Record<string, [number, number]>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] })[event.key];
    if (way === undefined) return;
    event.preventDefault();
    const step = event.shiftKey ? STEP * 5 : STEP;
    this.#pull(grip, { ...this.crop }, way[0] * step, way[1] * step);
  }

  #draw() {
    const { width, height } = this.turned;
    this.stage.style.setProperty("aspect-ratio", `${width} / ${height}`);
    this.stage.style.setProperty("--shape", String(width / height));
    const scale = Math.min(1, 1200 / Math.max(width, height));
    this.canvas.width = Math.max(1, Math.round(width * scale));
    this.canvas.height = Math.max(1, Math.round(height * scale));
    const context = this.canvas.getContext("2d");
    if (context === null || !this.image.complete || this.image.naturalWidth === 0) return;
    context.translate(this.canvas.width / 2, this.canvas.height / 2);
    context.rotate((this.turn * Math.PI) / 180);
    const [across, upwards] = this.turn % 180 === 0 ? [this.canvas.width, this.canvas.height] : [this.canvas.height, this.canvas.width];
    context.drawImage(this.image, -across / 2, -upwards / 2, across, upwards);
  }

  #place() {
    const { x, y, width, height } = this.crop;
    for (const [name, value] of Object.entries({ left: x, top: y, width, height })) this.frame.style.setProperty(name, `${value * 100}%`);
    this.words.textContent = t("crop.words", { width: number(width * 100), height: number(height * 100), x: number(x * 100), y: number(y * 100) });
  }
}
