//! Who may ask: checks on the head of a request, before anything of it is used.
//!
//! A page elsewhere can make a browser send requests here. It can't choose the request's `Host`
//! (unless its own name was made to point here: then `Host` is that name, and refused), can't hide
//! its `Origin`, can't read the key in the cookie, and can't set a header of its own without being
//! allowed to first, which nothing here ever allows.

use axum::http::header::{CONTENT_TYPE, COOKIE, HOST, HeaderName, ORIGIN};
use axum::http::{HeaderMap, Method, StatusCode, Uri};

use crate::failure::Failure;

/// A write must carry this header with the value `1`.
pub(crate) const WRITE_HEADER: HeaderName = HeaderName::from_static("x-strandwright");

const FETCH_SITE: HeaderName = HeaderName::from_static("sec-fetch-site");

/// Characters of the key: 32 bytes of chance in hexadecimal.
const KEY_LENGTH: usize = 64;

/// The key of one run of the program.
#[derive(Clone)]
pub(crate) struct Key(String);

impl Key {
    /// A new key of the system's chance.
    pub(crate) fn new() -> Result<Self, getrandom::Error> {
        let mut bytes = [0; KEY_LENGTH / 2];
        getrandom::fill(&mut bytes)?;
        Ok(Self(bytes.iter().map(|byte| format!("{byte:02x}")).collect()))
    }

    pub(crate) fn as_str(&self) -> &str {
        &self.0
    }

    /// Compares without telling by its time how much was right.
    pub(crate) fn is(&self, given: &[u8]) -> bool {
        let own = self.0.as_bytes();
        let differing = own.iter().zip(given).fold(0, |differing, (a, b)| differing | (a ^ b));
        own.len() == given.len() && differing == 0
    }
}

/// What a request is held against.
pub(crate) struct Guard {
    hosts: [String; 2],
    cookie: String,
    key: Key,
}

impl Guard {
    pub(crate) fn new(port: u16, key: Key) -> Self {
        Self {
            hosts: [format!("127.0.0.1:{port}"), format!("localhost:{port}")],
            // Browsers share cookies between ports: without the port in its name, a second copy of the
            // program on another folder would shut the first one out.
            cookie: format!("strandwright-{port}"),
            key,
        }
    }

    pub(crate) const fn key(&self) -> &Key {
        &self.key
    }

    /// The value of `Set-Cookie` that lets a browser in.
    pub(crate) fn cookie(&self) -> String {
        format!("{}={}; Path=/; HttpOnly; SameSite=Strict", self.cookie, self.key.as_str())
    }

    /// For every request: it is meant for this program, and no page elsewhere sent it.
    pub(crate) fn comes_from_here(&self, uri: &Uri, headers: &HeaderMap) -> Result<(), Failure> {
        let host = only(headers, &HOST).filter(|host| self.is_ours(host));
        let target_is_ours = uri.authority().is_none_or(|target| self.is_ours(target.as_str()));
        let (Some(host), true) = (host, target_is_ours) else {
            return Err(Failure::new(
                StatusCode::FORBIDDEN,
                "this name is not the program's own address",
                "Host",
                "open the address that the program printed",
            ));
        };
        let elsewhere = |place| {
            Failure::new(
                StatusCode::FORBIDDEN,
                "the request comes from a page elsewhere",
                place,
                "open the address that the program printed in a new window",
            )
        };
        if headers.contains_key(ORIGIN) {
            let origin = only(headers, &ORIGIN).and_then(|origin| origin.strip_prefix("http://"));
            if !origin.is_some_and(|origin| origin.eq_ignore_ascii_case(host)) {
                return Err(elsewhere("Origin"));
            }
        }
        if headers.contains_key(FETCH_SITE)
            && !matches!(only(headers, &FETCH_SITE), Some("same-origin" | "none"))
        {
            return Err(elsewhere("Sec-Fetch-Site"));
        }
        Ok(())
    }

    /// For everything that reads or writes a blanket: the key, and with a write its header.
    pub(crate) fn may_use(&self, method: &Method, headers: &HeaderMap) -> Result<(), Failure> {
        let cookies = headers.get_all(COOKIE).iter().flat_map(|line| line.as_bytes().split(|&b| b == b';'));
        let has_key = cookies.filter_map(|cookie| {
            let cookie = cookie.trim_ascii();
            cookie.strip_prefix(self.cookie.as_bytes())?.strip_prefix(b"=")
        });
        if !has_key.into_iter().any(|value| self.key.is(value)) {
            return Err(Failure::new(
                StatusCode::UNAUTHORIZED,
                "the key of this run is missing",
                "Cookie",
                "open the address that the program printed when it was started last",
            ));
        }
        let reads = [Method::GET, Method::HEAD].contains(method);
        if !reads && only(headers, &WRITE_HEADER) != Some("1") {
            return Err(Failure::new(
                StatusCode::FORBIDDEN,
                "a request that changes something needs the header X-Strandwright: 1",
                "X-Strandwright",
                "send the header",
            ));
        }
        Ok(())
    }

