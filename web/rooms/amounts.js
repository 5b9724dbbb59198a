// The amounts room: what is given (swatch, margin, pace), and what comes of it: yarn, time, what to wind,
// which ends to weave in.

/** @import { Amounts, Making, Ruler } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */

import { fill, h } from "../base/dom.js";
import { http, wrongWith } from "../base/http.js";
import { MakingKeeper } from "../base/making.js";
import { area, today } from "../base/measure.js";
import { place, setQuery } from "../base/router.js";
import { capital, number, t } from "../base/words.js";
import { askBalls } from "../parts/balls-dialog.js";
import { DriftPanel } from "../parts/drift-panel.js";
import { EndsList } from "../parts/ends-list.js";
import { choice, numberField, tick } from "../parts/fields.js";
import { HistoryButtons } from "../parts/history.js";
import { SwatchForm } from "../parts/swatch-form.js";
import { TimePanel } from "../parts/time-panel.js";
import { WindingList } from "../parts/winding-list.js";
import { YarnAmounts } from "../parts/yarn-amounts.js";

/** What the room shows one at a time. */
const VIEWS = /** @type {const} */ (["yarn", "time", "winding", "ends"]);
/** @typedef {typeof VIEWS[number]} View */

export class AmountsRoom {
  /** @type {View} */
  #view;
  #asked = 0;
  /** The making that the forms show: another one makes them anew. */
  #formsOf = "";
  /** @type {SwatchForm | null} */
  #swatch = null;
  /** @type {TimePanel | null} */
  #time = null;
  /** @type {DriftPanel | null} */
  #drift = null;

