//! Attacks: whoever is not the page of this run gets nothing, and nobody gets too much.

#![allow(clippy::unwrap_used)]

mod common;

use std::io::{Read, Write};
use std::time::{Duration, Instant};

use common::{Answer, Running, answer, start, start_with};
use serde_json::{Value, json};
use server::Limits;

/// Every route, with a body that it would read.
const ROUTES: [(&str, &str); 31] = [
    ("GET", "/api/shelf"),
    ("POST", "/api/blankets"),
    ("POST", "/api/blankets/from-chart?name=x"),
    ("POST", "/api/blankets/from-picture?name=x"),
    ("GET", "/api/blankets/1"),
    ("POST", "/api/blankets/1/rename"),
    ("POST", "/api/blankets/1/duplicate"),
    ("POST", "/api/blankets/1/set-aside"),
    ("POST", "/api/blankets/1/put-back"),
    ("POST", "/api/blankets/1/delete-for-good"),
    ("POST", "/api/blankets/1/edit"),
    ("POST", "/api/blankets/1/take-back"),
    ("POST", "/api/blankets/1/do-again"),
    ("POST", "/api/blankets/1/chart-picture"),
    ("GET", "/api/blankets/1/strands"),
    ("GET", "/api/blankets/1/rows/1?terms=us"),
    ("GET", "/api/blankets/1/thumbnail.png?r=1"),
    ("GET", "/api/blankets/1/picture.jpg?max=1200"),
    ("GET", "/api/blankets/1/files/chart.png"),
    ("GET", "/api/jobs/1/events"),
    ("POST", "/api/jobs/1/cancel"),
    ("GET", "/api/yarns"),
    ("PUT", "/api/yarns"),
    ("POST", "/api/yarns/read"),
    ("POST", "/api/yarns/take-back"),
    ("GET", "/api/yarns.toml"),
    ("GET", "/api/settings"),
    ("PUT", "/api/settings"),
    ("POST", "/api/quit"),
    ("GET", "/api/nothing-here"),
    ("DELETE", "/api/shelf"),
];

fn writes() -> impl Iterator<Item = (&'static str, &'static str)> {
    ROUTES.into_iter().filter(|(method, _)| *method != "GET")
}

/// Asks as the page does, but for one header: another value, or none.
fn ask(server: &Running, (method, target): (&str, &str), name: &str, value: Option<&str>) -> Answer {
    let mut headers = server.as_the_page();
    headers.push(("Content-Type".to_owned(), "application/json".to_owned()));
    headers.retain(|(has, _)| !has.eq_ignore_ascii_case(name));
    headers.extend(value.map(|value| (name.to_owned(), value.to_owned())));
    server.send(method, target, &headers, b"")
}

/// The program still answers, and no blanket came or went.
#[track_caller]
fn is_untouched(server: &Running) {
    assert_eq!(server.get("/api/shelf").good(), json!({"blankets": [], "aside": []}));
}

#[test]
fn a_page_elsewhere_gets_nothing_whatever_it_asks() {
    let server = start();
    let port = server.port;
    for route in ROUTES.into_iter().chain([("GET", "/"), ("GET", "/enter?key=x"), ("GET", "/main.js")]) {
        for origin in [
            "null".to_owned(),
            "http://evil.example".to_owned(),
            format!("https://127.0.0.1:{port}"),
            format!("http://127.0.0.1:{}", port ^ 1),
            format!("http://localhost:{port}"),
            format!("http://127.0.0.1:{port}.evil.example"),
        ] {
            let body = ask(&server, route, "Origin", Some(&origin)).bad(403);
            assert_eq!(body["error"]["where"], "Origin", "{route:?} {origin}");
        }
        for site in ["cross-site", "same-site", "", "None", "same-origin, none"] {
            let body = ask(&server, route, "Sec-Fetch-Site", Some(site)).bad(403);
            assert_eq!(body["error"]["where"], "Sec-Fetch-Site", "{route:?} {site}");
        }
    }
    is_untouched(&server);
}

