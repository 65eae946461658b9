//! What answers and is no archive, or another than this table knows: told, and the visit waits.

use super::Table;
use super::trouble::kept;
use crate::invented;

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};

use sulcus::clock::{Clock, SetClock};

/// Something else that answers, once, with this.
fn answering(answer: impl Fn(&str) -> String + Send + 'static) -> String {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("http://{}", listener.local_addr().expect("an address"));
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            let mut stream: TcpStream = stream.expect("a client");
            let mut reader = BufReader::new(stream.try_clone().expect("a handle"));
            let (mut first, mut line, mut length) = (String::new(), String::new(), 0);
            reader.read_line(&mut first).expect("a line");
            while reader.read_line(&mut line).is_ok_and(|read| read > 2) {
                if let Some(value) = line.to_ascii_lowercase().strip_prefix("content-length: ") {
                    length = value.trim().parse().expect("a length");
                }
                line.clear();
            }
            let mut body = vec![0; length];
            reader.read_exact(&mut body).expect("a body");
            let _ = stream.write_all(answer(&first).as_bytes());
        }
    });
    address
}

fn http(status: &str, protocol: &str, body: &str) -> String {
    format!(
        "HTTP/1.1 {status}\r\n{protocol}Content-Length: {}\r\nConnection: close\r\n\r\n{body}",
        body.len()
    )
}

#[test]
fn what_is_no_archive_or_a_newer_one_is_told_and_its_clock_too() {
    let table = |address: &str| {
        let table = Table::new(address);
        std::fs::write(table.path().join("archive.secret"), "abcd\n").expect("written");
        invented::cat(&mut table.journal());
        table
    };
    let stranger = table(&answering(|_| http("200 OK", "", "<html>hello</html>")));
    kept(&stranger, &["is no archive of sulcus", "[archive] address"]);
    let newer = table(&answering(|_| {
        http("200 OK", "sulcus-protocol: 7\r\n", "{}")
    }));
    kept(
        &newer,
        &["is newer than this table", "bring this table up to date"],
    );
    let garbled = table(&answering(|_| {
        http("200 OK", "sulcus-protocol: 1\r\n", "{\"clinic\":")
    }));
    kept(&garbled, &["cannot be read"]);
    let elsewhere = table(&answering(|_| {
        http("302 Found", "Location: http://127.0.0.1:9/\r\n", "")
    }));
    kept(&elsewhere, &["is no archive of sulcus"]);
    // One whose clock is three hours behind, and whose disk is full.
    let full = table(&answering(|first| {
        let protocol = "sulcus-protocol: 1\r\n";
        if first.contains("/v1/hello") {
            let now = jiff::Timestamp::now() - jiff::SignedDuration::from_hours(3);
            let hello = format!(
                "{{\"clinic\":\"A\",\"name\":\"T\",\"role\":\"table\",\"program\":\"0\",\"now\":\"{now}\"}}"
            );
            http("200 OK", protocol, &hello)
        } else {
            http(
                "503 Service Unavailable",
                protocol,
                "{\"error\":\"the disk of the archive is full\"}",
            )
        }
    }));
    kept(
        &full,
        &[
            "the disk of the archive is full",
            "180 minutes ahead of that of the archive",
        ],
    );
}

#[test]
fn a_delivery_that_no_archive_takes_is_told_with_its_size() {
    let table = Table::new(&answering(|first| {
        let protocol = "sulcus-protocol: 1\r\n";
        assert!(first.contains("/v1/hello"), "nothing is sent: {first}");
        let now = jiff::Timestamp::now();
        http(
            "200 OK",
            protocol,
            &format!(
                "{{\"clinic\":\"A\",\"name\":\"T\",\"role\":\"table\",\"program\":\"0\",\"now\":\"{now}\"}}"
            ),
        )
    }));
    std::fs::write(table.path().join("archive.secret"), "abcd\n").expect("written");
    let mut journal = table.journal();
    let cat = invented::cat(&mut journal);
    let words = "many words ".repeat(200_000);
    for _ in 0..9 {
        let draft = sulcus::record::Draft::new(
            sulcus::record::Event::AddendumWritten {
                text: words.clone(),
            },
            None,
        );
        let mut clock = SetClock::at_second(1_800_000_000);
        journal.append(cat, &[draft], clock.now()).expect("saved");
    }
    drop(journal);
    kept(
        &table,
        &["the archive takes 16 MB at most", "stays at this table"],
    );
}
