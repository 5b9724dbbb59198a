//! A chart as an indexed PNG: one pixel a stitch, the bottom row of pixels is row 1, a palette
//! entry is a yarn.
//!
//! The chunks of the file are walked here first, so that every refusal can say what the file is and
//! where it is damaged, and nothing is decoded before its size is known. The pixels themselves are
//! decoded by `png`. Source of the chunk layout: Portable Network Graphics Specification (third
//! edition), W3C, chapters 5 and 11 (from memory).

use core::fmt::Write as _;

use model::{Chart, Gauge, MAX_SIDE, MAX_YARNS, Palette, RowIndex, RowNumber, Srgb, Yarn};

use crate::MAX_CELLS;
use crate::fault::{Collector, Fault, Faults, Noted, Notes, file_kind, quoted};
use crate::json_text::{self, Json};
use crate::keys::is_chart_key;

/// How large a picture a reader takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SizeLimits {
    /// The most pixels either way; never above [`MAX_SIDE`].
    pub side: usize,
    /// The most pixels in all.
    pub cells: usize,
    /// The most bytes of the file.
    pub bytes: usize,
}

impl Default for SizeLimits {
    /// What any chart of ours keeps to, in a file of at most 64 MiB.
    fn default() -> Self {
        Self { side: MAX_SIDE, cells: MAX_CELLS, bytes: 64 << 20 }
    }
}

/// What a chart file holds.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartFile {
    /// The chart. Of its yarns only key, name and colour are known.
    pub chart: Chart,
    /// The gauge, where the file gives one.
    pub gauge: Option<Gauge>,
    /// Whether the file gives the keys of its yarns; else they are `0`, `1`, … in palette order.
    pub named: bool,
}

const PREFIX: &str = "Strandwright ";
const VERSION: &str = "version";
const KEYS: &str = "yarn keys";
const NAMES: &str = "yarn names";
const GAUGE_STITCHES: &str = "gauge stitches";
const GAUGE_ROWS: &str = "gauge rows";
const GAUGE_ESTIMATED: &str = "gauge rows estimated";
/// The longest name of a yarn that is taken, in characters.
const MAX_NAME: usize = 200;

const CHART_HINT: &str = "make a chart from the picture first, with `strandwright chart`";

/// Writes a chart, with its gauge where there is one. The same chart gives the same bytes: there is
/// no time and no place in them.
#[must_use]
pub fn write_chart_png(chart: &Chart, gauge: Option<&Gauge>) -> Vec<u8> {
    let yarns = chart.palette().yarns();
    let depth = match yarns.len() {
        ..=2 => png::BitDepth::One,
        3..=4 => png::BitDepth::Two,
        5..=16 => png::BitDepth::Four,
        _ => png::BitDepth::Eight,
    };
    let side = |stitches: usize| u32::try_from(stitches).expect("sides are at most MAX_SIDE");
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, side(chart.columns()), side(chart.rows()));
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(depth);
    let colours: Vec<u8> =
        yarns.iter().flat_map(|yarn| [yarn.colour.red, yarn.colour.green, yarn.colour.blue]).collect();
    encoder.set_palette(colours);
    let mut text = |keyword: &str, text: String| {
        encoder.add_itxt_chunk(format!("{PREFIX}{keyword}"), text).expect("a short keyword is taken");
    };
    let list = |part: fn(&Yarn) -> &str| {
        let items: Vec<String> = yarns.iter().map(|yarn| json_text::string(part(yarn))).collect();
        format!("[{}]", items.join(","))
    };
    text(VERSION, "1".to_owned());
    text(KEYS, list(|yarn| &yarn.key));
    text(NAMES, list(|yarn| &yarn.name));
    if let Some(gauge) = gauge {
        // `Display` of a float is the shortest text that reads back as the same float.
        text(GAUGE_STITCHES, gauge.stitches().to_string());
        text(GAUGE_ROWS, gauge.rows().to_string());
        text(GAUGE_ESTIMATED, if gauge.rows_estimated() { "yes" } else { "no" }.to_owned());
    }

    let bits = depth as usize;
    let mut pixels = Vec::with_capacity((chart.columns() * bits).div_ceil(8) * chart.rows());
    for row in chart.row_indices().rev() {
        for packed in chart.row(row).chunks(8 / bits) {
            let byte = packed
                .iter()
                .enumerate()
                .fold(0, |byte, (at, yarn)| byte | yarn.as_u8() << (8 - bits * (at + 1)));
            pixels.push(byte);
        }
    }
    let mut writer = encoder.write_header().expect("memory takes a header");
    writer.write_image_data(&pixels).expect("the pixels fill the picture");
    writer.finish().expect("memory takes the end");
    bytes
}