#[test]
fn a_name_that_was_made_to_point_here_is_refused() {
    let server = start();
    let port = server.port;
    for route in ROUTES.into_iter().chain([("GET", "/"), ("GET", "/enter?key=x")]) {
        for host in [
            format!("evil.example:{port}"),
            format!("127.0.0.1.evil.example:{port}"),
            format!("localhost.evil.example:{port}"),
            "127.0.0.1".to_owned(),
            format!("127.0.0.1:{}", port ^ 1),
            format!("[::1]:{port}"),
            format!("[::ffff:127.0.0.1]:{port}"),
            format!("0.0.0.0:{port}"),
            String::new(),
        ] {
            let body = ask(&server, route, "Host", Some(&host)).bad(403);
            assert_eq!(body["error"]["where"], "Host", "{route:?} {host:?}");
        }
    }
    ask(&server, ("GET", "/api/shelf"), "Host", None).bad(403);
    // Two hosts, of which the first is right; and a target that says another than the header.
    let mut twice = server.as_the_page();
    twice.push(("Host".to_owned(), "evil.example".to_owned()));
    server.send("GET", "/api/shelf", &twice, b"").bad(403);
    server.get(&format!("http://evil.example:{port}/api/shelf")).bad(403);
    // What may be asked for: both names of this machine.
    for host in [format!("127.0.0.1:{port}"), format!("localhost:{port}")] {
        let mut headers = server.as_the_page();
        headers.retain(|(name, _)| name != "Host" && name != "Origin");
        headers.push(("Host".to_owned(), host.clone()));
        headers.push(("Origin".to_owned(), format!("http://{host}")));
        server.send("GET", "/api/shelf", &headers, b"").good();
    }
}

#[test]
fn without_the_key_of_this_run_nothing_is_read_or_written() {
    let server = start();
    let name = format!("strandwright-{}", server.port);
    let mut other = server.key.clone();
    other.replace_range(..1, if other.starts_with('0') { "1" } else { "0" });
    for route in ROUTES {
        for cookie in [
            None,
            Some(String::new()),
            Some(format!("{name}=")),
            Some(format!("{name}={other}")),
            Some(format!("{name}={}", &server.key[1..])),
            Some(format!("{name}={}00", server.key)),
            Some(format!("strandwright-{}={}", server.port ^ 1, server.key)),
            Some(format!("key={}", server.key)),
        ] {
            let body = ask(&server, route, "Cookie", cookie.as_deref()).bad(401);
            assert_eq!(body["error"]["where"], "Cookie", "{route:?} {cookie:?}");
        }
    }
    is_untouched(&server);
}

#[test]
fn the_key_opens_the_door_once_it_is_whole() {
    let server = start();
    let host = [("Host".to_owned(), format!("127.0.0.1:{}", server.port))];
    let enter = |query: &str| server.send("GET", &format!("/enter{query}"), &host, b"");
    let let_in = enter(&format!("?key={}", server.key));
    assert_eq!((let_in.status, let_in.header("location")), (303, Some("/")));
    let cookie = let_in.header("set-cookie").unwrap();
    assert_eq!(
        cookie,
        format!("strandwright-{}={}; Path=/; HttpOnly; SameSite=Strict", server.port, server.key)
    );
    let headers = [host[0].clone(), ("Cookie".to_owned(), cookie.split(';').next().unwrap().to_owned())];
    server.send("GET", "/api/shelf", &headers, b"").good();
    for query in
        ["", "?", "?key=", "?key=0", &format!("?key={}0", server.key), &format!("?x=1&key={}", server.key)]
    {
        let refused = enter(query);
        assert!(refused.header("set-cookie").is_none());
        refused.bad(403);
    }
    server.send("POST", &format!("/enter?key={}", server.key), &host, b"").bad(405);
}

#[test]
fn a_form_on_another_page_can_write_nothing() {
    let server = start();
    for route in writes() {
        // With the cookie, as a browser might send it, but without the header that no form can set.
        for value in [None, Some(""), Some("0"), Some("1, 1"), Some("true")] {
            let body = ask(&server, route, "X-Strandwright", value).bad(403);
            assert_eq!(body["error"]["where"], "X-Strandwright", "{route:?}");
        }
    }
    for route in writes().filter(|(method, target)| *method != "DELETE" && !target.contains("nothing")) {
        for kind in [
            None,
            Some(""),
            Some("application/x-www-form-urlencoded"),
            Some("multipart/form-data; boundary=x"),
            Some("text/html"),
            Some("application/jsonx"),
        ] {
            let body = ask(&server, route, "Content-Type", kind).bad(415);
            assert_eq!(body["error"]["where"], "Content-Type", "{route:?} {kind:?}");
        }
    }
    is_untouched(&server);
}

