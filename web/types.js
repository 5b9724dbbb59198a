// What travels between this page and the program: the shapes of the JSON, as types alone.

/**
 * @typedef {object} Card A blanket on the shelf.
 * @property {number} id
 * @property {string} name
 * @property {boolean} invented Whether it is the demo's.
 * @property {number} columns
 * @property {number} rows
 * @property {number} width_cm
 * @property {number} height_cm
 * @property {number} colours
 * @property {string} changed ISO time.
 * @property {boolean} has_picture
 * @property {number} revision
 */

/**
 * @typedef {object} Gauge Stitches and rows in 10 cm.
 * @property {number} stitches
 * @property {number} rows
 * @property {boolean} estimated Whether the rows were worked out and not counted.
 */

/** @typedef {Yarn & {symbol: string, stitches: number}} PaletteYarn A yarn of one chart. */

/**
 * @typedef {object} Numbers What the plan comes to.
 * @property {number} ends
 * @property {number} strands
 * @property {number} strands_at_once
 * @property {{total: number, stitches: number, strands: number, ends: number}} hours
 * @property {number} carried
 * @property {number} longest_carry
 * @property {number} cost
 * @property {number} bound
 * @property {number} gap
 * @property {number} runs
 * @property {number} colours
 * @property {boolean} proven
 * @property {number} milliseconds
 */

/**
 * @typedef {{cm: number} | {inches: number} | {stitches: number}} Extent Upwards, `stitches` are rows.
 */

/**
 * @typedef {{x: number, y: number, width: number, height: number}} Crop In 0 to 1 of the picture as turned.
 */

/**
 * @typedef {object} ChartingRequest
 * @property {0 | 90 | 180 | 270} turn Clockwise.
 * @property {Crop} crop
 * @property {Extent | null} width
 * @property {Extent | null} height
 * @property {{stitches: number, rows?: number | null}} gauge
 * @property {{count: number, keep?: string[], without?: string[], on_hand?: boolean} | {keys: string[]}} colours
 * @property {number} [ease] 0 to 10: how much ease of working counts.
 * @property {Important | null} [important]
 * @property {Yarn[]} [yarns] To choose from; left out: the person's list.
 */

/**
 * @typedef {object} Important What the person painted as important, over the part of the picture in the frame.
 * @property {number} columns
 * @property {number} rows
 * @property {string} weights Base64, one byte a cell, from the top left; 0: nothing said, 255: keep every stitch.
 */

/**
 * @typedef {object} Choice A chart of the picture that could be taken.
 * @property {number} at Its number.
 * @property {number} columns
 * @property {number} rows
 * @property {Numbers} plan
 * @property {number} mean_difference CIEDE2000, stitch by stitch.
 * @property {number} blurred_difference The same, as from across the room.
 * @property {boolean} plain Whether every stitch has the nearest yarn.
 */

/**
 * @typedef {object} Alike
 * @property {{yarns: [number, number], difference: number, when: string[], advice: string}[]} pairs
 * @property {{yarns: [number, number], advice: string}[]} bleeding
 */

/**
 * @typedef {object} Blanket
 * @property {number} id
 * @property {string} name
 * @property {number} columns
 * @property {number} rows
 * @property {Gauge} gauge
 * @property {"right" | "left"} hand
 * @property {PaletteYarn[]} palette
 * @property {string} cells Base64, one byte a cell, from the bottom row, each from the left.
 * @property {string | null} can_take_back
 * @property {string | null} can_do_again
 * @property {number} revision
 * @property {{width: number, height: number, request: ChartingRequest | null} | null} picture
 * @property {Numbers} plan
 */

/** @typedef {{column: number, row: number, columns: number, rows: number}} Region Its leftmost column, its lowest row, its size. */

/**
 * @typedef {object} Lettering Words as stitches.
 * @property {string} text
 * @property {number} height Rows of a capital letter.
 * @property {number | null} spacing Stitches between letters; null: as the font has it.
 * @property {number} line_gap Rows between lines.
 * @property {"left" | "centre" | "right"} align
 * @property {number | null} width Lines are broken to so many stitches.
 * @property {string | null} font A font of the person's, base64; null: a built-in one.
 */