/// Reads a chart.
///
/// # Errors
/// When the bytes are no PNG, or a damaged, animated or too large one; when the picture is not
/// indexed, has more than [`MAX_YARNS`] palette entries, or a pixel names an entry that is not there.
pub fn read_chart_png(bytes: &[u8], limits: &SizeLimits) -> Result<Noted<ChartFile>, Faults> {
    if bytes.len() > limits.bytes {
        let what = format!("the file has {} bytes, the most that is read is {}", bytes.len(), limits.bytes);
        return Err(Faults::one(what, "", ""));
    }
    let mut notes = Notes::default();
    let parts = Parts::walk(bytes, &mut notes)?;
    let header = Header::read(&parts, limits)?;
    let colours: Vec<Srgb> = parts.palette.unwrap_or_default().as_chunks().0.iter().map(srgb).collect();
    let pixels = decode(bytes, &header)?;

    let mut faults = Collector::default();
    let used = used_entries(&pixels, header.columns, colours.len(), &mut faults);
    let list_of = |wanted: bool| ranges((0..colours.len()).filter(|&entry| used[entry] == wanted));
    if colours.len() > MAX_YARNS {
        let count = used.iter().take(colours.len()).filter(|used| **used).count();
        let what = format!(
            "the palette has {} entries, a chart has at most {MAX_YARNS} yarns; the picture uses {count} of them: {}",
            colours.len(),
            list_of(true)
        );
        let hint = if count > MAX_YARNS {
            CHART_HINT
        } else {
            "save the picture without the entries that it does not use"
        };
        faults.add(what, "", hint);
    }
    if !faults.is_empty() {
        return faults.finish(None);
    }

    let unused = list_of(false);
    if !unused.is_empty() {
        notes.add(format!("no stitch uses palette entry {unused}"));
    }
    for (at, colour) in colours.iter().enumerate() {
        if let Some(twin) = colours[..at].iter().position(|other| other == colour) {
            notes.add(format!("palette entries {twin} and {at} have the same colour {colour}"));
        }
    }
    let seen_through = parts.transparency.unwrap_or_default().iter().take(colours.len()).enumerate();
    let seen_through = ranges(seen_through.filter(|(_, alpha)| **alpha < 255).map(|(entry, _)| entry));
    if !seen_through.is_empty() {
        notes.add(format!(
            "palette entry {seen_through} is see-through in the file and is taken as its plain colour"
        ));
    }
    if parts.profile {
        notes.add("the colour profile in the file is ignored, its colours are taken as sRGB");
    }

    let texts = Texts::read(&parts.texts, &mut notes);
    let named = texts.yarns(colours.len(), &mut notes);
    let is_named = named.is_some();
    let yarns = colours.iter().enumerate().map(|(at, &colour)| match &named {
        Some(yarns) => Yarn::plain(&yarns[at].0, &yarns[at].1, colour),
        None => Yarn::plain(at.to_string(), format!("entry {at} ({colour})"), colour),
    });
    let damaged = |error: &dyn core::fmt::Display| Faults::one(error.to_string(), "", "");
    let palette = Palette::new(yarns.collect()).map_err(|error| damaged(&error))?;
    let chart = Chart::new(palette, header.rows, header.columns, &pixels).map_err(|error| damaged(&error))?;
    let gauge = texts.gauge(&mut notes);
    Ok(notes.with(ChartFile { chart, gauge, named: is_named }))
}

