//! A server on a fresh shelf, and a client that says exactly what it is told to, byte by byte.

#![allow(dead_code, reason = "each test file uses a part of it")]

use std::io::{ErrorKind, Read, Write};
use std::net::TcpStream;
use std::sync::Arc;
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use serde_json::Value;
use server::{Limits, Server, Stop};
use tempfile::TempDir;
use workbench::Workbench;

/// No answer here takes longer; a test that waits for one fails.
const PATIENCE: Duration = Duration::from_secs(60);

/// A running server, ended when dropped.
pub(crate) struct Running {
    pub(crate) port: u16,
    pub(crate) key: String,
    stop: Stop,
    thread: Option<JoinHandle<()>>,
    _folder: TempDir,
}

impl Drop for Running {
    fn drop(&mut self) {
        self.stop.now();
        if let Some(thread) = self.thread.take() {
            let ended = thread.join();
            assert!(ended.is_ok() || std::thread::panicking(), "the server broke off");
        }
    }
}

/// What came back.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) headers: Vec<(String, String)>,
    pub(crate) body: Vec<u8>,
}

impl Answer {
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(has, _)| has == name).map(|(_, value)| value.as_str())
    }

    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.body)
            .unwrap_or_else(|error| panic!("{error}: {:?}", String::from_utf8_lossy(&self.body)))
    }

    /// The answer to a request that must succeed.
    #[track_caller]
    pub(crate) fn good(self) -> Value {
        assert!(self.status < 300, "{} {}", self.status, String::from_utf8_lossy(&self.body));
        if self.body.is_empty() { Value::Null } else { self.json() }
    }

    /// The answer to a request that must be refused with that status, and say why.
    #[track_caller]
    pub(crate) fn bad(self, status: u16) -> Value {
        assert_eq!(self.status, status, "{}", String::from_utf8_lossy(&self.body));
        let body = self.json();
        let error = &body["error"];
        assert!(error["what"].as_str().is_some_and(|what| !what.is_empty()), "{body}");
        assert!(error["where"].is_string() && error["hint"].is_string(), "{body}");
        body
    }
}

pub(crate) fn start() -> Running {
    start_with(Limits::default())
}

pub(crate) fn start_with(limits: Limits) -> Running {
    let folder = tempfile::tempdir().unwrap();
    // A clock that stands: nothing here depends on how late it is.
    let opened = Workbench::open(folder.path(), Box::new(|| workbench::Moment(1_790_000_000_000))).unwrap();
    let server = Server::bind(Arc::new(opened.workbench), 0, limits).unwrap();
    let port = server.port();
    let key = server.entrance().rsplit_once('=').unwrap().1.to_owned();
    let stop = server.stop();
    let thread = std::thread::spawn(move || server.run().unwrap());
    Running { port, key, stop, thread: Some(thread), _folder: folder }
}

