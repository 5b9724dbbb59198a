// Where the person is, kept in the address behind the #, so that a reload and the back button work.

/**
 * @typedef {object} Place
 * @property {"shelf" | "picture" | "chart" | "strands" | "fabric" | "amounts" | "border" | "paper"} room
 * @property {number | null} id Of the blanket.
 * @property {URLSearchParams} query `panel`, and what a room keeps there.
 */

/** The rooms of a blanket, in the order of the work. */
export const ROOMS = /** @type {const} */ (["picture", "chart", "strands", "fabric", "amounts", "border", "paper"]);

/** @returns {Place} */
export function place() {
  const [path = "", query = ""] = location.hash.replace(/^#\/?/, "").split("?");
  const [head, id, room] = path.split("/");
  const parameters = new URLSearchParams(query);
  if (head === "blanket" && /^\d+$/.test(id ?? "")) {
    const known = ROOMS.find((one) => one === room) ?? "chart";
    return { room: known, id: Number(id), query: parameters };
  }
  return { room: "shelf", id: null, query: parameters };
}

/**
 * @param {Place["room"]} room
 * @param {number | null} [id]
 * @param {Record<string, string>} [query]
 * @returns {string} The part behind and with the #.
 */
export function address(room, id = null, query = {}) {
  const parameters = new URLSearchParams(query).toString();
  const path = id === null ? "#/shelf" : `#/blanket/${id}/${room}`;
  return parameters === "" ? path : `${path}?${parameters}`;
}

/** @param {string} hash */
export function go(hash) {
  location.hash = hash;
}

/**
 * Changes one parameter of the place; null removes it.
 * @param {string} name
 * @param {string | null} value
 * @param {"push" | "replace"} [how] Whether the back button comes back to the place before.
 */
export function setQuery(name, value, how = "replace") {
  const { room, id, query } = place();
  if (value === null) query.delete(name);
  else query.set(name, value);
  const hash = address(room, id, Object.fromEntries(query));
  if (how === "push") go(hash);
  else history.replaceState(null, "", hash);
}
