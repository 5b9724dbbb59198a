// Turns pointers, wheels and pinches into strokes, shifts and zooms.

/** @import { Cell, View } from "./view.js" */

/**
 * @typedef {object} Hands What the gestures lead to.
 * @property {() => boolean} shifting Whether one finger or the left button moves the chart.
 * @property {(cell: Cell) => void} begin
 * @property {(cells: Cell[]) => void} draw More cells, in the order of the hand.
 * @property {(kept: boolean) => void} end False: the touch turned out to be a pinch.
 * @property {(cell: Cell | null) => void} hover
 * @property {() => void} changed The view moved.
 * @property {(cell: Cell) => void} [tap] Touched without moving, where a touch would move the chart.
 * @property {((cell: Cell) => void) | undefined} [pick] Touched with the Alt key held.
 */

/** A touch that moves less than this, in pixels, has not moved. */
const STILL = 5;
/** A finger draws only after it has moved so far or rested so long: a second one may follow. */
const TOUCH_SLACK = { pixels: 7, milliseconds: 110 };

export class Gestures {
  /** @type {Map<number, {x: number, y: number}>} */
  #pointers = new Map();
  /** @type {"none" | "pending" | "draw" | "shift" | "pinch"} */
  #state = "none";
  /** @type {{x: number, y: number, at: number}} */
  #start = { x: 0, y: 0, at: 0 };
  #drawing = -1;
  #pinched = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #rest;
  /** Whether the space bar is held, and whether it moved the chart meanwhile. */
  spaceHeld = false;
  spaceUsed = false;

  /**
   * @param {{element: HTMLElement, view: View, hands: Hands}} options
   */
  constructor({ element, view, hands }) {
    this.element = element;
    this.view = view;
    this.hands = hands;
    element.addEventListener("pointerdown", (event) => this.#down(event));
    element.addEventListener("pointermove", (event) => this.#move(event));
    element.addEventListener("pointerup", (event) => this.#up(event));
    element.addEventListener("pointercancel", (event) => this.#up(event));
    element.addEventListener("pointerleave", () => hands.hover(null));
    element.addEventListener("wheel", (event) => this.#wheel(event), { passive: false });
  }

  /** @param {PointerEvent} event */
  #point(event) {
    const box = this.element.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  /** @param {PointerEvent} event */
  #down(event) {
    if (event.button > 1) return;
    this.element.focus({ preventScroll: true });
    if (event.altKey && event.button === 0 && this.hands.pick) {
      const { x, y } = this.#point(event);
      const cell = this.view.cellAt(x, y);
      if (cell !== null) this.hands.pick(cell);
      return;
    }
    this.element.setPointerCapture(event.pointerId);
    const point = this.#point(event);
    this.#pointers.set(event.pointerId, point);
    if (this.#pointers.size === 2) {
      this.#stopDrawing(false);
      this.#state = "pinch";
      this.#pinched = true;
      return;
    }
    if (this.#pointers.size > 2) return;
    this.#start = { ...point, at: event.timeStamp };
    if (event.button === 1 || this.spaceHeld || this.hands.shifting()) {
      if (event.button === 1) event.preventDefault();
      this.spaceUsed = this.spaceHeld;
      this.#state = "shift";
    } else if (event.pointerType === "touch") {
      this.#state = "pending";
      this.#rest = setTimeout(() => this.#startDrawing(event.pointerId), TOUCH_SLACK.milliseconds);
    } else {
      this.#startDrawing(event.pointerId);
    }
  }

  /** @param {number} pointer */
  #startDrawing(pointer) {
    clearTimeout(this.#rest);
    const cell = this.view.cellAt(this.#start.x, this.#start.y);
    if (cell === null) {
      this.#state = "shift";
      return;
    }
    this.#state = "draw";
    this.#drawing = pointer;
    this.hands.begin(cell);
  }

  /** @param {boolean} kept */
  #stopDrawing(kept) {
    clearTimeout(this.#rest);
    if (this.#state === "draw") this.hands.end(kept);
    this.#state = "none";
  }

  /** @param {PointerEvent} event */
  #move(event) {
    const point = this.#point(event);
    if (event.pointerType !== "touch") this.hands.hover(this.view.cellAt(point.x, point.y));
    const before = this.#pointers.get(event.pointerId);
    if (before === undefined) return;
    if (this.#state === "pinch") {
      this.#pinch(event.pointerId, before, point);
    } else if (this.#state === "shift") {
      this.view.shift(point.x - before.x, point.y - before.y);
      this.hands.changed();
    } else if (this.#state === "pending") {
      const far = Math.hypot(point.x - this.#start.x, point.y - this.#start.y) > TOUCH_SLACK.pixels;
      if (far) this.#startDrawing(event.pointerId);
    }
    if (this.#state === "draw" && event.pointerId === this.#drawing) {
      const events = event.getCoalescedEvents?.() ?? [];
      const points = (events.length > 0 ? events : [event]).map((one) => this.#point(one));
      this.hands.draw(points.map(({ x, y }) => this.view.nearest(x, y)));
    }
    this.#pointers.set(event.pointerId, point);
  }

  /**
   * @param {number} moving
   * @param {{x: number, y: number}} before
   * @param {{x: number, y: number}} point
   */
  #pinch(moving, before, point) {
    const other = [...this.#pointers].find(([id]) => id !== moving)?.[1];
    if (other === undefined) return;
    const apart = (/** @type {{x: number, y: number}} */ one) => Math.max(10, Math.hypot(one.x - other.x, one.y - other.y));
    this.view.shift((point.x - before.x) / 2, (point.y - before.y) / 2);
    this.view.zoom(apart(point) / apart(before), (point.x + other.x) / 2, (point.y + other.y) / 2);
    this.hands.changed();
  }

  /** @param {PointerEvent} event */
  #up(event) {
    if (!this.#pointers.delete(event.pointerId)) return;
    if (this.#state === "pending" && event.type === "pointerup") this.#startDrawing(event.pointerId);
    if (this.#state === "draw" && event.pointerId === this.#drawing) this.#stopDrawing(true);
    else if (this.#state === "pinch" && this.#pointers.size === 1) this.#state = "shift";
    if (this.#pointers.size === 0) {
      const point = this.#point(event);
      const cell = this.view.cellAt(point.x, point.y);
      const still = Math.hypot(point.x - this.#start.x, point.y - this.#start.y) < STILL;
      if (this.#state === "shift" && still && cell !== null && event.button === 0 && !this.#pinched) this.hands.tap?.(cell);
      this.#pinched = false;
      clearTimeout(this.#rest);
      this.#state = "none";
    }
  }

  /** @param {WheelEvent} event */
  #wheel(event) {
    event.preventDefault();
    const box = this.element.getBoundingClientRect();
    const unit = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
    if (event.shiftKey) {
      this.view.shift(-(event.deltaX || event.deltaY) * unit, 0);
    } else {
      // Pads send a pinch as a wheel with the control key and small steps.
      const speed = event.ctrlKey ? 0.01 : 0.0016;
      this.view.zoom(Math.exp(-event.deltaY * unit * speed), event.clientX - box.left, event.clientY - box.top);
      if (event.deltaX !== 0 && !event.ctrlKey) this.view.shift(-event.deltaX * unit, 0);
    }
    this.hands.changed();
  }
}
