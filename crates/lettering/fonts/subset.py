"""Cuts the fonts of this directory out of X.Org's font-misc-misc.

Run as `python3 subset.py DIR`, DIR holding the compiled fonts (`6x12.pcf.gz` and so on) as Debian's
package xfonts-base puts them into /usr/share/fonts/X11/misc. Writes one BDF file a font beside this
script, with the scripts kept that RANGES lists. Glyphs are not changed.
"""

import gzip
import pathlib
import struct
import sys

FONTS = ["6x9", "6x12", "6x13", "7x13B", "9x18", "9x18B", "10x20"]
RANGES = [
    (0x20, 0x7E), (0xA1, 0xAC), (0xAE, 0x17F),      # Latin
    (0x218, 0x21B), (0x1E9E, 0x1E9E),               # Romanian, capital sharp s
    (0x386, 0x386), (0x388, 0x3CE),                 # Greek
    (0x400, 0x45F), (0x490, 0x491),                 # Cyrillic
    (0x2010, 0x2015), (0x2018, 0x201E), (0x2020, 0x2022), (0x2026, 0x2026), (0x2039, 0x203A),
    (0x20AC, 0x20AC), (0x2116, 0x2116),             # euro, numero
    (0x2190, 0x2193), (0x2605, 0x2606), (0x2660, 0x2667), (0x266A, 0x266B),
]  # fmt: skip


def read(path):
    """Properties and, by code point, (left, width, ascent, descent, rows of bits) of a PCF file."""
    data = gzip.open(path).read()
    assert data[:4] == b"\x01fcp", path
    (count,) = struct.unpack_from("<I", data, 4)
    tables = {}
    for i in range(count):
        kind, _, _, offset = struct.unpack_from("<IIII", data, 8 + 16 * i)
        (form,) = struct.unpack_from("<I", data, offset)
        tables[kind] = (form, ">" if form & 4 else "<", offset + 4)

    _, e, at = tables[1]
    (count,) = struct.unpack_from(e + "I", data, at)
    entries = [struct.unpack_from(e + "IBI", data, at + 4 + 9 * i) for i in range(count)]
    at += 4 + 9 * count + -count % 4 + 4
    text = lambda offset: data[at + offset : data.index(b"\0", at + offset)].decode("latin1")
    properties = {text(name): text(value) if is_text else value for name, is_text, value in entries}

    form, e, at = tables[4]
    if form & 0x100:
        (count,) = struct.unpack_from(e + "H", data, at)
        metrics = [tuple(b - 128 for b in data[at + 2 + 5 * i :][:5]) for i in range(count)]
    else:
        (count,) = struct.unpack_from(e + "I", data, at)
        metrics = [struct.unpack_from(e + "5h", data, at + 4 + 12 * i) for i in range(count)]

    form, e, at = tables[8]
    (count,) = struct.unpack_from(e + "I", data, at)
    offsets = struct.unpack_from(f"{e}{count}I", data, at + 4)
    base, pad = at + 4 + 4 * count + 16, 1 << (form & 3)
    assert form & 8 and form & 4 or not form & 0x30, "bits in an order not met so far"

    _, e, at = tables[32]
    low0, low1, high0, high1, _ = struct.unpack_from(e + "5H", data, at)
    codes = [256 * high + low for high in range(high0, high1 + 1) for low in range(low0, low1 + 1)]
    glyphs = {}
    for i, code in enumerate(codes):
        (glyph,) = struct.unpack_from(e + "H", data, at + 10 + 2 * i)
        if glyph == 0xFFFF:
            continue
        left, right, width, ascent, descent = metrics[glyph]
        stride = -(-((right - left + 7) // 8) // pad) * pad
        rows = []
        for y in range(ascent + descent):
            row = data[base + offsets[glyph] + y * stride :][:stride]
            bits = "".join(f"{b:08b}" if form & 8 else f"{b:08b}"[::-1] for b in row)
            rows.append(bits[: right - left])
        glyphs[code] = (left, width, ascent, descent, rows)
    return properties, glyphs


def cropped(glyph):
    """(columns, rows from the top, left, bottom) of the inked box."""
    left, _, ascent, _, rows = glyph
    inked = [y for y, row in enumerate(rows) if "1" in row]
    if not inked:
        return ["0"], 1, 1, 0, 0
    rows = rows[inked[0] : inked[-1] + 1]
    first = min(row.index("1") for row in rows if "1" in row)
    last = max(row.rindex("1") for row in rows if "1" in row)
    rows = [row[first : last + 1] for row in rows]
    return rows, last - first + 1, len(rows), left + first, ascent - 1 - inked[-1]


def main(directory):
    for name in FONTS:
        properties, glyphs = read(pathlib.Path(directory) / f"{name}.pcf.gz")
        kept = [c for c in sorted(glyphs) if any(low <= c <= high for low, high in RANGES)]
        size = properties["PIXEL_SIZE"]
        width = glyphs[ord("H")][1]
        lowest = min(cropped(glyphs[c])[4] for c in kept)
        lines = [
            "STARTFONT 2.1",
            f"COMMENT Subset of {name}.bdf of X.Org's font-misc-misc; see CREDITS.txt",
            f"FONT {properties['FONT']}",
            f"SIZE {size} 75 75",
            f"FONTBOUNDINGBOX {width} {size} 0 {lowest}",
            "STARTPROPERTIES 1",
            f'COPYRIGHT "{properties["COPYRIGHT"]}"',
            "ENDPROPERTIES",
            f"CHARS {len(kept)}",
        ]
        for code in kept:
            rows, columns, height, left, bottom = cropped(glyphs[code])
            hexes = [f"{int(r.ljust(-(-columns // 8) * 8, '0'), 2):0{-(-columns // 8) * 2}X}" for r in rows]
            lines += [
                f"STARTCHAR U+{code:04X}",
                f"ENCODING {code}",
                f"SWIDTH {glyphs[code][1] * 1000 // size} 0",
                f"DWIDTH {glyphs[code][1]} 0",
                f"BBX {columns} {height} {left} {bottom}",
                "BITMAP",
                *hexes,
                "ENDCHAR",
            ]
        lines.append("ENDFONT\n")
        (pathlib.Path(__file__).parent / f"{name}.bdf").write_text("\n".join(lines))


main(sys.argv[1])
