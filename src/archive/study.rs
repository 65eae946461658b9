//! The study table of a whole clinic, sent as it is made: thousands of visits never lie in memory at once.
//!
//! Invariant: the same rows as `sulcus export --format study` makes, with a salt that nobody keeps.

use std::sync::Arc;

use axum::body::{Body, Bytes};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use postgres::Transaction;
use uuid::Uuid;

use super::accounts::{Caller, note};
use super::database::timestamp;
use super::server::{Secret, Server, trouble, with};
use super::{ArchiveError, papers};
use crate::export::tables::Study;

/// Visits read in one transaction: a request must not hold one for minutes.
const VISITS_AT_ONCE: usize = 50;

/// All finished visits, as the table wants them ordered.
fn order(
    transaction: &mut Transaction<'_>,
    caller: &Caller,
    study: &mut Study,
    with_invented: bool,
) -> Result<Vec<Uuid>, ArchiveError> {
    caller.require("study")?;
    let lines = transaction.query(
        "SELECT id, as_recorded, opened_at FROM sulcus.visit
         WHERE clinic = $1 AND state = 'finished' AND ($2 OR NOT is_invented)",
        &[&caller.clinic, &with_invented],
    )?;
    for line in &lines {
        if let Ok(patient) = serde_json::from_str(line.get(1)) {
            study.add(line.get(0), &patient, timestamp(line.get(2)));
        }
    }
    note(
        transaction,
        "export",
        None,
        None,
        &format!("study table, {} visits", lines.len()),
    )?;
    Ok(study.order())
}

/// Answers with the table, row by row.
pub(super) async fn answer(
    server: &Arc<Server>,
    secret: Secret,
    with_breed: bool,
    with_invented: bool,
) -> Response {
    let salt: [u8; 32] = rand::random();
    let begun = with(
        server,
        secret.clone(),
        move |transaction, caller| {
            let mut study = Study::new(salt, with_breed);
            let order = order(transaction, caller, &mut study, with_invented)?;
            Ok((study, order))
        },
        |begun| {
            let mut response = ().into_response();
            response.extensions_mut().insert(Begun(Arc::new(begun)));
            response
        },
    )
    .await;
    let Some(Begun(begun)) = begun.extensions().get::<Begun>().cloned() else {
        return begun;
    };
    if begun.1.is_empty() {
        return trouble(
            axum::http::StatusCode::NOT_FOUND,
            "there is no finished visit to put in a study table",
        );
    }
    let (rows, sent) = tokio::sync::mpsc::channel::<Result<Bytes, std::io::Error>>(4);
    let server = Arc::clone(server);
    tokio::task::spawn_blocking(move || {
        let (study, order) = &*begun;
        let send = |text: Result<String, ArchiveError>| {
            let text = text
                .map(Bytes::from)
                .map_err(|why| std::io::Error::other(why.to_string()));
            let is_error = text.is_err();
            // A browser that went away wants no more.
            rows.blocking_send(text).is_ok() && !is_error
        };
        if !send(
            study
                .head()
                .map_err(|why| ArchiveError::Refused(why.to_string())),
        ) {
            return;
        }
        for visits in order.chunks(VISITS_AT_ONCE) {
            let text = server.desk().for_secret(secret.text(), |transaction| {
                let caller = Caller::of(transaction)?
                    .ok_or_else(|| ArchiveError::Refused("the session has ended".into()))?;
                caller.require("study")?;
                let mut text = String::new();
                for visit in visits {
                    if let Some(read) = papers::read(transaction, caller.clinic, *visit)? {
                        text += &study
                            .rows(&read.record)
                            .map_err(|why| ArchiveError::Refused(why.to_string()))?;
                    }
                }
                Ok(text)
            });
            if !send(text) {
                return;
            }
        }
    });
    (
        [
            (header::CONTENT_TYPE, "text/csv; charset=utf-8"),
            (
                header::CONTENT_DISPOSITION,
                "attachment; filename=\"study.csv\"",
            ),
        ],
        Body::from_stream(tokio_stream::wrappers::ReceiverStream::new(sent)),
    )
        .into_response()
}

/// Handed through the answer of the first transaction.
#[derive(Clone)]
struct Begun(Arc<(Study, Vec<Uuid>)>);