  /** @param {{blanket: OpenBlanket, bus: Bus, settings: Settings, signal: AbortSignal}} options */
  constructor({ blanket, bus, settings, signal }) {
    this.blanket = blanket;
    this.bus = bus;
    this.settings = settings;
    this.signal = signal;
    this.#view = VIEWS.find((view) => view === place().query.get("view")) ?? "yarn";
    this.keeper = new MakingKeeper({ blanket, bus, signal, changed: (own) => void this.#load(own) });
    this.steps = new HistoryButtons({ blanket, bus, signal });
    this.yarns = new YarnAmounts({ settings, balls: (yarn) => this.#balls(yarn) });
    this.winding = new WindingList({ settings, tick: (marks, ticked) => this.#tick("winding", marks, ticked) });
    this.ends = new EndsList({ settings, tick: (marks, ticked) => this.#tick("ends", marks, ticked) });
    this.given = h("div", { class: "making-given stack" });
    this.notes = h("div", { class: "stack" });
    this.size = h("section", { class: "stack card-block", "aria-labelledby": "size-title" });
    this.sure = h("section", { class: "card-block stack", "aria-labelledby": "sure-title" });
    this.found = h("div", { class: "making-found stack" }, h("p", { class: "soft", role: "status" }, t("amounts.loading")));
    const views = choice({
      label: t("amounts.views"), hideLabel: true, value: this.#view, options: VIEWS.map((view) => /** @type {[View, string]} */ ([view, t(`amounts.view.${view}`)])),
      changed: (view) => { this.#view = view; setQuery("view", view); this.#formsOf = ""; void this.#load(); },
    });
    this.body = h("div", { class: "making-body" }, this.given, this.found);
    this.element = h("div", { class: "making-room" }, h("h1", { class: "unseen" }, this.title),
      h("div", { class: "making-bar" }, views, h("span", { class: "spring" }), this.steps.waiting, this.steps.back, this.steps.again), this.notes, this.body);
    signal.addEventListener("abort", () => this.#swatch?.close(), { once: true });
  }

  get title() {
    return t("amounts.heading", { name: this.blanket.name });
  }

  async open() {
    await this.keeper.load();
    await this.#load();
  }

  /** @param {unknown} error */
  #trouble(error) {
    if (!this.signal.aborted) this.bus.emit("trouble", { error });
  }

  /** @param {boolean} [own] Whether only what was changed here is new. */
  async #load(own = false) {
    this.#asked += 1;
    const asked = this.#asked;
    const { id } = this.blanket;
    try {
      const [told, list] = await Promise.all([
        http.amounts(id, today()),
        this.#view === "winding" ? http.winding(id) : this.#view === "ends" ? http.ends(id) : null,
      ]);
      if (asked !== this.#asked || this.signal.aborted) return;
      this.#forms(told, own);
      this.#show(told);
      if (list !== null && "entries" in list) this.winding.show(list.entries, told.yarns);
      else if (list !== null) this.ends.show(list.ends, told.yarns);
    } catch (error) {
      this.#trouble(error);
    }
  }

  /** @param {Amounts} told */
  #show(told) {
    fill(this.notes, ...told.notes.map((note) => h("p", { class: "remark" }, capital(note))));
    this.body.classList.toggle("making-alone", this.#view === "winding" || this.#view === "ends");
    this.given.hidden = this.#view === "winding" || this.#view === "ends";
    const shown = { yarn: [this.sure, this.yarns.element, this.size], time: [this.#time?.element], winding: [this.winding.element], ends: [this.ends.element] }[this.#view];
    if (shown.some((one) => one && one.parentElement !== this.found) || this.found.children.length !== shown.length) fill(this.found, ...shown);
    if (this.#view === "yarn") {
      this.yarns.show(told);
      this.#drift?.show(told);
      this.#size(told);
      this.#sure(told);
    } else if (this.#view === "time") this.#time?.show(told);
  }

  /** @param {Amounts} told */
  #sure(told) {
    const { gauge } = this.blanket;
    const found = told.swatch?.found?.gauge;
    const differs = found !== undefined && (Math.abs(found.stitches - gauge.stitches) > 0.05 || Math.abs(found.rows - gauge.rows) > 0.05);
    const per = this.settings.value.units === "in" ? 1.016 : 1;
    const over = t(this.settings.value.units === "in" ? "picture.in4" : "picture.in10");
    fill(this.sure, h("h2", { id: "sure-title" }, h("span", { class: `badge badge-${told.measured}` }, t(`measured.${told.measured}`))),
      ...told.says.map((words) => h("p", { class: "soft" }, words)),
      differs && h("div", { class: "remark" }, h("div", { class: "remark-words" },
        h("span", {}, t("swatch.otherGauge", { stitches: number(gauge.stitches * per, 1), rows: number(gauge.rows * per, 1), over })),
        h("button", { type: "button", class: "button button-small", "data-do": "take-gauge", on: { click: () => this.blanket.takeGauge() } }, t("swatch.takeGauge")))));
  }

  /** @param {Amounts} told */
  #size({ finished }) {
    const { units } = this.settings.value;
    const bordered = Math.abs(finished.width_cm - finished.without_border.width_cm) > 0.001;
    const line = (/** @type {string} */ label, /** @type {{width_cm: number, height_cm: number}} */ size) => [h("dt", {}, label), h("dd", {}, area(size.width_cm, size.height_cm, units))];
    fill(this.size, h("h2", { id: "size-title" }, t("size.title")), h("dl", { class: "facts facts-large" },
      ...line(t("size.off"), finished), ...(bordered ? line(t("size.without"), finished.without_border) : []),
      ...(finished.washed === null ? [] : line(t("size.washed"), finished.washed))),
      finished.washed === null && h("p", { class: "soft" }, t("size.washHint")));
  }

  /**
   * Makes the forms of the view, where they show something else than what is kept.
   * @param {Amounts} told
   * @param {boolean} own Whether they were changed by the hand that is still in them.
   */
  #forms(told, own) {
    const now = JSON.stringify([this.#view, told.making, this.settings.value.units, told.yarns.map(({ key, name }) => [key, name])]);
    if (now === this.#formsOf) return;
    const kept = own && this.#formsOf !== "";
    this.#formsOf = now;
    if (kept) return;
    this.#swatch?.close();
    const { making } = told;
    const change = async (/** @type {Partial<Making>} */ part) => this.keeper.change(part);
    if (this.#view === "time") {
      this.#time = new TimePanel({ making, rows: this.blanket.rows, change });
      fill(this.given, h("section", { class: "card-block" }, this.#time.form));
    } else if (this.#view === "yarn") {
      this.#swatch = new SwatchForm({
        swatch: making.swatch, units: /** @type {Ruler} */ (this.settings.value.units), palette: this.blanket.palette,
        tried: (swatch) => http.trySwatch(this.blanket.id, swatch), trouble: (error) => this.#trouble(error),
        keep: (swatch) => void this.#keepSwatch(swatch),
      });
      this.#drift = new DriftPanel({ making, settings: this.settings, change });
      const wide = matchMedia("(min-width: 901px)").matches;
      fill(this.given,
        h("details", { class: "card-block", open: wide || making.swatch === null }, h("summary", {}, h("h2", {}, t("swatch.title"))), h("div", { class: "stack" }, h("p", { class: "soft" }, t("swatch.help")), this.#swatch.element)),
        h("details", { class: "card-block", open: wide }, h("summary", {}, h("h2", {}, t("choices.buying"))), this.#choices(making)), this.#drift.element);
    }
  }

  /** @param {Making["swatch"]} swatch */
  async #keepSwatch(swatch) {
    const error = await this.keeper.change({ swatch });
    if (error !== null) this.#trouble(error);
    else {
      this.#swatch?.kept(swatch);
      this.bus.emit("note", { text: t(swatch === null ? "swatch.gone" : "swatch.kept") });
    }
  }

  /** @param {Making} making */
  #choices(making) {
    const margin = numberField({ label: t("choices.margin"), value: making.margin, unit: "%", whole: true, hint: t("choices.marginHint") });
    const side = (/** @type {string} */ label, /** @type {number | undefined} */ value) => numberField({ label, value: value ?? null, unit: "%" });
    const width = side(t("choices.shrinkWidth"), making.shrinkage?.width);
    const height = side(t("choices.shrinkHeight"), making.shrinkage?.height);
    const wrong = h("p", { class: "wrong", role: "alert" });
    const tell = (/** @type {unknown} */ error) => { wrong.textContent = wrongWith(error); };
    margin.input.addEventListener("change", () => {
      margin.fail(margin.value === null ? t("choices.wrongMargin") : "");
      if (margin.value !== null) void this.keeper.change({ margin: margin.value }).then(tell);
    });
    const shrink = () => {
      const read = (/** @type {typeof width} */ field) => {
        const text = field.input.value.trim().replace(",", ".").replace("−", "-");
        const value = text === "" ? null : Number(text);
        field.fail(value !== null && Number.isNaN(value) ? t("yarn.wrongFree") : "");
        return value;
      };
      const [across, up] = [read(width), read(height)];
      if (Number.isNaN(across ?? 0) || Number.isNaN(up ?? 0)) return;
      void this.keeper.change({ shrinkage: across === null && up === null ? null : { width: across ?? 0, height: up ?? 0 } }).then(tell);
    };
    for (const field of [width, height]) field.input.addEventListener("change", shrink);
    return h("div", { class: "stack" },
      margin.element, tick({ label: t("choices.lots"), checked: making.dye_lots, changed: (dye_lots) => void this.keeper.change({ dye_lots }).then(tell) }), h("p", { class: "soft" }, t("choices.lotsHint")),
      h("h3", {}, t("choices.wash")), h("div", { class: "field-row" }, width.element, height.element), h("p", { class: "soft" }, t("choices.washHint")), wrong);
  }

  /** @param {number} at */
  #balls(at) {
    const yarn = this.blanket.palette[at];
    if (yarn !== undefined) askBalls({ yarn, change: (changed) => this.blanket.changeYarn(at, changed) });
  }

  /**
   * @param {"winding" | "ends"} list
   * @param {string[]} marks
   * @param {boolean} ticked
   */
  async #tick(list, marks, ticked) {
    try {
      await http.tick(this.blanket.id, list, marks, ticked);
      return true;
    } catch (error) {
      this.#trouble(error);
      return false;
    }
  }
}