fn srgb(&[red, green, blue]: &[u8; 3]) -> Srgb {
    Srgb::new(red, green, blue)
}

/// Which of all 256 entries the pixels use. A pixel of an entry that is not there is a fault.
fn used_entries(pixels: &[u8], columns: usize, entries: usize, faults: &mut Collector) -> [bool; 256] {
    let mut used = [false; 256];
    for (at, &pixel) in pixels.iter().enumerate() {
        used[usize::from(pixel)] = true;
        if usize::from(pixel) >= entries {
            faults.add_with(|| Fault {
                what: format!("the pixel names palette entry {pixel}, the last entry is {}", entries - 1),
                place: format!(
                    "row {}, column {}",
                    RowNumber::from(RowIndex(at / columns)),
                    at % columns + 1
                ),
                hint: String::new(),
            });
        }
    }
    used
}

/// Numbers in ascending order as `0-3, 7`.
fn ranges(numbers: impl Iterator<Item = usize>) -> String {
    let mut spans: Vec<(usize, usize)> = Vec::new();
    for number in numbers {
        match spans.last_mut() {
            Some((_, last)) if *last + 1 == number => *last = number,
            _ => spans.push((number, number)),
        }
    }
    let mut text = String::new();
    for (at, (first, last)) in spans.iter().enumerate() {
        let comma = if at > 0 { ", " } else { "" };
        let range = if first == last { String::new() } else { format!("-{last}") };
        write!(text, "{comma}{first}{range}").expect("a text takes any text");
    }
    text
}

const SIGNATURE: &[u8] = b"\x89PNG\r\n\x1a\n";

/// The chunks that matter here.
#[derive(Default)]
struct Parts<'a> {
    header: &'a [u8],
    palette: Option<&'a [u8]>,
    transparency: Option<&'a [u8]>,
    animated: bool,
    profile: bool,
    /// Text chunks: their type and data.
    texts: Vec<(&'a [u8], &'a [u8])>,
}

impl<'a> Parts<'a> {
    /// Walks all chunks of a file and checks that each is whole.
    fn walk(bytes: &'a [u8], notes: &mut Notes) -> Result<Self, Faults> {
        let Some(mut rest) = bytes.strip_prefix(SIGNATURE) else {
            return Err(no_png(bytes));
        };
        let mut parts = Self::default();
        let mut faults = Collector::default();
        let mut first = true;
        loop {
            let at = bytes.len() - rest.len();
            let place = || format!("byte {at}");
            let cut_short = |faults: &mut Collector| {
                faults.add("the file ends too early", place(), "the file is cut off: copy or save it again");
            };
            let Some((length, after)) = rest.split_first_chunk::<4>() else {
                cut_short(&mut faults);
                break;
            };
            let length = usize::try_from(u32::from_be_bytes(*length)).unwrap_or(usize::MAX);
            let Some((kind, after)) = after.split_at_checked(4) else {
                cut_short(&mut faults);
                break;
            };
            if !kind.iter().all(u8::is_ascii_alphabetic) {
                faults.add(
                    "the file is damaged: here should be a chunk",
                    place(),
                    "copy or save the file again",
                );
                break;
            }
            let name = String::from_utf8_lossy(kind);
            let Some((data, after)) = after.split_at_checked(length) else {
                cut_short(&mut faults);
                break;
            };
            let Some((sum, after)) = after.split_first_chunk::<4>() else {
                cut_short(&mut faults);
                break;
            };
            rest = after;
            let mut hasher = crc32fast::Hasher::new();
            hasher.update(kind);
            hasher.update(data);
            let critical = kind[0].is_ascii_uppercase();
            if hasher.finalize() != u32::from_be_bytes(*sum) {
                if critical {
                    let what = format!("the file is damaged: the check sum of its part {name} is wrong");
                    faults.add(what, place(), "copy or save the file again");
                } else {
                    notes.add(format!("the part {name} at byte {at} is damaged and was ignored"));
                }
                continue;
            }
            if first && (kind != b"IHDR" || data.len() != 13) {
                faults.add("the file is damaged: it does not begin with a header", place(), "");
                break;
            }
            first = false;
            match kind {
                b"IHDR" => parts.header = data,
                b"PLTE" if parts.palette.is_some() => {
                    faults.add("the file has two palettes", place(), "");
                }
                b"PLTE" => parts.palette = Some(data),
                b"tRNS" => parts.transparency = Some(data),
                b"acTL" => parts.animated = true,
                b"iCCP" => parts.profile = true,
                b"tEXt" | b"zTXt" | b"iTXt" => parts.texts.push((kind, data)),
                b"IEND" => break,
                _ => {}
            }
        }
        if !rest.is_empty() && faults.is_empty() {
            notes.add(format!("{} bytes after the end of the picture were ignored", rest.len()));
        }
        if faults.is_empty() && parts.header.len() != 13 {
            faults.add("the file is damaged: it has no header", "", "");
        }
        faults.finish(Some(parts))
    }
}

