//! Pictures for the page, and files to keep.

use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use workbench::{File, Handed};

use super::Ask;
use crate::failure::Failure;

/// Pixels of the longer side of a picture, where none are asked for.
const USUAL_SIDE: u32 = 1200;

/// The most pixels of a side that are handed out.
const MAX_SIDE: u32 = 4096;

pub(super) async fn thumbnail(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    Ok(shown(ask.work(move |bench| bench.thumbnail(id)).await?))
}

pub(super) async fn picture(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let max = side(&ask)?;
    Ok(shown(ask.work(move |bench| bench.picture(id, max)).await?))
}

/// Pixels of the longer side that are asked for.
pub(super) fn side(ask: &Ask) -> Result<u32, Failure> {
    match ask.query("max") {
        None => Ok(USUAL_SIDE),
        Some(max) => max.parse().ok().filter(|max| (1..=MAX_SIDE).contains(max)).ok_or_else(|| {
            Failure::bad(format!("{max:?} is no size"), "max", format!("give pixels from 1 to {MAX_SIDE}"))
        }),
    }
}

pub(super) async fn file(ask: Ask) -> Result<Response, Failure> {
    let id = ask.place.blanket()?;
    let file = File::named(ask.place.text("file")).ok_or_else(|| {
        let names: Vec<&str> = File::ALL.iter().map(|file| file.name()).collect();
        let hint = format!("there are {}", names.join(", "));
        Failure::new(StatusCode::NOT_FOUND, "a blanket has no such file", "the file's name", hint)
    })?;
    Ok(to_keep(ask.work(move |bench| bench.file(id, file)).await?))
}

/// For the page to show.
pub(super) fn shown(handed: Handed) -> Response {
    ([(CONTENT_TYPE, handed.media_type)], handed.bytes).into_response()
}

/// For the person to keep, under its name.
pub(super) fn to_keep(handed: Handed) -> Response {
    let kind = (CONTENT_TYPE, handed.media_type.to_owned());
    ([kind, (CONTENT_DISPOSITION, disposition(&handed.name))], handed.bytes).into_response()
}

/// `Content-Disposition` after RFC 6266: the name in ASCII for the oldest programs, then in full.
fn disposition(name: &str) -> String {
    let is_plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
    let plain: String =
        name.chars().map(|c| if u8::try_from(c).is_ok_and(is_plain) { c } else { '_' }).collect();
    let full: String = name
        .bytes()
        .map(|byte| if is_plain(byte) { char::from(byte).to_string() } else { format!("%{byte:02X}") })
        .collect();
    format!("attachment; filename=\"{plain}\"; filename*=UTF-8''{full}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: RFC 6266, section 5, and RFC 8187, section 3.2.3 (from memory): the pound and euro
    /// signs are `%C2%A3` and `%E2%82%AC`.
    #[test]
    fn names_go_into_the_header_whatever_they_hold() {
        assert_eq!(
            disposition("£ and € rates"),
            "attachment; filename=\"__and___rates\"; filename*=UTF-8''%C2%A3%20and%20%E2%82%AC%20rates"
        );
        let hostile = disposition("a\"\r\nSet-Cookie: x=y;../b.png");
        assert_eq!(
            hostile,
            "attachment; filename=\"a___Set-Cookie__x_y_.._b.png\"; filename*=UTF-8''a%22%0D%0ASet-Cookie%3A%20x%3Dy%3B..%2Fb.png"
        );
    }
}
