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
 * @property {boolean} [making] What is kept for the making changed: ask for it again.
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

/** @typedef {"cm" | "in"} Ruler */
/** @typedef {Ruler | "m" | "yd" | "g" | "oz"} Unit */
/** @typedef {{count: number, over: number, unit: Ruler}} Counted So many over so much. */
/** @typedef {{number: number, unit: Unit}} Measure */
/** @typedef {{low: number, likely: number, high: number}} Band A figure with how far off it may be. */
/** @typedef {{what: string, hint: string}} Fault */

/**
 * @typedef {object} Swatch What was not measured is null.
 * @property {Counted} stitches
 * @property {Counted | null} rows
 * @property {Measure | null} yarn_taken
 * @property {[number, number] | null} whole Stitches and rows of the whole swatch, where only a part was counted.
 * @property {boolean} carried Whether a strand lies inside.
 * @property {string | null} yarn Key.
 */

/**
 * @typedef {object} Remark
 * @property {string} what
 * @property {string} hint Often a question.
 * @property {Swatch | null} mended The swatch as it is when the answer is yes.
 */

/**
 * @typedef {object} SwatchTold
 * @property {{gauge: Gauge, measured: "all" | "gauge" | "nothing"} | null} found
 * @property {string[]} says
 * @property {Remark | null} fault
 * @property {Remark[]} remarks
 * @property {number | null} yarn Its place in the palette.
 */

/** @typedef {"sc" | "hdc" | "dc" | "tr"} BorderStitch In US terms. */

/**
 * @typedef {object} Round As it is wished.
 * @property {BorderStitch} stitch
 * @property {string} yarn Key.
 * @property {number | null} corners Stitches in each; null: as many as lie flat.
 * @property {{multiple: number, plus: number} | null} repeat
 */

/**
 * @typedef {object} BorderWish
 * @property {Round[]} rounds From the blanket outwards.
 * @property {"every_row_end" | number | null} along_sides Null: as many as lie flat.
 * @property {{hdc: number, dc: number, tr: number} | null} heights
 */

/** @typedef {{stitches_a_minute: number | null, change: number | null, carried: number | null, lift: number | null, mind: number | null, join: number | null, cut: number | null, end: number | null}} Pace */

/**
 * @typedef {object} Making What a person gives for the making, as they typed it.
 * @property {Swatch | null} swatch
 * @property {number} margin In per cent.
 * @property {boolean} dye_lots Whether they matter.
 * @property {{width: number, height: number} | null} shrinkage In per cent.
 * @property {Pace} pace
 * @property {{a_week: number, minutes: number, by: string | null} | null} evenings
 * @property {number} rows_done
 * @property {{rows_done: number, stitches: Counted, rows: Counted, height: Measure | null} | null} measured_again
 * @property {BorderWish} border
 * @property {PaperWish} paper
 */

/**
 * @typedef {object} PaperWish What is wished of the pattern on paper.
 * @property {string} by
 * @property {string} note
 * @property {string} picture_by
 * @property {"not_said" | "own_use" | "given" | "sold"} passing
 * @property {"a4" | "letter"} sheet
 * @property {boolean} black
 * @property {boolean} large
 * @property {boolean} tags
 * @property {boolean} ends
 */

/** @typedef {{stitches: number, carried: number, lifts: number, foundation: number, turning_chains: number, tails: number, border: number}} Parts In metres. */

/**
 * @typedef {object} Amount Of one yarn.
 * @property {number} yarn Its place.
 * @property {number} strands
 * @property {number} stitches
 * @property {Parts} parts
 * @property {Band} metres
 * @property {number} to_have The high end, with the margin.
 * @property {Band | null} grams
 * @property {{needed: number, spare: number, on_hand: number, buy: number} | null} balls
 * @property {number | null} cost
 * @property {string[]} lots What to do where dye lots meet.
 */

/** @typedef {{width_cm: number, height_cm: number}} Size */

/**
 * @typedef {object} Schedule
 * @property {{day: string, rows: [number, number] | null, finishing: number}[]} evenings
 * @property {number} count
 * @property {string} done_on
 * @property {number} rows_an_evening
 * @property {null | {yes: true, to_spare: number, rows_an_evening: number} | {yes: false, rows_by_then: number, minutes: number | null, evenings_a_week: number | null}} in_time
 */

/**
 * @typedef {object} Drift
 * @property {number} width_cm
 * @property {number} height_cm
 * @property {number} rows_left
 * @property {number} rows_to_go
 * @property {number} yarn What a stitch takes now against what was reckoned.
 * @property {Amount[]} amounts
 * @property {boolean} early
 * @property {boolean} far
 */

/**
 * @typedef {object} Amounts
 * @property {number} revision
 * @property {Making} making
 * @property {PaletteYarn[]} yarns The blanket's, then those of the border that have left it.
 * @property {number} of_blanket
 * @property {Gauge} gauge That the chart is drawn with.
 * @property {"all" | "gauge" | "nothing"} measured
 * @property {string[]} says
 * @property {SwatchTold | null} swatch
 * @property {Amount[]} amounts
 * @property {number} cost
 * @property {number[]} cost_unknown
 * @property {Size & {without_border: Size, washed: Size | null, grams: Band, unweighed: number[]}} finished
 * @property {Record<string, number>} hours
 * @property {string | null} pace_slip
 * @property {Schedule | {fault: Fault} | null} evenings
 * @property {Drift | {fault: Fault} | null} drift
 * @property {string[]} notes
 */

/** @typedef {{mark: string, ticked: boolean, wound: number | null, label: string, yarn: number, joins_at: number, ends_at: number, stitches: number, metres: number, grams: number | null, balls: number | null}} WindMark */

/** @typedef {{mark: string, ticked: boolean, label: string, yarn: number, of: "foundation" | "join" | "cut", row: number, after: number, over: number, over_in: number, missing: number, left_cm: number}} EndMark */

/**
 * @typedef {object} RoundTold A round, counted.
 * @property {string} stitch In the person's terms.
 * @property {string} in_full
 * @property {number} yarn
 * @property {number} stitches
 * @property {number} growth
 * @property {number[]} corners
 * @property {number[]} between
 * @property {string[]} edges
 * @property {number[]} fudged
 * @property {"flat" | "ruffles" | "cups"} lie
 * @property {number} height_cm
 * @property {{before: number[], corner: number, middle: number, after: number[], along: [[number, number], [number, number]]}} drawn
 */

/**
 * @typedef {object} Border
 * @property {RoundTold[]} rounds
 * @property {string[]} says
 * @property {string[]} pick_up
 * @property {string} words
 * @property {number} depth_cm
 * @property {number} width_cm
 * @property {number} height_cm
 * @property {number} stitches
 * @property {{yarn: number, rounds: number, stitches: number, joins: number, metres: Band}[]} yarns
 * @property {{total: number, stitches: number, ends: number}} hours
 */

/**
 * @typedef {object} BorderTold
 * @property {number} revision
 * @property {BorderWish} wish
 * @property {PaletteYarn[]} yarns
 * @property {number} of_blanket
 * @property {number} columns
 * @property {number} rows
 * @property {Gauge} gauge
 * @property {"right" | "left"} hand
 * @property {Border | null} border
 * @property {(Fault & {round: number | null}) | null} fault
 * @property {string[]} notes
 */

/** @typedef {{row: number, title: string, says: string, moves: string[]}} Lesson Of a row, from 1. */

export {};