/// What a file is that does not begin like a PNG.
fn no_png(bytes: &[u8]) -> Faults {
    if bytes.is_empty() {
        return Faults::one("the file is empty", "", "");
    }
    if bytes.len() < SIGNATURE.len() && SIGNATURE.starts_with(bytes) {
        return Faults::one(
            "the file ends too early",
            format!("byte {}", bytes.len()),
            "copy or save it again",
        );
    }
    match file_kind(bytes) {
        Some("a PNG") => {
            let hint = "it may have been copied as a text: copy it again as it is";
            Faults::one("the file is a damaged PNG: its first eight bytes are wrong", "", hint)
        }
        Some(kind) => Faults::one(format!("the file is {kind}, not a PNG"), "", CHART_HINT),
        None if core::str::from_utf8(bytes).is_ok() => {
            Faults::one("the file is a text, not a PNG", "", "charts as text are read from .csv files")
        }
        None => Faults::one("the file is no PNG", "", ""),
    }
}

/// What the header says, once it has been found good.
struct Header {
    rows: usize,
    columns: usize,
    bits: usize,
}

impl Header {
    fn read(parts: &Parts<'_>, limits: &SizeLimits) -> Result<Self, Faults> {
        let mut faults = Collector::default();
        let number = |at: usize| {
            let bytes = parts.header[at..at + 4].try_into().expect("four bytes");
            usize::try_from(u32::from_be_bytes(bytes)).unwrap_or(usize::MAX)
        };
        let (columns, rows) = (number(0), number(4));
        let (bits, colour_type) = (parts.header[8], parts.header[9]);
        let side = limits.side.min(MAX_SIDE);
        if rows == 0 || columns == 0 {
            faults.add("the picture has no pixels", "", "");
        } else if rows > side || columns > side || rows * columns > limits.cells {
            let what = format!(
                "a picture of {columns} by {rows} pixels is too large for a chart, which has one pixel a stitch: \
                 at most {side} either way and {} in all",
                limits.cells
            );
            faults.add(what, "", CHART_HINT);
        }
        let deep = if bits == 16 { " of 16 bits" } else { "" };
        let kind = match colour_type {
            0 => Some("a grey picture"),
            2 => Some("an RGB picture"),
            3 => None,
            4 => Some("a grey picture with alpha"),
            6 => Some("an RGB picture with alpha"),
            _ => Some("a picture of an unknown colour type"),
        };
        if let Some(kind) = kind {
            let what =
                format!("the file is {kind}{deep}, a chart is an indexed picture: one palette entry a yarn");
            faults.add(what, "", CHART_HINT);
        } else {
            if ![1, 2, 4, 8].contains(&bits) {
                faults.add(
                    format!("the file is damaged: an indexed picture of {bits} bits a pixel"),
                    "header",
                    "",
                );
            }
            match parts.palette {
                None => faults.add("the file is damaged: an indexed picture without a palette", "", ""),
                Some(data) if data.is_empty() || data.len() % 3 != 0 || data.len() > 768 => {
                    let what = format!("the file is damaged: a palette of {} bytes", data.len());
                    faults.add(what, "", "a palette has three bytes an entry, and 1 to 256 entries");
                }
                Some(_) => {}
            }
        }
        if parts.animated {
            let hint = "save the one picture that is the chart as a still PNG";
            faults.add("the file is an animated PNG, which holds several pictures", "", hint);
        }
        faults.finish(Some(Self { rows, columns, bits: bits.into() }))
    }
}