/// What stands at the head of every answer. Source: the headers' own standards, from memory.
#[test]
fn every_answer_carries_the_headers_of_safety() {
    let server = start();
    let mut answers: Vec<(String, Answer)> = Vec::new();
    for (method, target) in ROUTES.into_iter().filter(|(_, target)| *target != "/api/quit") {
        answers.push((target.to_owned(), server.write(method, target, "application/json", b"")));
        answers.push((
            format!("{target} foreign"),
            ask(&server, (method, target), "Host", Some("evil.example")),
        ));
        answers.push((format!("{target} keyless"), ask(&server, (method, target), "Cookie", None)));
    }
    for target in ["/", "/index.html", "/nothing", "/enter", "/api", "/api/", "/API/shelf", "//api/shelf"] {
        answers.push((target.to_owned(), server.get(target)));
    }
    for method in ["OPTIONS", "TRACE", "PATCH", "DELETE", "PROPFIND", "HEAD"] {
        answers.push((method.to_owned(), server.send(method, "/api/shelf", &server.as_the_page(), b"")));
    }
    for (what, answer) in &answers {
        let policy = answer.header("content-security-policy").unwrap_or_else(|| panic!("{what}: no policy"));
        for rule in
            ["default-src 'none'", "script-src 'self'", "frame-ancestors 'none'", "form-action 'none'"]
        {
            assert!(policy.split("; ").any(|has| has == rule), "{what}: {policy}");
        }
        assert!(!policy.contains("unsafe") && !policy.contains('*'), "{what}: {policy}");
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"), "{what}");
        assert_eq!(answer.header("referrer-policy"), Some("no-referrer"), "{what}");
        assert_eq!(answer.header("cross-origin-resource-policy"), Some("same-origin"), "{what}");
        let is_page = what == "/" || what == "/index.html";
        let kept = if is_page { "no-cache" } else { "no-store" };
        assert_eq!(answer.header("cache-control"), Some(kept), "{what}");
        // Nobody elsewhere is ever allowed to read or to send headers of their own.
        assert!(!answer.headers.iter().any(|(name, _)| name.starts_with("access-control")), "{what}");
        if answer.status >= 400 && what != "HEAD" {
            assert_eq!(answer.header("content-type"), Some("application/json"), "{what}");
            assert!(answer.json()["error"]["what"].is_string(), "{what}");
        }
    }
}

#[test]
fn odd_methods_and_odd_targets_are_refused() {
    let server = start();
    for method in ["OPTIONS", "TRACE", "PATCH", "DELETE", "PROPFIND", "QUIT", "PUT", "POST"] {
        server.send(method, "/api/shelf", &server.as_the_page(), b"").bad(405);
        server.send(method, "/", &server.as_the_page(), b"").bad(405);
    }
    let head = server.send("HEAD", "/api/shelf", &server.as_the_page(), b"");
    assert_eq!((head.status, head.body.len()), (200, 0));
    for id in [
        "0",
        "2",
        "-1",
        "+1",
        "1.0",
        "1e0",
        "x",
        "9223372036854775807",
        "9223372036854775808",
        "99999999999999999999999999",
        "%31%00",
        "%ff",
        "1%2f..%2f1",
        "..",
        "%20",
    ] {
        server.get(&format!("/api/blankets/{id}")).bad(404);
        server.post(&format!("/api/blankets/{id}/duplicate"), &json!({})).bad(404);
        server.get(&format!("/api/blankets/1/rows/{id}")).bad(404);
        server.get(&format!("/api/jobs/{id}/events")).bad(404);
        server.post(&format!("/api/jobs/{id}/cancel"), &json!({})).bad(404);
    }
    for max in ["0", "-1", "x", "", "4097", "99999999999999999999"] {
        server.get(&format!("/api/blankets/1/picture.jpg?max={max}")).bad(422);
    }
    is_untouched(&server);
}

#[test]
fn no_path_leads_to_a_file_of_the_machine() {
    let server = start();
    for path in [
        "../Cargo.toml",
        "..%2fCargo.toml",
        "..%2f..%2f..%2fetc%2fpasswd",
        "%2e%2e/%2e%2e/%2e%2e/etc/passwd",
        "....//etc/passwd",
        "..\\Cargo.toml",
        "..%5cCargo.toml",
        "%00",
        "index.html%00.png",
        "index.html/",
        "./index.html",
        "/etc/passwd",
        "%2fetc%2fpasswd",
        "file:///etc/passwd",
        "C:%5cWindows%5cwin.ini",
        "%ff%fe",
        "tsconfig.json",
        "web/index.html",
        "INDEX.HTML",
    ] {
        server.get(&format!("/{path}")).bad(404);
        server.get(&format!("/api/{path}")).bad(404);
        let refused = server.get(&format!("/api/blankets/1/files/{path}"));
        refused.bad(404);
    }
    let page = server.get("/");
    assert!(page.status == 200 && page.header("content-type") == Some("text/html; charset=utf-8"));
}

