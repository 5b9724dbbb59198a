// The entry: finds the places of the page, loads the settings, and brings each room in and out.

/** @import { Place } from "./base/router.js" */

import { Bus } from "./base/bus.js";
import { fill, h } from "./base/dom.js";
import { http } from "./base/http.js";
import { icon } from "./base/icons.js";
import { OpenBlanket } from "./base/open-blanket.js";
import { address, place, ROOMS, setQuery } from "./base/router.js";
import { Settings } from "./base/settings.js";
import { t } from "./base/words.js";
import { Banners } from "./parts/banners.js";
import { askText, Dialog } from "./parts/dialog.js";
import { Menu } from "./parts/menu.js";
import { AmountsRoom } from "./rooms/amounts.js";
import { BorderRoom } from "./rooms/border.js";
import { ChartRoom } from "./rooms/chart.js";
import { FabricRoom } from "./rooms/fabric.js";
import { NewBlanket } from "./rooms/new-blanket.js";
import { PaperRoom } from "./rooms/paper.js";
import { PictureRoom } from "./rooms/picture.js";
import { SettingsPanel } from "./rooms/settings.js";
import { ShelfRoom } from "./rooms/shelf.js";
import { StrandsRoom } from "./rooms/strands.js";
import { YarnsPanel } from "./rooms/yarns.js";

/** @param {string} id */
function found(id) {
  const element = document.getElementById(id);
  if (element === null) throw new Error(`the page has no #${id}`);
  return element;
}

const heading = found("top");
const main = found("room");
const said = found("said");
const skip = found("skip");
const forever = new AbortController().signal;

const bus = new Bus();
const settings = new Settings({ bus });
const banners = new Banners({ root: found("banners"), bus, signal: forever });
const beginner = new NewBlanket({ bus, settings });

/** @type {{room: AbortController, name: string, id: number | null} | null} The room that is entered. */
let entered = null;
/** @type {{blanket: OpenBlanket, end: AbortController} | null} */
let open = null;
/** @type {Dialog | null} */
let panel = null;
let ended = false;

/** The files of a blanket. */
const FILES = /** @type {const} */ (["chart.png", "chart.csv", "chart.svg", "chart-picture.png", "fabric-right-side.png", "fabric-wrong-side.png", "plan.json", "rows.txt", "summary.txt"]);

/**
 * @param {Place} where
 */
function head({ room, id }) {
  const blanket = open?.blanket;
  const panelButton = (/** @type {"yarns" | "settings"} */ name, /** @type {"yarn" | "settings"} */ picture) =>
    h("button", { type: "button", class: "button button-bare top-panel", on: { click: () => setQuery("panel", name, "push") } }, icon(picture), h("span", { class: "button-words" }, t(`panel.${name}`)));
  /** @type {(HTMLElement | false)[]} */
  const inside = [h("a", { class: "brand", href: address("shelf"), "aria-label": t("brand.label") }, icon("mark", 30), h("span", { class: "brand-words" }, t("brand")))];
  if (id !== null && blanket !== undefined) {
    const name = h("button", { type: "button", class: "crumb", title: t("action.rename"), on: { click: () => void rename() } }, blanket.name);
    inside.push(
      h("nav", { class: "crumbs", "aria-label": t("crumb.label") }, h("a", { href: address("shelf") }, t("shelf.short")), h("span", { "aria-hidden": "true" }, "›"), name),
      h("nav", { class: "rooms", "aria-label": t("rooms.label") }, ...ROOMS.map((one) =>
        h("a", { href: address(one, id), "aria-current": one === room ? "page" : null }, t(`room.${one}`)))),
      new Menu({ label: t("files.title"), icon: "files", items: FILES.map((file) => ({ label: t(`files.${file}`), hint: file, href: http.file(id, file) })) }).element);
  }
  fill(heading, ...inside, h("div", { class: "top-panels" }, panelButton("yarns", "yarn"), panelButton("settings", "settings")));
  // Where the rooms don't all fit side by side, the one that is entered is in sight.
  const current = heading.querySelector(".rooms [aria-current]");
  const rooms = current?.parentElement;
  if (current instanceof HTMLElement && rooms) rooms.scrollLeft = current.offsetLeft - (rooms.clientWidth - current.offsetWidth) / 2;
}

async function rename() {
  if (open === null) return;
  const { blanket } = open;
  const name = await askText({ title: t("action.rename"), label: t("new.name"), value: blanket.name, yes: t("action.rename") });
  if (name === null || name === blanket.name) return;
  try {
    await http.rename(blanket.id, name);
    await blanket.reload();
    head(place());
    bus.emit("renamed", {});
  } catch (error) {
    bus.emit("trouble", { error });
  }
}

/**
 * The blanket of a place, loaded where it is not open yet.
 * @param {number} id
 */
async function blanketOf(id) {
  if (open?.blanket.id === id && open.blanket.waiting > 0) return open.blanket;
  open?.end.abort();
  const end = new AbortController();
  open = { blanket: new OpenBlanket({ blanket: await http.blanket(id), bus, signal: end.signal }), end };
  return open.blanket;
}

