// The practice patch: what the row at hand teaches; in any other blanket the way to a patch of one's own.

/** @import { Lesson } from "../types.js" */

import { fill, h } from "../base/dom.js";
import { t } from "../base/words.js";

export class LessonPanel {
  /** @type {Lesson[]} */
  #lessons = [];
  #row = 0;

  /** @param {{begin: () => void}} options `begin`: makes a patch. */
  constructor({ begin }) {
    this.begin = begin;
    this.element = h("section", { class: "side-block lesson", "aria-labelledby": "lesson-title" });
    this.#show();
  }

  /** @param {Lesson[]} lessons None where it is another blanket. */
  teach(lessons) {
    this.#lessons = lessons;
    this.#show();
  }

  /** @param {number} row From 1. */
  turn(row) {
    if (row === this.#row) return;
    this.#row = row;
    this.#show();
  }

  #show() {
    if (this.#lessons.length === 0) {
      fill(this.element, h("h2", { id: "lesson-title" }, t("practice.title")), h("p", { class: "soft" }, t("practice.help")),
        h("div", {}, h("button", { type: "button", class: "button button-small", on: { click: this.begin } }, t("practice.begin"))));
      return;
    }
    const lesson = this.#lessons.find(({ row }) => row === this.#row);
    fill(this.element, h("h2", { id: "lesson-title" }, t("practice.lesson")), h("div", { "aria-live": "polite", class: "stack" },
      lesson && h("h3", {}, t("practice.row", { row: lesson.row, title: lesson.title })), lesson && h("p", {}, lesson.says)));
  }
}
