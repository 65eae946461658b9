//! What the front desk asks for: patients, timelines, rechecks, papers, the study table, who did what.

use std::sync::Arc;

use axum::body::Bytes;
use axum::extract::{Extension, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::super::accounts::note;
use super::super::database::timestamp;
use super::super::{ArchiveError, animals, papers, secrets, study};
use super::Server;
use super::answers::{Secret, done, trouble, with};
use crate::terms::Patient;
use crate::web::{self, Paper};

/// Files of the page's words by language tag.
pub(super) const MESSAGES: [web::MessagesFile; 2] = [
    (web::ENGLISH, include_str!("messages/en.ftl")),
    ("de", include_str!("messages/de.ftl")),
];

/// A working day with its overtime.
const SESSION_HOURS: i32 = 16;

/// The files of the page; they hold nothing of any visit.
pub(super) fn shell() -> Router<Arc<Server>> {
    let file = |kind: &'static str, text: &'static str| {
        get(move || async move { ([(header::CONTENT_TYPE, kind)], text) })
    };
    Router::new()
        .route(
            "/",
            file("text/html; charset=utf-8", include_str!("assets/desk.html")),
        )
        .route(
            "/desk.css",
            file("text/css; charset=utf-8", include_str!("assets/desk.css")),
        )
        .route(
            "/desk.js",
            file(
                "text/javascript; charset=utf-8",
                include_str!("assets/desk.js"),
            ),
        )
        .route(
            "/messages.js",
            file(
                "text/javascript; charset=utf-8",
                include_str!("../../web/assets/messages.js"),
            ),
        )
        .route("/api/messages", get(page_messages))
        .route(
            "/icon.svg",
            file("image/svg+xml", include_str!("../../web/assets/icon.svg")),
        )
}

async fn page_messages(State(server): State<Arc<Server>>) -> Response {
    Json(&server.messages).into_response()
}

/// What needs a secret.
pub(super) fn known() -> Router<Arc<Server>> {
    Router::new()
        .route("/v1/enter", post(enter))
        .route("/v1/leave", post(leave))
        .route("/v1/patients", get(search))
        .route("/v1/patients/{patient}", get(timeline))
        .route("/v1/merge", post(merge))
        .route("/v1/unmerge", post(unmerge))
        .route("/v1/history", post(history))
        .route("/v1/rechecks", get(rechecks))
        .route("/v1/visits/{visit}/{paper}", get(paper))
        .route("/v1/study.csv", get(study_table))
        .route("/v1/access", get(access))
}

/// Turns the key that was typed into a session of this browser.
async fn enter(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
) -> Response {
    let session = secrets::new_secret();
    let hash = secrets::hash(&session);
    let cookie = format!(
        "{}={session}; Path=/; HttpOnly; SameSite=Strict{}",
        server.cookie_name,
        if server.is_tls() { "; Secure" } else { "" }
    );
    with(
        &server,
        secret,
        move |transaction, caller| {
            if caller.role == "table" {
                return Err(ArchiveError::Refused(
                    "this is a table's secret; the front desk is for people, with keys of their own".into(),
                ));
            }
            transaction.execute("SELECT sulcus.open_session($1, $2)", &[&hash, &SESSION_HOURS])?;
            Ok(())
        },
        |()| ([(header::SET_COOKIE, cookie)], StatusCode::NO_CONTENT).into_response(),
    )
    .await
}

async fn leave(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
) -> Response {
    let hash = secrets::hash(secret.text());
    let gone = format!(
        "{}=; Path=/; HttpOnly; SameSite=Strict; Max-Age=0",
        server.cookie_name
    );
    with(
        &server,
        secret,
        move |transaction, _| {
            transaction.execute("SELECT sulcus.close_session($1)", &[&hash])?;
            Ok(())
        },
        |()| ([(header::SET_COOKIE, gone)], StatusCode::NO_CONTENT).into_response(),
    )
    .await
}

#[derive(Deserialize)]
struct Words {
    #[serde(default)]
    words: String,
}

async fn search(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    Query(Words { words }): Query<Words>,
) -> Response {
    with(
        &server,
        secret,
        move |transaction, caller| animals::search(transaction, caller, &words),
        |lines| done(&lines),
    )
    .await
}

async fn timeline(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    Path(patient): Path<Uuid>,
) -> Response {
    with(
        &server,
        secret,
        move |transaction, caller| animals::timeline(transaction, caller, patient),
        |found| match found {
            Some(timeline) => done(&timeline),
            None => trouble(StatusCode::NOT_FOUND, "there is no such patient"),
        },
    )
    .await
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MergeIn {
    patient: Uuid,
    into: Uuid,
    reason: String,
}

#[derive(Serialize)]
struct MergeOut {
    merge: i64,
}

const NEEDS_REASON: &str = "say why the two are one animal, or are not: a word or two";

async fn merge(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    body: Bytes,
) -> Response {
    let Ok(wanted) = serde_json::from_slice::<MergeIn>(&body) else {
        return trouble(StatusCode::BAD_REQUEST, "this names no two patients");
    };
    if wanted.reason.trim().is_empty() {
        return trouble(StatusCode::BAD_REQUEST, NEEDS_REASON);
    }
    with(
        &server,
        secret,
        move |transaction, caller| {
            let pair = (wanted.patient, wanted.into);
            animals::merge(transaction, caller, pair, &wanted.reason)
        },
        |merge| done(&MergeOut { merge }),
    )
    .await
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct UnmergeIn {
    merge: i64,
    reason: String,
}

async fn unmerge(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    body: Bytes,
) -> Response {
    let Ok(wanted) = serde_json::from_slice::<UnmergeIn>(&body) else {
        return trouble(StatusCode::BAD_REQUEST, "this names no merge");
    };
    if wanted.reason.trim().is_empty() {
        return trouble(StatusCode::BAD_REQUEST, NEEDS_REASON);
    }
    with(
        &server,
        secret,
        move |transaction, caller| {
            animals::unmerge(transaction, caller, wanted.merge, &wanted.reason)
        },
        |is_undone| {
            if is_undone {
                StatusCode::NO_CONTENT.into_response()
            } else {
                trouble(StatusCode::NOT_FOUND, "no such merge stands")
            }
        },
    )
    .await
}

async fn history(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    body: Bytes,
) -> Response {
    let Ok(patient) = serde_json::from_slice::<Patient>(&body) else {
        return trouble(StatusCode::BAD_REQUEST, "this is no patient");
    };
    with(
        &server,
        secret,
        move |transaction, caller| animals::history(transaction, caller, &patient),
        |visits| done(&visits),
    )
    .await
}

#[derive(Deserialize)]
struct Until {
    until: String,
}

async fn rechecks(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    Query(Until { until }): Query<Until>,
) -> Response {
    let Ok(day) = until.parse::<jiff::civil::Date>() else {
        return trouble(StatusCode::BAD_REQUEST, "write the day as 2027-01-31");
    };
    with(
        &server,
        secret,
        move |transaction, caller| animals::rechecks(transaction, caller, &day.to_string()),
        |lines| done(&lines),
    )
    .await
}

async fn paper(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    Path((visit, name)): Path<(Uuid, String)>,
) -> Response {
    let Some(wanted) = Paper::ALL
        .into_iter()
        .find(|paper| paper.file_name() == name)
    else {
        return trouble(StatusCode::NOT_FOUND, "there is no such paper");
    };
    with(
        &server,
        secret,
        move |transaction, caller| papers::make(transaction, caller, visit, wanted),
        |made| match made {
            Some(bytes) => (
                [
                    (header::CONTENT_TYPE, wanted.kind().to_owned()),
                    (
                        header::CONTENT_DISPOSITION,
                        format!("attachment; filename=\"{visit}-{}\"", wanted.file_name()),
                    ),
                ],
                bytes,
            )
                .into_response(),
            None => trouble(StatusCode::NOT_FOUND, "there is no such visit"),
        },
    )
    .await
}

#[derive(Deserialize)]
struct StudyIn {
    #[serde(default)]
    with_breed: bool,
    #[serde(default)]
    with_invented: bool,
}

async fn study_table(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    Query(wanted): Query<StudyIn>,
) -> Response {
    study::answer(&server, secret, wanted.with_breed, wanted.with_invented).await
}

#[derive(Serialize)]
struct AccessLine {
    at: jiff::Timestamp,
    name: String,
    role: String,
    action: String,
    visit: Option<Uuid>,
    patient: Option<Uuid>,
    detail: String,
}

/// The newest thousand lines of who did what.
async fn access(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
) -> Response {
    with(
        &server,
        secret,
        |transaction, caller| {
            caller.require("log")?;
            let lines = transaction.query(
                "SELECT at, name, role, action, visit, patient, detail FROM sulcus.access WHERE clinic = $1
                 ORDER BY at DESC, id DESC LIMIT 1000",
                &[&caller.clinic],
            )?;
            note(transaction, "read", None, None, "who did what")?;
            Ok(lines
                .iter()
                .map(|line| AccessLine {
                    at: timestamp(line.get(0)),
                    name: line.get(1),
                    role: line.get(2),
                    action: line.get(3),
                    visit: line.get(4),
                    patient: line.get(5),
                    detail: line.get(6),
                })
                .collect::<Vec<_>>())
        },
        |lines| done(&lines),
    )
    .await
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Written out, in the attributes of the page, or put together: species, states and roles.
    fn keys_asked() -> std::collections::BTreeSet<String> {
        let written = regex::Regex::new(r#"\bt\("([a-z-]+)"|data-t(?:-label)?="([a-z-]+)""#)
            .expect("a pattern");
        let mut asked: std::collections::BTreeSet<String> = [
            include_str!("assets/desk.html"),
            include_str!("assets/desk.js"),
        ]
        .iter()
        .flat_map(|text| written.captures_iter(text))
        .flat_map(|found| {
            found
                .iter()
                .skip(1)
                .flatten()
                .map(|key| key.as_str().to_owned())
                .collect::<Vec<_>>()
        })
        .collect();
        for species in [crate::terms::Species::Dog, crate::terms::Species::Cat] {
            asked.insert(species.word().to_owned());
        }
        for state in ["open", "finished"] {
            asked.insert(format!("state-{state}"));
        }
        for role in super::super::super::Role::ALL {
            asked.insert(format!("role-{}", role.word()));
        }
        asked.insert("role-table".to_owned());
        asked
    }

    #[test]
    fn every_word_of_the_front_desk_is_in_the_english_file_and_none_is_left_over_in_any() {
        let asked = keys_asked();
        assert!(asked.len() > 60, "{}", asked.len());
        let faults = web::messages_faults(&MESSAGES, &asked).expect("read");
        assert_eq!(faults, Vec::<String>::new());
    }

    /// What follows `make(` and `table(` as text would be a word outside the files.
    #[test]
    fn the_script_holds_no_words_of_its_own() {
        let sentence = regex::Regex::new(r#""[A-Z][a-z]+( [a-z]+)*[.?!]?""#).expect("a pattern");
        let found: Vec<&str> = sentence
            .find_iter(include_str!("assets/desk.js"))
            .map(|found| found.as_str())
            .filter(|text| !["\"Content\"", "\"Authorization\"", "\"Bearer \""].contains(text))
            .collect();
        assert_eq!(found, Vec::<&str>::new());
    }
}
