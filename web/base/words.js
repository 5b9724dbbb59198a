// Finds the words for a key in the person's language, and writes numbers as that language does.

import { en } from "../words/en.js";

/** @typedef {keyof typeof en} Key */
/** @typedef {Record<string, string | number>} Values */

/** Every language there is: its tag, its own name, its words. */
export const languages = /** @type {const} */ ([{ tag: "en", name: "English", words: en }]);

/** @type {{tag: string, words: Record<string, string | ((values: any) => string)>}} */
let current = languages[0];

/** @param {string} tag */
export function speak(tag) {
  current = languages.find((language) => language.tag === tag) ?? languages[0];
  document.documentElement.lang = current.tag;
}

/** The tag of the language spoken. */
export function tongue() {
  return current.tag;
}

/**
 * The text for a key. Numbers among the values are written as the language writes them.
 * @param {Key} key
 * @param {Values} [values]
 * @returns {string}
 */
export function t(key, values = {}) {
  const phrase = current.words[key] ?? en[key];
  if (typeof phrase === "function") return phrase(values);
  return phrase.replace(/\{(\w+)\}/g, (whole, name) => {
    const value = values[name];
    return value === undefined ? whole : typeof value === "number" ? number(value) : value;
  });
}

/**
 * The text for a key that is only known at run time, or the fallback.
 * @param {string} key
 * @param {string} fallback
 */
export function maybe(key, fallback) {
  return Object.hasOwn(en, key) ? t(/** @type {Key} */ (key)) : fallback;
}

/**
 * With a capital letter at the beginning: the program's own messages have none.
 * @param {string} text
 */
export function capital(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/**
 * What is wrong and what to do, as sentences: the program writes them in lower case and without a full stop.
 * @param {string} what
 * @param {string} hint
 */
export function advice(what, hint) {
  return [what, hint].filter((part) => part !== "").map((part) => (/[.!?]$/.test(part) ? capital(part) : `${capital(part)}.`)).join(" ");
}

/**
 * What the program remarked, as one text to read.
 * @param {...string} texts
 */
export function remarks(...texts) {
  return texts.map(capital).join(" · ");
}

/**
 * A price, with both its digits behind the point.
 * @param {number} value
 */
export function money(value) {
  return new Intl.NumberFormat(current.tag, { minimumFractionDigits: 2, maximumFractionDigits: 2 }).format(value);
}

/**
 * @param {number} value
 * @param {number} [digits] After the point, at most.
 */
export function number(value, digits = 0) {
  return new Intl.NumberFormat(current.tag, { maximumFractionDigits: digits }).format(value);
}
