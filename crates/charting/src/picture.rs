//! Reading pictures: bytes to upright, opaque eight-bit sRGB.

use core::fmt;
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};

use image::codecs::png::PngDecoder;
use image::codecs::webp::WebPDecoder;
use image::metadata::Orientation;
use image::{ColorType, DynamicImage, ImageDecoder, RgbImage};
use model::Srgb;

use crate::{Kind, Noted, jpeg};

/// A picture of opaque sRGB pixels, at least one by one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    width: usize,
    height: usize,
    /// Row by row from the top, three bytes a pixel.
    pixels: Vec<u8>,
}

impl Picture {
    /// A picture of `width` pixels a row; `pixels` row by row from the top, red, green and blue a
    /// byte each. `None` where the bytes do not fill it or it has no pixel.
    #[must_use]
    pub fn new(width: usize, height: usize, pixels: Vec<u8>) -> Option<Self> {
        let bytes = width.checked_mul(height)?.checked_mul(3)?;
        (bytes > 0 && bytes == pixels.len()).then_some(Self { width, height, pixels })
    }

    /// Pixels in a row.
    #[must_use]
    pub const fn width(&self) -> usize {
        self.width
    }

    /// Rows of pixels.
    #[must_use]
    pub const fn height(&self) -> usize {
        self.height
    }

    /// One row from the top, three bytes a pixel.
    ///
    /// # Panics
    /// When there is no such row.
    #[must_use]
    pub fn row(&self, y: usize) -> &[u8] {
        &self.pixels[y * self.width * 3..][..self.width * 3]
    }

    /// One pixel, counted from the top left.
    ///
    /// # Panics
    /// When there is no such pixel.
    #[must_use]
    pub fn pixel(&self, x: usize, y: usize) -> Srgb {
        let at = &self.row(y)[x * 3..][..3];
        Srgb::new(at[0], at[1], at[2])
    }
}

/// How a picture is read and how much it may ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Most pixels either way.
    pub side: usize,
    /// Most pixels in all.
    pub pixels: u64,
    /// Most bytes of decoded picture.
    pub bytes: u64,
    /// What shows where a picture is transparent.
    pub background: Srgb,
}

impl Default for Limits {
    /// 40,000 pixels either way, 100 million in all, 800 MB, white behind transparency (chosen for
    /// this project: twice the largest telephone pictures, and eight bytes a pixel at the worst).
    fn default() -> Self {
        Self { side: 40_000, pixels: 100_000_000, bytes: 800_000_000, background: Srgb::new(255, 255, 255) }
    }
}

/// Why bytes are no picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PictureError {
    /// No bytes at all.
    Empty,
    /// Nothing known; text where [`Kind::Text`].
    NotAPicture(Option<Kind>),
    /// A kind of picture, or of document, that is not read here.
    OtherKind(Kind),
    /// The header names a size beyond the limits.
    TooLarge {
        /// Pixels in a row.
        width: u64,
        /// Rows.
        height: u64,
        /// The limits.
        limits: Limits,
    },
    /// The file ends before the picture does.
    Truncated(Kind),
    /// A rare variant of a kind that is read.
    Variant {
        /// The kind.
        kind: Kind,
        /// The decoder's words.
        detail: String,
    },
    /// The bytes contradict their own format.
    Damaged {
        /// The kind.
        kind: Kind,
        /// The decoder's words.
        detail: String,
    },
}

impl fmt::Display for PictureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => f.write_str("the file is empty"),
            Self::NotAPicture(Some(kind)) => write!(f, "this is {kind}, not a picture"),
            Self::NotAPicture(None) => f.write_str("this is not a picture, or not of a known kind"),
            Self::OtherKind(kind) => write!(f, "this is {kind}, which is not read here"),
            Self::TooLarge { width, height, limits } => write!(
                f,
                "a picture of {width} by {height} pixels is too large, the most is {} either way and {} million \
                 pixels ({} MB) in all",
                limits.side,
                limits.pixels / 1_000_000,
                limits.bytes / 1_000_000,
            ),
            Self::Truncated(kind) => write!(f, "this is {kind} that ends before the picture does"),
            Self::Variant { kind, detail } => {
                write!(f, "this is {kind} of a kind that is not read here ({detail})")
            }
            Self::Damaged { kind, detail } => write!(f, "this is {kind}, but it is damaged ({detail})"),
        }
    }
}

