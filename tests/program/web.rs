//! Attacks the page's server from outside, through the built program: every way in that a hostile page, a
//! hostile name server or another machine could try. Requests are written by hand, since no well-behaved client
//! would send them.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use sha2::{Digest, Sha256};
use tempfile::TempDir;

/// `sulcus serve` with its own data folder.
struct Program {
    child: Child,
    out: BufReader<ChildStdout>,
    port: u16,
    /// What the machine shows: token or pairing code.
    secret: String,
    fingerprint: String,
}

impl Program {
    fn start(data: &TempDir, port: u16, more: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_sulcus"))
            .arg("--data")
            .arg(data.path())
            .args(["serve", "--port", &port.to_string()])
            .args(more)
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let out = BufReader::new(child.stdout.take().expect("its output"));
        let mut program = Self {
            child,
            out,
            port: 0,
            secret: String::new(),
            fingerprint: String::new(),
        };
        let address = program.shown("Page: ");
        let (host, token) = address.split_once("/#").unwrap_or((&address, ""));
        let port = host.trim_end_matches('/').rsplit(':').next();
        program.port = port.and_then(|port| port.parse().ok()).expect("a port");
        program.secret = token.to_owned();
        if more.contains(&"--open-to-network") {
            program.fingerprint = program.shown("Certificate (SHA-256): ");
            program.secret = program.shown("Pairing code: ");
        }
        program
    }

    /// The rest of the next line that begins so.
    fn shown(&mut self, start: &str) -> String {
        let mut line = String::new();
        loop {
            line.clear();
            assert!(
                self.out.read_line(&mut line).expect("a line") > 0,
                "ended before {start}"
            );
            if let Some(rest) = line.trim_end().strip_prefix(start) {
                return rest.to_owned();
            }
        }
    }

    fn host(&self) -> String {
        format!("127.0.0.1:{}", self.port)
    }

    /// Sends bytes, takes all that comes back.
    fn send(&self, bytes: &str) -> Answer {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("a connection");
        stream
            .set_read_timeout(Some(Duration::from_secs(120)))
            .expect("a limit");
        // The server may refuse and close before all is written.
        let _ = stream.write_all(bytes.as_bytes());
        Answer::read(&mut stream)
    }

    fn get(&self, path: &str, headers: &[(&str, &str)]) -> Answer {
        self.send(&request("GET", path, &self.host(), headers, ""))
    }

    fn post(&self, path: &str, cookie: &str, body: &str) -> Answer {
        self.send(&self.good_post(path, cookie, body))
    }

    fn good_post(&self, path: &str, cookie: &str, body: &str) -> String {
        let origin = format!("http://{}", self.host());
        let headers = [
            ("Origin", origin.as_str()),
            ("Content-Type", "application/json"),
            ("Cookie", cookie),
        ];
        request("POST", path, &self.host(), &headers, body)
    }

