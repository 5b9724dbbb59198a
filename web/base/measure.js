// Sizes, dates and differences as the person reads them.

/** @import { Gauge, SettingsValue } from "../types.js" */

import { number, t, tongue } from "./words.js";

/** Centimetres in an inch, by definition. */
export const CM_PER_INCH = 2.54;

/** Height of a row over the width of a stitch where only stitches were counted; the program uses the same. */
export const ROW_TO_STITCH = 0.93;

/**
 * A length in the person's unit.
 * @param {number} cm
 * @param {SettingsValue["units"]} units
 */
export function length(cm, units) {
  return units === "in"
    ? t("measure.inches", { value: number(cm / CM_PER_INCH, 1) })
    : t("measure.cm", { value: number(cm, cm < 10 ? 1 : 0) });
}

/**
 * Width by height in the person's unit.
 * @param {number} width In cm.
 * @param {number} height In cm.
 * @param {SettingsValue["units"]} units
 */
export function area(width, height, units) {
  const inches = units === "in";
  const one = (/** @type {number} */ cm) => number(inches ? cm / CM_PER_INCH : cm, inches ? 1 : 0);
  return t(inches ? "measure.areaInches" : "measure.areaCm", { width: one(width), height: one(height) });
}

/** Metres in a yard and grams in an ounce, by definition. */
const METRES_PER_YARD = 0.9144;
const GRAMS_PER_OUNCE = 28.349523125;

/**
 * A length of yarn in the person's unit.
 * @param {number} metres
 * @param {SettingsValue["units"]} units
 * @param {boolean} [enough] Rounded up, so that it does.
 */
export function yarnLength(metres, units, enough = false) {
  const value = units === "in" ? metres / METRES_PER_YARD : metres;
  const scale = value < 100 ? 10 : 1;
  const shown = enough ? Math.ceil(value * scale - 1e-9) / scale : value;
  return t(units === "in" ? "measure.yards" : "measure.metres", { value: number(shown, value < 100 ? 1 : 0) });
}

/**
 * A weight in the person's unit.
 * @param {number} grams
 * @param {SettingsValue["units"]} units
 */
export function weight(grams, units) {
  const value = units === "in" ? grams / GRAMS_PER_OUNCE : grams;
  return t(units === "in" ? "measure.ounces" : "measure.grams", { value: number(value, value < 10 ? 1 : 0) });
}

/**
 * Hours as a person says them.
 * @param {number} value
 */
export function hours(value) {
  return value < 1 ? t("measure.minutes", { value: Math.round(value * 60) }) : t("measure.hours", { value: number(value, value < 10 ? 1 : 0) });
}

/** Today as YYYY-MM-DD, where the person is. */
export function today() {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
}

/**
 * A day of the calendar, wherever the person is.
 * @param {string} iso YYYY-MM-DD.
 * @param {boolean} [weekday]
 */
export function calendarDay(iso, weekday = false) {
  /** @type {Intl.DateTimeFormatOptions} */
  const options = { day: "numeric", month: "short", year: "numeric", timeZone: "UTC" };
  if (weekday) options.weekday = "short";
  return new Intl.DateTimeFormat(tongue(), options).format(new Date(`${iso}T00:00:00Z`));
}

/**
 * Finished size of a chart in cm.
 * @param {number} columns
 * @param {number} rows
 * @param {Gauge} gauge
 */
export function finished(columns, rows, gauge) {
  return { width: (columns / gauge.stitches) * 10, height: (rows / gauge.rows) * 10 };
}

/**
 * @param {string} iso
 * @returns {string}
 */
export function day(iso) {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return "";
  const sameYear = date.getFullYear() === new Date().getFullYear();
  /** @type {Intl.DateTimeFormatOptions} */
  const options = sameYear ? { day: "numeric", month: "short" } : { day: "numeric", month: "short", year: "numeric" };
  return new Intl.DateTimeFormat(tongue(), options).format(date);
}

/**
 * How a number moved, in words: "2 fewer", "4 more", or nothing.
 * @param {number} before
 * @param {number} now
 * @param {number} [digits]
 */
export function moved(before, now, digits = 0) {
  const scale = 10 ** digits;
  const by = Math.round((now - before) * scale) / scale;
  if (by === 0) return "";
  return by < 0 ? t("numbers.fewer", { by: number(-by, digits) }) : t("numbers.more", { by: number(by, digits) });
}

/**
 * Black or white, whichever is easier to read on a colour (relative luminance of WCAG 2).
 * @param {string} colour `#rrggbb`.
 */
export function inkOn(colour) {
  const channel = (/** @type {number} */ at) => {
    const value = parseInt(colour.slice(at, at + 2), 16) / 255;
    return value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4;
  };
  const luminance = 0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5) + 0.05;
  return luminance / 0.05 >= 1.05 / luminance ? "#000000" : "#ffffff";
}

/**
 * @param {string} text
 * @returns {string | null} `#rrggbb` in small letters, or null where it is no colour.
 */
export function readHex(text) {
  const plain = text.trim().replace(/^#/, "").toLowerCase();
  if (/^[0-9a-f]{6}$/.test(plain)) return `#${plain}`;
  if (/^[0-9a-f]{3}$/.test(plain)) return `#${[...plain].map((digit) => digit + digit).join("")}`;
  return null;
}

/**
 * A number as a person typed it, with a point or a comma.
 * @param {string} text
 * @returns {number | null}
 */
export function readNumber(text) {
  const plain = text.trim().replace(",", ".");
  return /^\d*\.?\d+$|^\d+\.$/.test(plain) ? Number(plain) : null;
}