impl std::error::Error for PictureError {}

impl PictureError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Empty | Self::Truncated(_) => "copy or send the picture again from where it came from",
            Self::NotAPicture(_) => "choose a picture saved as PNG, JPEG or WebP",
            Self::OtherKind(Kind::Pdf | Kind::Svg) => "export it as PNG, then use that",
            Self::OtherKind(Kind::Video) => "save one picture of it as JPEG or PNG, then use that",
            Self::OtherKind(Kind::Zip) => "take the picture out of it, then use that",
            Self::OtherKind(_) => "save it as JPEG or PNG, then use that",
            Self::TooLarge { .. } => {
                "make the picture smaller first: a blanket needs a few hundred pixels a side"
            }
            Self::Variant { .. } => "open it in a picture viewer and save it as PNG, then use that",
            Self::Damaged { .. } => {
                "copy or send the picture again; if it opens in a picture viewer, save it as PNG there and use that"
            }
        }
    }
}

/// Reads a PNG, JPEG or WebP picture: turned upright as its EXIF data say, brought to eight bits,
/// with `limits.background` behind transparent places. Everything that changes what a person
/// sees is noted. Of an animation the first picture is taken (of an APNG the one that every PNG
/// reader shows).
///
/// The size in the header is checked before anything of that size is allocated.
///
/// # Errors
/// When the bytes are no picture of these kinds, are not whole, contradict themselves or ask for
/// more than `limits`.
pub fn read_picture(bytes: &[u8], limits: &Limits) -> Result<Noted<Picture>, PictureError> {
    if bytes.is_empty() {
        return Err(PictureError::Empty);
    }
    let kind = match Kind::of(bytes) {
        Some(kind @ (Kind::Png | Kind::Jpeg | Kind::WebP)) => kind,
        None | Some(Kind::Text) => return Err(PictureError::NotAPicture(Kind::of(bytes))),
        Some(kind) => return Err(PictureError::OtherKind(kind)),
    };
    // The decoders are others' code and meet hostile bytes: a panic inside them is a damaged file.
    let read = catch_unwind(AssertUnwindSafe(|| match kind {
        Kind::Png => read_png(bytes, limits),
        Kind::Jpeg => read_jpeg(bytes, limits),
        _ => read_webp(bytes, limits),
    }));
    read.unwrap_or_else(|_| Err(PictureError::Damaged { kind, detail: "it cannot be decoded".into() }))
}

impl Limits {
    fn check(&self, width: u64, height: u64, bytes_a_pixel: u64) -> Result<(), PictureError> {
        let pixels = width.saturating_mul(height);
        let side = self.side as u64;
        if width > side
            || height > side
            || pixels > self.pixels
            || pixels.saturating_mul(bytes_a_pixel) > self.bytes
        {
            return Err(PictureError::TooLarge { width, height, limits: *self });
        }
        Ok(())
    }
}

fn read_png(bytes: &[u8], limits: &Limits) -> Result<Noted<Picture>, PictureError> {
    let kind = Kind::Png;
    let side =
        |at: usize| bytes.get(at..at + 4).map(|b| u64::from(u32::from_be_bytes([b[0], b[1], b[2], b[3]])));
    let (Some(width), Some(height)) = (side(16), side(20)) else { return Err(PictureError::Truncated(kind)) };
    limits.check(width, height, 3)?;
    let mut allowed = image::Limits::no_limits();
    allowed.max_alloc = Some(limits.bytes);
    let decoder = PngDecoder::with_limits(Cursor::new(bytes), allowed).map_err(|e| refusal(kind, &e))?;
    let animated = decoder.is_apng().unwrap_or(false);
    read_with(kind, decoder, limits, animated)
}