/// The palette entry of every pixel, row by row from the bottom.
fn decode(bytes: &[u8], header: &Header) -> Result<Vec<u8>, Faults> {
    let stride = (header.columns * header.bits).div_ceil(8);
    let mut packed = vec![0; stride * header.rows];
    // Room for the picture, and as much again for the decoder's own lines.
    let room = png::Limits { bytes: 2 * packed.len() + (1 << 20) };
    let mut decoder = png::Decoder::new_with_limits(std::io::Cursor::new(bytes), room);
    decoder.set_transformations(png::Transformations::IDENTITY);
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    decoder.read_info().and_then(|mut reader| reader.next_frame(&mut packed)).map_err(|error| {
        let what = format!("the pixels can't be read: {error}");
        Faults::one(what, "", "the file is damaged: copy or save it again")
    })?;
    let mut pixels = Vec::with_capacity(header.rows * header.columns);
    let mask = u8::MAX >> (8 - header.bits);
    for line in packed.chunks_exact(stride).rev() {
        pixels.extend((0..header.columns).map(|column| {
            let bit = column * header.bits;
            line[bit / 8] >> (8 - header.bits - bit % 8) & mask
        }));
    }
    Ok(pixels)
}

/// The texts of ours in a file.
#[derive(Default)]
struct Texts {
    version: Option<String>,
    keys: Option<String>,
    names: Option<String>,
    stitches: Option<String>,
    rows: Option<String>,
    estimated: Option<String>,
}

impl Texts {
    /// Finds our texts and notes all others.
    fn read(chunks: &[(&[u8], &[u8])], notes: &mut Notes) -> Self {
        let mut texts = Self::default();
        let mut foreign: Vec<String> = Vec::new();
        for (kind, data) in chunks {
            let (keyword, text) = text_chunk(kind, data);
            let Some(ours) = keyword.strip_prefix(PREFIX) else {
                foreign.push(quoted(&keyword));
                continue;
            };
            let slot = match ours {
                VERSION => &mut texts.version,
                KEYS => &mut texts.keys,
                NAMES => &mut texts.names,
                GAUGE_STITCHES => &mut texts.stitches,
                GAUGE_ROWS => &mut texts.rows,
                GAUGE_ESTIMATED => &mut texts.estimated,
                _ => {
                    notes.add(format!("the text {} is not known and was ignored", quoted(&keyword)));
                    continue;
                }
            };
            match text {
                Some(_) if slot.is_some() => {
                    notes.add(format!("the text {} stands twice, the first was taken", quoted(&keyword)));
                }
                Some(text) => *slot = Some(text),
                None => notes
                    .add(format!("the text {} is damaged or compressed and was ignored", quoted(&keyword))),
            }
        }
        if !foreign.is_empty() {
            let more = if foreign.len() > 5 { ", …" } else { "" };
            foreign.truncate(5);
            notes.add(format!("texts of other programs were ignored: {}{more}", foreign.join(", ")));
        }
        match texts.version.as_deref() {
            Some("1") => texts,
            None if texts.is_empty() => texts,
            None => {
                notes.add("the file does not say the version of its texts: they were ignored");
                Self::default()
            }
            Some(version) => {
                let version = quoted(version);
                notes.add(format!("the texts are of version {version}, only 1 is known: they were ignored"));
                Self::default()
            }
        }
    }

