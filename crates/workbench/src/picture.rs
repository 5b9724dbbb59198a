//! A blanket's picture: read, turned, made smaller, shown.

use charting::{Limits, Noted, Picture};
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, RgbImage, imageops};

use crate::{Failure, Turn};

/// The most bytes of a picture's file.
pub const MAX_PICTURE_BYTES: usize = 64 << 20;

/// Of what it decodes to: 60 million pixels, more than telephones make, and 400 MB at the worst.
fn limits() -> Limits {
    Limits { pixels: 60_000_000, bytes: 400_000_000, ..Limits::default() }
}

/// How good the picture for the screen is, of 100.
const QUALITY: u8 = 88;

/// Reads a picture, upright.
pub(crate) fn read(bytes: &[u8]) -> Result<Noted<Picture>, Failure> {
    if bytes.len() > MAX_PICTURE_BYTES {
        let what = format!("the file has {} MB, the most is {}", bytes.len() >> 20, MAX_PICTURE_BYTES >> 20);
        return Err(Failure::bad(what, "the picture", "make the picture smaller first"));
    }
    Ok(charting::read_picture(bytes, &limits())?)
}

fn to_image(picture: &Picture) -> Option<RgbImage> {
    let (width, height) = (u32::try_from(picture.width()).ok()?, u32::try_from(picture.height()).ok()?);
    let mut pixels = Vec::with_capacity(picture.width() * picture.height() * 3);
    (0..picture.height()).for_each(|y| pixels.extend_from_slice(picture.row(y)));
    RgbImage::from_raw(width, height, pixels)
}

fn from_image(image: RgbImage) -> Option<Picture> {
    Picture::new(image.width() as usize, image.height() as usize, image.into_raw())
}

/// Turns a picture clockwise.
pub(crate) fn turned(picture: Picture, turn: Turn) -> Result<Picture, Failure> {
    let with = |turned: fn(&RgbImage) -> RgbImage| {
        let image = to_image(&picture).map(|image| turned(&image));
        image.and_then(from_image).ok_or_else(|| Failure::defect("a picture can't be turned"))
    };
    match turn {
        Turn::None => Ok(picture),
        Turn::Quarter => with(imageops::rotate90),
        Turn::Half => with(imageops::rotate180),
        Turn::ThreeQuarters => with(imageops::rotate270),
    }
}

/// The picture as a JPEG of at most so many pixels either way. It is drawn anew from the pixels, so
/// nothing that came with the file (place, time, camera) goes out with it.
pub(crate) fn shown(picture: &Picture, most: u32) -> Result<Vec<u8>, Failure> {
    let defect = || Failure::defect("a picture can't be encoded");
    let mut image = to_image(picture).ok_or_else(defect)?;
    let longest = image.width().max(image.height());
    if longest > most {
        let scaled = |side: u32| {
            let side = u64::from(side) * u64::from(most) / u64::from(longest);
            u32::try_from(side).unwrap_or(most).max(1)
        };
        image = imageops::thumbnail(&image, scaled(image.width()), scaled(image.height()));
    }
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, QUALITY)
        .encode(image.as_raw(), image.width(), image.height(), ExtendedColorType::Rgb8)
        .map_err(|_| defect())?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two wide, one high: red, green.
    fn picture() -> Picture {
        Picture::new(2, 1, vec![250, 0, 0, 0, 250, 0]).unwrap()
    }

    /// Clockwise: the left end of a row comes to the top.
    #[test]
    fn turns_are_clockwise() {
        let reds = |turn| {
            let got = turned(picture(), turn).unwrap();
            (got.width(), got.height(), got.pixel(0, 0).red == 250)
        };
        assert_eq!(reds(Turn::None), (2, 1, true));
        assert_eq!(reds(Turn::Quarter), (1, 2, true));
        assert_eq!(reds(Turn::Half), (2, 1, false));
        assert_eq!(reds(Turn::ThreeQuarters), (1, 2, false));
    }

    #[test]
    fn what_is_shown_is_small_enough_and_a_jpeg() {
        let wide = Picture::new(300, 100, vec![120; 300 * 100 * 3]).unwrap();
        let bytes = shown(&wide, 60).unwrap();
        let got = read(&bytes).unwrap().value;
        assert_eq!((got.width(), got.height()), (60, 20));
        assert!(got.pixel(30, 10).red.abs_diff(120) < 3);
    }

    #[test]
    fn a_huge_file_is_refused_before_it_is_read() {
        assert!(read(&vec![0; MAX_PICTURE_BYTES + 1]).unwrap_err().what.contains("MB"));
    }
}