async function enter() {
  if (ended) return;
  const where = place();
  if (entered === null || entered.name !== where.room || entered.id !== where.id) {
    entered?.room.abort();
    const room = new AbortController();
    entered = { room, name: where.room, id: where.id };
    banners.clear();
    document.body.dataset.room = where.room;
    try {
      if (where.id === null) {
        open?.end.abort();
        open = null;
        head(where);
        await show(new ShelfRoom({ bus, settings, beginner, signal: room.signal }), room.signal);
      } else {
        const blanket = await blanketOf(where.id);
        if (room.signal.aborted) return;
        head(where);
        const options = { blanket, bus, settings, signal: room.signal };
        const Room = { picture: PictureRoom, strands: StrandsRoom, fabric: FabricRoom, amounts: AmountsRoom, border: BorderRoom, paper: PaperRoom, chart: ChartRoom, shelf: ChartRoom }[where.room];
        await show(new Room(options), room.signal);
      }
    } catch (error) {
      if (!room.signal.aborted) {
        head(where);
        fill(main, h("section", { class: "empty" }, h("h1", {}, t("trouble.room")), h("p", {}, t("trouble.roomText")), h("a", { class: "button", href: address("shelf") }, t("picture.toShelf"))));
        entered = null;
        bus.emit("trouble", { error });
      }
    }
  }
  showPanel(where.query.get("panel"));
}

let firstRoom = true;

/**
 * @param {{element: HTMLElement, title: string, open: () => Promise<void>}} room
 * @param {AbortSignal} signal
 */
async function show(room, signal) {
  document.title = t("page.title", { room: room.title });
  fill(main, room.element);
  if (!firstRoom) main.focus({ preventScroll: true });
  firstRoom = false;
  scrollTo(0, 0);
  await room.open();
  if (!signal.aborted) document.title = t("page.title", { room: room.title });
}

/** @param {string | null} name */
function showPanel(name) {
  panel?.close();
  panel = null;
  if (name !== "yarns" && name !== "settings") return;
  const yarns = name === "yarns" ? new YarnsPanel({ bus, blanket: open?.blanket ?? null }) : null;
  const content = yarns ?? new SettingsPanel({ settings, bus });
  const dialog = new Dialog({
    title: t(`panel.${name}`), body: [content.element], side: true,
    closed: () => {
      yarns?.close();
      if (panel !== dialog) return;
      panel = null;
      setQuery("panel", null);
    },
  });
  panel = dialog;
  dialog.open();
  void yarns?.open();
}

/** The program is no more: nothing of the page can be used. */
function farewell() {
  entered?.room.abort();
  open?.end.abort();
  panel?.close();
  document.title = t("page.title", { room: t("ended.title") });
  document.body.dataset.room = "ended";
  fill(heading, h("span", { class: "brand" }, icon("mark", 30), h("span", { class: "brand-words" }, t("brand"))));
  fill(main, h("section", { class: "empty" }, h("div", { class: "empty-drawing", "aria-hidden": "true" }, icon("mark", 96)),
    h("h1", {}, t("ended.title")), h("p", {}, t("settings.quitDone")), h("p", { class: "soft" }, t("ended.again"))));
  ended = true;
  skip.hidden = true;
  said.textContent = "";
  main.focus();
}

/** A picture or a chart dropped or pasted anywhere begins a blanket. */
function takeFiles() {
  const carriesFiles = (/** @type {DragEvent} */ event) => event.dataTransfer?.types.includes("Files") ?? false;
  addEventListener("dragover", (event) => {
    if (!carriesFiles(event)) return;
    event.preventDefault();
    document.body.classList.add("dropping");
    document.body.dataset.drop = t("drop.here");
  });
  addEventListener("dragleave", (event) => { if (event.relatedTarget === null) document.body.classList.remove("dropping"); });
  addEventListener("drop", (event) => {
    document.body.classList.remove("dropping");
    if (!carriesFiles(event)) return;
    event.preventDefault();
    if (event.dataTransfer && !ended) void beginner.fromFiles([...event.dataTransfer.files]);
  });
  addEventListener("paste", (event) => {
    const files = [...(event.clipboardData?.files ?? [])];
    if (files.length === 0 || ended || document.querySelector("dialog[open]")) return;
    event.preventDefault();
    void beginner.fromFiles(files);
  });
}

bus.on("ended", farewell, forever);
// What stays at the top of a scrolled page stands below the header.
new ResizeObserver(() => document.documentElement.style.setProperty("--top-height", `${heading.offsetHeight}px`)).observe(heading);
bus.on("say", ({ text }) => { said.textContent = text; }, forever);
let known = settings.value;
bus.on("settings", () => {
  const before = known;
  known = settings.value;
  if (before.language !== known.language) location.reload();
  // The plan is one for the other hand now.
  if (before.hand !== known.hand) void open?.blanket.reload().catch((error) => bus.emit("trouble", { error }));
}, forever);
skip.addEventListener("click", (event) => {
  event.preventDefault();
  main.focus();
});

try {
  await settings.load();
} catch (error) {
  bus.emit("trouble", { error });
}
known = settings.value;
skip.textContent = t("skip");
takeFiles();
addEventListener("hashchange", () => void enter());
await enter();
