// Reads a file as the person's list of yarns, after asking where there is a list already.

/** @import { Yarn } from "../types.js" */
/** @import { Bus } from "../base/bus.js" */

import { http, Refusal } from "../base/http.js";
import { remarks, t } from "../base/words.js";
import { ask } from "./dialog.js";

/** @param {Bus} bus */
export async function takeBackList(bus) {
  try {
    await http.takeBackYarns();
    bus.emit("yarns", {});
  } catch (error) {
    bus.emit("trouble", { error });
  }
}

/**
 * @param {File} file
 * @param {Bus} bus
 * @param {boolean} [dropped] Nobody said yet that it is a list: ask in any case.
 * @returns {Promise<boolean>} Whether it is the list now.
 */
export async function readList(file, bus, dropped = false) {
  try {
    const { yarns: before } = await http.yarns();
    const replaces = before.length > 0;
    const question = {
      title: t(dropped ? "new.listTitle" : "yarns.readTitle"), yes: t("yarns.read"),
      text: [dropped && t("new.listText", { name: file.name }), replaces && t("yarns.readText", { name: file.name })].filter(Boolean).join(" "),
    };
    if ((replaces || dropped) && !(await ask(question))) return false;
    /** @type {{yarns: Yarn[], notes?: string[]}} */
    const { yarns, notes = [] } = await http.readYarns(file);
    bus.emit("yarns", {});
    bus.emit("note", { text: remarks(t("yarns.wasRead", { count: yarns.length }), ...notes), undo: () => void takeBackList(bus) });
    return true;
  } catch (error) {
    // The program calls every list by the same name; the person knows the file by its own.
    const told = error instanceof Refusal ? new Refusal({ status: error.status, what: error.what, where: error.where.replace("yarns.toml", file.name), hint: error.hint }) : error;
    bus.emit("trouble", { error: told });
    return false;
  }
}