    fn is_ours(&self, host: &str) -> bool {
        self.hosts.iter().any(|own| own.eq_ignore_ascii_case(host))
    }
}

/// The value of a header that is there once.
fn only<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    let mut values = headers.get_all(name).iter();
    let first = values.next()?;
    if values.next().is_some() {
        return None;
    }
    first.to_str().ok()
}

/// The media type of the body, in small letters, without its parameters; of two headers none.
pub(crate) fn media_type(headers: &HeaderMap) -> String {
    let value = only(headers, &CONTENT_TYPE).unwrap_or_default();
    value.split(';').next().unwrap_or_default().trim().to_ascii_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn guard() -> Guard {
        Guard::new(4711, Key("k".repeat(KEY_LENGTH)))
    }

    fn head(lines: &[(&'static str, &str)]) -> HeaderMap {
        let mut headers = HeaderMap::new();
        for (name, value) in lines {
            headers.append(*name, value.parse().unwrap());
        }
        headers
    }

    #[test]
    fn a_host_is_ours_to_the_last_letter_or_not_at_all() {
        let asks = |host: &str| guard().comes_from_here(&Uri::from_static("/"), &head(&[("host", host)]));
        for host in ["127.0.0.1:4711", "localhost:4711", "LocalHost:4711"] {
            assert!(asks(host).is_ok(), "{host}");
        }
        for host in [
            "",
            "127.0.0.1",
            "127.0.0.1:4712",
            "127.0.0.1:04711",
            "127.0.0.1.:4711",
            "127.0.0.1.evil.example",
            "127.0.0.1.evil.example:4711",
            "evil.example:4711",
            "user@127.0.0.1:4711",
            "[::1]:4711",
            "[::ffff:127.0.0.1]:4711",
            "0.0.0.0:4711",
            "127.1:4711",
            "2130706433:4711",
            "127.0.0.1:4711, evil.example",
        ] {
            assert!(asks(host).is_err(), "{host}");
        }
        let twice = head(&[("host", "127.0.0.1:4711"), ("host", "127.0.0.1:4711")]);
        assert!(guard().comes_from_here(&Uri::from_static("/"), &twice).is_err());
        let foreign_target = Uri::from_static("http://evil.example:4711/");
        assert!(guard().comes_from_here(&foreign_target, &head(&[("host", "127.0.0.1:4711")])).is_err());
    }

    #[test]
    fn the_origin_is_the_host_that_was_asked() {
        let asks = |host: &str, origin: &str| {
            guard().comes_from_here(&Uri::from_static("/"), &head(&[("host", host), ("origin", origin)]))
        };
        assert!(asks("localhost:4711", "http://localhost:4711").is_ok());
        for origin in [
            "null",
            "",
            "http://127.0.0.1:4711",
            "https://localhost:4711",
            "http://localhost:4711/",
            "http://localhost:4711.evil.example",
            "http://localhost",
        ] {
            assert!(asks("localhost:4711", origin).is_err(), "{origin}");
        }
    }

    #[test]
    fn the_key_is_in_the_cookie_of_this_port() {
        let key = "k".repeat(KEY_LENGTH);
        let asks = |cookie: &str| guard().may_use(&Method::GET, &head(&[("cookie", cookie)]));
        assert!(asks(&format!("strandwright-4711={key}")).is_ok());
        assert!(asks(&format!("a=b;  strandwright-4711={key} ; c=d")).is_ok());
        for cookie in [
            String::new(),
            key.clone(),
            "strandwright-4711=".to_owned(),
            format!("strandwright-4711={}", &key[1..]),
            format!("strandwright-4711={key}k"),
            format!("strandwright-4711={}l", &key[1..]),
            format!("strandwright-4712={key}"),
            format!("xstrandwright-4711={key}"),
        ] {
            assert!(asks(&cookie).is_err(), "{cookie}");
        }
    }

    #[test]
    fn two_keys_are_never_the_same() {
        let (one, two) = (Key::new().unwrap(), Key::new().unwrap());
        assert!(one.as_str().len() == KEY_LENGTH && !one.is(two.as_str().as_bytes()));
    }
}
