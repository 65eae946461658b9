//! The Debian package: what is in it, and that the same program gives the same package. That it installs into a clean
//! system, runs there and leaves the visits when it goes is tried by tests/package/clean-root.

use crate::program;

use std::path::Path;
use std::process::{Command, Output};

use program::{root, run, stderr, stdout};

fn has_tools() -> bool {
    let is_there = Command::new("dpkg-deb").arg("--version").output().is_ok();
    if !is_there {
        println!("skipped: the package needs Debian's dpkg-deb");
    }
    is_there
}

fn make(into: &Path) -> Output {
    run(Command::new(root().join("packaging/make-deb"))
        .arg(env!("CARGO_BIN_EXE_sulcus"))
        .arg(into)
        .env("SULCUS_DEB_COMPRESSION", "none"))
}

#[test]
fn the_package_holds_all_that_a_table_needs_and_is_the_same_each_time() {
    if !has_tools() {
        return;
    }
    let [one, other] = [(); 2].map(|()| tempfile::tempdir().expect("a folder"));
    let [made, again] = [&one, &other].map(|folder| {
        let output = make(folder.path());
        assert!(output.status.success(), "{}", stderr(&output));
        stdout(&output).trim().to_owned()
    });
    assert!(
        std::fs::read(&made).expect("read") == std::fs::read(&again).expect("read"),
        "two packages of one program differ"
    );
    let list = stdout(&run(Command::new("dpkg-deb").args(["-c", &made])));
    for file in [
        "./usr/bin/sulcus",
        "./usr/bin/sulcus-models",
        "./usr/lib/sulcus/models-fetch.sh",
        "./usr/lib/systemd/user/sulcus.service",
        "./usr/lib/udev/rules.d/70-sulcus-pedal.rules",
        "./usr/share/man/man1/sulcus.1.gz",
        "./usr/share/man/man1/sulcus-listen.1.gz",
        "./usr/share/bash-completion/completions/sulcus",
        "./usr/share/zsh/vendor-completions/_sulcus",
        "./usr/share/fish/vendor_completions.d/sulcus.fish",
        "./usr/share/doc/sulcus/clinic-example.toml",
        "./usr/share/doc/sulcus/copyright",
        "./usr/share/sulcus/audio-fixtures/demo/dog.wav",
    ] {
        assert!(
            list.lines().any(|line| line.ends_with(file)),
            "{file} is not in the package:\n{list}"
        );
    }
    assert!(
        list.lines().all(|line| line.contains(" root/root ")),
        "{list}"
    );
    // Visits are the user's: nothing of the package lies where they do.
    assert!(!list.contains(".local") && !list.contains("journal"));
    let depends = stdout(&run(Command::new("dpkg-deb").args(["-f", &made, "Depends"])));
    assert!(depends.contains("libasound2"), "{depends}");
}

#[test]
fn a_package_of_no_program_is_refused() {
    if !has_tools() {
        return;
    }
    let folder = tempfile::tempdir().expect("a folder");
    let output = run(Command::new(root().join("packaging/make-deb"))
        .arg(folder.path().join("not-there"))
        .arg(folder.path()));
    assert_eq!(output.status.code(), Some(1));
    assert!(
        stderr(&output).contains("cargo build --release"),
        "{}",
        stderr(&output)
    );
}

#[test]
fn installed_files_are_found_in_the_data_folders() {
    let data = tempfile::tempdir().expect("a folder");
    let share = tempfile::tempdir().expect("a folder");
    let models = share.path().join("sulcus/models");
    std::fs::create_dir_all(&models).expect("made");
    // Away from the checkout, with a program that is not in one.
    let program = data.path().join("sulcus");
    std::fs::copy(env!("CARGO_BIN_EXE_sulcus"), &program).expect("copied");
    let doctor = |set: &dyn Fn(&mut Command)| {
        let mut command = Command::new(&program);
        command
            .current_dir(data.path())
            .args(["doctor", "--json", "--seconds", "0.2"])
            .env_remove("SULCUS_MODELS")
            .env("HOME", data.path())
            .env_remove("XDG_DATA_HOME");
        set(&mut command);
        stdout(&run(&mut command))
    };
    let shown = models.display().to_string();
    let system = doctor(&|command| {
        command.env("XDG_DATA_DIRS", share.path());
    });
    assert!(system.contains(&shown), "{system}");
    let own = doctor(&|command| {
        command.env("XDG_DATA_HOME", share.path());
    });
    assert!(own.contains(&shown), "{own}");
    let none = doctor(&|command| {
        command.env("XDG_DATA_DIRS", "/nowhere");
    });
    assert!(!none.contains(&shown) && none.contains("models"), "{none}");
}
