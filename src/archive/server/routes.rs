//! Which request is answered by what.

use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Extension, Request, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::Response;
use axum::routing::{get, post};
use jiff::Timestamp;

use super::answers::{Secret, ahead_s, done, dress, failed, spoken, trouble, with};
use super::{RETENTION_HOURS, Server, desk, fhir};
use crate::journal::is_key;
use crate::web::Line;

use super::super::link::{Hello, JoinIn, JoinOut};
use super::super::parcel::{Farewell, Parcel};
use super::super::receive::{Received, receive};
use super::super::{ArchiveError, DELIVERY_BYTES_MAX, PROTOCOL, secrets};

pub(super) fn routes(server: &Arc<Server>) -> Router {
    let daily = Arc::clone(server);
    tokio::spawn(async move {
        loop {
            let at = Arc::clone(&daily);
            // What it could not do today is done tomorrow; it has been told.
            let _ = tokio::task::spawn_blocking(move || at.retain()).await;
            tokio::time::sleep(Duration::from_secs(RETENTION_HOURS * 3600)).await;
        }
    });
    let known = Router::new()
        .route("/v1/hello", get(hello))
        .route("/v1/deliver", post(deliver))
        .route("/v1/forget", post(forget))
        .merge(desk::known())
        .merge(fhir::routes())
        .layer(middleware::from_fn_with_state(
            Arc::clone(server),
            only_known,
        ));
    Router::new()
        .route("/v1/join", post(join))
        .merge(known)
        .merge(desk::shell())
        .layer(DefaultBodyLimit::max(DELIVERY_BYTES_MAX))
        .layer(middleware::from_fn(all))
        .with_state(Arc::clone(server))
}

/// What holds of every request: whoever speaks another protocol is told so before anything is done.
async fn all(request: Request, next: Next) -> Response {
    let response = match spoken(request.headers()) {
        Some(spoken) if spoken > PROTOCOL => trouble(
            StatusCode::UPGRADE_REQUIRED,
            format!(
                "this table is newer than the archive (it speaks version {spoken}, the archive {PROTOCOL}); bring the \
                 archive up to date, the visits wait at the table until then"
            ),
        ),
        Some(spoken) if spoken < PROTOCOL => trouble(
            StatusCode::UPGRADE_REQUIRED,
            format!(
                "this table is older than the archive (it speaks version {spoken}, the archive {PROTOCOL}); bring it \
                 up to date, its visits wait there until then"
            ),
        ),
        // Before it is read: an answer at once, whatever still comes.
        _ if length(request.headers()).is_some_and(|length| length > DELIVERY_BYTES_MAX) => {
            trouble(
                StatusCode::PAYLOAD_TOO_LARGE,
                format!(
                    "this is larger than the {} MB that the archive takes at once; it stays at the table",
                    DELIVERY_BYTES_MAX >> 20
                ),
            )
        }
        _ => next.run(request).await,
    };
    dress(response)
}

fn length(headers: &HeaderMap) -> Option<usize> {
    headers
        .get(header::CONTENT_LENGTH)?
        .to_str()
        .ok()?
        .parse()
        .ok()
}

/// Turns away who has no secret, and a browser's request that another site could have made.
async fn only_known(
    State(server): State<Arc<Server>>,
    Extension(line): Extension<Line>,
    mut request: Request,
    next: Next,
) -> Response {
    let Some(secret) = server.secret(request.headers()) else {
        return trouble(
            StatusCode::UNAUTHORIZED,
            "say who you are: type your key at the front desk, or let the table in with sulcus archive join CODE",
        );
    };
    if let Secret::Cookie(_) = &secret
        && let Err(turned) = server
            .names
            .check(request.method(), request.uri(), request.headers())
    {
        return trouble(turned.status(), turned.why());
    }
    let address = line.address;
    request.extensions_mut().insert(secret);
    let response = next.run(request).await;
    if response.status() == StatusCode::UNAUTHORIZED && server.wrong.check_key(&address).is_err() {
        return too_many();
    }
    if response.status() != StatusCode::UNAUTHORIZED {
        line.let_in();
    }
    response
}

