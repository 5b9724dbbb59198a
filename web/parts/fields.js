// Form fields that look and behave alike everywhere.

/** @import { Counted, Ruler } from "../types.js" */
/** @import { Child } from "../base/dom.js" */

import { freshId, h } from "../base/dom.js";
import { CM_PER_INCH, readNumber } from "../base/measure.js";
import { number, t } from "../base/words.js";

/** The four inches that a swatch is counted over. */
const CM_OF_INCHES = 4 * CM_PER_INCH;

/**
 * A line under a field that says what is wrong with it.
 * @param {HTMLInputElement} input
 * @param {string} id Of the input.
 * @param {boolean} hinted Whether there is a hint beside.
 */
function failing(input, id, hinted) {
  const words = h("small", { id: `${id}-wrong`, class: "wrong" });
  return {
    words,
    /** @param {string} text What is wrong; nothing where it is right. */
    fail(text) {
      if (words.textContent !== text) words.textContent = text;
      if (text === "") input.removeAttribute("aria-invalid");
      else input.setAttribute("aria-invalid", "true");
      const described = [hinted && `${id}-hint`, text !== "" && `${id}-wrong`].filter(Boolean).join(" ");
      if (described === "") input.removeAttribute("aria-describedby");
      else input.setAttribute("aria-describedby", described);
    },
  };
}

/**
 * A labelled line for a number, with a unit behind it.
 * @param {object} options
 * @param {string} options.label
 * @param {number | null} options.value
 * @param {string} [options.unit]
 * @param {string} [options.hint]
 * @param {string} [options.placeholder]
 * @param {boolean} [options.whole] Whole numbers only.
 * @param {() => void} [options.changed]
 */
export function numberField({ label, value, unit, hint, placeholder, whole = false, changed }) {
  const id = freshId("number");
  const input = h("input", {
    id, type: "text", inputmode: whole ? "numeric" : "decimal", value: value === null ? "" : String(value), class: "short",
    placeholder: placeholder ?? null, autocomplete: "off", "aria-describedby": hint ? `${id}-hint` : null,
    on: { input: () => changed?.() },
  });
  const unitElement = h("span", { class: "unit" }, unit ?? "");
  const { words, fail } = failing(input, id, hint !== undefined);
  const element = h("div", { class: "field" }, h("label", { for: id }, label),
    h("span", { class: "with-unit" }, input, unitElement), hint !== undefined && h("small", { id: `${id}-hint` }, hint), words);
  return {
    element, input, unit: unitElement, fail,
    /** Whether something is typed that is no number. */
    get unreadable() {
      return input.value.trim() !== "" && readNumber(input.value) === null;
    },
    /** The number, or null where there is none. */
    get value() {
      const read = readNumber(input.value);
      return read === null ? null : whole ? Math.round(read) : read;
    },
    /** @param {number | null} to */
    set value(to) {
      input.value = to === null ? "" : String(to);
    },
  };
}

/**
 * Stitches or rows of a swatch: asked over 10 cm or, for who measures in inches, over 4 in, which is
 * 10.16 cm. Its value is always that of 10 cm; one that nobody typed over stays exactly as it was.
 * @param {{label: string, value: number | null, units: "cm" | "in", usual?: number, changed?: () => void}} options
 *   `usual`: shown where nothing is typed.
 */
export function gaugeField({ label, value, units, usual, changed }) {
  const factor = () => (units === "in" ? CM_OF_INCHES / 10 : 1);
  const tidy = (/** @type {number} */ over) => Math.round(over * factor() * 100) / 100;
  let exact = value;
  let shown = value === null ? "" : String(tidy(value));
  let placeholder = usual;
  const field = numberField({ label, value: null, changed: () => { own.placeholder = placeholder; changed?.(); } });
  const own = {
    element: field.element, input: field.input, fail: field.fail,
    get unreadable() {
      return field.unreadable;
    },
    get value() {
      if (field.input.value === shown) return exact;
      return field.value === null ? null : field.value / factor();
    },
    /** @param {number | undefined} over Of 10 cm. */
    set placeholder(over) {
      placeholder = over;
      field.input.placeholder = over === undefined ? "" : number(over * factor(), 1);
    },
    /** @param {"cm" | "in"} to */
    measure(to) {
      exact = own.value;
      units = to;
      shown = exact === null ? "" : String(tidy(exact));
      field.input.value = shown;
      field.unit.textContent = t(units === "in" ? "picture.in4" : "picture.in10");
      own.placeholder = placeholder;
    },
  };
  field.input.value = shown;
  own.measure(units);
  return own;
}

