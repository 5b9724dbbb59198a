// Hours by what is done, and a plan of evenings to a day.

/** @import { Amounts, Making, Pace, Schedule } from "../types.js" */

import { fill, freshId, h } from "../base/dom.js";
import { wrongWith } from "../base/http.js";
import { calendarDay, hours } from "../base/measure.js";
import { advice, capital, number, t } from "../base/words.js";
import { numberField } from "./fields.js";

/** The kinds of work, in the order in which they are told. */
const KINDS = /** @type {const} */ (["stitches", "changes", "carries", "lifts", "minding_strands", "joins", "cuts", "weaving_in", "border"]);
/** What a person may know of their own pace, in seconds. */
const SECONDS = /** @type {const} */ (["end", "join", "cut", "change", "carried", "lift", "mind"]);
/** Evenings that are shown at first. */
const SHOWN = 10;

export class TimePanel {
  #all = false;

  /**
   * @param {{making: Making, rows: number, change: (change: Partial<Making>) => Promise<unknown>}} options
   *   `change`: keeps something, and answers what was wrong with it.
   */
  constructor({ making, rows, change }) {
    this.rows = rows;
    this.change = change;
    const field = (/** @type {string} */ label, /** @type {number | null} */ value, /** @type {boolean} */ whole, /** @type {string} */ unit) => {
      const one = numberField({ label, value, whole, unit });
      one.input.addEventListener("change", () => void this.#keep());
      return one;
    };
    this.pace = field(t("time.pace"), making.pace.stitches_a_minute, false, t("time.perMinute"));
    this.seconds = SECONDS.map((name) => /** @type {const} */ ([name, field(t(`pace.${name}`), making.pace[name], false, t("time.seconds"))]));
    this.week = field(t("time.week"), making.evenings?.a_week ?? null, true, "");
    this.minutes = field(t("time.minutes"), making.evenings?.minutes ?? null, true, t("time.minutesUnit"));
    this.done = field(t("time.done"), making.rows_done || null, true, t("time.ofRows", { rows }));
    const by = freshId("by");
    this.by = h("input", { type: "date", id: by, value: making.evenings?.by ?? "", on: { change: () => void this.#keep() } });
    this.wrong = h("p", { class: "wrong", role: "alert" });
    this.form = h("div", { class: "stack" }, h("h2", {}, t("time.formTitle")), this.pace.element,
      h("details", { class: "more" }, h("summary", {}, t("time.more")), h("div", { class: "stack" }, h("p", { class: "soft" }, t("time.moreHint")), ...this.seconds.map(([, one]) => one.element))),
      h("div", { class: "field-row" }, this.week.element, this.minutes.element),
      h("div", { class: "field-row" }, h("div", { class: "field" }, h("label", { for: by }, t("time.by")), this.by), this.done.element), this.wrong);
    this.hours = h("div", { class: "stack" });
    this.evenings = h("div", { class: "stack" });
    this.element = h("div", { class: "stack" }, h("section", { class: "stack", "aria-labelledby": "hours-title" }, h("h2", { id: "hours-title" }, t("time.hours")), this.hours),
      h("section", { class: "stack", "aria-labelledby": "evenings-title" }, h("h2", { id: "evenings-title" }, t("time.evenings")), this.evenings));
  }

  async #keep() {
    const fields = [this.pace, this.week, this.minutes, this.done, ...this.seconds.map(([, one]) => one)];
    for (const field of fields) field.fail(field.unreadable ? t("yarn.wrongFree") : "");
    if (fields.some((field) => field.unreadable)) return;
    const seconds = Object.fromEntries(this.seconds.map(([name, field]) => [name, field.value]));
    const [a_week, minutes] = [this.week.value, this.minutes.value];
    const half = (a_week === null) !== (minutes === null);
    this.week.fail(half && a_week === null ? t("time.bothEvenings") : "");
    this.minutes.fail(half && minutes === null ? t("time.bothEvenings") : "");
    const error = await this.change({
      pace: /** @type {Pace} */ ({ stitches_a_minute: this.pace.value, ...seconds }), rows_done: this.done.value ?? 0,
      evenings: a_week === null || minutes === null ? null : { a_week, minutes, by: this.by.value || null },
    });
    this.wrong.textContent = wrongWith(error);
  }

  /** @param {Amounts} told */
  show(told) {
    const most = Math.max(...KINDS.map((kind) => told.hours[kind] ?? 0), 0.01);
    const kinds = KINDS.filter((kind) => (told.hours[kind] ?? 0) > 0);
    fill(this.hours, h("p", { class: "amount-buy" }, h("strong", { "data-hours": "" }, t("time.total", { hours: hours(told.hours.total ?? 0) }))),
      told.pace_slip !== null && h("p", { class: "remark" }, capital(told.pace_slip)),
      h("ul", { class: "hour-list" }, ...kinds.map((kind) => h("li", {}, h("span", {}, t(`hours.${kind}`)),
        h("span", { class: "hour-bar", "aria-hidden": "true", style: { "--share": `${((told.hours[kind] ?? 0) / most) * 100}%` } }), h("span", { class: "hour-value" }, hours(told.hours[kind] ?? 0))))),
      h("p", { class: "soft" }, t("time.estimate")));
    const { evenings } = told;
    if (evenings === null) fill(this.evenings, h("p", { class: "soft" }, t("time.noEvenings")));
    else if ("fault" in evenings) fill(this.evenings, h("p", { class: "remark remark-grave" }, advice(evenings.fault.what, evenings.fault.hint)));
    else this.#plan(evenings, told.making);
  }

  /**
   * @param {Schedule} schedule
   * @param {Making} making
   */
  #plan(schedule, making) {
    const { in_time: time, count, evenings } = schedule;
    const by = making.evenings?.by ?? null;
    const shown = this.#all ? evenings : evenings.slice(0, SHOWN);
    const late = time !== null && !time.yes;
    fill(this.evenings,
      h("p", { class: late ? "remark" : "result" }, count === 0 ? t("time.nothingLeft") : t("time.doneOn", { day: calendarDay(schedule.done_on, true), count, rows: schedule.rows_an_evening }),
        time?.yes && by !== null && ` ${t("time.inTime", { day: calendarDay(by), spare: time.to_spare, rows: time.rows_an_evening })}`,
        time !== null && !time.yes && by !== null && ` ${t("time.late", { day: calendarDay(by), rows: time.rows_by_then, minutes: time.minutes ?? 0, evenings: time.evenings_a_week ?? 0 })}`),
      shown.length > 0 && h("div", { class: "table-stand" }, h("table", { class: "evening-table" }, h("thead", {}, h("tr", {}, h("th", { scope: "col" }, t("time.evening")), h("th", { scope: "col" }, t("time.rowsOf")))),
        h("tbody", {}, ...shown.map(({ day, rows, finishing }) => h("tr", {}, h("th", { scope: "row" }, calendarDay(day, true)),
          h("td", {}, rows === null ? (finishing > 0 ? "" : t("time.onOneRow")) : t("time.rowsFromTo", { first: rows[0], last: rows[1] }), finishing > 0 && ` ${t("time.finishing", { minutes: Math.round(finishing) })}`)))))),
      evenings.length > shown.length && h("button", { type: "button", class: "button", on: { click: () => { this.#all = true; this.#plan(schedule, making); } } }, t("time.all", { count: number(count) })));
  }
}
