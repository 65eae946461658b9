//! What was refused again and again at this clinic's table, to be taken into its own file by a touch. Who finds it and
//! writes it is `app`, since this module knows no grammar.
//!
//! Invariant: nothing is taken but what somebody saw on the page, both what is said and what it then means.

use std::sync::Arc;

use axum::Json;
use axum::body::Bytes;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};

use super::server::{Server, too_fast, trouble};

/// One row of words that was refused.
#[derive(Debug, Clone, Serialize)]
pub struct RefusedSaying {
    pub said: String,
    pub count: usize,
    pub visits: usize,
    /// The sentence that it may stand for.
    pub means: Option<String>,
}

/// Finds and takes sayings; each error is for the person.
pub trait Sayings: Send + Sync {
    fn refused(&self) -> Result<Vec<RefusedSaying>, String>;
    fn accept(&self, said: &str, means: &str) -> Result<(), String>;
}

pub(super) async fn list(State(server): State<Arc<Server>>) -> Response {
    if server.look_up_limit.check().is_err() {
        return too_fast();
    }
    let sayings = Arc::clone(&server.sayings);
    match tokio::task::spawn_blocking(move || sayings.refused()).await {
        Ok(Ok(rows)) => Json(rows).into_response(),
        Ok(Err(why)) => trouble(StatusCode::INTERNAL_SERVER_ERROR, why),
        Err(why) => trouble(StatusCode::INTERNAL_SERVER_ERROR, why.to_string()),
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AcceptIn {
    said: String,
    means: String,
}

pub(super) async fn accept(State(server): State<Arc<Server>>, body: Bytes) -> Response {
    if server.look_up_limit.check().is_err() {
        return too_fast();
    }
    let Ok(AcceptIn { said, means }) = serde_json::from_slice(&body) else {
        return trouble(
            StatusCode::BAD_REQUEST,
            "which words, and what do they mean?",
        );
    };
    let sayings = Arc::clone(&server.sayings);
    match tokio::task::spawn_blocking(move || sayings.accept(&said, &means)).await {
        Ok(Ok(())) => StatusCode::NO_CONTENT.into_response(),
        Ok(Err(why)) => trouble(StatusCode::CONFLICT, why),
        Err(why) => trouble(StatusCode::INTERNAL_SERVER_ERROR, why.to_string()),
    }
}
