// A row of charts of one picture, from the one most like it to the one that is least work, to take one.

/** @import { Choice } from "../types.js" */

import { fill, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { number, t } from "../base/words.js";

export class ChoicesRow {
  /** @param {{take: (at: number) => void}} options */
  constructor({ take }) {
    this.take = take;
    this.list = h("ul", { class: "choice-cards" });
    this.element = h("section", { class: "choices", hidden: true, "aria-label": t("choices.title") },
      h("h2", {}, t("choices.title")), h("p", { class: "soft" }, t("choices.help")), this.list);
  }

  /** @param {number} at The number of the one that was taken. */
  taken(at) {
    for (const button of this.list.querySelectorAll("[data-choice]")) {
      if (!(button instanceof HTMLElement)) continue;
      const yes = button.dataset.choice === String(at);
      button.textContent = t(yes ? "choices.yours" : "choices.take");
      button.setAttribute("aria-pressed", String(yes));
      button.closest(".choice-card")?.classList.toggle("choice-taken", yes);
    }
  }

  clear() {
    this.element.hidden = true;
    fill(this.list);
  }

  /**
   * @param {string | number} job
   * @param {Choice[]} choices From the one most like the picture on.
   */
  show(job, choices) {
    this.element.hidden = choices.length === 0;
    const plain = choices.find((choice) => choice.plain) ?? choices[0];
    const focused = document.activeElement instanceof HTMLElement ? document.activeElement.dataset.choice : undefined;
    fill(this.list, ...choices.map((choice) => {
      const { at, plan, mean_difference: mean, blurred_difference: blurred } = choice;
      // No chart of these yarns is nearer to the picture than the plain one.
      const likeness = plain === undefined || mean === 0 ? 100 : Math.round((100 * plain.mean_difference) / mean);
      const share = plain === undefined || plain === choice || plain.plan.cost === 0 ? null : Math.round((100 * plan.cost) / plain.plan.cost);
      return h("li", { class: "choice-card" },
        h("img", { src: http.choicePicture(job, at), alt: t("choices.alt", { ends: plan.ends, hours: number(plan.hours.total) }), loading: "lazy" }),
        h("p", { class: "choice-name" }, share === null ? t("choices.plain") : t("choices.share", { share })),
        h("dl", { class: "facts" },
          h("dt", {}, t("numbers.hours")), h("dd", {}, number(plan.hours.total)),
          h("dt", {}, t("numbers.ends")), h("dd", {}, number(plan.ends)),
          h("dt", {}, t("numbers.atOnce")), h("dd", {}, number(plan.strands_at_once)),
          h("dt", {}, t("choices.likeness")), h("dd", {}, t("choices.percent", { share: likeness })),
          h("dt", {}, t("choices.near")), h("dd", {}, number(mean, 1)),
          h("dt", {}, t("choices.far")), h("dd", {}, number(blurred, 1))),
        h("button", { type: "button", class: "button", "data-choice": String(at), on: { click: () => this.take(at) } }, t("choices.take")));
    }));
    const again = focused === undefined ? null : this.list.querySelector(`[data-choice="${focused}"]`);
    if (again instanceof HTMLElement) again.focus();
  }
}