fn read_webp(bytes: &[u8], limits: &Limits) -> Result<Noted<Picture>, PictureError> {
    let kind = Kind::WebP;
    // The container says how long it is.
    let claimed =
        bytes.get(4..8).map_or(u64::MAX, |b| u64::from(u32::from_le_bytes([b[0], b[1], b[2], b[3]])));
    if claimed.saturating_add(8) > bytes.len() as u64 {
        return Err(PictureError::Truncated(kind));
    }
    let decoder = WebPDecoder::new(Cursor::new(bytes)).map_err(|e| refusal(kind, &e))?;
    let animated = decoder.has_animation();
    read_with(kind, decoder, limits, animated)
}

/// What PNG and WebP have in common.
fn read_with<D: ImageDecoder>(
    kind: Kind,
    mut decoder: D,
    limits: &Limits,
    animated: bool,
) -> Result<Noted<Picture>, PictureError> {
    let (width, height) = decoder.dimensions();
    let colour = decoder.color_type();
    limits.check(width.into(), height.into(), colour.bytes_per_pixel().into())?;
    let mut notes = Vec::new();
    if animated {
        notes.push("the file is an animation: its first picture is taken".to_owned());
    }
    // Neither an unreadable profile nor unreadable EXIF data make a picture unreadable.
    note_profile(decoder.icc_profile().ok().flatten().as_deref(), &mut notes);
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let length = usize::try_from(decoder.total_bytes()).map_err(|_| PictureError::TooLarge {
        width: width.into(),
        height: height.into(),
        limits: *limits,
    })?;
    let mut raw = vec![0; length];
    decoder.read_image(&mut raw).map_err(|e| refusal(kind, &e))?;
    if matches!(colour, ColorType::L16 | ColorType::La16 | ColorType::Rgb16 | ColorType::Rgba16) {
        raw = to_eight_bits(&raw);
        notes.push("the picture has 16 bits a channel: they are brought to 8".to_owned());
    }
    let channels = usize::from(colour.channel_count());
    let (pixels, transparent) = flatten(raw, channels, limits.background);
    if transparent {
        notes.push(format!(
            "the picture is transparent in places: they are taken as {}",
            named(limits.background)
        ));
    }
    finish(kind, width, height, pixels, orientation, notes)
}

fn read_jpeg(bytes: &[u8], limits: &Limits) -> Result<Noted<Picture>, PictureError> {
    use zune_jpeg::errors::DecodeErrors;
    let kind = Kind::Jpeg;
    let refuse = |error: DecodeErrors| match error {
        DecodeErrors::Unsupported(detail) => PictureError::Variant { kind, detail: format!("{detail:?}") },
        DecodeErrors::ExhaustedData => PictureError::Truncated(kind),
        other => PictureError::Damaged { kind, detail: one_line(&format!("{other:?}")) },
    };
    let walk = jpeg::walk(bytes);
    let head = match jpeg::head(bytes) {
        Err(_) if walk == jpeg::Walk::Short => return Err(PictureError::Truncated(kind)),
        head => head.map_err(refuse)?,
    };
    limits.check(head.width as u64, head.height as u64, 3)?;
    let (end, progressive) = match walk {
        jpeg::Walk::Whole { end, progressive } => (end, progressive),
        jpeg::Walk::Short => return Err(PictureError::Truncated(kind)),
        jpeg::Walk::Broken => {
            return Err(PictureError::Damaged { kind, detail: "its markers are out of order".into() });
        }
    };
    let (pixels, damaged) = jpeg::decode(bytes, end, progressive, &head).map_err(refuse)?;
    let mut notes = Vec::new();
    if damaged {
        notes.push(
            "the JPEG file is damaged or cut short: part of the picture may be grey or wrong".to_owned(),
        );
    }
    if head.four_inks {
        notes.push(
            "the picture is made of printing inks (CMYK): its colours are converted roughly".to_owned(),
        );
    }
    note_profile(head.profile.as_deref().filter(|_| !head.four_inks), &mut notes);
    let orientation =
        head.exif.as_deref().and_then(Orientation::from_exif_chunk).unwrap_or(Orientation::NoTransforms);
    let side = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    finish(kind, side(head.width), side(head.height), pixels, orientation, notes)
}