/// A small limit stands in for the large one: what counts is that no more is taken.
#[test]
fn bodies_are_taken_up_to_their_limit_and_no_further() {
    let limits = Limits { json_bytes: 2000, file_bytes: 5000, ..Limits::default() };
    let server = start_with(limits);
    let targets = writes().filter(|(method, target)| *method != "DELETE" && !target.contains("jobs"));
    for (method, target) in targets {
        let is_file = target.contains("from-") || target.contains("read");
        let kind = if is_file { "application/octet-stream" } else { "application/json" };
        let most = if is_file { 5000 } else { 2000 };
        let mut headers = server.as_the_page();
        headers.push(("Content-Type".to_owned(), kind.to_owned()));
        let mut head = format!("{method} {target} HTTP/1.1\r\n");
        for (name, value) in &headers {
            head += &format!("{name}: {value}\r\n");
        }
        // The length is told: refused before a byte of it is read.
        for length in [(most + 1).to_string(), i64::MAX.to_string()] {
            let mut stream = server.connect();
            stream.write_all(format!("{head}Content-Length: {length}\r\n\r\n").as_bytes()).unwrap();
            answer(&mut stream, false).bad(413);
        }
        // It is not told: refused once it is more.
        let mut stream = server.connect();
        let piece = format!("{:x}\r\n{}\r\n", most + 1, " ".repeat(most + 1));
        stream.write_all(format!("{head}Transfer-Encoding: chunked\r\n\r\n{piece}").as_bytes()).unwrap();
        answer(&mut stream, false).bad(413);
    }
    // As much as may be is taken.
    let fits = format!("{:>2000}", "{\"from\": \"demo\"}");
    server.write("POST", "/api/blankets", "application/json", fits.as_bytes()).good();
}

#[test]
fn json_that_is_none_or_nests_without_end_is_refused() {
    let server = start();
    let deep = |open: &str, close: &str| format!("{}{}", open.repeat(200_000), close.repeat(200_000));
    for body in [
        "{".to_owned(),
        "nonsense".to_owned(),
        "null".to_owned(),
        "[]".to_owned(),
        "\"\"".to_owned(),
        "{\"name\": \"\u{0}\"}".to_owned(),
        "{\"name\": \"a\", \"name\": \"b\"}".to_owned(),
        "{\"name\": \"\\ud800\"}".to_owned(),
        "{\"name\": 1}".to_owned(),
        "{\"from\": \"nowhere\"}".to_owned(),
        "{\"revision\": -1}".to_owned(),
        "{\"revision\": 1e400}".to_owned(),
        "{\"revision\": 18446744073709551616}".to_owned(),
        "{\"unknown\": 1}".to_owned(),
        deep("[", "]"),
        deep("{\"a\":", "}"),
        format!("{{\"name\": {}", "[".repeat(1_000_000)),
    ] {
        for target in [
            "/api/blankets",
            "/api/blankets/1/rename",
            "/api/blankets/1/edit",
            "/api/blankets/1/take-back",
            "/api/blankets/1/chart-picture",
        ] {
            server.write("POST", target, "application/json", body.as_bytes()).bad(400);
        }
        server.write("PUT", "/api/yarns", "application/json", body.as_bytes()).bad(400);
        server.write("PUT", "/api/settings", "application/json", body.as_bytes()).bad(400);
    }
    let not_text = [b"{\"name\": \"".as_slice(), &[0xff, 0xfe], b"\"}"].concat();
    server.write("POST", "/api/blankets/1/rename", "application/json", &not_text).bad(400);
    is_untouched(&server);
}

