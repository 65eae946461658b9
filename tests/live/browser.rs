//! The page in a real browser: runs the scripts of `tests/browser` with Node.js, playwright-core and Debian's
//! Chromium against the built program. Skips, with a line that names it, where one of them is missing.

use crate::sound_server;

use std::path::{Path, PathBuf};
use std::process::Command;

/// What is missing on this machine, if anything.
fn missing(folder: &Path) -> Option<String> {
    let runs = |program: &str| Command::new(program).arg("--version").output().is_ok();
    if !runs("node") {
        return Some("nodejs (Debian package)".into());
    }
    let chromium = std::env::var_os("CHROMIUM").unwrap_or_else(|| "/usr/bin/chromium".into());
    if !PathBuf::from(&chromium).exists() {
        return Some("chromium (Debian package)".into());
    }
    ["playwright-core", "axe-core"]
        .into_iter()
        .find(|package| !folder.join("node_modules").join(package).is_dir())
        .map(|package| format!("{package} (run: npm ci --prefix tests/browser)"))
}

fn run(script: &str) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/browser");
    if let Some(missing) = missing(&folder) {
        println!("skipped: {script} needs {missing}");
        // With SULCUS_TEST_ALL set nothing may be skipped.
        assert!(std::env::var_os("SULCUS_TEST_ALL").is_none(), "{missing}");
        return;
    }
    let _turn = sound_server::turn();
    let out = Command::new("node")
        .arg(folder.join(script))
        .env("SULCUS_BIN", env!("CARGO_BIN_EXE_sulcus"))
        .output()
        .expect("node runs");
    println!("{}", String::from_utf8_lossy(&out.stdout));
    assert!(
        out.status.success(),
        "{script} failed:\n{}",
        String::from_utf8_lossy(&out.stderr)
    );
}

#[test]
fn the_page_works_in_a_browser() {
    run("page.mjs");
}

#[test]
fn the_rest_of_the_record_is_entered_by_touch() {
    run("record.mjs");
}

#[test]
fn a_visit_by_touch_takes_no_more_touches_than_promised() {
    run("touches.mjs");
}
