// The picture room: which part of the picture, how large, in which yarns; and what comes of it.

/** @import { ChartingRequest, Crop, Extent, Yarn } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */

import { fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { area, CM_PER_INCH, finished, ROW_TO_STITCH } from "../base/measure.js";
import { address } from "../base/router.js";
import { maybe, number, t } from "../base/words.js";
import { CropFrame } from "../parts/crop-frame.js";
import { Fabric } from "../parts/fabric.js";
import { choice, numberField } from "../parts/fields.js";
import { YarnPicker } from "../parts/yarn-picker.js";

/** @typedef {"cm" | "in" | "stitches"} Unit */

/** How much of the whole work is done where each stage begins; roughly, from trying it. */
const STAGES = /** @type {const} */ ([["waiting", 0], ["reading", 0], ["charting", 0.1], ["planning", 0.65], ["proving", 0.95]]);

/**
 * How much of the whole work is done.
 * @param {string} stage
 * @param {number} done Of that stage.
 */
function whole(stage, done) {
  const at = STAGES.findIndex(([name]) => name === stage);
  const begin = STAGES[at]?.[1] ?? 0;
  const end = STAGES[at + 1]?.[1] ?? 1;
  return begin + (end - begin) * (stage === "waiting" ? 0 : done);
}

/** @param {number} value */
const tidy = (value) => Math.round(value * 10) / 10;

export class PictureRoom {
  /** @type {Yarn[]} */
  #yarns = [];
  /** @type {Unit} */
  #unit;
  /** @type {"count" | "keys"} */
  #by = "count";
  /** @type {{job: string | number | null} | null} The charting under way. */
  #work = null;

  /** @param {{blanket: OpenBlanket, bus: Bus, settings: Settings, signal: AbortSignal}} options */
  constructor({ blanket, bus, settings, signal }) {
    this.blanket = blanket;
    this.bus = bus;
    this.settings = settings;
    this.signal = signal;
    this.#unit = settings.value.units;
    this.fabric = new Fabric({ label: t("picture.previewLabel") });
    this.previewWords = h("p", { class: "soft" });
    this.element = h("div", { class: "picture-room" }, h("h1", { class: "unseen" }, t("picture.heading", { name: blanket.name })));
    bus.on("reloaded", () => this.#preview(), signal);
    bus.on("cells", () => this.#preview(), signal);
    bus.on("yarns", () => void this.#loadYarns(), signal);
  }

  get title() {
    return t("picture.heading", { name: this.blanket.name });
  }

  async open() {
    const { picture } = this.blanket;
    if (picture === null) {
      fill(this.element, h("section", { class: "empty" }, h("div", { class: "empty-drawing", "aria-hidden": "true" }, icon("picture", 72)),
        h("h1", {}, t("picture.noneTitle")), h("p", {}, t("picture.noneText")),
        h("div", { class: "button-row" }, h("a", { class: "button button-main", href: address("chart", this.blanket.id) }, t("picture.toChart")), h("a", { class: "button", href: address("shelf") }, t("picture.toShelf")))));
      return;
    }
    this.#yarns = (await http.yarns()).yarns;
    this.#build(picture);
    this.#preview();
  }

  /** @param {NonNullable<OpenBlanket["picture"]>} picture */
  #build(picture) {
    const { request } = picture;
    const { gauge } = this.blanket;
    const known = request?.width ?? request?.height ?? null;
    if (known !== null) this.#unit = "cm" in known ? "cm" : "inches" in known ? "in" : "stitches";
    this.#by = request !== null && "keys" in request.colours ? "keys" : "count";
    this.crop = new CropFrame({
      source: http.picture(this.blanket.id, 1200), size: picture, crop: request?.crop ?? { x: 0, y: 0, width: 1, height: 1 },
      turn: request?.turn ?? 0, changed: () => this.#follow(), label: t("picture.alt", { name: this.blanket.name }),
    });
    const changed = () => this.#follow();
    const value = (/** @type {Extent | null | undefined} */ extent) => (extent ? Object.values(extent)[0] ?? null : null);
    const size = finished(this.blanket.columns, this.blanket.rows, gauge);
    const first = this.#unit === "cm" ? tidy(size.width) : this.#unit === "in" ? tidy(size.width / CM_PER_INCH) : this.blanket.columns;
    this.width = numberField({ label: t("picture.width"), value: value(request?.width) ?? (request?.height ? null : first), changed });
    this.height = numberField({ label: t("picture.height"), value: value(request?.height), changed });
    this.stitches = numberField({ label: t("picture.gaugeStitches"), value: tidy(gauge.stitches), unit: t("picture.in10"), changed });
    this.rows = numberField({ label: t("picture.gaugeRows"), value: gauge.estimated ? null : tidy(gauge.rows), unit: t("picture.in10"), changed });
    this.rows.input.placeholder = number(gauge.stitches / ROW_TO_STITCH, 1);
    this.sizeWords = h("p", { class: "result", "aria-live": "polite" });
    this.count = numberField({ label: t("picture.count"), value: request !== null && "count" in request.colours ? request.colours.count : this.blanket.palette.length, whole: true, changed });
    const keys = request !== null && "keys" in request.colours ? request.colours.keys : this.blanket.palette.map(({ key }) => key);
    this.picker = new YarnPicker({ yarns: this.#yarns, chosen: keys, label: t("picture.pick"), changed });
    this.colours = h("div", {});
    this.go = h("button", { type: "submit", class: "button button-main button-large" }, t("picture.chartIt"));
    this.progress = h("progress", { max: 1, value: 0, "aria-label": t("picture.progress") });
    this.stage = h("p", { class: "soft", role: "status" });
    this.cancel = h("button", { type: "button", class: "button", on: { click: () => void this.#cancel() } }, t("action.cancel"));
    this.working = h("div", { class: "working", hidden: true }, this.stage, this.progress, this.cancel);
    const form = h("form", { class: "picture-form stack", on: { submit: (event) => { event.preventDefault(); void this.#chart(); } } },
      h("section", {}, h("h2", {}, t("picture.sizeTitle")),
        choice({
          label: t("picture.unit"), hideLabel: true, value: this.#unit, changed: (unit) => this.#convert(unit),
          options: [["cm", t("picture.cm")], ["in", t("picture.in")], ["stitches", t("picture.stitches")]],
        }),
        h("div", { class: "field-row" }, this.width.element, this.height.element), h("p", { class: "soft" }, t("picture.heightHint")),
        h("div", { class: "field-row" }, this.stitches.element, this.rows.element), h("p", { class: "soft" }, t("picture.gaugeHint")), this.sizeWords),
      h("section", {}, h("h2", {}, t("picture.yarnsTitle")),
        choice({
          label: t("picture.by"), hideLabel: true, value: this.#by, changed: (by) => { this.#by = by; this.#showColours(); },
          options: [["count", t("picture.byCount")], ["keys", t("picture.byKeys")]],
        }), this.colours),
      h("div", { class: "go" }, this.go, this.working));
    fill(this.element, h("h1", { class: "unseen" }, t("picture.heading", { name: this.blanket.name })),
      h("section", { class: "picture-crop", "aria-label": t("picture.cropTitle") },
        h("div", { class: "between" }, h("h2", {}, t("picture.cropTitle")), h("div", { class: "button-row" },
          h("button", { type: "button", class: "button button-small", on: { click: () => this.crop?.whole() } }, icon("whole", 18), t("picture.whole")),
          h("button", { type: "button", class: "button button-small", on: { click: () => { this.crop?.turnOnce(); } } }, icon("turn", 18), t("picture.turn")))),
        this.crop.element),
      form,
      h("section", { class: "picture-preview", "aria-label": t("picture.previewTitle") },
        h("h2", {}, t("picture.previewTitle")), h("div", { class: "cloth-stand" }, this.fabric.element), this.previewWords,
        h("div", { class: "button-row" }, h("a", { class: "button", href: address("chart", this.blanket.id) }, t("picture.toChart"), icon("next", 18)))));
    this.#showUnit();
    this.#showColours();
    this.#follow();
  }

  #showColours() {
    if (this.colours && this.count && this.picker) {
      fill(this.colours, this.#by === "count" ? this.count.element : this.picker.element);
      if (this.#by === "count") this.colours.append(h("p", { class: "soft" }, t("picture.countHint", { count: this.#yarns.length })));
    }
    this.#follow();
  }

  async #loadYarns() {
    try {
      this.#yarns = (await http.yarns()).yarns;
      this.picker?.show(this.#yarns);
      this.#showColours();
    } catch (error) {
      this.bus.emit("trouble", { error });
    }
  }

  #gauge() {
    const stitches = this.stitches?.value || this.blanket.gauge.stitches;
    const rows = this.rows?.value ?? null;
    return { stitches, rows: rows || stitches / ROW_TO_STITCH, estimated: !rows };
  }

  /**
   * A side in cm.
   * @param {number | null} value
   * @param {number} in10 Stitches or rows in 10 cm.
   */
  #cm(value, in10) {
    if (value === null || value <= 0) return null;
    return this.#unit === "cm" ? value : this.#unit === "in" ? value * CM_PER_INCH : (value / in10) * 10;
  }

  /** @param {Unit} unit The numbers are carried over to it. */
  #convert(unit) {
    const { stitches, rows } = this.#gauge();
    const sides = /** @type {const} */ ([[this.width, stitches], [this.height, rows]]).map(([field, in10]) => ({ field, in10, cm: this.#cm(field?.value ?? null, in10) }));
    this.#unit = unit;
    for (const { field, in10, cm } of sides) {
      if (field && cm !== null) field.value = unit === "cm" ? tidy(cm) : unit === "in" ? tidy(cm / CM_PER_INCH) : Math.round((cm * in10) / 10);
    }
    this.#showUnit();
    this.#follow();
  }

  #showUnit() {
    if (!this.width || !this.height) return;
    this.width.unit.textContent = this.#unit === "stitches" ? t("picture.unitStitches") : this.#unit;
    this.height.unit.textContent = this.#unit === "stitches" ? t("picture.unitRows") : this.#unit;
  }

  /** Lets the frame follow the size, and the size the frame. */
  #follow() {
    if (!this.crop || !this.width || !this.height || !this.sizeWords || !this.go) return;
    const gauge = this.#gauge();
    const [wide, high] = [this.#cm(this.width.value, gauge.stitches), this.#cm(this.height.value, gauge.rows)];
    this.crop.keep(wide !== null && high !== null ? wide / high : null);
    const { inside } = this.crop;
    const width = wide ?? (high === null ? null : high * inside);
    const height = high ?? (wide === null ? null : wide / inside);
    this.height.input.placeholder = wide !== null && height !== null ? this.#inUnit(height, gauge.rows) : "";
    this.width.input.placeholder = high !== null && width !== null ? this.#inUnit(width, gauge.stitches) : "";
    const none = width === null || height === null || (this.#by === "keys" && this.picker?.chosen.size === 0) || (this.#by === "count" && !this.count?.value);
    this.go.disabled = none || this.#work !== null;
    if (width === null || height === null) {
      this.sizeWords.textContent = t("picture.noSize");
      return;
    }
    this.sizeWords.textContent = t("picture.result", {
      size: area(width, height, this.settings.value.units), columns: Math.round((width * gauge.stitches) / 10), rows: Math.round((height * gauge.rows) / 10),
    });
  }

  /**
   * @param {number} cm
   * @param {number} in10
   */
  #inUnit(cm, in10) {
    return number(this.#unit === "cm" ? cm : this.#unit === "in" ? cm / CM_PER_INCH : (cm * in10) / 10, this.#unit === "stitches" ? 0 : 1);
  }

  /** @returns {ChartingRequest} */
  #request() {
    const extent = (/** @type {number | null | undefined} */ value) => {
      if (!value) return null;
      return this.#unit === "cm" ? { cm: value } : this.#unit === "in" ? { inches: value } : { stitches: Math.round(value) };
    };
    const stitches = this.stitches?.value || this.blanket.gauge.stitches;
    const rows = this.rows?.value;
    return {
      turn: this.crop?.turn ?? 0, crop: /** @type {Crop} */ (this.crop?.crop), width: extent(this.width?.value), height: extent(this.height?.value),
      gauge: rows ? { stitches, rows } : { stitches },
      colours: this.#by === "count" ? { count: this.count?.value ?? 8 } : { keys: this.#yarns.map(({ key }) => key).filter((key) => this.picker?.chosen.has(key)) },
    };
  }

  async #chart() {
    if (this.#work !== null) return;
    /** @type {{job: string | number | null}} */
    const work = { job: null };
    this.#work = work;
    this.#showWork(t("picture.begins"), 0);
    try {
      const { job } = await http.chartPicture(this.blanket.id, this.#request());
      work.job = job;
      const { notes = [] } = await http.followJob(job, ({ stage, done }) => this.#showWork(maybe(`stage.${stage}`, stage), whole(stage, done)), this.signal);
      await this.blanket.reload();
      this.bus.emit("note", { text: [t("picture.done"), ...notes].join(" · ") });
    } catch (error) {
      if (!this.signal.aborted && this.#work === work) this.bus.emit("trouble", { error });
    }
    if (this.#work === work) this.#rest();
  }

  #rest() {
    this.#work = null;
    if (this.working) this.working.hidden = true;
    this.#follow();
  }

  async #cancel() {
    const job = this.#work?.job ?? null;
    this.#rest();
    this.go?.focus();
    try {
      if (job !== null) await http.cancelJob(job);
    } catch (error) {
      this.bus.emit("trouble", { error });
    }
  }

  /**
   * @param {string} stage
   * @param {number} done
   */
  #showWork(stage, done) {
    if (!this.working || !this.stage || !this.progress || !this.go || this.#work === null) return;
    this.working.hidden = false;
    this.go.disabled = true;
    if (this.stage.textContent !== stage) this.stage.textContent = stage;
    this.progress.value = done;
  }

  #preview() {
    const { columns, rows, gauge, numbers, palette } = this.blanket;
    this.fabric.show(this.blanket);
    const size = finished(columns, rows, gauge);
    this.previewWords.textContent = t("picture.previewWords", {
      size: area(size.width, size.height, this.settings.value.units), columns, rows, colours: palette.length, ends: numbers.ends, hours: number(numbers.hours.total),
    });
  }
}