/**
 * A labelled line of text.
 * @param {{label: string, value: string, hint?: string, changed?: () => void, required?: boolean}} options
 */
export function textField({ label, value, hint, changed, required = false }) {
  const id = freshId("text");
  const input = h("input", {
    id, type: "text", value, maxlength: 200, autocomplete: "off", required, "aria-describedby": hint ? `${id}-hint` : null,
    on: { input: () => changed?.() },
  });
  const { words, fail } = failing(input, id, hint !== undefined);
  const element = h("div", { class: "field" }, h("label", { for: id }, label), input, hint !== undefined && h("small", { id: `${id}-hint` }, hint), words);
  return { element, input, fail };
}

/**
 * One of a few, all in sight.
 * @template {string} V
 * @param {{label: string, value: V, options: [V, string][], changed: (value: V) => void, hideLabel?: boolean}} options
 */
export function choice({ label, value, options, changed, hideLabel = false }) {
  const name = freshId("choice");
  return h("fieldset", { class: "choice" }, h("legend", { class: hideLabel ? "unseen" : "legend-words" }, label),
    h("div", { class: "choice-row" }, ...options.map(([key, words]) => h("label", { class: "choice-one" },
      h("input", { type: "radio", name, value: key, checked: key === value, on: { change: () => changed(key) } }), h("span", {}, words)))));
}

/**
 * A number between two ends, to slide.
 * @param {{label: string, value: number, least: number, most: number, low: string, high: string, changed: () => void}} options
 */
export function slider({ label, value, least, most, low, high, changed }) {
  const id = freshId("slider");
  const shown = h("output", { for: id }, String(value));
  const input = h("input", { id, type: "range", min: least, max: most, step: 1, value, on: { input: () => { shown.textContent = input.value; changed(); } } });
  const element = h("div", { class: "field slider" }, h("label", { for: id }, label, " ", shown), input,
    h("div", { class: "slider-ends", "aria-hidden": "true" }, h("span", {}, low), h("span", {}, high)));
  return {
    element,
    get value() {
      return Number(input.value);
    },
  };
}

/**
 * A box to tick.
 * @param {{label: Child, checked: boolean, changed: (checked: boolean) => void}} options
 */
export function tick({ label, checked, changed }) {
  const input = h("input", { type: "checkbox", checked, on: { change: () => changed(input.checked) } });
  return h("label", { class: "tick" }, input, h("span", {}, label));
}

/**
 * One of several, in a list to open.
 * @template {string} V
 * @param {{label: string, value: V, options: [V, string][], changed: (value: V) => void, hideLabel?: boolean}} options
 */
export function selectField({ label, value, options, changed, hideLabel = false }) {
  const id = freshId("select");
  const select = h("select", { id, on: { change: () => changed(/** @type {V} */ (select.value)) } },
    ...options.map(([key, words]) => h("option", { value: key, selected: key === value }, words)));
  return { select, element: h("div", { class: "field" }, h("label", { for: id, class: hideLabel ? "unseen" : "" }, label), select) };
}

/**
 * So many over so much, as one counts on a swatch: its value is null while a number is missing.
 * @param {{label: string, over: string, value: Counted | null, unit: Ruler, changed: () => void}} options
 *   `label`: what is counted; `over`: what along, for those who listen.
 */
export function countedField({ label, over, value, unit, changed }) {
  const count = numberField({ label, value: value?.count ?? null, changed });
  const along = numberField({ label: over, value: value?.over ?? null, changed });
  const ruler = selectField({ label: t("swatch.unit"), hideLabel: true, value: value?.unit ?? unit, options: [["cm", t("unit.cm")], ["in", t("unit.in")]], changed });
  along.element.querySelector(".with-unit")?.append(ruler.element);
  return {
    element: h("div", { class: "counted" }, count.element, along.element), count, along, unit: ruler.select,
    /** Whether nothing at all is filled in. */
    get empty() {
      return count.input.value.trim() === "" && along.input.value.trim() === "";
    },
    /** @returns {Counted | null} */
    get value() {
      if (count.value === null || along.value === null) return null;
      return { count: count.value, over: along.value, unit: /** @type {Ruler} */ (ruler.select.value) };
    },
    /** @param {Counted | null} to */
    set value(to) {
      count.value = to?.count ?? null;
      along.value = to?.over ?? null;
      if (to !== null) ruler.select.value = to.unit;
    },
    /** Says at each number what is wrong with it. */
    check() {
      for (const field of [count, along]) field.fail(field.value === null ? t("yarn.wrongNumber") : "");
      return this.value;
    },
  };
}
