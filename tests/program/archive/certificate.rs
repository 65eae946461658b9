//! The server's certificate is renewed while it runs, and tables that hold the earlier one know it still.

use super::{Archive, CLINIC, Table, stderr, stdout};
use crate::invented;

use std::path::Path;
use std::time::{Duration, Instant};

const PATIENCE: Duration = Duration::from_secs(60);

/// Sends until it is taken: the server looks for a new certificate every few seconds.
#[track_caller]
fn sends_in_time(table: &Table) {
    let started = Instant::now();
    loop {
        let sent = table.archive(&["send", "--retry"]);
        if sent.status.success() {
            return;
        }
        assert!(started.elapsed() < PATIENCE, "{}", stderr(&sent));
        std::thread::sleep(Duration::from_millis(500));
    }
}

fn set(table: &Table, archive: &Archive, certificate: &str) {
    table.set(&format!(
        "[archive]\naddress = \"{}\"\ncertificate = \"{certificate}\"\n",
        archive.address
    ));
}

#[test]
fn a_certificate_made_here_is_renewed_with_its_key_while_the_server_runs() {
    let Some(mut archive) = Archive::start("a_certificate_made_here_is_renewed") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    archive.kill();
    archive.serve(&["--tls"]);
    let made = |name: &str| archive.folder.path().join(format!("127.0.0.1-page-{name}"));
    let certificate = made("certificate.der");
    let first = std::fs::read(&certificate).expect("read");
    std::fs::write(table.path().join("archive.der"), &first).expect("written");
    set(&table, &archive, "archive.der");
    invented::cat(&mut table.journal());
    table.send();
    let status = archive.keeper(&["status"]);
    assert!(
        stdout(&status).contains("127.0.0.1-page-certificate.der: good until"),
        "{}",
        stdout(&status)
    );
    // Its time is nearly up.
    let tomorrow = jiff::Timestamp::now() + jiff::SignedDuration::from_hours(24);
    std::fs::write(made("certificate-until.txt"), format!("{tomorrow}\n")).expect("written");
    let started = Instant::now();
    while std::fs::read(&certificate).expect("read") == first {
        assert!(started.elapsed() < PATIENCE, "it is renewed");
        std::thread::sleep(Duration::from_millis(200));
    }
    // The new one alone is shown from now on; the table holds the earlier one, and so does the next that is let in.
    std::thread::sleep(Duration::from_secs(1));
    invented::dog(&mut table.journal());
    table.send();
    assert_eq!(archive.postgres.count("sulcus.visit"), 2);
    std::fs::copy(&certificate, table.path().join("archive.der")).expect("copied");
    let again = table.archive(&["send", "--again"]);
    assert!(again.status.success(), "{}", stderr(&again));
}

/// Certificate and key in PEM, as somebody else would make them.
fn lay(folder: &Path) -> Vec<u8> {
    let made = rcgen::generate_simple_self_signed(["127.0.0.1".to_owned()]).expect("made");
    std::fs::write(folder.join("own.pem"), made.cert.pem()).expect("written");
    std::fs::write(folder.join("own-key.pem"), made.signing_key.serialize_pem()).expect("written");
    made.cert.der().to_vec()
}

#[test]
fn a_certificate_of_ones_own_is_taken_as_soon_as_it_lies_there() {
    let Some(mut archive) = Archive::start("a_certificate_of_ones_own") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    let place = tempfile::tempdir().expect("a folder");
    let own = |name: &str| place.path().join(name).display().to_string();
    let first = lay(place.path());
    archive.kill();
    archive.serve(&[
        "--certificate",
        &own("own.pem"),
        "--key",
        &own("own-key.pem"),
    ]);
    std::fs::write(table.path().join("own.der"), first).expect("written");
    set(&table, &archive, "own.der");
    invented::cat(&mut table.journal());
    table.send();
    // One that cannot be used changes nothing.
    std::fs::write(place.path().join("own.pem"), "no certificate").expect("written");
    std::thread::sleep(Duration::from_secs(12));
    invented::dog(&mut table.journal());
    table.send();
    // Another one, with another key: whoever knows that is served by it.
    let second = lay(place.path());
    std::fs::write(table.path().join("own.der"), second).expect("written");
    invented::cat_later(&mut table.journal());
    sends_in_time(&table);
    assert_eq!(archive.postgres.count("sulcus.visit"), 2);
}