/// Turns the picture upright.
fn finish(
    kind: Kind,
    width: u32,
    height: u32,
    pixels: Vec<u8>,
    orientation: Orientation,
    notes: Vec<String>,
) -> Result<Noted<Picture>, PictureError> {
    let nothing = || PictureError::Damaged { kind, detail: "it has no pixels".into() };
    let mut turned = DynamicImage::ImageRgb8(RgbImage::from_raw(width, height, pixels).ok_or_else(nothing)?);
    turned.apply_orientation(orientation);
    let (width, height) = (turned.width() as usize, turned.height() as usize);
    let value = Picture::new(width, height, turned.into_rgb8().into_raw()).ok_or_else(nothing)?;
    Ok(Noted { value, notes })
}

/// A decoder's refusal in our words.
fn refusal(kind: Kind, error: &image::ImageError) -> PictureError {
    use std::error::Error as _;
    let mut cause: Option<&(dyn std::error::Error + 'static)> = Some(error);
    while let Some(at) = cause {
        if at.downcast_ref::<std::io::Error>().is_some_and(|e| e.kind() == std::io::ErrorKind::UnexpectedEof)
        {
            return PictureError::Truncated(kind);
        }
        cause = at.source();
    }
    if let image::ImageError::IoError(e) = error
        && e.kind() == std::io::ErrorKind::UnexpectedEof
    {
        return PictureError::Truncated(kind);
    }
    let detail = one_line(&error.source().map_or_else(|| error.to_string(), ToString::to_string));
    match error {
        image::ImageError::Unsupported(_) => PictureError::Variant { kind, detail },
        _ => PictureError::Damaged { kind, detail },
    }
}

/// Others' words, kept short and on one line: they may quote the file.
fn one_line(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(120).collect()
}

/// 16-bit channels in the machine's byte order, rounded to eight bits.
fn to_eight_bits(raw: &[u8]) -> Vec<u8> {
    let eight = |pair: &[u8]| {
        let value = u32::from(u16::from_ne_bytes([pair[0], pair[1]]));
        u8::try_from((value + 128) / 257).unwrap_or(u8::MAX)
    };
    raw.chunks_exact(2).map(eight).collect()
}

/// Pixels of one to four channels to opaque RGB, mixed with the background in linear light.
/// `true`: something was transparent.
fn flatten(raw: Vec<u8>, channels: usize, background: Srgb) -> (Vec<u8>, bool) {
    if channels == 3 {
        return (raw, false);
    }
    let behind = [background.red, background.green, background.blue];
    let light = crate::scale::Light::new();
    let mut transparent = false;
    let mut pixels = Vec::with_capacity(raw.len() / channels * 3);
    for pixel in raw.chunks_exact(channels) {
        let rgb = if channels < 3 { [pixel[0]; 3] } else { [pixel[0], pixel[1], pixel[2]] };
        let alpha = if channels.is_multiple_of(2) { pixel[channels - 1] } else { 255 };
        if alpha == 255 {
            pixels.extend(rgb);
            continue;
        }
        transparent = true;
        let share = f64::from(alpha) / 255.0;
        pixels.extend(
            [0, 1, 2].map(|c| {
                light.encode(light.decode(rgb[c]) * share + light.decode(behind[c]) * (1.0 - share))
            }),
        );
    }
    (pixels, transparent)
}

fn named(colour: Srgb) -> String {
    if colour == Srgb::new(255, 255, 255) { "white".to_owned() } else { colour.to_string() }
}

/// Notes a colour profile that is not sRGB. Profiles name themselves in ASCII or in UTF-16.
fn note_profile(profile: Option<&[u8]>, notes: &mut Vec<String>) {
    let Some(profile) = profile else { return };
    let holds = |name: &[u8]| profile.windows(name.len()).any(|window| window == name);
    if !holds(b"sRGB") && !holds(b"s\0R\0G\0B") {
        notes.push(
            "the picture carries a colour profile that is not sRGB: its colours are read as sRGB and may differ a little"
                .to_owned(),
        );
    }
}