fn too_many() -> Response {
    trouble(
        StatusCode::TOO_MANY_REQUESTS,
        "too many wrong tries from here; wait a minute",
    )
}

async fn hello(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    headers: HeaderMap,
) -> Response {
    let ahead = ahead_s(&headers);
    with(
        &server,
        secret,
        move |transaction, caller| {
            if caller.role == "table" {
                transaction.execute("SELECT sulcus.was_seen($1)", &[&ahead])?;
            }
            Ok(Hello {
                clinic: caller.clinic_name.clone(),
                name: caller.name.clone(),
                role: caller.role.clone(),
                program: env!("CARGO_PKG_VERSION").to_owned(),
                now: Timestamp::now(),
            })
        },
        |hello| done(&hello),
    )
    .await
}

async fn deliver(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    body: Bytes,
) -> Response {
    let parcel: Parcel = match serde_json::from_slice(&body) {
        Ok(parcel) => parcel,
        Err(why) => {
            return trouble(
                StatusCode::BAD_REQUEST,
                format!("this is no delivery of a table: {why}"),
            );
        }
    };
    with(
        &server,
        secret,
        move |transaction, caller| receive(transaction, caller, &parcel),
        |received| match received {
            Received::Held(outcome) => done(&outcome),
            Received::Refused(why) => trouble(StatusCode::CONFLICT, why),
            Received::Forgotten(reason) => trouble(
                StatusCode::GONE,
                format!("it was deleted in the archive ({reason}) and does not come back"),
            ),
        },
    )
    .await
}

async fn forget(
    State(server): State<Arc<Server>>,
    Extension(secret): Extension<Secret>,
    body: Bytes,
) -> Response {
    let Ok(farewell) = serde_json::from_slice::<Farewell>(&body) else {
        return trouble(StatusCode::BAD_REQUEST, "this names no visit to delete");
    };
    with(
        &server,
        secret,
        move |transaction, caller| {
            caller.require("forget")?;
            let was_held: bool = transaction
                .query_one(
                    "SELECT sulcus.forget($1, $2)",
                    &[&farewell.visit, &farewell.reason],
                )?
                .get(0);
            Ok(was_held)
        },
        |was_held| done(&serde_json::json!({ "was_held": was_held })),
    )
    .await
}

async fn join(
    State(server): State<Arc<Server>>,
    Extension(line): Extension<Line>,
    body: Bytes,
) -> Response {
    let Ok(JoinIn { code, key }) = serde_json::from_slice::<JoinIn>(&body) else {
        return trouble(StatusCode::BAD_REQUEST, "this is no way in");
    };
    if !is_key(&key) {
        return trouble(StatusCode::BAD_REQUEST, "this is no signing key");
    }
    let at = Arc::clone(&server);
    let joined = tokio::task::spawn_blocking(move || {
        at.desk.for_secret("", |transaction| {
            let secret = secrets::new_secret();
            let line = transaction.query_opt(
                "SELECT clinic_name, table_name FROM sulcus.join_table($1, $2, $3)",
                &[&secrets::plain(&code), &secrets::hash(&secret), &key],
            )?;
            Ok(line.map(|line| JoinOut {
                clinic: line.get(0),
                name: line.get(1),
                secret,
            }))
        })
    })
    .await
    .unwrap_or_else(|_| Err(ArchiveError::Away("the request broke off".into())));
    match joined {
        Ok(Some(joined)) => done(&joined),
        Ok(None) if server.wrong.check_key(&line.address).is_err() => too_many(),
        Ok(None) => trouble(
            StatusCode::FORBIDDEN,
            "this code is not good: each is good once and for a day; have a new one made with sulcus archive admit \
             --table NAME",
        ),
        Err(why) => failed(&why),
    }
}
