// Form fields that look and behave alike everywhere.

/** @import { Child } from "../base/dom.js" */

import { freshId, h } from "../base/dom.js";
import { readNumber } from "../base/measure.js";

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
  const element = h("div", { class: "field" }, h("label", { for: id }, label),
    h("span", { class: "with-unit" }, input, unitElement), hint !== undefined && h("small", { id: `${id}-hint` }, hint));
  return {
    element, input, unit: unitElement,
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
 * A labelled line of text.
 * @param {{label: string, value: string, hint?: string, changed?: () => void, required?: boolean}} options
 */
export function textField({ label, value, hint, changed, required = false }) {
  const id = freshId("text");
  const input = h("input", {
    id, type: "text", value, maxlength: 200, autocomplete: "off", required, "aria-describedby": hint ? `${id}-hint` : null,
    on: { input: () => changed?.() },
  });
  const element = h("div", { class: "field" }, h("label", { for: id }, label), input, hint !== undefined && h("small", { id: `${id}-hint` }, hint));
  return { element, input };
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
 * A box to tick.
 * @param {{label: Child, checked: boolean, changed: (checked: boolean) => void}} options
 */
export function tick({ label, checked, changed }) {
  const input = h("input", { type: "checkbox", checked, on: { change: () => changed(input.checked) } });
  return h("label", { class: "tick" }, input, h("span", {}, label));
}
