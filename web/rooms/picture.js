// The picture room: which part of the picture, how large, in which yarns; and what comes of it.

/** @import { ChartingRequest, Crop, Extent, Important, Yarn } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */

import { calm, fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { icon } from "../base/icons.js";
import { area, CM_PER_INCH, finished, ROW_TO_STITCH } from "../base/measure.js";
import { address, go, setQuery } from "../base/router.js";
import { maybe, number, remarks, t } from "../base/words.js";
import { ChoicesRow } from "../parts/choices-row.js";
import { CropFrame } from "../parts/crop-frame.js";
import { Fabric } from "../parts/fabric.js";
import { choice, gaugeField, numberField, slider } from "../parts/fields.js";
import { WhatMatters } from "../parts/what-matters.js";
import { listed } from "../parts/yarn-form.js";
import { YarnPicker } from "../parts/yarn-picker.js";
import { YarnWishes } from "../parts/yarn-wishes.js";

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

/**
 * What was asked for but not charted yet is kept by the browser, as long as its window is open.
 * @param {number} id
 */
const shelfOf = (id) => `strandwright-picture-${id}`;

/** @typedef {{unit: Unit, by: "count" | "keys", count: number | null, request: ChartingRequest}} Draft */

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
  /** @type {Important | null} What the person painted as important. */
  #important = null;
  /** Whether the form stands, so that a change of it is the person's. */
  #built = false;
  /** @type {Map<HTMLInputElement, {shown: string, cm: number}>} Sides carried over from another unit, exactly, until they are typed over. */
  #carried = new Map();
  /** What the form says as charted, to tell what is not charted yet. */
  #charted = "";

  /** @param {{blanket: OpenBlanket, bus: Bus, settings: Settings, signal: AbortSignal}} options */
  constructor({ blanket, bus, settings, signal }) {
    this.blanket = blanket;
    this.bus = bus;
    this.settings = settings;
    this.signal = signal;
    this.#unit = settings.value.units;
    this.fabric = new Fabric({ label: t("picture.previewLabel") });
    this.previewWords = h("p", { class: "soft" });
    this.noted = h("details", { class: "more", hidden: true });
    this.replaces = h("p", { class: "soft" });
    this.element = h("div", { class: "picture-room" }, h("h1", { class: "unseen" }, t("picture.heading", { name: blanket.name })));
    bus.on("reloaded", () => this.#preview(), signal);
    bus.on("cells", () => this.#preview(), signal);
    bus.on("yarns", () => void this.#loadYarns(), signal);
    bus.on("settings", () => this.#measure(), signal);
  }

  /** The measures of the settings are others now, perhaps. */
  #measure() {
    const { units } = this.settings.value;
    this.stitches?.measure(units);
    this.rows?.measure(units);
    this.#preview();
    this.#follow();
  }

  /** @returns {Draft | null} */
  #kept() {
    try {
      return JSON.parse(sessionStorage.getItem(shelfOf(this.blanket.id)) ?? "null");
    } catch {
      return null;
    }
  }

  #keep() {
    if (!this.#built) return;
    try {
      /** @type {Draft} */
      const draft = { unit: this.#unit, by: this.#by, count: this.count?.value ?? null, request: this.#request() };
      if (JSON.stringify(draft.request) === this.#charted) sessionStorage.removeItem(shelfOf(this.blanket.id));
      else sessionStorage.setItem(shelfOf(this.blanket.id), JSON.stringify(draft));
    } catch {
      // A browser that keeps nothing, or a map of what matters that is too large for it.
    }
  }

  /** @param {ChartingRequest} request It is charted as it was asked for. */
  #settle(request) {
    this.#charted = JSON.stringify(request);
    this.#keep();
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
    const draft = this.#kept();
    const request = draft?.request ?? picture.request;
    const { gauge } = this.blanket;
    const { units } = this.settings.value;
    const known = request?.width ?? request?.height ?? null;
    if (known !== null) this.#unit = "cm" in known ? "cm" : "inches" in known ? "in" : "stitches";
    if (draft !== null) this.#unit = draft.unit;
    this.#by = draft?.by ?? (request !== null && "keys" in request.colours ? "keys" : "count");
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
    for (const [field, extent] of /** @type {const} */ ([[this.width, request?.width], [this.height, request?.height]])) {
      const exact = value(extent);
      if (exact === null || Number.isInteger(exact * 100)) continue;
      field.value = Math.round(exact * 100) / 100;
      this.#carried.set(field.input, { shown: field.input.value, cm: this.#unit === "in" ? exact * CM_PER_INCH : exact });
    }
    this.stitches = gaugeField({ label: t("picture.gaugeStitches"), value: draft?.request.gauge.stitches ?? gauge.stitches, units, changed });
    this.rows = gaugeField({
      label: t("picture.gaugeRows"), value: draft === null ? (gauge.estimated ? null : gauge.rows) : draft.request.gauge.rows ?? null, units, usual: gauge.stitches / ROW_TO_STITCH, changed,
    });
    this.sizeWords = h("p", { class: "result", "aria-live": "polite" });
    this.count = numberField({ label: t("picture.count"), value: draft !== null ? draft.count : request !== null && "count" in request.colours ? request.colours.count : this.blanket.palette.length, whole: true, changed });
    const keys = request !== null && "keys" in request.colours ? request.colours.keys : this.blanket.palette.map(({ key }) => key);
    this.picker = new YarnPicker({ yarns: [], chosen: keys, label: t("picture.pick"), changed });
    this.#offerYarns();
    const wishes = request !== null && "count" in request.colours ? request.colours : { count: 0 };
    this.wishes = new YarnWishes({ yarns: this.#yarns, keep: wishes.keep ?? [], without: wishes.without ?? [], onHand: wishes.on_hand ?? false, changed });
    this.ease = slider({ label: t("picture.ease"), value: request?.ease ?? 0, least: 0, most: 10, low: t("picture.easeLow"), high: t("picture.easeHigh"), changed });
    this.#important = request?.important ?? null;
    this.mattersWords = h("span", { class: "soft" });
    this.choices = new ChoicesRow({ take: (at) => void this.#take(at) });
    this.many = h("button", { type: "button", class: "button", on: { click: () => void this.#choices() } }, t("picture.choices"));
    this.colours = h("div", { class: "stack" });
    this.why = h("p", { class: "soft", id: "picture-why", role: "status" });
    this.go = h("button", { type: "submit", class: "button button-main button-large", "aria-describedby": "picture-why" }, t("picture.chartIt"));
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
      h("section", {}, h("h2", {}, t("picture.easeTitle")), this.ease.element, h("p", { class: "soft" }, t("picture.easeHint")),
        h("div", { class: "button-row" }, h("button", { type: "button", class: "button button-small", on: { click: () => this.#matters() } }, t("matters.open")), this.mattersWords)),
      h("div", { class: "go" }, h("div", { class: "button-row" }, this.go, this.many), this.why, this.working));
    fill(this.element, h("h1", { class: "unseen" }, t("picture.heading", { name: this.blanket.name })),
      h("section", { class: "picture-crop", "aria-label": t("picture.cropTitle") },
        h("div", { class: "between" }, h("h2", {}, t("picture.cropTitle")), h("div", { class: "button-row" },
          h("button", { type: "button", class: "button button-small", on: { click: () => this.crop?.whole() } }, icon("whole", 18), t("picture.whole")),
          h("button", { type: "button", class: "button button-small", on: { click: () => { this.crop?.turnOnce(); } } }, icon("turn", 18), t("picture.turn")))),
        this.crop.element),
      form,
      h("section", { class: "picture-preview", "aria-label": t("picture.previewTitle") },
        h("h2", {}, t("picture.previewTitle")), h("div", { class: "cloth-stand" }, this.fabric.element), this.previewWords, this.noted,
        h("div", { class: "button-row" }, h("a", { class: "button", href: address("chart", this.blanket.id) }, t("picture.toChart"), icon("next", 18)))),
      this.choices.element);
    this.#showUnit();
    this.#showColours();
    // A new picture has its size in cm; who measures in inches begins in inches.
    if (draft === null && units === "in" && this.#unit === "cm") {
      const radio = form.querySelector('input[type="radio"][value="in"]');
      if (radio instanceof HTMLInputElement) radio.checked = true;
      this.#convert("in");
    }
    this.#follow();
    if (draft === null) this.#charted = JSON.stringify(this.#request());
    this.#built = true;
  }

  /** The yarns to pick from: the person's; where there are none, those of the blanket as it is. */
  #offerYarns() {
    const none = this.#yarns.length === 0;
    this.picker?.show(this.#pickable, none ? [
      h("p", {}, t("picture.noList")),
      h("div", {}, h("button", { type: "button", class: "button button-small", on: { click: () => setQuery("panel", "yarns", "push") } }, icon("yarn", 18), t("picture.toYarns"))),
      h("p", { class: "soft" }, t("picture.noListThese")),
    ] : []);
  }

  /** @returns {Yarn[]} */
  get #pickable() {
    return this.#yarns.length > 0 ? this.#yarns : this.blanket.palette.map(listed);
  }

  #showColours() {
    if (this.colours && this.count && this.picker) {
      fill(this.colours, this.#by === "count" ? this.count.element : this.picker.element);
      if (this.#by === "count") this.colours.append(this.wishes?.element ?? "", h("p", { class: "soft" }, t("picture.countHint", { count: this.#yarns.length })));
    }
    this.#follow();
  }

  async #loadYarns() {
    try {
      this.#yarns = (await http.yarns()).yarns;
      this.#offerYarns();
      this.wishes?.show(this.#yarns);
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
   * @param {ReturnType<typeof numberField> | undefined} field
   * @param {number} in10 Stitches or rows in 10 cm.
   */
  #cm(field, in10) {
    const carried = field && this.#carried.get(field.input);
    if (carried && carried.shown === field.input.value && this.#unit !== "stitches") return carried.cm;
    const value = field?.value ?? null;
    if (value === null || value <= 0) return null;
    return this.#unit === "cm" ? value : this.#unit === "in" ? value * CM_PER_INCH : (value / in10) * 10;
  }

  /** @param {Unit} unit The numbers are carried over to it. */
  #convert(unit) {
    const { stitches, rows } = this.#gauge();
    const sides = /** @type {const} */ ([[this.width, stitches], [this.height, rows]]).map(([field, in10]) => ({ field, in10, cm: this.#cm(field, in10) }));
    this.#unit = unit;
    for (const { field, in10, cm } of sides) {
      if (!field || cm === null) continue;
      field.value = unit === "cm" ? tidy(cm) : unit === "in" ? tidy(cm / CM_PER_INCH) : Math.round((cm * in10) / 10);
      this.#carried.set(field.input, { shown: field.input.value, cm });
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
    if (this.rows) this.rows.placeholder = gauge.stitches / ROW_TO_STITCH;
    const [wide, high] = [this.#cm(this.width, gauge.stitches), this.#cm(this.height, gauge.rows)];
    this.crop.keep(wide !== null && high !== null ? wide / high : null);
    const { inside } = this.crop;
    const width = wide ?? (high === null ? null : high * inside);
    const height = high ?? (wide === null ? null : wide / inside);
    this.height.input.placeholder = wide !== null && height !== null ? this.#inUnit(height, gauge.rows) : "";
    this.width.input.placeholder = high !== null && width !== null ? this.#inUnit(width, gauge.stitches) : "";
    const picked = this.#pickable.some(({ key }) => this.picker?.chosen.has(key));
    const why = this.stitches?.unreadable || this.rows?.unreadable ? t("picture.whyGauge")
      : width === null || height === null ? t("picture.noSize")
        : this.#by === "keys" && !picked ? t("picture.whyPick")
          : this.#by === "count" && !this.count?.value ? t("picture.whyCount") : "";
    this.go.disabled = why !== "" || this.#work !== null;
    if (this.why && this.why.textContent !== why) this.why.textContent = why;
    this.#keep();
    if (this.many) this.many.disabled = this.go.disabled;
    if (this.mattersWords) this.mattersWords.textContent = this.#important === null ? "" : t("matters.some");
    if (width === null || height === null) {
      this.sizeWords.textContent = t("picture.noSize");
      return;
    }
    const [columns, rows] = [Math.round((width * gauge.stitches) / 10), Math.round((height * gauge.rows) / 10)];
    // Of whole stitches and rows, as the blanket will have it.
    const size = finished(columns, rows, gauge);
    this.sizeWords.textContent = t("picture.result", { size: area(size.width, size.height, this.settings.value.units), columns, rows });
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
    const extent = (/** @type {ReturnType<typeof numberField> | undefined} */ field) => {
      if (!field?.value) return null;
      if (this.#unit === "stitches") return { stitches: Math.round(field.value) };
      const carried = this.#carried.get(field.input);
      const exact = carried?.shown === field.input.value ? carried.cm : null;
      if (this.#unit === "cm") return { cm: exact ?? field.value };
      return { inches: exact === null ? field.value : exact / CM_PER_INCH };
    };
    const stitches = this.stitches?.value || this.blanket.gauge.stitches;
    const rows = this.rows?.value;
    return {
      turn: this.crop?.turn ?? 0, crop: /** @type {Crop} */ (this.crop?.crop), width: extent(this.width), height: extent(this.height),
      gauge: rows ? { stitches, rows } : { stitches },
      colours: this.#by === "count" ? { count: this.count?.value ?? 8, ...this.wishes?.value } : { keys: this.#pickable.map(({ key }) => key).filter((key) => this.picker?.chosen.has(key)) },
      ...(this.#by === "keys" && this.#yarns.length === 0 ? { yarns: this.#pickable } : {}),
      ease: this.ease?.value ?? 0, important: this.#important,
    };
  }

  async #chart() {
    if (this.#work !== null) return;
    /** @type {{job: string | number | null}} */
    const work = { job: null };
    this.#work = work;
    this.#showWork(t("picture.begins"), 0);
    try {
      const request = this.#request();
      const { job } = await http.chartPicture(this.blanket.id, request);
      work.job = job;
      const { notes = [] } = await http.followJob(job, ({ stage, done }) => this.#showWork(maybe(`stage.${stage}`, stage), whole(stage, done)), this.signal);
      await this.blanket.reload();
      this.#settle(request);
      this.#note(notes);
      this.bus.emit("note", { text: t("picture.done") });
    } catch (error) {
      if (!this.signal.aborted && this.#work === work) this.bus.emit("trouble", { error });
    }
    if (this.#work === work) this.#rest();
  }

  /** Charts to choose from: one after the other comes into sight. */
  async #choices() {
    if (this.#work !== null) return;
    /** @type {{job: string | number | null}} */
    const work = { job: null };
    this.#work = work;
    this.choices?.clear();
    this.#showWork(t("picture.begins"), 0);
    this.working?.scrollIntoView({ block: "nearest" });
    try {
      const { job } = await http.choices(this.blanket.id, this.#request());
      work.job = job;
      this.#job = job;
      let seen = 0;
      let looked = 0;
      const look = async () => {
        looked += 1;
        const mine = looked;
        const { choices } = await http.found(job);
        // An answer that was overtaken by a later one tells nothing new.
        if (mine === looked && this.#job === job && !this.signal.aborted) this.choices?.show(job, choices);
      };
      const { notes = [] } = await http.followJob(job, ({ stage, done, found = 0 }) => {
        this.#showWork(maybe(`stage.${stage}`, stage), done);
        if (found > seen) {
          seen = found;
          void look().catch(() => undefined);
        }
      }, this.signal);
      await look();
      this.#note(notes);
      this.choices?.element.scrollIntoView({ block: "nearest", behavior: calm() ? "instant" : "smooth" });
      this.bus.emit("say", { text: t("choices.title") });
    } catch (error) {
      if (!this.signal.aborted && this.#work === work) this.bus.emit("trouble", { error });
    }
    if (this.#work === work) this.#rest();
  }

  /** @type {string | number | null} The work whose charts are in sight. */
  #job = null;

  /** @param {number} at The number of a choice. */
  async #take(at) {
    if (this.#job === null) return;
    try {
      await http.takeChoice(this.blanket.id, this.blanket.revision, this.#job, at);
      await this.blanket.reload();
      this.#settle(this.#request());
      this.choices?.taken(at);
      this.bus.emit("note", { text: t("choices.taken"), undo: () => go(address("chart", this.blanket.id)), undoLabel: t("picture.toChart") });
    } catch (error) {
      this.bus.emit("trouble", { error });
    }
  }

  /**
   * What there is to know of a charting stands below the blanket.
   * @param {string[]} notes
   */
  #note(notes) {
    this.noted.hidden = notes.length === 0;
    fill(this.noted, h("summary", {}, t("picture.noted", { count: notes.length })), h("ul", { class: "stack" }, ...notes.map((note) => h("li", { class: "soft" }, remarks(note)))));
  }

  /** Opens the sheet to paint on what matters. */
  #matters() {
    if (!this.crop) return;
    new WhatMatters({
      image: this.crop.image, turn: this.crop.turn, crop: this.crop.crop, proportion: this.crop.inside, value: this.#important,
      kept: (value) => { this.#important = value; this.#follow(); },
    }).open();
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
    if (this.many) this.many.disabled = true;
    if (this.stage.textContent !== stage) this.stage.textContent = stage;
    this.progress.value = done;
  }

  #preview() {
    const { columns, rows, gauge, numbers, palette } = this.blanket;
    this.fabric.show(this.blanket);
    const last = this.blanket.canTakeBack;
    this.replaces.textContent = last === null || last === "chart_picture" || last === "rename" ? "" : t("picture.replaces");
    const size = finished(columns, rows, gauge);
    this.previewWords.textContent = t("picture.previewWords", {
      size: area(size.width, size.height, this.settings.value.units), columns, rows, colours: palette.length, ends: numbers.ends, hours: number(numbers.hours.total),
    });
  }
}