impl Running {
    pub(crate) fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        stream.set_write_timeout(Some(PATIENCE)).unwrap();
        stream
    }

    /// Host, cookie and write header, as the page sends them.
    pub(crate) fn as_the_page(&self) -> Vec<(String, String)> {
        [
            ("Host", format!("127.0.0.1:{}", self.port)),
            ("Cookie", format!("strandwright-{}={}", self.port, self.key)),
            ("Origin", format!("http://127.0.0.1:{}", self.port)),
            ("Sec-Fetch-Site", "same-origin".to_owned()),
            ("X-Strandwright", "1".to_owned()),
        ]
        .map(|(name, value)| (name.to_owned(), value))
        .into()
    }

    /// A request with exactly these headers, and the length of its body where it has one.
    pub(crate) fn send(
        &self,
        method: &str,
        target: &str,
        headers: &[(String, String)],
        body: &[u8],
    ) -> Answer {
        let mut head = format!("{method} {target} HTTP/1.1\r\n");
        for (name, value) in headers {
            head += &format!("{name}: {value}\r\n");
        }
        if !body.is_empty() || method == "POST" || method == "PUT" {
            head += &format!("Content-Length: {}\r\n", body.len());
        }
        head += "Connection: close\r\n\r\n";
        let mut stream = self.connect();
        stream.write_all(head.as_bytes()).unwrap();
        // The server may refuse before it has read all.
        let _ = stream.write_all(body);
        answer(&mut stream, method == "HEAD")
    }

    pub(crate) fn get(&self, target: &str) -> Answer {
        self.send("GET", target, &self.as_the_page(), b"")
    }

    pub(crate) fn post(&self, target: &str, body: &Value) -> Answer {
        self.write("POST", target, "application/json", body.to_string().as_bytes())
    }

    pub(crate) fn put(&self, target: &str, body: &Value) -> Answer {
        self.write("PUT", target, "application/json", body.to_string().as_bytes())
    }

    pub(crate) fn upload(&self, target: &str, bytes: &[u8]) -> Answer {
        self.write("POST", target, "application/octet-stream", bytes)
    }

    pub(crate) fn write(&self, method: &str, target: &str, kind: &str, body: &[u8]) -> Answer {
        let mut headers = self.as_the_page();
        headers.push(("Content-Type".to_owned(), kind.to_owned()));
        self.send(method, target, &headers, body)
    }

    /// The events of a job, up to its last or to the first that `enough` accepts.
    pub(crate) fn events(
        &self,
        job: &Value,
        mut enough: impl FnMut(&str, &Value) -> bool,
    ) -> Vec<(String, Value)> {
        let mut stream = self.connect();
        let mut head = format!("GET /api/jobs/{job}/events HTTP/1.1\r\n");
        for (name, value) in self.as_the_page() {
            head += &format!("{name}: {value}\r\n");
        }
        stream.write_all((head + "\r\n").as_bytes()).unwrap();
        let (mut text, mut events, mut used) = (String::new(), Vec::new(), 0);
        let begun = Instant::now();
        loop {
            assert!(begun.elapsed() < PATIENCE, "no end: {events:?}");
            let mut buffer = [0; 4096];
            let got = stream.read(&mut buffer).unwrap();
            text += core::str::from_utf8(&buffer[..got]).unwrap();
            // Each event is written in one piece; the lines of chunks between them are passed over.
            while let Some(end) = text[used..].find("\n\n") {
                let block = &text[used..used + end];
                used += end + 2;
                let field = |name: &str| block.lines().find_map(|line| line.strip_prefix(name));
                let (Some(name), Some(data)) = (field("event: "), field("data: ")) else { continue };
                let data: Value = serde_json::from_str(data).unwrap();
                let last = name != "progress" || enough(name, &data);
                events.push((name.to_owned(), data));
                if last {
                    assert!(text.contains("content-type: text/event-stream"), "{text}");
                    return events;
                }
            }
            assert!(got > 0, "broken off: {text}");
        }
    }
}

/// Reads one answer to its end.
pub(crate) fn answer(stream: &mut TcpStream, head_only: bool) -> Answer {
    let mut bytes = Vec::new();
    let mut buffer = [0; 16 << 10];
    let head_end = |bytes: &[u8]| bytes.windows(4).position(|four| four == b"\r\n\r\n");
    loop {
        if let Some(end) = head_end(&bytes) {
            let head = core::str::from_utf8(&bytes[..end]).unwrap();
            let mut lines = head.lines();
            let status = lines.next().unwrap().split(' ').nth(1).unwrap().parse().unwrap();
            let headers: Vec<(String, String)> = lines
                .map(|line| line.split_once(": ").unwrap_or((line.trim_end_matches(':'), "")))
                .map(|(name, value)| (name.to_ascii_lowercase(), value.to_owned()))
                .collect();
            let length = headers.iter().find(|(name, _)| name == "content-length");
            let length: usize = length.map_or(0, |(_, value)| value.parse().unwrap());
            let length = if head_only || status == 304 { 0 } else { length };
            if bytes.len() >= end + 4 + length {
                return Answer { status, headers, body: bytes[end + 4..end + 4 + length].to_vec() };
            }
        }
        match stream.read(&mut buffer) {
            Ok(0) => panic!("closed after {:?}", String::from_utf8_lossy(&bytes)),
            Ok(got) => bytes.extend_from_slice(&buffer[..got]),
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            Err(error) => panic!("{error} after {:?}", String::from_utf8_lossy(&bytes)),
        }
    }
}