    /// Lets a browser in; its cookie.
    fn enter(&self) -> String {
        let answer = self.post(
            "/api/enter",
            "",
            &format!(r#"{{"secret":"{}"}}"#, self.secret),
        );
        assert_eq!(answer.status, 204, "{answer:?}");
        let line = answer.header("set-cookie").expect("a cookie");
        line.split(';').next().expect("its value").to_owned()
    }

    fn press(&self, cookie: &str, seen: u64, press: &str) -> Answer {
        let body = format!(r#"{{"seen":{seen},"press":{press}}}"#);
        self.post("/api/press", cookie, &body)
    }

    /// The state as the page gets it first.
    fn state(&self, cookie: &str) -> serde_json::Value {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("a connection");
        stream
            .set_read_timeout(Some(Duration::from_secs(120)))
            .expect("a limit");
        let text = request("GET", "/api/live", &self.host(), &[("Cookie", cookie)], "");
        stream.write_all(text.as_bytes()).expect("sent");
        let mut lines = BufReader::new(stream).lines();
        loop {
            let line = lines.next().expect("a state").expect("a line");
            if let Some(json) = line.strip_prefix("data: {") {
                return serde_json::from_str(&format!("{{{json}")).expect("JSON");
            }
        }
    }

    fn kill(mut self) {
        self.child.kill().expect("killed");
        self.child.wait().expect("ended");
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[derive(Debug)]
struct Answer {
    status: u16,
    head: String,
    body: String,
}

impl Answer {
    fn read(stream: &mut impl Read) -> Self {
        let mut bytes = Vec::new();
        let mut part = [0; 4096];
        // A closed or reset connection ends the answer; what came before counts.
        while let Ok(count) = stream.read(&mut part) {
            if count == 0 {
                break;
            }
            bytes.extend_from_slice(&part[..count]);
        }
        let text = String::from_utf8_lossy(&bytes);
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head
            .split(' ')
            .nth(1)
            .and_then(|status| status.parse().ok());
        Self {
            status: status.unwrap_or(0),
            head: head.to_owned(),
            body: body.to_owned(),
        }
    }

    fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (key, value) = line.split_once(": ")?;
            key.eq_ignore_ascii_case(name).then_some(value)
        })
    }
}

fn request(method: &str, path: &str, host: &str, headers: &[(&str, &str)], body: &str) -> String {
    let mut text = format!("{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n");
    for (name, value) in headers.iter().filter(|(_, value)| !value.is_empty()) {
        text += &format!("{name}: {value}\r\n");
    }
    if !body.is_empty() {
        text += &format!("Content-Length: {}\r\n", body.len());
    }
    text + "\r\n" + body
}

fn fresh() -> (TempDir, Program) {
    let data = tempfile::tempdir().expect("a folder");
    let program = Program::start(&data, 0, &[]);
    (data, program)
}

const OPEN: &str = r#"{"do":"open_visit","with":{"patient":{"id":null,"name":"Pepper","species":"dog","breed":null,"sex":null,"born":null,"weight_g":12400,"owner":null,"invented":true},"vet":null,"nurse":null}}"#;
const ABSENT: &str = r#"{"do":"finding","with":{"tooth":105,"kind":"absent","site":null,"entrance":null,"value":"present"}}"#;

const BLOCK: &str = r#"{"do":"mark","with":{"block":{"block":"maxillary","side":"left","drug":"bupivacaine","volume_ml_hundredths":80}}}"#;

fn last(state: &serde_json::Value) -> u64 {
    state["visit"]["last"].as_u64().unwrap_or(0)
}

#[test]
fn a_touch_is_saved_and_shown() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    let answer = program.press(&cookie, 1, ABSENT);
    assert!(answer.body.contains("105, missing"), "{answer:?}");
    let state = program.state(&cookie);
    let teeth = state["visit"]["teeth"].as_array().expect("teeth");
    let tooth = teeth
        .iter()
        .find(|tooth| tooth["tooth"] == 105)
        .expect("the tooth");
    assert_eq!(tooth["is_absent"], true);
    assert_eq!(tooth["unconfirmed_count"], 1);
    assert_eq!(
        program
            .press(&cookie, last(&state), r#"{"do":"confirm"}"#)
            .status,
        200
    );
    assert_eq!(program.state(&cookie)["visit"]["unconfirmed_count"], 0);
}

#[test]
fn a_forged_host_gets_nothing() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    let port = program.port;
    let forged = [
        "evil.example".to_owned(),
        format!("evil.example:{port}"),
        "127.0.0.1".to_owned(),
        format!("127.0.0.1:{}", port.wrapping_add(1)),
        format!("127.0.0.1:{port}.evil.example"),
        format!("127.0.0.1:{port}@evil.example"),
        format!("0.0.0.0:{port}"),
        format!("127.0.0.2:{port}"),
        format!("LOCALHOST.evil.example:{port}"),
        String::new(),
    ];
    for host in &forged {
        for path in ["/", "/page.js", "/api/live", "/api/words", "/api/visits"] {
            let text = request("GET", path, host, &[("Cookie", &cookie)], "");
            let status = program.send(&text).status;
            assert!(status == 403 || status == 400, "{host} {path}: {status}");
        }
    }
    let host = program.host();
    let twice = format!(
        "GET / HTTP/1.1\r\nHost: {host}\r\nHost: evil.example\r\nConnection: close\r\n\r\n"
    );
    assert!(matches!(program.send(&twice).status, 400 | 403));
    let whole =
        format!("GET http://evil.example/ HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
    assert_eq!(program.send(&whole).status, 403);
    let none = "GET / HTTP/1.1\r\nConnection: close\r\n\r\n";
    assert!(matches!(program.send(none).status, 400 | 403));
    for good in [host, format!("localhost:{port}")] {
        assert_eq!(
            program.send(&request("GET", "/", &good, &[], "")).status,
            200
        );
    }
}

#[test]
fn a_foreign_page_cannot_press() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    let before = last(&program.state(&cookie));
    let body = format!(r#"{{"seen":1,"press":{ABSENT}}}"#);
    let host = program.host();
    let foreign = [
        String::new(),
        "null".to_owned(),
        "http://evil.example".to_owned(),
        format!("https://{host}"),
        format!("http://{host}.evil.example"),
        format!("http://{host}/"),
        format!("http://localhost:{}", program.port),
        "http://127.0.0.1".to_owned(),
    ];
    for origin in &foreign {
        let headers = [
            ("Origin", origin.as_str()),
            ("Content-Type", "application/json"),
            ("Cookie", &cookie),
        ];
        let answer = program.send(&request("POST", "/api/press", &host, &headers, &body));
        assert_eq!(answer.status, 403, "{origin}");
    }
    // The browser's own word counts even where the origin is right.
    let origin = format!("http://{host}");
    for site in ["cross-site", "same-site", "none", "nonsense"] {
        let headers = [
            ("Origin", origin.as_str()),
            ("Sec-Fetch-Site", site),
            ("Content-Type", "application/json"),
            ("Cookie", &cookie),
        ];
        let answer = program.send(&request("POST", "/api/press", &host, &headers, &body));
        assert_eq!(answer.status, 403, "{site}");
    }
    for path in ["/", "/api/live", "/api/visits"] {
        let headers = [
            ("Sec-Fetch-Site", "cross-site"),
            ("Cookie", cookie.as_str()),
        ];
        assert_eq!(program.get(path, &headers).status, 403, "{path}");
    }
    // What forms of foreign pages can send.
    for kind in [
        "",
        "text/plain",
        "application/x-www-form-urlencoded",
        "multipart/form-data",
        "application/jsonp",
    ] {
        let headers = [
            ("Origin", origin.as_str()),
            ("Content-Type", kind),
            ("Cookie", &cookie),
        ];
        let answer = program.send(&request("POST", "/api/press", &host, &headers, &body));
        assert_eq!(answer.status, 415, "{kind}");
    }
    assert_eq!(
        last(&program.state(&cookie)),
        before,
        "nothing had an effect"
    );
}

#[test]
fn nothing_has_an_effect_but_a_post() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    let host = program.host();
    let origin = format!("http://{host}");
    for method in ["GET", "HEAD", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"] {
        let headers = [
            ("Origin", origin.as_str()),
            ("Content-Type", "application/json"),
            ("Cookie", &cookie),
        ];
        let body = format!(r#"{{"seen":0,"press":{OPEN}}}"#);
        let answer = program.send(&request(method, "/api/press", &host, &headers, &body));
        assert_eq!(answer.status, 405, "{method}");
    }
    assert!(program.state(&cookie)["visit"].is_null());
}

#[test]
fn without_the_token_nobody_comes_in() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    let (name, secret) = cookie.split_once('=').expect("a cookie");
    let wrong = [
        String::new(),
        format!("{name}="),
        format!("{name}={}", "0".repeat(64)),
        format!("{name}={}", program.secret),
        format!("other={secret}"),
        format!("{name}={secret}; {name}={}", "0".repeat(64)),
        format!("{name}={}", &secret[..63]),
    ];
    for cookie in &wrong {
        for path in [
            "/api/live",
            "/api/words",
            "/api/visits",
            "/api/visits/00000000-0000-0000-0000-000000000000",
        ] {
            assert_eq!(
                program.get(path, &[("Cookie", cookie)]).status,
                401,
                "{cookie} {path}"
            );
        }
        assert_eq!(program.press(cookie, 0, OPEN).status, 401, "{cookie}");
    }
    for body in [
        r#"{"secret":""}"#,
        r#"{"secret":"0"}"#,
        r#"{"secret":"a","more":1}"#,
        "[]",
        "{",
    ] {
        let status = program.post("/api/enter", "", body).status;
        assert!(status == 401 || status == 400, "{body}: {status}");
    }
}

