//! The front desk's page in a real browser: `tests/browser/desk.mjs` with Node.js, playwright-core and Debian's Chromium.

use super::animals::later;
use super::{Archive, CLINIC, stderr};
use crate::invented;
use crate::program::{self, root};

use std::process::Command;

use sulcus::terms::Patient;

#[test]
fn the_front_desk_works_in_a_browser() {
    let scripts = root().join("tests/browser");
    let runs = |program: &str| Command::new(program).arg("--version").output().is_ok();
    let is_there = runs("node")
        && std::path::Path::new("/usr/bin/chromium").exists()
        && scripts.join("node_modules/playwright-core").is_dir();
    if !is_there {
        println!(
            "SKIPPED: the front desk in a browser needs nodejs, chromium and npm ci --prefix tests/browser"
        );
        assert!(
            std::env::var_os("SULCUS_TEST_ALL").is_none(),
            "a browser is missing"
        );
        return;
    }
    let Some(archive) = Archive::start("the_front_desk_works_in_a_browser") else {
        return;
    };
    let table = archive.table("Table 2", CLINIC);
    invented::cat(&mut table.journal());
    invented::dog(&mut table.journal());
    let again = Patient {
        id: None,
        ..invented::cat_patient()
    };
    let visit = later(&table, again);
    let closed = program::run(
        table
            .command()
            .args(["finish", &visit.to_string(), "--anyway"]),
    );
    assert!(closed.status.success(), "{}", stderr(&closed));
    table.send();
    let out = Command::new("node")
        .arg(scripts.join("desk.mjs"))
        .env("SULCUS_ADDRESS", &archive.address)
        .env("SULCUS_KEY", &archive.owner)
        .output()
        .expect("node runs");
    println!("{}", String::from_utf8_lossy(&out.stdout));
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
}