    fn is_empty(&self) -> bool {
        [&self.keys, &self.names, &self.stitches, &self.rows, &self.estimated]
            .iter()
            .all(|text| text.is_none())
    }

    /// Key and name of each of so many yarns.
    fn yarns(&self, entries: usize, notes: &mut Notes) -> Option<Vec<(String, String)>> {
        let Some(keys) = &self.keys else {
            if self.names.is_some() {
                notes.add("the names of the yarns were ignored: the file does not give their keys");
            }
            return None;
        };
        let mut keys = match strings(keys, entries) {
            Ok(keys) => keys,
            Err(why) => {
                notes.add(format!("the keys of the yarns were ignored: {why}"));
                return None;
            }
        };
        // A key of the form #rrggbb is told apart by its value, as everywhere.
        for key in keys.iter_mut().filter(|key| key.starts_with('#')) {
            key.make_ascii_lowercase();
        }
        for (at, key) in keys.iter().enumerate() {
            let twice = keys[..at].contains(key);
            if twice || !is_chart_key(key) {
                let why = if twice { "stands twice" } else { "is no key" };
                notes.add(format!("the keys of the yarns were ignored: {} {why}", quoted(key)));
                return None;
            }
        }
        let names = self.names.as_ref().map(|names| strings(names, entries));
        let names = match names {
            Some(Ok(names)) if names.iter().all(|name| is_name(name)) => names,
            Some(Ok(_)) => {
                notes.add("the names of the yarns were ignored: one is too long or holds control characters");
                keys.clone()
            }
            Some(Err(why)) => {
                notes.add(format!("the names of the yarns were ignored: {why}"));
                keys.clone()
            }
            None => keys.clone(),
        };
        Some(keys.into_iter().zip(names).collect())
    }

    fn gauge(&self, notes: &mut Notes) -> Option<Gauge> {
        let (stitches, rows, estimated) = match (&self.stitches, &self.rows, &self.estimated) {
            (None, None, None) => return None,
            (Some(stitches), Some(rows), Some(estimated)) => (stitches, rows, estimated),
            _ => {
                notes.add("the gauge was ignored: only a part of it is there");
                return None;
            }
        };
        let number = |text: &String| text.parse::<f64>().ok();
        let gauge = match (number(stitches), number(rows), estimated.as_str()) {
            (Some(stitches), Some(rows), "no") => Gauge::new(stitches, rows).ok(),
            (Some(stitches), Some(rows), "yes") => {
                let gauge =
                    Gauge::from_stitches(stitches).ok().filter(|_| Gauge::new(stitches, rows).is_ok());
                #[allow(clippy::float_cmp)] // the same sum gives the same float
                if gauge.is_some_and(|gauge| gauge.rows() != rows) {
                    notes.add("the rows of the gauge are an estimate and were estimated anew");
                }
                gauge
            }
            _ => None,
        };
        if gauge.is_none() {
            notes.add("the gauge was ignored: it is damaged or out of bounds");
        }
        gauge
    }
}

fn is_name(name: &str) -> bool {
    name.chars().count() <= MAX_NAME && !name.chars().any(char::is_control)
}

/// A JSON list of so many texts.
fn strings(text: &str, entries: usize) -> Result<Vec<String>, String> {
    let Ok(Json::List(list)) = json_text::parse(text, MAX_YARNS + 2) else {
        return Err("they are no JSON list of texts".to_owned());
    };
    if list.len() != entries {
        return Err(format!("there are {}, the palette has {entries} entries", list.len()));
    }
    let texts = list.into_iter().map(|item| match item {
        Json::Text(text) => Ok(text.into_owned()),
        other => Err(format!("one of them is {}", other.kind())),
    });
    texts.collect()
}

