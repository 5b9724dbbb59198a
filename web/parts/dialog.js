// Questions and panels on top of a room, as modal dialogs that take and give back the focus.

/** @import { Child } from "../base/dom.js" */

import { freshId, h } from "../base/dom.js";
import { icon } from "../base/icons.js";
import { t } from "../base/words.js";

export class Dialog {
  /** @type {() => void} */
  #closed = () => undefined;

  /**
   * @param {object} options
   * @param {string} options.title
   * @param {Child[]} options.body
   * @param {Child[]} [options.actions] Buttons at the foot.
   * @param {boolean} [options.side] A tall panel at the side in place of a small sheet in the middle.
   * @param {() => void} [options.closed]
   */
  constructor({ title, body, actions = [], side = false, closed }) {
    const id = freshId("title");
    this.#closed = closed ?? this.#closed;
    this.body = h("div", { class: "dialog-body" }, ...body);
    this.element = h("dialog", {
      class: side ? "dialog dialog-side" : "dialog", "aria-labelledby": id,
      on: {
        close: () => { this.element.remove(); this.#closed(); },
        pointerdown: (event) => { if (event.target === this.element) this.close(); },
      },
    }, h("div", { class: "dialog-sheet" },
      h("div", { class: "dialog-head" }, h("h2", { id, tabindex: -1, autofocus: true }, title),
        h("button", { type: "button", class: "button button-bare", "aria-label": t("action.close"), on: { click: () => this.close() } }, icon("close"))),
      this.body,
      actions.length > 0 && h("div", { class: "dialog-foot" }, ...actions)));
  }

  open() {
    document.body.append(this.element);
    this.element.showModal();
    return this;
  }

  close() {
    if (this.element.open) this.element.close();
  }
}

/**
 * Asks a plain question.
 * @param {{title: string, text: string, yes: string, grave?: boolean}} question
 * @returns {Promise<boolean>}
 */
export function ask({ title, text, yes, grave = false }) {
  return new Promise((resolve) => {
    let answer = false;
    const dialog = new Dialog({
      title, body: [h("p", {}, text)], closed: () => resolve(answer),
      actions: [
        h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.no")),
        h("button", { type: "button", class: grave ? "button button-grave" : "button button-main", on: { click: () => { answer = true; dialog.close(); } } }, yes),
      ],
    });
    dialog.open();
  });
}

/**
 * Asks for one line of text.
 * @param {{title: string, label: string, value: string, yes: string}} question
 * @returns {Promise<string | null>}
 */
export function askText({ title, label, value, yes }) {
  return new Promise((resolve) => {
    /** @type {string | null} */
    let answer = null;
    const id = freshId("field");
    const input = h("input", { id, type: "text", value, maxlength: 200, required: true, autocomplete: "off" });
    const form = h("form", {
      id: `${id}-form`, class: "stack",
      on: { submit: (event) => { event.preventDefault(); answer = input.value.trim() || null; dialog.close(); } },
    }, h("label", { class: "field", for: id }, h("span", {}, label), input));
    const dialog = new Dialog({
      title, body: [form], closed: () => resolve(answer),
      actions: [
        h("button", { type: "button", class: "button", on: { click: () => dialog.close() } }, t("action.cancel")),
        h("button", { type: "submit", form: `${id}-form`, class: "button button-main" }, yes),
      ],
    });
    dialog.open();
    input.focus();
    input.select();
  });
}

/**
 * A sheet that says what goes on and can't be closed by the person.
 * @param {string} text
 * @returns {{done: () => void}}
 */
export function busy(text) {
  const element = h("dialog", { class: "dialog busy", "aria-label": text, on: { cancel: (event) => event.preventDefault() } },
    h("div", { class: "dialog-sheet" }, h("div", { class: "winding", "aria-hidden": "true" }, icon("mark", 56)), h("p", { role: "status" }, text)));
  document.body.append(element);
  element.showModal();
  return { done: () => { element.close(); element.remove(); } };
}
