//! The files of the page, part of the program itself.

use axum::body::Body;
use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE, ETAG, IF_NONE_MATCH};
use axum::http::{HeaderMap, Method, StatusCode, Uri};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;

use crate::failure::Failure;

/// `web/` as it was when the program was built: also in development nothing is read at run time, so
/// no path of a request can lead anywhere.
#[derive(RustEmbed)]
#[folder = "../../web"]
#[include = "*.html"]
#[include = "*.js"]
#[include = "*.css"]
#[include = "*.svg"]
#[include = "*.png"]
#[exclude = "node_modules/*"]
#[exclude = ".*"]
struct Web;

/// The faces that the page is set in, `/fonts/…`: the same that charts are drawn with.
#[derive(RustEmbed)]
#[folder = "../typeset/fonts"]
#[prefix = "fonts/"]
#[include = "*.ttf"]
struct Fonts;

/// The media type of a file that is served.
fn media_type(name: &str) -> Option<&'static str> {
    Some(match name.rsplit_once('.')?.1 {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ttf" => "font/ttf",
        _ => return None,
    })
}

/// A file of the page. The path is looked up as it stands among the names that were built in.
pub(crate) fn file(method: &Method, uri: &Uri, headers: &HeaderMap) -> Response {
    let name = match uri.path() {
        "/" => "index.html",
        path => path.strip_prefix('/').unwrap_or(path),
    };
    let (Some(file), Some(media_type)) = (Web::get(name).or_else(|| Fonts::get(name)), media_type(name))
    else {
        return Failure::not_there().into_response();
    };
    if ![Method::GET, Method::HEAD].contains(method) {
        return Failure::wrong_method().into_response();
    }
    let hash = file.metadata.sha256_hash();
    let tag = format!("\"{}\"", hash[..16].iter().map(|byte| format!("{byte:02x}")).collect::<String>());
    // Kept by the browser, but asked for every time: the next run may be a newer program.
    let about = [(CACHE_CONTROL, "no-cache".to_owned()), (ETAG, tag.clone())];
    let known = headers.get_all(IF_NONE_MATCH).iter().filter_map(|value| value.to_str().ok());
    if known.flat_map(|value| value.split(',')).any(|known| known.trim().trim_start_matches("W/") == tag) {
        return (StatusCode::NOT_MODIFIED, about).into_response();
    }
    (about, [(CONTENT_TYPE, media_type)], Body::from(file.data)).into_response()
}
