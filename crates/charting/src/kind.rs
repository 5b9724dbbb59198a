//! What a file is, by its first bytes.

use core::fmt;

/// A kind of file, as its first bytes tell it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// PNG, read here.
    Png,
    /// JPEG, read here.
    Jpeg,
    /// WebP, read here.
    WebP,
    /// GIF.
    Gif,
    /// HEIC or HEIF, what many telephones write.
    Heic,
    /// AVIF.
    Avif,
    /// TIFF, or a camera's raw file, which looks the same.
    Tiff,
    /// Windows bitmap.
    Bmp,
    /// JPEG XL.
    JpegXl,
    /// JPEG 2000.
    Jpeg2000,
    /// A Photoshop document (the registered type `image/vnd.adobe.photoshop`).
    Psd,
    /// Windows icon.
    Icon,
    /// PDF.
    Pdf,
    /// SVG.
    Svg,
    /// A film.
    Video,
    /// A ZIP archive, or a document that is one inside.
    Zip,
    /// Text.
    Text,
}

impl Kind {
    /// What these bytes are; `None` where nothing known fits.
    ///
    /// Source: the signatures in the formats' own standards (from memory).
    #[must_use]
    pub fn of(bytes: &[u8]) -> Option<Self> {
        let starts = |magic: &[u8]| bytes.starts_with(magic);
        if starts(b"\x89PNG\r\n\x1a\n") {
            return Some(Self::Png);
        }
        if starts(b"\xff\xd8\xff") {
            return Some(Self::Jpeg);
        }
        if starts(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
            return Some(Self::WebP);
        }
        if bytes.get(4..8) == Some(b"ftyp") {
            return Some(match bytes.get(8..12) {
                Some(b"avif" | b"avis") => Self::Avif,
                Some(b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx" | b"mif1" | b"msf1") => {
                    Self::Heic
                }
                _ => Self::Video,
            });
        }
        let table: [(&[u8], Self); 14] = [
            (b"GIF87a", Self::Gif),
            (b"GIF89a", Self::Gif),
            (b"II*\0", Self::Tiff),
            (b"MM\0*", Self::Tiff),
            (b"%PDF-", Self::Pdf),
            (b"8BPS", Self::Psd),
            (b"\xff\x0a", Self::JpegXl),
            (b"\0\0\0\x0cJXL \r\n\x87\n", Self::JpegXl),
            (b"\0\0\0\x0cjP  \r\n\x87\n", Self::Jpeg2000),
            (b"\0\0\x01\0", Self::Icon),
            (b"PK\x03\x04", Self::Zip),
            (b"\x1a\x45\xdf\xa3", Self::Video),
            (b"<svg", Self::Svg),
            (b"BM", Self::Bmp),
        ];
        if let Some((magic, kind)) = table.into_iter().find(|(magic, _)| starts(magic)) {
            // Two letters alone would make a bitmap of many a text: the header's reserved zeros too.
            if magic != b"BM" || bytes.get(6..10) == Some(&[0; 4]) {
                return Some(kind);
            }
        }
        let head = &bytes[..bytes.len().min(512)];
        // A letter of several bytes may be cut at the end of the head.
        let text = match core::str::from_utf8(head) {
            Ok(text) => text,
            Err(error) if error.error_len().is_none() => {
                core::str::from_utf8(&head[..error.valid_up_to()]).ok()?
            }
            Err(_) => return None,
        };
        if text.is_empty() || text.chars().any(|c| c.is_control() && !c.is_whitespace()) {
            return None;
        }
        Some(if text.contains("<svg") { Self::Svg } else { Self::Text })
    }
}

impl fmt::Display for Kind {
    /// The name with its article: "a GIF file".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Png => "a PNG file",
            Self::Jpeg => "a JPEG file",
            Self::WebP => "a WebP file",
            Self::Gif => "a GIF file",
            Self::Heic => "a HEIC file",
            Self::Avif => "an AVIF file",
            Self::Tiff => "a TIFF or camera raw file",
            Self::Bmp => "a BMP file",
            Self::JpegXl => "a JPEG XL file",
            Self::Jpeg2000 => "a JPEG 2000 file",
            Self::Psd => "a layered PSD file",
            Self::Icon => "an icon file",
            Self::Pdf => "a PDF file",
            Self::Svg => "an SVG drawing",
            Self::Video => "a video",
            Self::Zip => "a ZIP archive or an office document",
            Self::Text => "a text file",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn known_files_are_named() {
        let table: [(&[u8], Option<Kind>); 20] = [
            (b"\x89PNG\r\n\x1a\n\0\0", Some(Kind::Png)),
            (b"\xff\xd8\xff\xe0", Some(Kind::Jpeg)),
            (b"RIFF\x10\0\0\0WEBPVP8 ", Some(Kind::WebP)),
            (b"RIFF\x10\0\0\0WAVEfmt ", None),
            (b"GIF89a\x01\0", Some(Kind::Gif)),
            (b"\0\0\0\x18ftypheic\0\0", Some(Kind::Heic)),
            (b"\0\0\0\x18ftypmif1\0\0", Some(Kind::Heic)),
            (b"\0\0\0\x18ftypavif\0\0", Some(Kind::Avif)),
            (b"\0\0\0\x18ftypisom\0\0", Some(Kind::Video)),
            (b"II*\0\x08\0", Some(Kind::Tiff)),
            (b"%PDF-1.7", Some(Kind::Pdf)),
            (b"BM\x36\x10\0\0\0\0\0\0", Some(Kind::Bmp)),
            (b"BMX riders", Some(Kind::Text)),
            (b"<?xml version=\"1.0\"?><svg/>", Some(Kind::Svg)),
            (b"PK\x03\x04", Some(Kind::Zip)),
            (b"\xff\x0a\x01", Some(Kind::JpegXl)),
            ("häkeln".as_bytes(), Some(Kind::Text)),
            ("hä".as_bytes().split_at(2).0, Some(Kind::Text)),
            (b"\x00\x01\x02\x03", None),
            (b"\xc3", None),
        ];
        for (bytes, kind) in table {
            assert_eq!(Kind::of(bytes), kind, "{bytes:?}");
        }
        assert_eq!(Kind::of(b""), None);
    }
}
