//! What the server answers, and who asks.

use std::sync::Arc;

use axum::Json;
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use jiff::Timestamp;
use postgres::Transaction;
use serde::Serialize;

use super::super::accounts::Caller;
use super::super::link::{PROTOCOL_HEADER, TIME_HEADER, Trouble};
use super::super::{ArchiveError, PROTOCOL};
use super::{Notice, Server};
use crate::web::{HEADERS, cookie};

/// An answer that is not "done".
pub(in super::super) fn trouble(status: StatusCode, why: impl Into<String>) -> Response {
    (status, Json(Trouble { error: why.into() })).into_response()
}

pub(super) fn done(answer: &impl Serialize) -> Response {
    Json(answer).into_response()
}

/// An error as an answer.
pub(super) fn failed(why: &ArchiveError) -> Response {
    let status = match why {
        ArchiveError::Refused(_) => StatusCode::FORBIDDEN,
        ArchiveError::Away(_) | ArchiveError::Version(_) => StatusCode::SERVICE_UNAVAILABLE,
        _ => StatusCode::INTERNAL_SERVER_ERROR,
    };
    trouble(status, why.to_string())
}

/// The headers that every answer carries.
pub(super) fn dress(mut response: Response) -> Response {
    for (name, value) in HEADERS {
        response
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    response.headers_mut().insert(
        HeaderName::from_static(PROTOCOL_HEADER),
        HeaderValue::from(PROTOCOL),
    );
    response
}

/// The version of the protocol that whoever asks speaks; none for a browser.
pub(super) fn spoken(headers: &HeaderMap) -> Option<u32> {
    headers.get(PROTOCOL_HEADER)?.to_str().ok()?.parse().ok()
}

/// By how many seconds the clock of whoever asks is ahead of ours.
pub(super) fn ahead_s(headers: &HeaderMap) -> Option<i64> {
    let said: Timestamp = headers.get(TIME_HEADER)?.to_str().ok()?.parse().ok()?;
    Some(said.duration_since(Timestamp::now()).as_secs())
}

/// What lets somebody in: a secret in the header, or that of a browser in its cookie.
#[derive(Debug, Clone)]
pub(in super::super) enum Secret {
    Bearer(String),
    Cookie(String),
}

impl Secret {
    pub fn text(&self) -> &str {
        match self {
            Self::Bearer(secret) | Self::Cookie(secret) => secret,
        }
    }
}

impl Server {
    pub fn secret(&self, headers: &HeaderMap) -> Option<Secret> {
        let bearer = headers
            .get(header::AUTHORIZATION)
            .and_then(|value| value.to_str().ok()?.strip_prefix("Bearer "))
            .filter(|secret| !secret.is_empty());
        if let Some(secret) = bearer {
            return Some(Secret::Bearer(secret.to_owned()));
        }
        cookie(headers, &self.cookie_name).map(|secret| Secret::Cookie(secret.to_owned()))
    }
}

/// Does something for whoever asks, off the threads that serve, in one transaction.
pub(in super::super) async fn with<T: Send + 'static>(
    server: &Arc<Server>,
    secret: Secret,
    work: impl Fn(&mut Transaction<'_>, &Caller) -> Result<T, ArchiveError> + Send + 'static,
    answer: impl FnOnce(T) -> Response,
) -> Response {
    let at = Arc::clone(server);
    let done = tokio::task::spawn_blocking(move || {
        at.desk.for_secret(secret.text(), |transaction| {
            match Caller::of(transaction)? {
                None => Ok(None),
                Some(caller) => work(transaction, &caller).map(Some),
            }
        })
    })
    .await;
    match done {
        Ok(Ok(Some(done))) => answer(done),
        Ok(Ok(None)) => trouble(
            StatusCode::UNAUTHORIZED,
            "the archive does not know this secret: it was ended, or is another archive's; have a new code made \
             with sulcus archive admit",
        ),
        Ok(Err(why)) => {
            if !matches!(why, ArchiveError::Refused(_)) {
                (server.announce)(Notice::Trouble(why.to_string()));
            }
            failed(&why)
        }
        Err(_) => trouble(
            StatusCode::INTERNAL_SERVER_ERROR,
            "the request broke off in the archive; tell its keeper",
        ),
    }
}
