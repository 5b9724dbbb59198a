//! JPEG: finds out whether a file is whole, then has it decoded.
//!
//! A decoder paints what is missing grey. So the file is walked marker by marker first: it must
//! reach its end marker, and a progressive one must hold every scan down to the last bit. A
//! baseline file is then decoded strictly *without* its end marker, behind which a decoder would
//! make up zeros: running out of data early becomes an error in this way.

use zune_jpeg::JpegDecoder;
use zune_jpeg::errors::DecodeErrors;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

/// What the walk over the markers found.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Walk {
    /// The end marker stands at this offset; whether the file is progressive.
    Whole { end: usize, progressive: bool },
    /// The bytes end, or the scans do, before the picture does.
    Short,
    /// The markers make no sense.
    Broken,
}

/// Walks a JPEG file's markers.
///
/// Source: ITU-T T.81, annex B (markers) and G (progressive scans), from memory.
pub(crate) fn walk(bytes: &[u8]) -> Walk {
    let byte = |at: usize| bytes.get(at).copied();
    let mut at = 2; // behind the start marker
    let mut progressive = false;
    // For each component its identifier and, bit by bit, which coefficients have arrived whole.
    let mut components: Vec<(u8, u64)> = Vec::new();
    loop {
        let (Some(lead), Some(mut marker)) = (byte(at), byte(at + 1)) else { return Walk::Short };
        if lead != 0xff {
            return Walk::Broken;
        }
        at += 2;
        while marker == 0xff {
            let Some(next) = byte(at) else { return Walk::Short };
            marker = next;
            at += 1;
        }
        match marker {
            0xd9 => {
                let whole =
                    !components.is_empty() && components.iter().all(|(_, arrived)| *arrived == u64::MAX);
                return if whole || (!progressive && !components.is_empty()) {
                    Walk::Whole { end: at - 2, progressive }
                } else {
                    Walk::Short
                };
            }
            0x01 | 0xd0..=0xd7 => continue,
            _ => {}
        }
        let (Some(high), Some(low)) = (byte(at), byte(at + 1)) else { return Walk::Short };
        let length = usize::from(high) << 8 | usize::from(low);
        if length < 2 {
            return Walk::Broken;
        }
        let Some(body) = bytes.get(at + 2..at + length) else { return Walk::Short };
        at += length;
        match marker {
            0xc0..=0xc3 | 0xc5..=0xc7 | 0xc9..=0xcb | 0xcd..=0xcf => {
                progressive = matches!(marker, 0xc2 | 0xc6 | 0xca | 0xce);
                components = body.get(6..).unwrap_or(&[]).chunks_exact(3).map(|c| (c[0], 0)).collect();
            }
            0xda => {
                arrive(body, &mut components);
                // The scan's own bytes: up to a marker that is neither a stuffed byte nor a restart.
                loop {
                    let Some(skip) = bytes.get(at..).and_then(|rest| rest.iter().position(|&b| b == 0xff))
                    else {
                        return Walk::Short;
                    };
                    at += skip;
                    match byte(at + 1) {
                        Some(0x00 | 0xd0..=0xd7) => at += 2,
                        Some(0xff) => at += 1,
                        Some(_) => break,
                        None => return Walk::Short,
                    }
                }
            }
            _ => {}
        }
    }
}

/// Notes which coefficients a scan brings down to their last bit.
fn arrive(scan: &[u8], components: &mut [(u8, u64)]) {
    let count = usize::from(scan.first().copied().unwrap_or(0));
    let Some(&[start, end, bits]) = scan.get(1 + 2 * count..4 + 2 * count) else { return };
    if bits & 0x0f != 0 || start > end || end > 63 {
        return;
    }
    let band = (u64::MAX >> (63 - end)) & (u64::MAX << start);
    for selector in scan[1..=2 * count].chunks_exact(2) {
        for (_, arrived) in components.iter_mut().filter(|(id, _)| *id == selector[0]) {
            *arrived |= band;
        }
    }
}

