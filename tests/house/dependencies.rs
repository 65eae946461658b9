//! What the program is built of: licences, crates in two versions and where they come from, by the lists of `deny.toml`.
//! `cargo deny` checks the same, where it is installed; to install it costs minutes, and this costs a second.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

use serde_json::Value;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// The packages that the program and its tests are built of on this machine, as cargo resolves them.
fn packages() -> Vec<Value> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let host = format!("{}-unknown-linux-gnu", std::env::consts::ARCH);
    let output = Command::new(cargo)
        .args(["metadata", "--locked", "--format-version", "1"])
        .args(["--filter-platform", &host])
        .current_dir(ROOT)
        .output()
        .expect("cargo runs");
    assert!(
        output.status.success(),
        "cargo metadata fails:\n{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let metadata: Value = serde_json::from_slice(&output.stdout).expect("JSON of cargo");
    let resolved: BTreeSet<&str> = metadata["resolve"]["nodes"]
        .as_array()
        .expect("nodes")
        .iter()
        .filter_map(|node| node["id"].as_str())
        .collect();
    let packages = metadata["packages"].as_array().expect("packages");
    packages
        .iter()
        .filter(|package| {
            package["id"]
                .as_str()
                .is_some_and(|id| resolved.contains(id))
        })
        .cloned()
        .collect()
}

fn rules() -> toml::Table {
    let text = std::fs::read_to_string(Path::new(ROOT).join("deny.toml")).expect("deny.toml");
    text.parse().expect("TOML")
}

/// Texts under a key of each entry of a list.
fn listed<'a>(list: &'a toml::Value, key: &str) -> Vec<&'a str> {
    list.as_array()
        .expect("a list")
        .iter()
        .map(|entry| {
            entry
                .as_str()
                .unwrap_or_else(|| entry[key].as_str().expect("a text"))
        })
        .collect()
}

fn name(package: &Value) -> &str {
    package["name"].as_str().expect("a name")
}

fn version(package: &Value) -> &str {
    package["version"].as_str().expect("a version")
}

/// Whether a licence expression (SPDX, and the older form with a slash for "or") can be met by what is allowed.
/// `AND` binds closer than `OR`.
fn is_allowed(expression: &str, allowed: &[&str]) -> bool {
    let spaced = expression
        .replace('(', " ( ")
        .replace(')', " ) ")
        .replace('/', " OR ");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let (met, rest) = any(&words, allowed);
    met && rest.is_empty()
}

fn any<'a, 'w>(words: &'a [&'w str], allowed: &[&str]) -> (bool, &'a [&'w str]) {
    let (mut met, mut rest) = all(words, allowed);
    while let ["OR", after @ ..] = rest {
        let (other, left) = all(after, allowed);
        (met, rest) = (met || other, left);
    }
    (met, rest)
}

fn all<'a, 'w>(words: &'a [&'w str], allowed: &[&str]) -> (bool, &'a [&'w str]) {
    let (mut met, mut rest) = term(words, allowed);
    while let ["AND", after @ ..] = rest {
        let (other, left) = term(after, allowed);
        (met, rest) = (met && other, left);
    }
    (met, rest)
}

fn term<'a, 'w>(words: &'a [&'w str], allowed: &[&str]) -> (bool, &'a [&'w str]) {
    match words {
        ["(", inner @ ..] => match any(inner, allowed) {
            (met, [")", rest @ ..]) => (met, rest),
            (_, rest) => (false, rest),
        },
        [licence, "WITH", exception, rest @ ..] => (
            allowed.contains(&format!("{licence} WITH {exception}").as_str()),
            rest,
        ),
        [licence, rest @ ..] => (allowed.contains(licence), rest),
        [] => (false, words),
    }
}

#[test]
fn the_licence_rule_can_fail() {
    let allowed = ["MIT", "ISC", "Apache-2.0 WITH LLVM-exception"];
    for (expression, is_met) in [
        ("MIT", true),
        ("GPL-3.0-only", false),
        ("GPL-3.0-only OR MIT", true),
        ("GPL-3.0-only/MIT", true),
        ("MIT AND GPL-3.0-only", false),
        ("MIT AND (GPL-3.0-only OR ISC)", true),
        ("GPL-3.0-only OR MIT AND ISC", true),
        ("Apache-2.0 WITH LLVM-exception", true),
        ("Apache-2.0 WITH Other", false),
        ("", false),
        ("(MIT", false),
    ] {
        assert_eq!(is_allowed(expression, &allowed), is_met, "{expression}");
    }
}