/// Keyword and text of a text chunk; the text of a damaged or compressed one is `None`. Latin-1 is
/// taken too: programs that save the picture again may turn one kind of text into the other.
fn text_chunk(kind: &[u8], data: &[u8]) -> (String, Option<String>) {
    let latin = |bytes: &[u8]| bytes.iter().map(|&byte| char::from(byte)).collect::<String>();
    let (keyword, rest) = cut(data).unwrap_or((data, &[]));
    let text = match kind {
        b"tEXt" => Some(latin(rest)),
        b"iTXt" => match rest {
            // Not compressed; then the language and the translated keyword, which say nothing here.
            [0, _, rest @ ..] => cut(rest)
                .and_then(|(_, rest)| cut(rest))
                .and_then(|(_, text)| String::from_utf8(text.to_vec()).ok()),
            _ => None,
        },
        _ => None,
    };
    (latin(keyword), text)
}

/// What stands before and after the first zero byte.
fn cut(bytes: &[u8]) -> Option<(&[u8], &[u8])> {
    let at = bytes.iter().position(|&byte| byte == 0)?;
    Some((&bytes[..at], &bytes[at + 1..]))
}

/// Puts the yarns of a list into a chart's palette: by key where the chart had keys of its own
/// (`named`), else by exact colour, where exactly one yarn of the list and exactly one entry of the
/// palette have it. All other entries stay as they are, with a note; the cells never change.
#[must_use]
pub fn name_yarns(chart: Chart, named: bool, list: &[Yarn]) -> Noted<Chart> {
    let mut notes = Notes::default();
    let entries = chart.palette().yarns();
    let mut matched: Vec<Option<&Yarn>> = Vec::with_capacity(entries.len());
    for (at, entry) in entries.iter().enumerate() {
        let found = if named {
            let found = list.iter().find(|yarn| yarn.key == entry.key);
            match found {
                None => {
                    notes.add(format!("the list has no yarn {}, it is kept as the chart has it", entry.key))
                }
                Some(yarn) if yarn.colour != entry.colour => notes.add(format!(
                    "yarn {} is {} in the chart and {} in the list: the list's colour is taken",
                    entry.key, entry.colour, yarn.colour
                )),
                Some(_) => {}
            }
            found
        } else {
            let twins = entries.iter().filter(|other| other.colour == entry.colour).count();
            let mut of_colour = list.iter().filter(|yarn| yarn.colour == entry.colour);
            let why = match (of_colour.next(), of_colour.count(), twins) {
                (None, ..) => "no yarn of the list has this colour",
                (Some(_), 0, 2..) => "several entries have this colour",
                (Some(_), 1.., _) => "several yarns of the list have this colour",
                (Some(yarn), 0, _) => {
                    matched.push(Some(yarn));
                    continue;
                }
            };
            notes.add(format!("palette entry {at} ({}) was not matched with a yarn: {why}", entry.colour));
            None
        };
        matched.push(found);
    }

    let mut yarns: Vec<Yarn> =
        entries.iter().zip(&matched).map(|(entry, found)| found.unwrap_or(entry).clone()).collect();
    // The key of an entry that was not matched may be that of a yarn that now has come in.
    for at in (0..yarns.len()).filter(|&at| matched[at].is_none()) {
        let taken = |key: &str| yarns.iter().enumerate().any(|(other, yarn)| other != at && yarn.key == key);
        if taken(&yarns[at].key) {
            let key = (0..).map(|n| format!("entry-{}", at + n)).find(|key| !taken(key));
            let key = key.expect("a palette is finite");
            notes.add(format!(
                "palette entry {at} has the key {key}: a yarn of the list is called {}",
                yarns[at].key
            ));
            yarns[at].key = key;
        }
    }
    let cells: Vec<u8> =
        chart.row_indices().flat_map(|row| chart.row(row)).map(|cell| cell.as_u8()).collect();
    let palette = Palette::new(yarns).ok();
    let renamed = palette.and_then(|palette| Chart::new(palette, chart.rows(), chart.columns(), &cells).ok());
    if renamed.is_none() {
        notes.add("the list has yarns without a key or with the same key, so the chart is kept as it is");
    }
    notes.with(renamed.unwrap_or(chart))
}