/// The head of a JPEG file.
pub(crate) struct Head {
    pub(crate) width: usize,
    pub(crate) height: usize,
    pub(crate) four_inks: bool,
    pub(crate) exif: Option<Vec<u8>>,
    pub(crate) profile: Option<Vec<u8>>,
}

fn decoder(bytes: &[u8], strict: bool) -> JpegDecoder<ZCursor<&[u8]>> {
    let options = DecoderOptions::default()
        .set_strict_mode(strict)
        .set_max_width(usize::MAX)
        .set_max_height(usize::MAX)
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    JpegDecoder::new_with_options(ZCursor::new(bytes), options)
}

/// Reads the head alone; allocates nothing of the picture's size.
pub(crate) fn head(bytes: &[u8]) -> Result<Head, DecodeErrors> {
    let mut decoder = decoder(bytes, false);
    decoder.decode_headers()?;
    let (width, height) =
        decoder.dimensions().ok_or(DecodeErrors::FormatStatic("the size of the picture is missing"))?;
    Ok(Head {
        width,
        height,
        four_inks: matches!(decoder.input_colorspace(), Some(ColorSpace::CMYK | ColorSpace::YCCK)),
        exif: decoder.exif().cloned(),
        profile: decoder.icc_profile(),
    })
}

/// Decodes to eight-bit RGB. `true` beside it: something was wrong on the way, and part of the
/// picture may be damaged.
pub(crate) fn decode(
    bytes: &[u8],
    end: usize,
    progressive: bool,
    head: &Head,
) -> Result<(Vec<u8>, bool), DecodeErrors> {
    let mut pixels = vec![0; head.width * head.height * 3];
    let strict = if progressive { bytes } else { &bytes[..end] };
    if decoder(strict, true).decode_into(&mut pixels).is_ok() {
        return Ok((pixels, false));
    }
    decoder(bytes, false).decode_into(&mut pixels)?;
    Ok((pixels, true))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The head of a grey picture of eight by eight pixels.
    fn file(frame: u8, scans: &[[u8; 3]]) -> Vec<u8> {
        let mut bytes = vec![0xff, 0xd8, 0xff, frame, 0, 11, 8, 0, 8, 0, 8, 1, 7, 0x11, 0];
        for [start, end, bits] in scans {
            bytes
                .extend([0xff, 0xda, 0, 8, 1, 7, 0, *start, *end, *bits, 0x55, 0xff, 0x00, 0xff, 0xd0, 0x55]);
        }
        bytes.extend([0xff, 0xd9]);
        bytes
    }

    #[test]
    fn a_whole_file_is_whole_and_a_cut_one_is_not() {
        let bytes = file(0xc0, &[[0, 63, 0]]);
        assert_eq!(walk(&bytes), Walk::Whole { end: bytes.len() - 2, progressive: false });
        for cut in 2..bytes.len() {
            assert_eq!(walk(&bytes[..cut]), Walk::Short, "{cut}");
        }
        let more = [bytes.as_slice(), b"and a second picture"].concat();
        assert!(matches!(walk(&more), Walk::Whole { .. }));
        assert_eq!(walk(&[0xff, 0xd8, 0x12, 0x34]), Walk::Broken);
        assert_eq!(walk(&[0xff, 0xd8, 0xff, 0xd9]), Walk::Short);
    }

    #[test]
    fn a_progressive_file_needs_all_its_scans() {
        let whole = [[0, 0, 1], [1, 63, 2], [1, 63, 0x21], [0, 0, 0x10], [1, 63, 0x10]];
        assert!(matches!(walk(&file(0xc2, &whole)), Walk::Whole { progressive: true, .. }));
        for scans in 0..whole.len() {
            assert_eq!(walk(&file(0xc2, &whole[..scans])), Walk::Short, "{scans}");
        }
    }
}
