//! A thread of the program dies under it at the table, as by a fault of its own: it is said where something can still
//! be said, has its own sentence and exit code, and what was saved stays. The built program dies by a hidden option.

use crate::failing::Air;
use crate::listen::{NEW, Table};
use crate::models::models;
use crate::sound_server::SoundServer;

fn open(dies: &str) -> Option<Table> {
    models()?;
    let server = SoundServer::start_with_headset()?;
    let arguments = [&NEW[..], &["--headset", "--no-check", "--dies", dies]].concat();
    Table::open_with_variables(server, "listen", &arguments, &[])
}

#[test]
fn ears_that_die_are_told_aloud_and_end_the_program_with_their_own_sentence() {
    let Some(mut table) = open("ears") else {
        return;
    };
    let recording = table.server.record();
    table.expect(&["said", "New visit"]);
    // They die in the middle of one of these.
    for _ in 0..6 {
        table.say("Tooth, one zero four.");
        let line = table.expect_one_of(&[&["heard"], &["----"], &["hears nothing any more"]]);
        if line.contains("hears nothing") {
            break;
        }
    }
    let status = table.ended();
    let told = table.told.join("\n");
    assert_eq!(status.code(), Some(1), "{told}");
    assert!(
        told.contains("said   The program hears nothing any more"),
        "{told}"
    );
    assert!(
        told.contains("stderr: sulcus: the part of the program that hears has died; start again"),
        "{told}"
    );
    let mut air = Air::of(recording, &table.models);
    for phrase in ["The program hears nothing any more.", "Start it again."] {
        assert!(air.spoken(phrase).is_some(), "{phrase} is heard");
    }
    // The visit is whole, and goes on.
    assert!(table.record().last >= 1);
}

#[test]
fn a_voice_that_dies_ends_the_program_with_its_own_sentence() {
    let Some(mut table) = open("voice") else {
        return;
    };
    table.expect(&["said", "New visit"]);
    for _ in 0..6 {
        table.say("Tooth, one zero four.");
        if table
            .expect_one_of(&[&["saved"], &["----"]])
            .contains("saved")
        {
            break;
        }
    }
    let status = table.ended();
    let told = table.told.join("\n");
    assert_eq!(status.code(), Some(1), "{told}");
    assert!(
        told.contains("stderr: sulcus: the part of the program that speaks has died; start again"),
        "{told}"
    );
    // What was saved before its answer could be said is there.
    assert_eq!(table.record().tooth.map(|tooth| tooth.number()), Some(104));
}
