//! What a chart is drawn with, and a sheet of pixels to draw it on.

use ab_glyph::{Font, FontRef, PxScale, ScaleFont, point};
use image::{ExtendedColorType, ImageEncoder, codecs::png};
use model::Srgb;

/// The faces that are drawn with: Noto Sans, SIL Open Font License 1.1 (`fonts/OFL.txt`).
/// The face that charts and pages are set in, a TrueType font; its licence lies beside it.
pub const REGULAR: &[u8] = include_bytes!("../fonts/NotoSans-Regular.ttf");
pub(crate) const BOLD: &[u8] = include_bytes!("../fonts/NotoSans-Bold.ttf");

/// Ascent and line height of the faces over their em (1069 and 1069 + 293 of 1000 units; SEEN in the
/// font's own tables).
pub(crate) const ASCENT: f32 = 1.069;
pub(crate) const LINE: f32 = 1.362;

/// How a line of text stands to its point.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Align {
    Left,
    Centre,
    Right,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Face {
    Regular,
    Bold,
}

/// A rectangle in pixels: left, top, width, height.
#[derive(Clone, Copy)]
pub(crate) struct Area(pub(crate) u32, pub(crate) u32, pub(crate) u32, pub(crate) u32);

/// Draws rectangles and text; places and sizes are in pixels.
pub(crate) trait Pen {
    fn fill(&mut self, area: Area, colour: Srgb);

    /// Writes a line of text whose capital letters stand centred on `y`. The size is that of the line.
    fn write(&mut self, text: &str, at: (f32, f32), align: Align, size: f32, face: Face, ink: Srgb);

    /// A solid arrowhead in a square, pointing left or right.
    fn arrowhead(&mut self, area: Area, rightwards: bool, ink: Srgb);

    /// Width of a line of text.
    fn measure(&self, text: &str, size: f32, face: Face) -> f32;
}

/// The two faces, ready to be measured and drawn.
pub(crate) struct Faces {
    regular: FontRef<'static>,
    bold: FontRef<'static>,
}

impl Faces {
    pub(crate) fn new() -> Self {
        let face = |bytes| FontRef::try_from_slice(bytes).expect("the font in the program is a font");
        Self { regular: face(REGULAR), bold: face(BOLD) }
    }

    fn face(&self, face: Face) -> &FontRef<'static> {
        match face {
            Face::Regular => &self.regular,
            Face::Bold => &self.bold,
        }
    }

    pub(crate) fn measure(&self, text: &str, size: f32, face: Face) -> f32 {
        let font = self.face(face).as_scaled(PxScale::from(size));
        let mut width = 0.0;
        let mut last = None;
        for letter in text.chars() {
            let glyph = font.glyph_id(letter);
            if let Some(last) = last {
                width += font.kern(last, glyph);
            }
            width += font.h_advance(glyph);
            last = Some(glyph);
        }
        width
    }
}

/// A sheet of opaque pixels.
pub(crate) struct Canvas {
    width: u32,
    height: u32,
    pixels: Vec<u8>,
    faces: Faces,
}

impl Canvas {
    pub(crate) fn new(width: u32, height: u32, paper: Srgb) -> Self {
        Self {
            width,
            height,
            pixels: [paper.red, paper.green, paper.blue].repeat(width as usize * height as usize),
            faces: Faces::new(),
        }
    }

    fn blend(&mut self, x: i64, y: i64, ink: Srgb, cover: f32) {
        let (Ok(x), Ok(y)) = (u32::try_from(x), u32::try_from(y)) else { return };
        if x >= self.width || y >= self.height {
            return;
        }
        let start = (y as usize * self.width as usize + x as usize) * 3;
        for (pixel, ink) in self.pixels[start..start + 3].iter_mut().zip([ink.red, ink.green, ink.blue]) {
            let mixed = f32::from(*pixel) + (f32::from(ink) - f32::from(*pixel)) * cover.clamp(0.0, 1.0);
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 255
            {
                *pixel = mixed.round() as u8;
            }
        }
    }

    /// The sheet as a PNG.
    pub(crate) fn png(&self) -> Result<Vec<u8>, image::ImageError> {
        let mut bytes = Vec::new();
        // Unfiltered: the same symbol on the same colour comes again byte for byte, which packs best.
        png::PngEncoder::new_with_quality(
            &mut bytes,
            png::CompressionType::Default,
            png::FilterType::NoFilter,
        )
        .write_image(&self.pixels, self.width, self.height, ExtendedColorType::Rgb8)?;
        Ok(bytes)
    }
}

impl Pen for Canvas {
    fn fill(&mut self, Area(left, top, width, height): Area, colour: Srgb) {
        let right = (left + width).min(self.width);
        let left = left.min(right);
        for y in top..(top + height).min(self.height) {
            let start = (y as usize * self.width as usize + left as usize) * 3;
            for pixel in self.pixels[start..start + (right - left) as usize * 3].chunks_exact_mut(3) {
                pixel.copy_from_slice(&[colour.red, colour.green, colour.blue]);
            }
        }
    }

    fn write(&mut self, text: &str, (x, y): (f32, f32), align: Align, size: f32, face: Face, ink: Srgb) {
        let left = match align {
            Align::Left => x,
            Align::Centre => x - self.measure(text, size, face) / 2.0,
            Align::Right => x - self.measure(text, size, face),
        };
        let font = self.faces.face(face).clone();
        let scaled = font.as_scaled(PxScale::from(size));
        // A capital is about seven tenths of the ascent high.
        let baseline = y + scaled.ascent() * 0.335;
        let mut at = left;
        let mut last = None;
        for letter in text.chars() {
            let id = scaled.glyph_id(letter);
            if let Some(last) = last {
                at += scaled.kern(last, id);
            }
            let glyph = id.with_scale_and_position(PxScale::from(size), point(at, baseline));
            if let Some(outline) = font.outline_glyph(glyph) {
                let bounds = outline.px_bounds();
                #[allow(clippy::cast_possible_truncation)] // inside the sheet
                let (left, top) = (bounds.min.x as i64, bounds.min.y as i64);
                outline
                    .draw(|dx, dy, cover| self.blend(left + i64::from(dx), top + i64::from(dy), ink, cover));
            }
            at += scaled.h_advance(id);
            last = Some(id);
        }
    }

    fn arrowhead(&mut self, Area(left, top, width, height): Area, rightwards: bool, ink: Srgb) {
        for step in 0..width {
            // The column that many steps from the point spans as much of the height.
            let span = height * (step + 1) / width;
            let x = if rightwards { left + width - 1 - step } else { left + step };
            self.fill(Area(x, top + (height - span) / 2, 1, span), ink);
        }
    }

    fn measure(&self, text: &str, size: f32, face: Face) -> f32 {
        self.faces.measure(text, size, face)
    }
}