#[test]
fn guessing_is_stopped() {
    let (_data, program) = fresh();
    let guess = format!(r#"{{"secret":"{}"}}"#, "0".repeat(64));
    let statuses: Vec<u16> = (0..14)
        .map(|_| program.post("/api/enter", "", &guess).status)
        .collect();
    assert!(
        statuses.contains(&401) && statuses.contains(&429),
        "{statuses:?}"
    );
    // Guessing 256 bits is hopeless, so the right one is taken all the same: nobody can lock the owner out.
    let right = format!(r#"{{"secret":"{}"}}"#, program.secret);
    assert_eq!(program.post("/api/enter", "", &right).status, 204);
}

/// Files and sockets that the program holds open.
#[cfg(target_os = "linux")]
fn open_files(program: &Program) -> usize {
    std::fs::read_dir(format!("/proc/{}/fd", program.child.id()))
        .expect("the program's files")
        .count()
}

/// One request on a connection that stays open; the head of the answer.
fn ask_on(stream: &mut TcpStream, text: &str) -> String {
    stream.write_all(text.as_bytes()).expect("sent");
    let mut head = Vec::new();
    let mut byte = [0; 1];
    while !head.ends_with(b"\r\n\r\n") {
        if stream.read(&mut byte).unwrap_or(0) == 0 {
            break;
        }
        head.push(byte[0]);
    }
    let head = String::from_utf8_lossy(&head).into_owned();
    let length = head.lines().find_map(|line| {
        let (name, value) = line.split_once(": ")?;
        name.eq_ignore_ascii_case("content-length")
            .then(|| value.parse::<usize>().ok())?
    });
    let mut body = vec![0; length.unwrap_or(0)];
    stream.read_exact(&mut body).expect("the body");
    head
}

/// Of one address, that nobody was let in from, so many connections are held (`web/connections.rs`).
const UNKNOWN_OF_ONE_MAX: usize = 24;

/// Whether the other side has closed it; what it sent before is read away.
fn is_closed(mut stream: &TcpStream) -> bool {
    stream.set_nonblocking(true).expect("a mode");
    let mut answer = [0; 4096];
    loop {
        match stream.read(&mut answer) {
            Ok(0) => return true,
            Ok(_) => {}
            Err(why) => return why.kind() != std::io::ErrorKind::WouldBlock,
        }
    }
}

#[cfg(target_os = "linux")]
#[test]
fn idle_connections_of_strangers_stop_nobody() {
    for is_tls in [false, true] {
        let data = tempfile::tempdir().expect("a folder");
        let more: &[&str] = if is_tls { &["--open-to-network"] } else { &[] };
        let program = Program::start(&data, 0, more);
        let before = open_files(&program);
        let host = program.host();
        let keep = |path: &str, cookie: &str| {
            let cookie = if cookie.is_empty() {
                String::new()
            } else {
                format!("Cookie: {cookie}\r\n")
            };
            format!("GET {path} HTTP/1.1\r\nHost: {host}\r\n{cookie}\r\n")
        };
        // Hers stays open, let in.
        let mut hers = None;
        if !is_tls {
            let cookie = program.enter();
            let mut stream = TcpStream::connect(("127.0.0.1", program.port)).expect("a connection");
            let head = ask_on(&mut stream, &keep("/api/visits", &cookie));
            assert!(head.starts_with("HTTP/1.1 200"), "{head}");
            hers = Some((stream, cookie));
        }
        // Strangers: idle after a request that needs no cookie, or before any handshake.
        let strangers: Vec<TcpStream> = (0..600)
            .filter_map(|_| {
                let mut stream = TcpStream::connect(("127.0.0.1", program.port)).ok()?;
                if !is_tls {
                    let _ = stream.write_all(keep("/icon.svg", "").as_bytes());
                }
                Some(stream)
            })
            .collect();
        assert!(strangers.len() > 500, "{}", strangers.len());
        // All have been taken in, and all but the newest closed again. Before that, what is asked anew may be taken in
        // among them, and closed with them.
        // For a moment those that are being closed are open still; the system's own limit is 1,024.
        let limit = before + 400;
        let mut open: Vec<&TcpStream> = strangers.iter().collect();
        let from = std::time::Instant::now();
        while open.len() > UNKNOWN_OF_ONE_MAX || open_files(&program) > before + 60 {
            assert!(open_files(&program) < limit, "more than {limit} files open");
            assert!(
                from.elapsed() < Duration::from_secs(120),
                "{} strangers stay",
                open.len()
            );
            std::thread::sleep(Duration::from_millis(50));
            open.retain(|stream| !is_closed(stream));
        }
        if let Some((stream, cookie)) = &mut hers {
            let head = ask_on(stream, &keep("/api/visits", cookie));
            assert!(head.starts_with("HTTP/1.1 200"), "hers was closed: {head}");
            assert_eq!(program.press(cookie, 0, OPEN).status, 200);
        } else {
            let (shell, _) = over_tls(&program, &request("GET", "/", &host, &[], ""));
            assert_eq!(shell.status, 200);
        }
        let held = open_files(&program);
        assert!(held < before + 60, "{held} files open, {before} before");
    }
}

#[cfg(unix)]
#[test]
fn every_file_is_for_the_owner_of_the_account_alone() {
    use std::os::unix::fs::PermissionsExt;
    let data = tempfile::tempdir().expect("a folder");
    let program = Program::start(&data, 0, &["--open-to-network"]);
    assert_eq!(pair(&program, &program.secret).status, 204);
    let mut names = Vec::new();
    for entry in std::fs::read_dir(data.path()).expect("the folder") {
        let entry = entry.expect("an entry");
        let mode = entry.metadata().expect("its data").permissions().mode();
        let name = entry.file_name().to_string_lossy().into_owned();
        assert_eq!(mode & 0o077, 0, "{name}: {mode:o}");
        names.push(name);
    }
    for wanted in ["page-browsers.json", "page-key.der", "page-certificate.der"] {
        assert!(names.iter().any(|name| name.ends_with(wanted)), "{names:?}");
    }
}

fn browsers(data: &TempDir, more: &[&str]) -> (Option<i32>, String) {
    let out = Command::new(env!("CARGO_BIN_EXE_sulcus"))
        .arg("--data")
        .arg(data.path())
        .arg("browsers")
        .args(more)
        .output()
        .expect("it runs");
    let text =
        String::from_utf8_lossy(&out.stdout).into_owned() + &String::from_utf8_lossy(&out.stderr);
    (out.status.code(), text)
}

#[test]
fn browsers_are_listed_and_shut_out_by_command_and_page() {
    let (data, program) = fresh();
    assert_eq!(
        browsers(&data, &[]),
        (Some(0), "no browser is let in\n".into())
    );
    let (one, other, third) = (program.enter(), program.enter(), program.enter());
    let (code, list) = browsers(&data, &[]);
    assert_eq!(code, Some(0));
    assert_eq!(list.lines().count(), 3, "{list}");
    assert!(
        list.contains("127.0.0.1") && list.contains("let in until"),
        "{list}"
    );
    let id = list.split(' ').next().expect("an id").to_owned();

    // A page that is open ends too.
    let mut stream = TcpStream::connect(("127.0.0.1", program.port)).expect("a connection");
    stream
        .set_read_timeout(Some(Duration::from_secs(30)))
        .expect("a limit");
    let live = request("GET", "/api/live", &program.host(), &[("Cookie", &one)], "");
    stream.write_all(live.as_bytes()).expect("sent");
    assert_eq!(browsers(&data, &["--shut", "zzzzzz"]).0, Some(1));
    let (code, text) = browsers(&data, &["--shut", &id]);
    assert_eq!((code, text), (Some(0), format!("shut out: {id}\n")));
    assert!(
        Answer::read(&mut stream).status == 200,
        "it was live before"
    );
    let words = |cookie: &str| program.get("/api/words", &[("Cookie", cookie)]).status;
    assert_eq!((words(&one), words(&other), words(&third)), (401, 200, 200));

    // The page lists them, and shuts out all but itself.
    let listed = program.get("/api/browsers", &[("Cookie", &other)]);
    let listed: serde_json::Value = serde_json::from_str(&listed.body).expect("JSON");
    assert_eq!(listed.as_array().map(Vec::len), Some(2));
    assert!(!listed.to_string().contains("hash"), "{listed}");
    assert_eq!(
        program
            .post("/api/browsers/shut", "", r#"{"id":null}"#)
            .status,
        401
    );
    assert_eq!(
        program
            .post("/api/browsers/shut", &other, r#"{"id":"nobody"}"#)
            .status,
        404
    );
    assert_eq!(
        program
            .post("/api/browsers/shut", &other, r#"{"id":null}"#)
            .status,
        204
    );
    assert_eq!((words(&other), words(&third)), (200, 401));
    assert_eq!(browsers(&data, &["--shut", "all"]).1, "shut out: 1\n");
    assert_eq!(words(&other), 401);
}

#[test]
fn papers_are_for_those_let_in_and_change_nothing() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    assert_eq!(program.press(&cookie, 1, ABSENT).status, 200);
    let state = program.state(&cookie);
    let visit = state["visit"]["visit"].as_str().expect("an id").to_owned();
    let before = last(&state);
    for (paper, kind, start) in [
        ("report.pdf", "application/pdf", "%PDF"),
        ("owner.pdf", "application/pdf", "%PDF"),
        ("record.json", "application/json", "{"),
        ("record.fhir.json", "application/fhir+json", "{"),
        ("record.csv", "text/csv; charset=utf-8", "visit"),
    ] {
        let path = format!("/api/papers/{visit}/{paper}");
        assert_eq!(program.get(&path, &[]).status, 401, "{paper}");
        let answer = program.get(&path, &[("Cookie", &cookie)]);
        assert_eq!(answer.status, 200, "{paper}: {}", answer.body);
        assert_eq!(answer.header("content-type"), Some(kind));
        assert!(
            answer.body.starts_with(start),
            "{paper}: {}",
            &answer.body[..40]
        );
    }
    for path in [
        format!("/api/papers/{visit}/journal.sqlite"),
        format!("/api/papers/{visit}/..%2f..%2fetc%2fpasswd"),
        "/api/papers/..%2f..%2fjournal.sqlite/report.pdf".to_owned(),
        "/api/papers/00000000-0000-0000-0000-000000000000/report.pdf".to_owned(),
    ] {
        let answer = program.get(&path, &[("Cookie", &cookie)]);
        assert_eq!(answer.status, 404, "{path}: {answer:?}");
    }
    assert_eq!(last(&program.state(&cookie)), before);
}

#[test]
fn what_was_refused_is_taken_into_the_clinics_file_by_a_touch() {
    let data = tempfile::tempdir().expect("a folder");
    crate::sayings::refuse(
        data.path(),
        &[
            ("park the tooth", "monitor", 14),
            ("odd molar thing", "", 3),
        ],
    );
    let file = data.path().join("clinic.toml");
    std::fs::write(&file, "# ours\nnote_sound_days = 30\n").expect("written");
    let program = Program::start(&data, 0, &[]);
    let cookie = program.enter();
    let listed = program.get("/api/sayings", &[("Cookie", &cookie)]);
    assert_eq!(listed.status, 200, "{}", listed.body);
    let listed: serde_json::Value = serde_json::from_str(&listed.body).expect("JSON");
    assert_eq!(listed[0]["said"], "park the tooth");
    assert_eq!(listed[0]["means"], "monitor");
    assert_eq!(listed[0]["count"], 14);

    let accept = |cookie: &str, said: &str, means: &str| {
        let body = serde_json::json!({"said": said, "means": means}).to_string();
        program.post("/api/sayings/accept", cookie, &body)
    };
    assert_eq!(accept("", "park the tooth", "monitor").status, 401);
    // What clashes or is no sentence leaves the file as it was, and says why.
    for (said, means) in [
        ("odd molar thing", "bananas"),
        ("molar", "rotated"),
        ("normal extract", "leave"),
    ] {
        let answer = accept(&cookie, said, means);
        assert_eq!(answer.status, 409, "{}", answer.body);
        assert!(answer.body.contains("error"), "{}", answer.body);
    }
    let text = || std::fs::read_to_string(&file).expect("read");
    assert_eq!(text(), "# ours\nnote_sound_days = 30\n");

    assert_eq!(accept(&cookie, "park the tooth", "monitor").status, 204);
    assert!(
        text().starts_with("# ours\n") && text().contains("\"park the tooth\" = \"monitor\""),
        "{}",
        text()
    );
    let listed = program.get("/api/sayings", &[("Cookie", &cookie)]).body;
    assert!(!listed.contains("park the tooth"), "{listed}");
}

#[test]
fn after_the_end_words_are_added_and_the_visit_is_opened_with_a_reason() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    let visit = program.state(&cookie)["visit"]["visit"].to_string();
    let press = |what: &str, text: &str| {
        let press = format!(r#"{{"do":"{what}","with":{{"visit":{visit},"text":"{text}"}}}}"#);
        program.press(&cookie, 99, &press)
    };
    // While it is open, neither means anything.
    assert_eq!(press("addendum", "x").status, 409);
    assert_eq!(press("reopen", "x").status, 409);
    for wish in [r#"{"do":"finish"}"#, r#"{"do":"yes"}"#] {
        let seen = last(&program.state(&cookie));
        assert_eq!(program.press(&cookie, seen, wish).status, 200);
    }
    assert_eq!(press("addendum", "  ").status, 422);
    assert_eq!(press("reopen", "").status, 422);
    assert_eq!(press("addendum", "told by telephone").status, 200);
    let state = program.state(&cookie);
    assert_eq!(state["visit"]["is_open"], false);
    assert_eq!(state["visit"]["addenda"][0]["text"], "told by telephone");
    let nobody =
        r#"{"do":"reopen","with":{"visit":"00000000-0000-0000-0000-000000000000","text":"x"}}"#;
    assert_eq!(program.press(&cookie, 99, nobody).status, 409);
    assert_eq!(press("reopen", "a tooth was forgotten").status, 200);
    let state = program.state(&cookie);
    assert_eq!(state["visit"]["is_open"], true);
    assert_eq!(
        state["visit"]["reopenings"][0]["text"],
        "a tooth was forgotten"
    );
}

#[test]
fn only_the_values_of_the_list_are_confirmed() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    let two = ABSENT.replace("105", "205");
    for press in [ABSENT, &two] {
        assert_eq!(program.press(&cookie, 9, press).status, 200);
    }
    let entry_of = |state: &serde_json::Value, number: u16| {
        let teeth = state["visit"]["teeth"].as_array().expect("teeth");
        let tooth = teeth.iter().find(|tooth| tooth["tooth"] == number);
        tooth.expect("the tooth")["values"][0].clone()
    };
    let state = program.state(&cookie);
    let entry = entry_of(&state, 105)["entry"].to_string();
    let these = format!(r#"{{"do":"confirm_these","with":{{"entries":[{entry},9999]}}}}"#);
    assert_eq!(program.press(&cookie, last(&state), &these).status, 200);
    let state = program.state(&cookie);
    assert_eq!(entry_of(&state, 105)["is_confirmed"], true);
    assert_eq!(entry_of(&state, 205)["is_confirmed"], false);
    // With a question open it would be a yes.
    let extract = r#"{"do":"decide","with":{"tooth":104,"decision":"extract","months":null,"treatment":null,"reason":null}}"#;
    assert_eq!(program.press(&cookie, last(&state), extract).status, 200);
    let entry = entry_of(&state, 205)["entry"].to_string();
    let these = format!(r#"{{"do":"confirm_these","with":{{"entries":[{entry}]}}}}"#);
    assert_eq!(program.press(&cookie, 9999, &these).status, 409);
}

#[test]
fn the_words_of_the_page_hold_nothing_of_a_visit_and_follow_the_clinics_language() {
    let data = tempfile::tempdir().expect("a folder");
    std::fs::write(data.path().join("clinic.toml"), "page_language = \"de\"\n").expect("written");
    let program = Program::start(&data, 0, &[]);
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    let words = program.get("/api/messages", &[]);
    assert_eq!(words.status, 200);
    assert!(
        words.body.contains("\"de\"") && words.body.contains("Ja"),
        "{}",
        words.body
    );
    assert!(!words.body.contains("Pepper"));
    drop(program);
    std::fs::write(data.path().join("clinic.toml"), "page_language = \"xx\"\n").expect("written");
    let out = Command::new(env!("CARGO_BIN_EXE_sulcus"))
        .arg("--data")
        .arg(data.path())
        .args(["serve", "--port", "0"])
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(1));
    let told = String::from_utf8_lossy(&out.stderr);
    assert!(
        told.contains("page_language") && told.contains("en, de"),
        "{told}"
    );
}

#[test]
fn a_flood_of_presses_is_slowed() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    // All sent before any is answered, so that the test does not hang on the speed of the machine.
    let streams: Vec<TcpStream> = (0..150)
        .map(|_| {
            let mut stream = TcpStream::connect(("127.0.0.1", program.port)).expect("a connection");
            let text =
                program.good_post("/api/press", &cookie, r#"{"seen":0,"press":{"do":"next"}}"#);
            stream.write_all(text.as_bytes()).expect("sent");
            stream
        })
        .collect();
    let slowed = streams
        .into_iter()
        .filter(|stream| Answer::read(&mut &*stream).status == 429)
        .count();
    assert!(slowed > 0);
}

#[test]
fn the_cookie_is_hidden_and_only_hashes_are_kept() {
    let (data, program) = fresh();
    let answer = program.post(
        "/api/enter",
        "",
        &format!(r#"{{"secret":"{}"}}"#, program.secret),
    );
    let line = answer.header("set-cookie").expect("a cookie");
    for part in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(line.contains(part), "{line}");
    }
    assert!(
        line.contains(&program.port.to_string()),
        "a name for each port: {line}"
    );
    let secret = line.split(['=', ';']).nth(1).expect("its value");
    assert!(secret.len() >= 32 && !secret.contains(&program.secret));
    for entry in std::fs::read_dir(data.path()).expect("the folder") {
        let path = entry.expect("an entry").path();
        let text = String::from_utf8_lossy(&std::fs::read(&path).expect("its bytes")).into_owned();
        assert!(
            !text.contains(secret),
            "{} holds the secret",
            path.display()
        );
        assert!(
            !text.contains(&program.secret),
            "{} holds the token",
            path.display()
        );
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let file = data.path().join("page-browsers.json");
        let mode = std::fs::metadata(file)
            .expect("the file")
            .permissions()
            .mode();
        assert_eq!(mode & 0o077, 0);
    }
}

#[test]
fn a_browser_finds_back_after_a_kill_but_an_old_token_does_not() {
    let (data, program) = fresh();
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    assert_eq!(program.press(&cookie, 1, ABSENT).status, 200);
    let before = program.state(&cookie)["visit"]["teeth"].clone();
    let (port, token) = (program.port, program.secret.clone());
    program.kill();
    let again = Program::start(&data, port, &[]);
    let state = again.state(&cookie);
    assert_eq!(state["visit"]["teeth"], before);
    assert_ne!(token, again.secret);
    let answer = again.post("/api/enter", "", &format!(r#"{{"secret":"{token}"}}"#));
    assert_eq!(answer.status, 401);
}

#[test]
fn every_answer_carries_the_guarding_headers() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    let answers = [
        program.get("/", &[]),
        program.get("/page.js", &[]),
        program.get("/nothing-here", &[]),
        program.get("/api/words", &[]),
        program.get("/api/words", &[("Cookie", &cookie)]),
        program.send(&request("GET", "/", "evil.example", &[], "")),
        program.press(&cookie, 0, "{}"),
    ];
    for answer in &answers {
        let policy = answer.header("content-security-policy").expect("a policy");
        for part in [
            "default-src 'none'",
            "script-src 'self'",
            "frame-ancestors 'none'",
            "form-action 'none'",
            "base-uri 'none'",
        ] {
            assert!(policy.contains(part), "{policy}");
        }
        assert!(!policy.contains("unsafe"), "{policy}");
        assert_eq!(answer.header("x-content-type-options"), Some("nosniff"));
        assert_eq!(answer.header("x-frame-options"), Some("DENY"));
        assert_eq!(answer.header("referrer-policy"), Some("no-referrer"));
        assert_eq!(answer.header("cache-control"), Some("no-store"));
        assert_eq!(answer.header("access-control-allow-origin"), None);
        assert_eq!(answer.header("server"), None);
    }
}

#[test]
fn a_huge_or_strange_body_is_refused() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    let huge = format!(r#"{{"seen":0,"press":{{"do":"{}"}}}}"#, "a".repeat(200_000));
    assert_eq!(program.post("/api/press", &cookie, &huge).status, 413);
    let origin = format!("http://{}", program.host());
    let chunk = format!("8000\r\n{}\r\n", " ".repeat(0x8000));
    let chunked = format!(
        "POST /api/press HTTP/1.1\r\nHost: {}\r\nOrigin: {origin}\r\nContent-Type: application/json\r\nCookie: {cookie}\r\n\
         Transfer-Encoding: chunked\r\nConnection: close\r\n\r\n{chunk}{chunk}0\r\n\r\n",
        program.host()
    );
    assert_eq!(program.send(&chunked).status, 413);
    let deep = "[".repeat(10_000);
    assert_eq!(program.post("/api/press", &cookie, &deep).status, 400);
    let named = |name: &str| OPEN.replace("Pepper", name);
    let strange = [
        r#"{"do":"confirm","with":{"more":1}}"#.to_owned(),
        r#"{"do":"confirm","more":1}"#.to_owned(),
        r#"{"do":"no_such_thing"}"#.to_owned(),
        r#"{"do":"choose","with":{"tooth":999}}"#.to_owned(),
        r#"{"do":"choose","with":{"tooth":104,"more":1}}"#.to_owned(),
        OPEN.replace(r#""invented":true"#, r#""invented":true,"more":1"#),
        OPEN.replace("12400", "9999999"),
        OPEN.replace("\"dog\"", "\"horse\""),
        OPEN.replace(r#""born":null"#, r#""born":"yesterday""#),
        OPEN.replace(r#""born":null"#, r#""born":"2999-01-01""#),
        OPEN.replace(r#""born":null"#, r#""born":"1950""#),
        named(""),
        named("   "),
        named(&"x".repeat(121)),
        named("a\\u0000b"),
        r#"{"do":"finding","with":{"tooth":104,"kind":"depth","site":"buccal","entrance":null,"value":{"mm":21}}}"#.to_owned(),
        r#"{"do":"finding","with":{"tooth":104,"kind":"depth","site":null,"entrance":null,"value":{"mm":2}}}"#.to_owned(),
        r#"{"do":"mark","with":{"celsius_tenths":9999}}"#.to_owned(),
        BLOCK.replace(":80", ":0"),
        BLOCK.replace(":80", ":1000"),
        BLOCK.replace(":80", ":-1"),
        BLOCK.replace("maxillary", "somewhere"),
        BLOCK.replace(":80", r#":80,"strength_percent_hundredths":1"#),
        r#"{"do":"mark","with":{"medicine":"  "}}"#.to_owned(),
        format!(r#"{{"do":"mark","with":{{"medicine":"{}"}}}}"#, "x".repeat(121)),
        r#"{"do":"mark","with":{"extracted":{"tooth":104,"method":"closed"}}}"#.to_owned(),
        r#"{"do":"work","with":{"tooth":104,"work":{"treated":"magic"}}}"#.to_owned(),
        r#"{"do":"withdraw","with":{"entry":"1"}}"#.to_owned(),
        r#"{"do":"withdraw","with":{"entry":1,"more":1}}"#.to_owned(),
        // A depth is of no part of the mouth, and a place is one.
        r#"{"do":"finding","with":{"tooth":null,"kind":"depth","site":null,"entrance":null,"area":{"area":"cheek","side":null},"value":{"mm":2}}}"#.to_owned(),
        r#"{"do":"finding","with":{"tooth":104,"kind":"mass","site":"buccal","entrance":null,"area":{"area":"cheek","side":null},"value":"present"}}"#.to_owned(),
        r#"{"do":"decide","with":{"tooth":104,"decision":"extract","months":3,"treatment":null,"reason":null}}"#.to_owned(),
    ];
    for press in &strange {
        let mut status = program.press(&cookie, 0, press).status;
        // Faster than any hand: the program says so.
        while status == 429 {
            std::thread::sleep(Duration::from_millis(50));
            status = program.press(&cookie, 0, press).status;
        }
        assert!(status == 400 || status == 422, "{press}: {status}");
    }
    let outside = format!(r#"{{"seen":0,"press":{OPEN},"more":1}}"#);
    let mut status = 429;
    while status == 429 {
        std::thread::sleep(Duration::from_millis(50));
        status = program.post("/api/press", &cookie, &outside).status;
    }
    assert_eq!(status, 400);
    assert!(program.state(&cookie)["visit"].is_null());
}

#[test]
fn a_script_in_a_name_stays_text() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    let name = "<script>alert(1)</script>";
    assert_eq!(
        program
            .press(&cookie, 0, &OPEN.replace("Pepper", name))
            .status,
        200
    );
    assert_eq!(program.state(&cookie)["visit"]["patient"]["name"], name);
    let found = program.get("/api/visits?q=script", &[("Cookie", &cookie)]);
    assert_eq!(found.header("content-type"), Some("application/json"));
    assert!(found.body.contains(name));
    // The shell of the page is the same for all: no name is ever put into HTML by the server.
    assert!(!program.get("/", &[]).body.contains("alert(1)"));
}

#[test]
fn no_path_climbs_out() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    for path in [
        "/../../etc/passwd",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/api/visits/../../journal.sqlite",
        "/api/visits/..%2f..%2fjournal.sqlite",
        "/api/visits/%2e%2e%2fjournal.sqlite",
        "/api/visits/..%5cjournal.sqlite",
        "/api/visits/journal.sqlite",
        "/api/visits/%00",
        "/journal.sqlite",
        "/page-browsers.json",
        "//etc/passwd",
        "/api/visits/' OR 1=1",
    ] {
        let answer = program.get(path, &[("Cookie", &cookie)]);
        assert!(matches!(answer.status, 400 | 404), "{path}: {answer:?}");
        assert!(!answer.body.contains("SQLite") && !answer.body.contains("root:"));
    }
    let strange = program.get("/api/visits?q=%27%20OR%201=1--", &[("Cookie", &cookie)]);
    assert_eq!(
        (strange.status, strange.body.contains("Pepper")),
        (200, false)
    );
    let unknown = program.get("/api/visits?q=a&more=1", &[("Cookie", &cookie)]);
    assert_eq!(unknown.status, 400);
}

#[test]
fn yes_answers_only_the_question_that_was_on_the_page() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    assert_eq!(
        program
            .press(&cookie, 1, r#"{"do":"choose","with":{"tooth":104}}"#)
            .status,
        200
    );
    let seen = last(&program.state(&cookie));
    let extract = r#"{"do":"decide","with":{"tooth":104,"decision":"extract","months":null,"treatment":null,"reason":null}}"#;
    assert_eq!(program.press(&cookie, seen, extract).status, 200);
    // The finger was on its way before the question came.
    for press in [r#"{"do":"yes"}"#, r#"{"do":"confirm"}"#, r#"{"do":"undo"}"#] {
        assert_eq!(program.press(&cookie, seen, press).status, 409, "{press}");
    }
    let state = program.state(&cookie);
    assert_eq!(state["question"], "Extract 104?");
    // Confirm is not yes, even when the question was seen.
    assert_eq!(
        program
            .press(&cookie, last(&state), r#"{"do":"confirm"}"#)
            .status,
        409
    );
    assert_eq!(
        program
            .press(&cookie, last(&state), r#"{"do":"yes"}"#)
            .status,
        200
    );
    // A second touch finds no question and confirms nothing else.
    assert_eq!(
        program
            .press(&cookie, last(&state), r#"{"do":"yes"}"#)
            .status,
        409
    );
    let state = program.state(&cookie);
    let teeth = state["visit"]["teeth"].as_array().expect("teeth");
    let tooth = teeth
        .iter()
        .find(|tooth| tooth["tooth"] == 104)
        .expect("the tooth");
    assert_eq!(tooth["decision"]["is_confirmed"], true);
}

/// A conflict that arises after the decision is put in its own words at the next pause, and its answer is on record
/// with its time; one that nobody answered stays open.
#[test]
fn a_later_conflict_is_asked_on_the_page_and_its_answer_is_on_record() {
    let (data, program) = fresh();
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    let press = |press: &str| {
        let seen = last(&program.state(&cookie));
        let answer = program.press(&cookie, seen, press);
        assert_eq!(answer.status, 200, "{press}: {}", answer.body);
    };
    for tooth in [104, 204] {
        press(&format!(r#"{{"do":"choose","with":{{"tooth":{tooth}}}}}"#));
        press(&format!(
            r#"{{"do":"decide","with":{{"tooth":{tooth},"decision":"leave","months":null,"treatment":null,"reason":null}}}}"#
        ));
        press(&format!(
            r#"{{"do":"finding","with":{{"tooth":{tooth},"kind":"fracture","site":null,"entrance":null,"value":{{"code":"CCF"}}}}}}"#
        ));
    }
    let question = || {
        let state = program.state(&cookie);
        state["question"].as_str().map(str::to_owned)
    };
    let began = std::time::Instant::now();
    let asked = loop {
        if let Some(asked) = question() {
            break asked;
        }
        assert!(
            began.elapsed() < std::time::Duration::from_secs(120),
            "it is asked"
        );
        std::thread::sleep(std::time::Duration::from_millis(200));
    };
    let tooth = if asked.contains("104") { 104 } else { 204 };
    let other = 308 - tooth;
    assert!(
        asked.contains(&tooth.to_string()) && !asked.contains(&other.to_string()),
        "{asked}"
    );
    press(r#"{"do":"yes"}"#);
    let plan =
        crate::program::run(crate::program::sulcus(data.path()).args(["plan", "last", "--json"]));
    let plan: serde_json::Value = serde_json::from_slice(&plan.stdout).expect("JSON");
    let conflicts = |tooth: i32| -> Vec<serde_json::Value> {
        let teeth = plan["teeth"].as_array().expect("teeth");
        let of = teeth.iter().find(|one| one["tooth"] == tooth);
        of.and_then(|one| one["conflicts"].as_array())
            .cloned()
            .unwrap_or_default()
    };
    let stands = |conflict: &serde_json::Value| {
        conflict["vet_stands_by_it"] == true && conflict["asked"]["answered_at"].is_string()
    };
    let (answered, open) = (conflicts(tooth), conflicts(other));
    assert!(answered.iter().any(stands), "{asked}: {answered:?}");
    assert!(!open.is_empty() && !open.iter().any(stands), "{open:?}");
}

/// Asked once where the clinic's limit is near; charting goes on under it, and the vet's yes is on record.
#[test]
fn whether_to_go_on_or_to_stage_is_asked_and_holds_nothing_up() {
    for is_closed in [true, false] {
        let data = tempfile::tempdir().expect("a folder");
        std::fs::write(
            data.path().join("clinic.toml"),
            "[limits]\nanaesthetic_minutes_max = 1\n",
        )
        .expect("written");
        let program = Program::start(&data, 0, &[]);
        let cookie = program.enter();
        assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
        let press = |press: &str| {
            let seen = last(&program.state(&cookie));
            let answer = program.press(&cookie, seen, press);
            assert_eq!(answer.status, 200, "{press}: {}", answer.body);
        };
        press(r#"{"do":"mark","with":"anaesthesia_started"}"#);
        press(r#"{"do":"choose","with":{"tooth":108}}"#);
        press(
            r#"{"do":"finding","with":{"tooth":108,"kind":"fracture","site":null,"entrance":null,"value":{"code":"CCF"}}}"#,
        );
        press(
            r#"{"do":"decide","with":{"tooth":108,"decision":"extract","months":null,"treatment":null,"reason":null}}"#,
        );
        if program.state(&cookie)["question"].is_string() {
            press(r#"{"do":"yes"}"#);
        }
        let began = std::time::Instant::now();
        let asked = loop {
            let state = program.state(&cookie);
            if let Some(asked) = state["question"].as_str() {
                break asked.to_owned();
            }
            assert!(began.elapsed() < Duration::from_secs(120), "it is asked");
            std::thread::sleep(Duration::from_millis(200));
        };
        assert!(
            asked.contains("Go on, or close and stage") && asked.contains("108"),
            "{asked}"
        );
        if is_closed {
            press(r#"{"do":"yes"}"#);
        } else {
            // Charting is the answer "go on".
            press(ABSENT);
        }
        assert!(program.state(&cookie)["question"].is_null());
        let plan = crate::program::run(
            crate::program::sulcus(data.path()).args(["plan", "last", "--json"]),
        );
        let plan: serde_json::Value = serde_json::from_slice(&plan.stdout).expect("JSON");
        let put_off = plan["staging"]["put_off"].as_array().expect("a list");
        assert_eq!(put_off.len(), usize::from(is_closed), "{plan}");
        let out = crate::program::run(
            crate::program::sulcus(data.path()).args(["export", "last", "--format", "json"]),
        );
        let record: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
        let asked: Vec<_> = record["challenges"]
            .as_array()
            .expect("questions")
            .iter()
            .filter(|one| one["rule"] == "go_on_or_stage")
            .collect();
        assert_eq!(asked.len(), 1, "{record}");
        assert_eq!(asked[0]["accepted"], is_closed, "{asked:?}");
    }
}

#[test]
fn the_clinics_own_solutions_and_limits_count() {
    let data = tempfile::tempdir().expect("a folder");
    // Twice the strength of the usual bottle: 0.8 ml are 8 mg, 1.3 ml are over 12.4 mg.
    std::fs::write(
        data.path().join("clinic.toml"),
        "[anaesthetic]\nbupivacaine_percent = 1.0\n[limits]\ndog_normal_depth_mm = 2\n",
    )
    .expect("written");
    let program = Program::start(&data, 0, &[]);
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    assert_eq!(program.press(&cookie, 1, BLOCK).status, 200);
    let state = program.state(&cookie);
    assert_eq!(state["normal_depth_mm"], 2, "its own limit too");
    let bupivacaine = &state["anaesthetics"][1];
    assert_eq!(bupivacaine["drug"], "bupivacaine");
    assert_eq!(bupivacaine["percent"], "1");
    assert_eq!(bupivacaine["given_mg"], "8.0");
    assert_eq!(bupivacaine["ceiling_mg"], "12.4");
    assert_eq!(bupivacaine["left_ml"], "0.44");
    let seen = last(&state);
    let more = BLOCK.replace(":80", ":50");
    assert_eq!(program.press(&cookie, seen, &more).status, 200);
    let question = program.state(&cookie)["question"].to_string();
    assert!(question.contains("the ceiling is 12.4"), "{question}");
}

#[test]
fn a_value_is_withdrawn_once_and_a_finished_visit_keeps_its_values() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    assert_eq!(program.press(&cookie, 0, OPEN).status, 200);
    assert_eq!(program.press(&cookie, 1, BLOCK).status, 200);
    let state = program.state(&cookie);
    let block = &state["visit"]["procedures"][0];
    let withdraw = format!(
        r#"{{"do":"withdraw","with":{{"entry":{}}}}}"#,
        block["entry"]
    );
    assert_eq!(program.press(&cookie, last(&state), &withdraw).status, 200);
    let state = program.state(&cookie);
    assert_eq!(
        state["visit"]["procedures"].as_array().map(Vec::len),
        Some(0)
    );
    assert_eq!(program.press(&cookie, last(&state), &withdraw).status, 409);
    assert_eq!(program.press(&cookie, last(&state), BLOCK).status, 200);
    for press in [r#"{"do":"finish"}"#, r#"{"do":"yes"}"#] {
        let seen = last(&program.state(&cookie));
        assert_eq!(program.press(&cookie, seen, press).status, 200);
    }
    let state = program.state(&cookie);
    assert_eq!(state["visit"]["is_open"], false);
    let entry = &state["visit"]["procedures"][0]["entry"];
    let withdraw = format!(r#"{{"do":"withdraw","with":{{"entry":{entry}}}}}"#);
    program.press(&cookie, last(&state), &withdraw);
    let state = program.state(&cookie);
    assert_eq!(
        state["visit"]["procedures"].as_array().map(Vec::len),
        Some(1)
    );
}

#[test]
fn only_loopback_is_listened_on_unless_asked() {
    for address in ["192.0.2.7", "0.0.0.0", "::"] {
        let data = tempfile::tempdir().expect("a folder");
        let out = Command::new(env!("CARGO_BIN_EXE_sulcus"))
            .arg("--data")
            .arg(data.path())
            .args(["serve", "--port", "0", "--listen", address])
            .output()
            .expect("it runs");
        assert_eq!(out.status.code(), Some(2), "{address}: {out:?}");
        assert!(out.stdout.is_empty(), "{out:?}");
    }
}

// ---- open to the network

/// Takes any certificate and keeps it, as a person who compares the fingerprint does.
#[derive(Debug)]
struct AnyCertificate {
    seen: Mutex<Vec<u8>>,
    provider: rustls::crypto::CryptoProvider,
}

impl rustls::client::danger::ServerCertVerifier for AnyCertificate {
    fn verify_server_cert(
        &self,
        certificate: &rustls::pki_types::CertificateDer<'_>,
        _: &[rustls::pki_types::CertificateDer<'_>],
        _: &rustls::pki_types::ServerName<'_>,
        _: &[u8],
        _: rustls::pki_types::UnixTime,
    ) -> Result<rustls::client::danger::ServerCertVerified, rustls::Error> {
        *self.seen.lock().expect("whole") = certificate.to_vec();
        Ok(rustls::client::danger::ServerCertVerified::assertion())
    }

    fn verify_tls12_signature(
        &self,
        message: &[u8],
        certificate: &rustls::pki_types::CertificateDer<'_>,
        signature: &rustls::DigitallySignedStruct,
    ) -> Result<rustls::client::danger::HandshakeSignatureValid, rustls::Error> {
        let known = &self.provider.signature_verification_algorithms;
        rustls::crypto::verify_tls12_signature(message, certificate, signature, known)
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        certificate: &rustls::pki_types::CertificateDer<'_>,
        signature: &rustls::DigitallySignedStruct,
    ) -> Result<rustls::client::danger::HandshakeSignatureValid, rustls::Error> {
        let known = &self.provider.signature_verification_algorithms;
        rustls::crypto::verify_tls13_signature(message, certificate, signature, known)
    }

    fn supported_verify_schemes(&self) -> Vec<rustls::SignatureScheme> {
        self.provider
            .signature_verification_algorithms
            .supported_schemes()
    }
}

/// One request over TLS; the answer and the certificate's fingerprint.
fn over_tls(program: &Program, text: &str) -> (Answer, String) {
    let (answer, certificate) = over_tls_from([127, 0, 0, 1], program, text);
    let hash = Sha256::digest(&certificate);
    let fingerprint = hash.iter().map(|byte| format!("{byte:02X}")).collect();
    (answer, fingerprint)
}

/// A connection from one of this machine's own addresses.
fn connected_from(address: [u8; 4], port: u16) -> TcpStream {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_io()
        .build()
        .expect("a runtime");
    let stream = runtime.block_on(async {
        let socket = tokio::net::TcpSocket::new_v4().expect("a socket");
        socket.bind((address, 0).into()).expect("its address");
        socket.connect(([127, 0, 0, 1], port).into()).await
    });
    let stream = stream.expect("a connection").into_std().expect("plain");
    stream.set_nonblocking(false).expect("blocking");
    stream
}

/// The answer and the certificate.
fn over_tls_from(address: [u8; 4], program: &Program, text: &str) -> (Answer, Vec<u8>) {
    let provider = rustls::crypto::ring::default_provider();
    let verifier = Arc::new(AnyCertificate {
        seen: Mutex::default(),
        provider: provider.clone(),
    });
    let config = rustls::ClientConfig::builder_with_provider(Arc::new(provider))
        .with_safe_default_protocol_versions()
        .expect("versions")
        .dangerous()
        .with_custom_certificate_verifier(Arc::clone(&verifier) as _)
        .with_no_client_auth();
    let name = rustls::pki_types::ServerName::try_from("127.0.0.1").expect("a name");
    let client = rustls::ClientConnection::new(Arc::new(config), name).expect("a client");
    let stream = connected_from(address, program.port);
    stream
        .set_read_timeout(Some(Duration::from_secs(120)))
        .expect("a limit");
    let mut stream = rustls::StreamOwned::new(client, stream);
    stream.write_all(text.as_bytes()).expect("sent");
    let answer = Answer::read(&mut stream);
    let certificate = verifier.seen.lock().expect("whole").clone();
    (answer, certificate)
}

fn pair(program: &Program, code: &str) -> Answer {
    pair_from([127, 0, 0, 1], program, code)
}

fn pair_from(address: [u8; 4], program: &Program, code: &str) -> Answer {
    let host = program.host();
    let origin = format!("https://{host}");
    let headers = [
        ("Origin", origin.as_str()),
        ("Content-Type", "application/json"),
    ];
    let body = format!(r#"{{"secret":"{code}"}}"#);
    let text = request("POST", "/api/enter", &host, &headers, &body);
    over_tls_from(address, program, &text).0
}

/// The times between which a certificate is good, as its DER holds them.
fn validity(certificate: &[u8]) -> Vec<jiff::civil::Date> {
    certificate
        .windows(15)
        // UTCTime of 13 letters: YYMMDDHHMMSSZ.
        .filter(|bytes| bytes[0] == 0x17 && bytes[1] == 13)
        .filter_map(|bytes| {
            let text = std::str::from_utf8(&bytes[2..8]).ok()?;
            let part = |at: usize| text[at..at + 2].parse::<i8>().ok();
            jiff::civil::Date::new(2000 + i16::from(part(0)?), part(2)?, part(4)?).ok()
        })
        .collect()
}

#[test]
fn the_certificate_is_of_two_years_and_bears_our_name() {
    let data = tempfile::tempdir().expect("a folder");
    let program = Program::start(&data, 0, &["--open-to-network"]);
    let text = request("GET", "/", &program.host(), &[], "");
    let (_, certificate) = over_tls_from([127, 0, 0, 1], &program, &text);
    let contains = |words: &[u8]| certificate.windows(words.len()).any(|part| part == words);
    assert!(contains(b"sulcus, page of this clinic"));
    assert!(!contains(b"rcgen"));
    let times = validity(&certificate);
    let [from, until] = times.as_slice() else {
        panic!("{times:?}");
    };
    let days = (*until - *from).get_days();
    assert!((720..=732).contains(&days), "{from} to {until}");

    // One that ends soon, and one of an older version that ran for ever, are made anew.
    let first = program.fingerprint.clone();
    drop(program);
    let until = |data: &TempDir| {
        std::fs::read_dir(data.path())
            .expect("the folder")
            .filter_map(|entry| Some(entry.ok()?.path()))
            .find(|path| {
                path.to_string_lossy()
                    .ends_with("page-certificate-until.txt")
            })
            .expect("its end")
    };
    std::fs::write(until(&data), "2020-01-01T00:00:00Z\n").expect("written");
    let second = Program::start(&data, 0, &["--open-to-network"]);
    assert_ne!(second.fingerprint, first);
    let fingerprint = second.fingerprint.clone();
    drop(second);
    std::fs::remove_file(until(&data)).expect("removed");
    let third = Program::start(&data, 0, &["--open-to-network"]);
    assert_ne!(third.fingerprint, fingerprint);
}

#[test]
fn other_machines_need_tls_and_the_code() {
    let data = tempfile::tempdir().expect("a folder");
    let mut program = Program::start(&data, 0, &["--open-to-network"]);
    // Plain text gets nothing of the page.
    assert!(!program.get("/", &[]).head.starts_with("HTTP/1.1 200"));
    let host = program.host();
    let (shell, fingerprint) = over_tls(&program, &request("GET", "/", &host, &[], ""));
    assert_eq!(shell.status, 200);
    assert_eq!(fingerprint, program.fingerprint.replace(' ', ""));
    let (shut, _) = over_tls(&program, &request("GET", "/api/words", &host, &[], ""));
    assert_eq!(shut.status, 401);

    let code = program.secret.clone();
    assert_eq!(code.len(), 9, "eight figures in two groups: {code}");
    let answer = pair(&program, &code);
    assert_eq!(answer.status, 204, "{answer:?}");
    let line = answer.header("set-cookie").expect("a cookie");
    assert!(
        line.starts_with("__Host-") && line.contains("Secure"),
        "{line}"
    );
    let cookie = line.split(';').next().expect("its value").to_owned();
    let inside = request("GET", "/api/words", &host, &[("Cookie", &cookie)], "");
    assert_eq!(over_tls(&program, &inside).0.status, 200);

    // A code lets one browser in; then the machine shows a new one.
    let next = program.shown("Pairing code: ");
    assert_ne!(next, code);
    assert_eq!(pair(&program, &code).status, 401);
    // After five wrong tries the address has to wait, with the right code too; the owner's other machine has not.
    let wrong = if next == "0000 0000" {
        "1111 1111"
    } else {
        "0000 0000"
    };
    // One was tried above already: the spent code.
    for _ in 0..4 {
        assert_eq!(pair(&program, wrong).status, 401);
    }
    assert_eq!(pair(&program, wrong).status, 429);
    assert_eq!(pair(&program, &next).status, 429);
    assert_eq!(pair_from([127, 0, 0, 2], &program, &next).status, 204);

    // The same certificate after a restart: people compare its fingerprint once.
    let (port, fingerprint) = (program.port, program.fingerprint.clone());
    program.kill();
    let again = Program::start(&data, port, &["--open-to-network"]);
    assert_eq!(again.fingerprint, fingerprint);
    assert_eq!(over_tls(&again, &inside).0.status, 200);
}

/// An animal that cannot be is refused, an unlikely one only where somebody says that it is right; a kitten is light and
/// no slip. What the tests of the two viruses gave is kept.
#[test]
fn an_animal_of_the_page_is_a_plausible_one() {
    let (_data, program) = fresh();
    let cookie = program.enter();
    let this_year = sulcus::clock::today().year();
    let cat = OPEN.replace("\"dog\"", "\"cat\"");
    let heavy = cat.replace("12400", "41000");
    let unlikely = cat.replace("12400", "11500");
    let born = format!(r#""born":"{}""#, this_year - 6);
    let old_and_light = cat.replace("12400", "600").replace(r#""born":null"#, &born);
    let toy = OPEN.replace(r#""breed":null"#, r#""breed":"Maltese""#);
    let no_chip = OPEN.replace(r#""name""#, r#""microchip":"12","name""#);
    for (press, why) in [
        (&heavy, "cannot be"),
        (&unlikely, "very heavy"),
        (&old_and_light, "very light"),
        (&toy, "for a toy breed is very heavy"),
        (&no_chip, "15 digits"),
    ] {
        let answer = program.press(&cookie, 0, press);
        assert_eq!(answer.status, 422, "{press}");
        assert!(answer.body.contains(why), "{why}: {}", answer.body);
    }
    let right = unlikely.replace(
        r#""invented":true"#,
        r#""invented":true,"weight_is_right":true,"felv":true,"fiv":false,"microchip":"999 000 000 000 001""#,
    );
    let answer = program.press(&cookie, 0, &right);
    assert_eq!(answer.status, 200, "{}", answer.body);
    let patient = &program.state(&cookie)["visit"]["patient"];
    assert_eq!(patient["weight_g"], 11_500);
    assert_eq!(patient["microchip"], "999000000000001");
    assert_eq!(
        (&patient["felv"], &patient["fiv"]),
        (&true.into(), &false.into())
    );
}