/**
 * @typedef {{do: "stitch", cells: number[], yarn: number, stroke: string}
 *   | {do: "line", from: [number, number], to: [number, number], yarn: number, width: number}
 *   | {do: "flood", at: [number, number], yarn: number}
 *   | {do: "swap_colour", from: number, to: number}
 *   | {do: "add_yarn", yarn: Yarn}
 *   | {do: "change_yarn", index: number, yarn: Yarn}
 *   | {do: "rectangle", region: Region, yarn: number, outline?: number | null}
 *   | {do: "ellipse", region: Region, yarn: number, outline?: number | null}
 *   | {do: "replace", from: number, to: number, region?: Region | null, row?: number | null}
 *   | {do: "exchange", one: number, other: number, region?: Region | null}
 *   | {do: "clean", below: number, region?: Region | null}
 *   | {do: "smooth", region?: Region | null}
 *   | {do: "move", region: Region, to: [number, number], yarn: number}
 *   | {do: "copy", region: Region, to: [number, number]}
 *   | {do: "mirror", region?: Region | null, way: "sideways" | "upside_down"}
 *   | {do: "repeat", region: Region, drop?: number, shift?: number}
 *   | {do: "crop_to_shape", shape: "ellipse" | "heart" | "rounded_rectangle", radius?: number, region?: Region | null, yarn: number}
 *   | {do: "background", tolerance: number, yarn?: number, like?: number}
 *   | {do: "frame", stitches: number, rows: number, yarn: number, place: "round" | "over"}
 *   | {do: "insert_rows", at: number, count: number, yarn?: number}
 *   | {do: "insert_columns", at: number, count: number, yarn?: number}
 *   | {do: "delete_rows", at: number, count: number}
 *   | {do: "delete_columns", at: number, count: number}
 *   | {do: "resize", left: number, right: number, bottom: number, top: number, yarn: number}
 *   | {do: "enlarge", by: number}
 *   | {do: "merge", from: number, to: number}
 *   | {do: "drop_yarn", index: number, instead?: number}
 *   | {do: "words", lettering: Lettering, at: [number, number], yarn: number, edge: {yarn: number, stitches: number} | null}} Operation Columns and rows from 0, rows from the bottom.
 */

/**
 * @typedef {object} Edited What an edit changed.
 * @property {number} revision
 * @property {[number, number][]} cells
 * @property {PaletteYarn[]} palette
 * @property {Numbers} plan
 * @property {string | null} can_take_back
 * @property {string | null} can_do_again
 * @property {number} [ends_by] What it did to the ends.
 * @property {number} [strands_by]
 * @property {number} [hours_by]
 * @property {boolean} [reload] The whole chart changed: ask for the blanket again.
 */

/**
 * @typedef {object} Yarn A yarn of the person's list.
 * @property {string} key
 * @property {string} name
 * @property {string} colour `#rrggbb`.
 * @property {string | number | null} [weight] Name or number of the weight category.
 * @property {number | null} [metres] In one ball; goes together with `grams`.
 * @property {number | null} [grams] Of one ball.
 * @property {number | null} [price]
 * @property {number | null} [on_hand]
 * @property {string | null} [dye_lot]
 */

/**
 * @typedef {object} SettingsValue
 * @property {"cm" | "in"} units
 * @property {"us" | "uk"} terms
 * @property {"right" | "left"} hand
 * @property {string} language
 * @property {"system" | "light" | "dark"} theme
 */

/**
 * @typedef {["join", number, number, string, number]
 *   | ["work", number, number, number]
 *   | ["carry", number, number, number]
 *   | ["draw_back", number, number, number]
 *   | ["drop", number, number]
 *   | ["lift", number, number]
 *   | ["cut", number, number, string, number]} Step Kind, strand (from 0), then boundaries from 0 at the left.
 */

/**
 * @typedef {object} Strand
 * @property {number} id
 * @property {string} label
 * @property {number} yarn Place in the palette.
 * @property {number} first_row From 0.
 * @property {number} last_row From 0.
 * @property {number} stitches
 * @property {number} carried
 * @property {number} lifts
 * @property {number} length_m
 */

/** @typedef {{strands: Strand[], rows: {steps: Step[]}[]}} StrandPlan Rows from the bottom. */

/** @typedef {{number: number, side: string, direction: string, text: string}} RowWords */

export {};