#[test]
fn licences_ask_no_more_than_a_notice() {
    let rules = rules();
    let allowed = listed(&rules["licenses"]["allow"], "name");
    let faults: Vec<_> = packages()
        .iter()
        .filter(|package| !is_allowed(package["license"].as_str().unwrap_or(""), &allowed))
        .map(|package| {
            format!(
                "{} {}: {}",
                name(package),
                version(package),
                package["license"]
            )
        })
        .collect();
    assert!(
        faults.is_empty(),
        "not allowed by deny.toml:\n  {}",
        faults.join("\n  ")
    );
}

#[test]
fn a_crate_in_two_versions_has_a_reason() {
    let rules = rules();
    for entry in rules["bans"]["skip"].as_array().expect("a list") {
        let reason = entry["reason"].as_str().unwrap_or("");
        assert!(reason.len() > 3, "{entry} has no reason");
    }
    let skipped = listed(&rules["bans"]["skip"], "crate");
    let mut versions: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for package in &packages() {
        let own = versions.entry(name(package).to_owned()).or_default();
        own.insert(version(package).to_owned());
    }
    let is_of = |skip: &str, name: &str, version: &str| {
        skip.split_once('@').is_some_and(|(of, start)| {
            of == name && (version == start || version.starts_with(&format!("{start}.")))
        })
    };
    let mut faults = Vec::new();
    for (name, versions) in versions.iter().filter(|(_, versions)| versions.len() > 1) {
        let others = versions
            .iter()
            .filter(|version| !skipped.iter().any(|skip| is_of(skip, name, version)))
            .count();
        if others > 1 {
            faults.push(format!("{name} is there as {versions:?}"));
        }
    }
    for skip in skipped {
        let is_needed = versions.iter().any(|(name, versions)| {
            versions.len() > 1 && versions.iter().any(|version| is_of(skip, name, version))
        });
        if !is_needed {
            faults.push(format!(
                "{skip} is there once, or not at all: its entry can go"
            ));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn nothing_comes_from_elsewhere_and_nothing_that_is_banned() {
    let rules = rules();
    let banned = listed(&rules["bans"]["deny"], "crate");
    for package in &packages() {
        assert!(
            !banned.contains(&name(package)),
            "{} is banned",
            name(package)
        );
        let source = package["source"].as_str();
        assert!(
            source.is_none_or(|source| source.starts_with("registry+")),
            "{} comes from {source:?}",
            name(package)
        );
    }
}

#[test]
fn cargo_deny_agrees() {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let is_there = Command::new(&cargo).args(["deny", "--version"]).output();
    if !is_there.is_ok_and(|output| output.status.success()) {
        println!(
            "SKIPPED cargo_deny_agrees: cargo deny is not installed; the other tests of this file check the same"
        );
        return;
    }
    let output = Command::new(&cargo)
        .args(["deny", "--locked", "check", "licenses", "bans", "sources"])
        .current_dir(ROOT)
        .output()
        .expect("cargo deny runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
}

#[test]
fn each_dependency_has_its_reason() {
    let mut faults = Vec::new();
    let root = Path::new(ROOT);
    for path in [
        "Cargo.toml",
        "crates/sulcus-core/Cargo.toml",
        "crates/sulcus-grammar/Cargo.toml",
        "crates/sulcus-speech/Cargo.toml",
    ] {
        let text = std::fs::read_to_string(root.join(path)).expect("a manifest");
        let mut is_in_list = false;
        let mut before = "";
        for (at, line) in text.lines().enumerate() {
            if line.starts_with('[') {
                is_in_list = line.ends_with("dependencies]") && !line.starts_with("[workspace");
            } else if is_in_list && line.contains('=') && !before.starts_with('#') {
                // A line of its own for each: the one above is the reason of another.
                faults.push(format!("{path}:{}: {line}", at + 1));
            }
            before = line;
        }
    }
    assert!(
        faults.is_empty(),
        "no line above says what for:\n  {}",
        faults.join("\n  ")
    );
}