/// Who sends a head or a body drop by drop holds a connection only for so long.
#[test]
fn slow_senders_are_hung_up_on() {
    let limits = Limits {
        head_time: Duration::from_millis(400),
        body_time: Duration::from_millis(400),
        ..Limits::default()
    };
    let server = start_with(limits);
    let begun = Instant::now();
    let mut slow = server.connect();
    slow.write_all(b"GET /api/shelf HTTP/1.1\r\n").unwrap();
    // A header now and then does not buy more time.
    let hung_up = loop {
        std::thread::sleep(Duration::from_millis(100));
        if slow.write_all(b"X-Drop: 1\r\n").is_err() {
            break true;
        }
        if begun.elapsed() > Duration::from_secs(5) {
            break false;
        }
    };
    assert!(hung_up, "the connection stayed open");
    // So with a body.
    let mut headers = server.as_the_page();
    headers.push(("Content-Type".to_owned(), "application/json".to_owned()));
    let mut head = "POST /api/blankets HTTP/1.1\r\n".to_owned();
    for (name, value) in headers {
        head += &format!("{name}: {value}\r\n");
    }
    let mut slow = server.connect();
    slow.write_all(format!("{head}Content-Length: 100\r\n\r\n{{").as_bytes()).unwrap();
    answer(&mut slow, false).bad(408);
    // Who says nothing at all is hung up on too.
    let mut silent = server.connect();
    let mut end = [0; 1];
    assert_eq!(silent.read(&mut end).unwrap_or(0), 0);
    is_untouched(&server);
}

#[test]
fn a_head_without_end_is_refused() {
    let server = start();
    for head in [
        format!("GET /api/shelf HTTP/1.1\r\nX-Long: {}\r\n\r\n", "x".repeat(200_000)),
        format!("GET /{} HTTP/1.1\r\n\r\n", "x".repeat(200_000)),
        format!("GET / HTTP/1.1\r\n{}\r\n", "X-Many: 1\r\n".repeat(5_000)),
        "\u{0}\u{0}\u{0}\r\n\r\n".to_owned(),
        "GET / HTTP/1.1\r\nHost : spaced\r\n\r\n".to_owned(),
        "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n".to_owned(),
    ] {
        let mut stream = server.connect();
        // It may be hung up on before all is sent, and the answer lost with it.
        let _ = stream.write_all(head.as_bytes());
        let mut said = Vec::new();
        let _ = stream.read_to_end(&mut said);
        let said = String::from_utf8_lossy(&said);
        assert!(said.is_empty() || said.starts_with("HTTP/1.1 4"), "{said}");
    }
    is_untouched(&server);
}

/// More connections than there is room for wait; those that are done make room.
#[test]
fn a_crowd_of_connections_is_served_bit_by_bit() {
    let limits = Limits { connections: 4, head_time: Duration::from_millis(300), ..Limits::default() };
    let server = start_with(limits);
    let idle: Vec<_> = (0..12).map(|_| server.connect()).collect();
    is_untouched(&server);
    drop(idle);
    is_untouched(&server);
}

/// One pixel as PNG, with the size in its head made to claim `side` by `side`.
fn png_of(side: u32) -> Vec<u8> {
    let mut bytes = Vec::new();
    image::DynamicImage::new_rgb8(8, 8)
        .write_to(&mut std::io::Cursor::new(&mut bytes), image::ImageFormat::Png)
        .unwrap();
    bytes[16..20].copy_from_slice(&side.to_be_bytes());
    bytes[20..24].copy_from_slice(&side.to_be_bytes());
    let sum = crc(&bytes[12..29]);
    bytes[29..33].copy_from_slice(&sum.to_be_bytes());
    bytes
}

/// The check sum of PNG. Source: PNG specification, annex D (from memory).
fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |sum, &byte| {
        (0..8).fold(
            sum ^ u32::from(byte),
            |sum, _| {
                if sum & 1 == 1 { 0xedb8_8320 ^ (sum >> 1) } else { sum >> 1 }
            },
        )
    })
}

