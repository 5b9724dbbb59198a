// The room for paper: what the pattern says of itself and how it is printed, every page to look at,
// and the files to keep.

/** @import { Making, PaperWish } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */
/** @import { OpenBlanket } from "../base/open-blanket.js" */
/** @import { Settings } from "../base/settings.js" */

import { fill, freshId, h } from "../base/dom.js";
import { http } from "../base/http.js";
import { MakingKeeper } from "../base/making.js";
import { t } from "../base/words.js";
import { choice, numberField, selectField, textField, tick } from "../parts/fields.js";
import { HistoryButtons } from "../parts/history.js";

/** Files to keep beside the pattern. */
const FILES = /** @type {const} */ (["chart.svg", "chart-picture.png", "fabric-right-side.png", "fabric-wrong-side.png"]);

export class PaperRoom {
  #page = 1;
  #pages = 0;
  #revision = 0;
  #asked = 0;
  /** What the fields show, so that they are not filled anew under the fingers. */
  #shown = "";

  /** @param {{blanket: OpenBlanket, bus: Bus, settings: Settings, signal: AbortSignal}} options */
  constructor({ blanket, bus, settings, signal }) {
    this.blanket = blanket;
    this.bus = bus;
    this.settings = settings;
    this.signal = signal;
    this.keeper = new MakingKeeper({ blanket, bus, signal, changed: () => void this.#load() });
    this.steps = new HistoryButtons({ blanket, bus, signal });
    this.wishes = h("div", { class: "making-given stack" });
    this.image = h("img", { class: "paper-page", alt: "" });
    this.number = numberField({ label: t("paper.page"), value: 1, whole: true, changed: () => { const page = this.number.value; if (page !== null) this.#turn(page); } });
    this.number.input.addEventListener("change", () => this.#turn(this.#page, true));
    this.count = h("span", { class: "soft", role: "status" });
    const step = (/** @type {number} */ by, /** @type {string} */ words) => h("button", { type: "button", class: "button", on: { click: () => this.#turn(this.#page + by, true) } }, words);
    this.back = step(-1, t("paper.back"));
    this.on = step(1, t("paper.on"));
    this.viewer = h("section", { class: "stack", "aria-label": t("paper.preview"), hidden: true },
      h("div", { class: "button-row paper-turn" }, this.back, this.number.element, this.count, this.on),
      h("div", { class: "paper-stand" }, this.image));
    this.without = h("p", { class: "remark", role: "status", hidden: true });
    this.setting = h("p", { class: "soft", role: "status" }, t("paper.setting"));
    this.pdf = h("a", { class: "button button-main", href: http.printed(blanket.id), download: "", hidden: true }, t("paper.pdf"));
    const keep = h("section", { class: "card-block stack", "aria-labelledby": "paper-keep-title" }, h("h2", { id: "paper-keep-title" }, t("paper.keep")),
      h("div", { class: "button-row" }, this.pdf, h("a", { class: "button", href: http.takeAway(blanket.id), download: "" }, t("paper.takeAway"))),
      h("p", { class: "soft" }, t("paper.takeAwayHelp")),
      h("ul", { class: "paper-files" }, ...FILES.map((file) => h("li", {}, h("a", { href: http.file(blanket.id, file), download: "" }, t(`files.${file}`))))),
      h("p", { class: "soft" }, t("paper.clean")));
    this.element = h("div", { class: "making-room" }, h("h1", { class: "unseen" }, this.title),
      h("div", { class: "making-bar" }, h("p", { class: "soft bar-hint" }, t("paper.help")), h("span", { class: "spring" }), this.steps.waiting, this.steps.back, this.steps.again),
      h("div", { class: "making-body making-wide" }, h("div", { class: "stack" }, this.wishes, keep), h("div", { class: "making-found stack" }, this.without, this.setting, this.viewer)));
  }

  get title() {
    return t("paper.heading", { name: this.blanket.name });
  }

  async open() {
    await this.keeper.load();
    this.#fields();
    await this.#load();
  }

  #fields() {
    const { paper } = this.keeper.value;
    const shown = JSON.stringify(paper);
    if (shown === this.#shown) return;
    this.#shown = shown;
    const line = (/** @type {"by" | "picture_by"} */ name) => {
      const field = textField({ label: t(`paper.${name}`), value: paper[name], hint: t(`paper.${name}Hint`) });
      field.input.addEventListener("change", () => void this.#change({ [name]: field.input.value.trim() }));
      return field.element;
    };
    const id = freshId("note");
    const note = h("textarea", { id, rows: 3, maxlength: 4000, on: { change: () => void this.#change({ note: note.value }) } });
    note.value = paper.note;
    fill(this.wishes,
      h("section", { class: "card-block stack", "aria-labelledby": "paper-says-title" }, h("h2", { id: "paper-says-title" }, t("paper.says")),
        h("p", { class: "soft" }, t("paper.title", { name: this.blanket.name })),
        line("by"), h("div", { class: "field" }, h("label", { for: id }, t("paper.note")), note),
        line("picture_by"),
        selectField({ label: t("paper.passing"), value: paper.passing, options: (/** @type {const} */ (["not_said", "own_use", "given", "sold"])).map((one) => [one, t(`paper.${one}`)]), changed: (passing) => void this.#change({ passing }) }).element,
        h("p", { class: "soft" }, t("paper.rights"))),
      h("section", { class: "card-block stack", "aria-labelledby": "paper-sheet-title" }, h("h2", { id: "paper-sheet-title" }, t("paper.printing")),
        choice({ label: t("paper.sheet"), value: paper.sheet, options: [["a4", t("paper.a4")], ["letter", t("paper.letter")]], changed: (sheet) => void this.#change({ sheet }) }),
        choice({ label: t("paper.ink"), value: paper.black ? "black" : "colour", options: [["colour", t("paper.colour")], ["black", t("paper.black")]], changed: (ink) => void this.#change({ black: ink === "black" }) }),
        choice({ label: t("paper.print"), value: paper.large ? "large" : "usual", options: [["usual", t("paper.usual")], ["large", t("paper.large")]], changed: (print) => void this.#change({ large: print === "large" }) }),
        tick({ label: t("paper.tags"), checked: paper.tags, changed: (tags) => void this.#change({ tags }) }),
        tick({ label: t("paper.ends"), checked: paper.ends, changed: (ends) => void this.#change({ ends }) }),
        h("p", { class: "soft" }, t("paper.settings"))));
  }

  /** @param {Partial<PaperWish>} change */
  async #change(change) {
    const paper = { ...this.keeper.value.paper, ...change };
    this.#shown = JSON.stringify(paper);
    const error = await this.keeper.change(/** @type {Partial<Making>} */ ({ paper }));
    if (error !== null && !this.signal.aborted) this.bus.emit("trouble", { error });
  }

  /** Lays the pages out anew. */
  async #load() {
    this.#fields();
    this.#asked += 1;
    const asked = this.#asked;
    this.setting.hidden = false;
    this.viewer.classList.add("out-of-date");
    try {
      const { pages, revision } = await http.paper(this.blanket.id);
      if (asked !== this.#asked || this.signal.aborted) return;
      this.#pages = pages;
      this.#revision = revision;
      this.viewer.hidden = false;
      this.pdf.hidden = false;
      this.without.hidden = true;
      this.count.textContent = t("paper.of", { pages });
      this.#turn(Math.min(this.#page, pages), true);
    } catch (error) {
      if (asked !== this.#asked || this.signal.aborted) return;
      this.viewer.hidden = true;
      this.pdf.hidden = true;
      this.without.hidden = false;
      const { what = "", hint = "" } = /** @type {{what?: string, hint?: string}} */ (error);
      this.without.textContent = what === "" ? t("paper.failed") : `${what}. ${hint}`;
      if (what === "") this.bus.emit("trouble", { error });
    }
    this.setting.hidden = true;
    this.viewer.classList.remove("out-of-date");
  }

  /**
   * @param {number} to
   * @param {boolean} [written] Whether the field is to say it too.
   */
  #turn(to, written = false) {
    if (this.#pages === 0) return;
    const page = Math.min(Math.max(to, 1), this.#pages);
    this.#page = page;
    if (written) this.number.value = page;
    this.back.disabled = page === 1;
    this.on.disabled = page === this.#pages;
    this.image.alt = t("paper.alt", { page, pages: this.#pages });
    const address = http.page(this.blanket.id, page, this.#revision);
    if (this.image.getAttribute("src") !== address) this.image.src = address;
  }
}
