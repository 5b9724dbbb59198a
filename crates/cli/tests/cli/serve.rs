//! No command: the page. Started, asked over HTTP, and ended as a person would.
#![cfg(unix)]

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::os::unix::fs::PermissionsExt;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::bench::{Bench, Outcome};

/// The program, listening.
struct Page {
    child: Child,
    out: BufReader<std::process::ChildStdout>,
    address: String,
}

impl Drop for Page {
    fn drop(&mut self) {
        // Where a test fails; one that is over already takes no harm.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Page {
    fn of(mut program: Command) -> Self {
        let mut child = program.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("started");
        let mut out = BufReader::new(child.stdout.take().expect("piped"));
        let mut address = String::new();
        out.read_line(&mut address).expect("readable");
        let mut page = Self { child, out, address: address.trim().to_owned() };
        if !page.address.starts_with("http://127.0.0.1:") {
            let mut told = String::new();
            page.child.stderr.take().expect("piped").read_to_string(&mut told).expect("readable");
            panic!("no address: {told}");
        }
        page
    }

    fn start(bench: &Bench, arguments: &[&str]) -> Self {
        Self::of(quiet(bench, arguments))
    }

    fn host(&self) -> &str {
        self.address.strip_prefix("http://").and_then(|rest| rest.split('/').next()).expect("an address")
    }

    /// The whole answer to a request with these header lines more.
    fn ask(&self, start: &str, more: &str) -> String {
        let mut stream = TcpStream::connect(self.host()).expect("it listens");
        let head = format!("{start} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n{more}\r\n", self.host());
        stream.write_all(head.as_bytes()).expect("written");
        let mut answer = String::new();
        stream.read_to_string(&mut answer).expect("read");
        answer
    }

    /// Goes in by the printed address and comes back with the cookie's header line.
    fn enter(&self) -> String {
        let path = &self.address["http://".len() + self.host().len()..];
        let answer = self.ask(&format!("GET {path}"), "");
        assert!(answer.starts_with("HTTP/1.1 303 "), "{answer}");
        let cookie = answer.lines().find_map(|line| line.strip_prefix("set-cookie: ")).expect("a cookie");
        format!("Cookie: {}\r\n", cookie.split(';').next().expect("a value"))
    }

    fn interrupt(&self) {
        let id = self.child.id().to_string();
        assert!(Command::new("kill").args(["-INT", &id]).status().expect("kill runs").success());
    }

    /// Waits for the end.
    fn ended(mut self) -> Outcome {
        let begun = Instant::now();
        let status = loop {
            if let Some(status) = self.child.try_wait().expect("its state") {
                break status;
            }
            assert!(begun.elapsed() < Duration::from_secs(20), "it goes on and on");
            std::thread::sleep(Duration::from_millis(10));
        };
        let (mut out, mut err) = (String::new(), String::new());
        self.out.read_to_string(&mut out).expect("readable");
        self.child.stderr.take().expect("piped").read_to_string(&mut err).expect("readable");
        Outcome { code: status.code().expect("ended by itself"), out, err }
    }
}

/// The program where no window can open.
fn quiet(bench: &Bench, arguments: &[&str]) -> Command {
    let mut program = bench.program(arguments);
    program.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY");
    program
}

fn shelf(page: &Page, cookie: &str) -> serde_json::Value {
    let answer = page.ask("GET /api/shelf", cookie);
    let (head, body) = answer.split_once("\r\n\r\n").expect("a head and a body");
    assert!(head.starts_with("HTTP/1.1 200 "), "{answer}");
    serde_json::from_str(body).expect("JSON")
}

#[test]
fn it_opens_with_the_demo_keeps_it_and_ends_on_ctrl_c() {
    let bench = Bench::new();
    let arguments = ["--data", "blankets/of mine"];
    let page = Page::start(&bench, &arguments);
    let cookie = page.enter();
    let first = shelf(&page, &cookie);
    let cards = first["blankets"].as_array().expect("a list");
    assert!(cards.len() == 1 && cards[0]["invented"] == true, "{first}");
    assert!(page.ask("GET /", "").starts_with("HTTP/1.1 200 "));
    page.interrupt();
    let outcome = page.ended();
    assert_eq!((outcome.code, outcome.out.as_str()), (0, ""), "{outcome:?}");
    assert!(outcome.err.contains("open this address") && outcome.err.contains("Ctrl-C"), "{outcome:?}");

    let again = Page::start(&bench, &arguments);
    // The key of the last run opens nothing any more.
    assert!(again.ask("GET /api/shelf", &cookie).starts_with("HTTP/1.1 401 "));
    assert_eq!(shelf(&again, &again.enter()), first);
    let quit = "X-Strandwright: 1\r\nContent-Type: application/json\r\n";
    let answer = again.ask("POST /api/quit", &(again.enter() + quit));
    assert!(answer.starts_with("HTTP/1.1 200 "), "{answer}");
    assert_eq!(again.ended().code, 0);
}

#[test]
fn without_a_folder_given_the_system_says_where_the_blankets_are() {
    let bench = Bench::new();
    let mut program = quiet(&bench, &[]);
    program.env("HOME", bench.path("home")).env("XDG_DATA_HOME", bench.path("home/data"));
    let page = Page::of(program);
    page.interrupt();
    assert_eq!(page.ended().code, 0);
    let below = if cfg!(target_os = "macos") { "home/Library/Application Support" } else { "home/data" };
    assert!(fs::read_dir(bench.path(below).join("strandwright")).expect("the folder").count() > 0);
}

/// A second copy, a port that is taken, a folder that is none: told in words, and nothing lost.
#[test]
fn what_is_in_the_way_is_told() {
    let bench = Bench::new();
    let page = Page::start(&bench, &["--data", "mine"]);
    let told = |arguments: &[&str], code: i32, words: &[&str]| {
        let outcome = Outcome::of(quiet(&bench, arguments).output().expect("it starts"));
        assert_eq!((outcome.code, outcome.out.as_str()), (code, ""), "{arguments:?} {outcome:?}");
        for word in words.iter().chain(&["error: ", "hint: "]) {
            assert!(outcome.err.contains(word), "{word:?} in {outcome:?}");
        }
    };
    told(&["--data", "mine"], 5, &["mine"]);
    told(&["--port", "66000"], 2, &["--port 66000", "up to 65535"]);
    told(&["--port", "-1"], 2, &["--port -1", "up to 65535"]);
    told(&["--no-brwser"], 2, &["there is no option --no-brwser", "did you mean --no-browser?"]);
    let taken = TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = taken.local_addr().expect("its address").port().to_string();
    told(&["--data", "other", "--port", &port], 2, &["--port", &format!("port {port} is in use already")]);
    bench.write("file", "not a folder");
    told(&["--data", "file"], 5, &["file"]);
    assert_eq!(bench.read("file"), b"not a folder");
    assert_eq!(shelf(&page, &page.enter())["blankets"].as_array().expect("a list").len(), 1);
}

/// Where there is a display the address is handed to the system's opener; `--no-browser` forbids it.
#[cfg(target_os = "linux")]
#[test]
fn the_browser_opens_where_there_is_a_display() {
    let bench = Bench::new();
    let opener = bench.path("xdg-open");
    bench.write("xdg-open", "#!/bin/sh\nprintf '%s' \"$1\" > opened.part && mv opened.part opened\n");
    fs::set_permissions(&opener, fs::Permissions::from_mode(0o755)).expect("made runnable");
    let path = format!("{}:{}", bench.path("").display(), std::env::var("PATH").unwrap_or_default());
    let start = |arguments: &[&str]| {
        let mut program = quiet(&bench, arguments);
        program.env("PATH", &path).env("DISPLAY", ":99");
        Page::of(program)
    };
    let silent = start(&["--data", "a", "--no-browser"]);
    silent.enter();
    silent.interrupt();
    silent.ended();
    assert!(!bench.path("opened").exists());
    let page = start(&["--data", "a"]);
    let begun = Instant::now();
    while !bench.path("opened").exists() {
        assert!(begun.elapsed() < Duration::from_secs(20), "nothing was opened");
        std::thread::sleep(Duration::from_millis(10));
    }
    assert_eq!(bench.text("opened"), page.address);
    page.interrupt();
    assert_eq!(page.ended().code, 0);
}

#[test]
fn a_port_can_be_asked_for() {
    let bench = Bench::new();
    // Free a moment ago; whoever takes it in between makes the test fail, not pass.
    let free = TcpListener::bind("127.0.0.1:0").expect("a port").local_addr().expect("its address").port();
    let page = Page::start(&bench, &["--data", "a", "--port", &free.to_string(), "--no-browser"]);
    assert_eq!(page.host(), format!("127.0.0.1:{free}"));
    assert!(bench.run(&["--port", "4711", "plan", "c.png"]).code == 2, "an option of the page alone");
}
