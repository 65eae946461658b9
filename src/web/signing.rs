//! Signing a finished visit on the page. Who may sign is known to `app`, since this module knows no file of signers.
//!
//! Invariants: a PIN goes no further than the check; wrong ones are counted by time, so that trying all takes days.

use std::sync::Arc;

use axum::Json;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};

use super::press::SignIn;
use super::server::{Server, too_fast, trouble};

/// Proves who signs; each error is for the person.
pub trait Signing: Send + Sync {
    /// Who is enrolled.
    fn names(&self) -> Result<Vec<String>, String>;
    fn check(&self, name: &str, pin: &str) -> Result<(), String>;
}

/// Signatures tried in a minute, right or wrong.
pub(super) const TRIES_PER_MINUTE: u32 = 6;

pub(super) async fn names(State(server): State<Arc<Server>>) -> Response {
    if server.look_up_limit.check().is_err() {
        return too_fast();
    }
    let signing = Arc::clone(&server.signing);
    match tokio::task::spawn_blocking(move || signing.names()).await {
        Ok(Ok(names)) => Json(names).into_response(),
        Ok(Err(why)) => trouble(StatusCode::INTERNAL_SERVER_ERROR, why),
        Err(why) => trouble(StatusCode::INTERNAL_SERVER_ERROR, why.to_string()),
    }
}

/// Nothing where the PIN is that of the name.
pub(super) async fn refused(server: &Arc<Server>, sign: &SignIn) -> Option<Response> {
    if server.sign_limit.check().is_err() {
        return Some(trouble(
            StatusCode::TOO_MANY_REQUESTS,
            "too many tries to sign; wait a minute",
        ));
    }
    let signing = Arc::clone(&server.signing);
    let (name, pin) = (sign.name.clone(), sign.pin.0.clone());
    match tokio::task::spawn_blocking(move || signing.check(&name, &pin)).await {
        Ok(Ok(())) => None,
        Ok(Err(why)) => Some(trouble(StatusCode::CONFLICT, why)),
        Err(why) => Some(trouble(StatusCode::INTERNAL_SERVER_ERROR, why.to_string())),
    }
}