#[test]
fn hostile_uploads_are_refused_and_change_nothing() {
    let server = start();
    let whole = png_of(8);
    let hostile: Vec<(&str, Vec<u8>)> = vec![
        ("nothing", Vec::new()),
        ("text", b"this is a picture, believe me".to_vec()),
        ("a page", b"<html><script>alert(1)</script></html>".to_vec()),
        ("a drawing", b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>".to_vec()),
        ("a bomb", png_of(0x7fff_ffff)),
        ("a large bomb", png_of(60_000)),
        ("no pixels", png_of(0)),
        ("cut short", whole[..whole.len() - 20].to_vec()),
        ("head alone", whole[..20].to_vec()),
        ("zeros", vec![0; 100_000]),
        ("half a JPEG", b"\xff\xd8\xff\xe0\x00\x10JFIF".to_vec()),
        ("an endless table", "oat,".repeat(200_000).into_bytes()),
    ];
    for (what, bytes) in &hostile {
        let begun = Instant::now();
        for target in ["/api/blankets/from-picture?name=x", "/api/blankets/from-chart?name=x"] {
            let status = server.upload(target, bytes).status;
            assert_eq!(status, 422, "{what} to {target}");
        }
        server.write("POST", "/api/yarns/read", "application/toml", bytes).bad(422);
        assert!(begun.elapsed() < Duration::from_secs(10), "{what}");
    }
    is_untouched(&server);
}

#[test]
fn names_are_data_wherever_they_appear() {
    let server = start();
    let name = "../../\"><script>\r\nSet-Cookie: a=b\u{202e}";
    let body = json!({"from": "blank", "name": name, "columns": 4, "rows": 4,
        "gauge": {"stitches": 13}, "yarns": [{"key": "oat", "name": "Oat", "colour": "#f0e2c2"}]});
    let made = server.post("/api/blankets", &body);
    if made.status == 422 {
        // Control characters may be refused outright.
        return is_untouched(&server);
    }
    let id = made.good()["id"].clone();
    let file = server.get(&format!("/api/blankets/{id}/files/chart.png"));
    let disposition = file.header("content-disposition").unwrap();
    assert!(disposition.starts_with("attachment; filename="));
    assert!(!disposition.contains(['/', '\\', '<']) && disposition.is_ascii(), "{disposition}");
    assert!(file.header("set-cookie").is_none());
}

/// Values that fit their types and nothing else.
#[test]
fn edits_of_what_is_not_there_are_refused() {
    let server = start();
    let body = json!({"from": "blank", "name": "Small", "columns": 4, "rows": 4,
        "gauge": {"stitches": 13}, "yarns": [{"key": "oat", "name": "Oat", "colour": "#f0e2c2"}]});
    let id = server.post("/api/blankets", &body).good()["id"].clone();
    let before = server.get(&format!("/api/blankets/{id}")).good();
    let revision = &before["revision"];
    let huge = u64::MAX;
    for operation in [
        json!({"do": "stitch", "cells": [16], "yarn": 0}),
        json!({"do": "stitch", "cells": [huge], "yarn": 0}),
        json!({"do": "stitch", "cells": [0], "yarn": 1}),
        json!({"do": "stitch", "cells": [0], "yarn": huge}),
        json!({"do": "line", "from": [0, 0], "to": [4, 0], "yarn": 0, "width": 1}),
        json!({"do": "line", "from": [0, huge], "to": [huge, 0], "yarn": 0, "width": 1}),
        json!({"do": "line", "from": [0, 0], "to": [3, 3], "yarn": 7, "width": huge}),
        json!({"do": "flood", "at": [0, 4], "yarn": 0}),
        json!({"do": "flood", "at": [huge, huge], "yarn": 0}),
        json!({"do": "swap_colour", "from": 0, "to": 1}),
        json!({"do": "swap_colour", "from": huge, "to": huge}),
        json!({"do": "add_yarn", "yarn": {"key": "", "name": "", "colour": "#000000"}}),
        json!({"do": "add_yarn", "yarn": {"key": "ink", "name": "Ink", "colour": "url(x)"}}),
        json!({"do": "add_yarn", "yarn": {"key": "ink", "name": "Ink", "colour": "#000000", "metres": -1, "grams": 1}}),
        json!({"do": "add_yarn", "yarn": {"key": "ink", "name": "Ink", "colour": "#000000", "metres": 1e300, "grams": 1e300}}),
        json!({"do": "add_yarn", "yarn": {"key": "ink", "name": "Ink", "colour": "#000000", "weight": 8}}),
        json!({"do": "change_yarn", "index": huge, "yarn": {"key": "ink", "name": "Ink", "colour": "#000000"}}),
    ] {
        let answer = server.post(
            &format!("/api/blankets/{id}/edit"),
            &json!({"revision": revision, "operation": operation}),
        );
        assert_eq!(answer.status, 422, "{operation} {}", String::from_utf8_lossy(&answer.body));
    }
    for operation in [json!({"do": "delete_everything"}), json!({}), json!({"do": "stitch"}), Value::Null] {
        let body = json!({"revision": revision, "operation": operation});
        server.post(&format!("/api/blankets/{id}/edit"), &body).bad(400);
    }
    for blank in [
        json!({"columns": 0, "rows": 4}),
        json!({"columns": 4, "rows": huge}),
        json!({"columns": 10_000_000_000_u64, "rows": 10_000_000_000_u64}),
    ] {
        let mut body = body.clone();
        for (field, value) in blank.as_object().unwrap() {
            body[field] = value.clone();
        }
        server.post("/api/blankets", &body).bad(422);
    }
    assert_eq!(server.get(&format!("/api/blankets/{id}")).good()["cells"], before["cells"]);
}
