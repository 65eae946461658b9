//! The server: routes, and what each answers. Every route behind `guard`; all but the shell of the page and
//! the way in behind a browser that was let in.

use std::net::{IpAddr, SocketAddr, TcpListener};
use std::num::NonZeroU32;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Path, Query, Request, State};
use axum::http::{StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::sse::Sse;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use crossbeam_channel::{Sender, TrySendError};
use governor::{DefaultDirectRateLimiter, Quota, RateLimiter};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use tokio::sync::{Semaphore, oneshot, watch};
use uuid::Uuid;

use super::archive::Archive;
use super::guard::{self, Names};
use super::keys::{Entry, Keys};
use super::press::{Body, Pressed, Reply};
use super::{View, live, state, tls, words};
use crate::record::JournalError;

/// The longest note in JSON, with room for escapes; anything bigger is no press.
const BODY_BYTES_MAX: usize = 16 * 1024;
/// Faster than two people press; slower than a runaway script.
const PRESSES_PER_SECOND: u32 = 20;
const LOOK_UPS_PER_SECOND: u32 = 10;
/// A mistyped code may be tried again at once, but not many.
const ENTRIES_PER_MINUTE: u32 = 10;
/// How long a press may wait for the commit. The disk of an ordinary machine needs some 10 ms.
const REPLY_MS_MAX: u64 = 5_000;
/// A connection that has not asked for anything by then is closed.
const FIRST_REQUEST_MS_MAX: u64 = 10_000;

/// What the server tells the person at the machine; never written to a log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Notice {
    /// Open this. Holds the token of this start where only this machine can reach it.
    Address(String),
    /// Type this at the page of another machine.
    PairingCode(String),
    /// Compare with what the browser shows.
    Fingerprint(String),
}

pub struct ServeOptions {
    pub address: SocketAddr,
    /// Other machines may reach the page, so it speaks TLS and asks for a pairing code. Without it only a
    /// loopback address is taken.
    pub is_open_to_network: bool,
    /// The data folder.
    pub folder: PathBuf,
    pub announce: Box<dyn Fn(Notice) + Send + Sync>,
}

#[derive(Debug, thiserror::Error)]
pub enum WebError {
    /// Wrong use.
    #[error(
        "{0} can be reached by other machines; give --open-to-network too, which adds TLS and a pairing code"
    )]
    NotLoopback(IpAddr),
    /// Wrong use: the page's name could not be checked exactly.
    #[error(
        "{0} means every address; give the one address under which other machines open the page"
    )]
    EveryAddress(IpAddr),
    /// Ask the person.
    #[error("cannot listen on {address}: {why}; give another port with --port")]
    Listen {
        address: SocketAddr,
        why: std::io::Error,
    },
    /// Stop.
    #[error(
        "cannot make the page's certificate: {0}; remove the page-*.der files in the data folder"
    )]
    Certificate(String),
    /// Stop: the socket or a file of the data folder.
    #[error("the page cannot be served: {0}")]
    Io(#[from] std::io::Error),
}

struct Server {
    names: Arc<Names>,
    cookie_name: String,
    is_tls: bool,
    keys: Keys,
    archive: Arc<Archive>,
    view: watch::Receiver<Arc<View>>,
    presses: Sender<Pressed>,
    pages: Arc<Semaphore>,
    press_limit: DefaultDirectRateLimiter,
    look_up_limit: DefaultDirectRateLimiter,
    entry_limit: DefaultDirectRateLimiter,
    announce: Box<dyn Fn(Notice) + Send + Sync>,
}

/// Serves until the future is dropped.
pub async fn serve(
    options: ServeOptions,
    view: watch::Receiver<Arc<View>>,
    presses: Sender<Pressed>,
) -> Result<(), WebError> {
    let ip = options.address.ip();
    if ip.is_unspecified() {
        return Err(WebError::EveryAddress(ip));
    }
    if !ip.is_loopback() && !options.is_open_to_network {
        return Err(WebError::NotLoopback(ip));
    }
    let is_tls = options.is_open_to_network;
    let listener = TcpListener::bind(options.address).map_err(|why| WebError::Listen {
        address: options.address,
        why,
    })?;
    listener.set_nonblocking(true)?;
    let address = listener.local_addr()?;
    let server = Arc::new(Server {
        names: Arc::new(names(address, is_tls)),
        // Cookies do not tell ports apart, so the name does.
        cookie_name: if is_tls {
            format!("__Host-sulcus-{}", address.port())
        } else {
            format!("sulcus-{}", address.port())
        },
        is_tls,
        keys: Keys::new(&options.folder, is_tls),
        archive: Arc::new(Archive::new(options.folder.clone())),
        view,
        presses,
        pages: Arc::new(Semaphore::new(live::PAGES_MAX)),
        press_limit: RateLimiter::direct(per_second(PRESSES_PER_SECOND)),
        look_up_limit: RateLimiter::direct(per_second(LOOK_UPS_PER_SECOND)),
        entry_limit: RateLimiter::direct(Quota::per_minute(at_least_one(ENTRIES_PER_MINUTE))),
        announce: options.announce,
    });
    let routes = routes(&server).into_make_service();
    let idle = Duration::from_millis(FIRST_REQUEST_MS_MAX);
    if is_tls {
        let certificate = tls::certificate(&options.folder, address.ip())?;
        let tell = &server.announce;
        tell(Notice::Address(format!("https://{address}/")));
        tell(Notice::Fingerprint(certificate.fingerprint));
        tell(Notice::PairingCode(server.keys.way_in()));
        axum_server::from_tcp_rustls(listener, certificate.config)?
            .http1_only()
            .first_request_timeout(idle)
            .serve(routes)
            .await?;
    } else {
        let token = server.keys.way_in();
        (server.announce)(Notice::Address(format!("http://{address}/#{token}")));
        axum_server::from_tcp(listener)?
            .http1_only()
            .first_request_timeout(idle)
            .serve(routes)
            .await?;
    }
    Ok(())
}

fn at_least_one(count: u32) -> NonZeroU32 {
    NonZeroU32::new(count).unwrap_or(NonZeroU32::MIN)
}

fn per_second(count: u32) -> Quota {
    Quota::per_second(at_least_one(count))
}

/// Browsers leave the port out where it is the scheme's own.
fn names(address: SocketAddr, is_tls: bool) -> Names {
    let (scheme, own_port) = if is_tls { ("https", 443) } else { ("http", 80) };
    let mut hosts = vec![address.to_string()];
    if address.ip().is_loopback() {
        hosts.push(format!("localhost:{}", address.port()));
    }
    if address.port() == own_port {
        let short: Vec<String> = hosts
            .iter()
            .filter_map(|host| host.rsplit_once(':'))
            .map(|(name, _)| name.to_owned())
            .collect();
        hosts.extend(short);
    }
    Names { scheme, hosts }
}

fn routes(server: &Arc<Server>) -> Router {
    let inside = Router::new()
        .route("/api/words", get(words))
        .route("/api/live", get(live_page))
        .route("/api/press", post(press))
        .route("/api/visits", get(visits))
        .route("/api/visits/{visit}", get(visit))
        .layer(middleware::from_fn_with_state(
            Arc::clone(server),
            only_let_in,
        ));
    let shell = ASSETS.iter().fold(Router::new(), |router, asset| {
        router.route(
            asset.path,
            get(move || async { ([(header::CONTENT_TYPE, asset.kind)], asset.text) }),
        )
    });
    shell
        .route("/api/enter", post(enter))
        .merge(inside)
        .layer(DefaultBodyLimit::max(BODY_BYTES_MAX))
        .layer(middleware::from_fn_with_state(
            Arc::clone(&server.names),
            guard::guard,
        ))
        .with_state(Arc::clone(server))
}

/// A file of the page, compiled in. Holds nothing of any visit.
struct Asset {
    path: &'static str,
    kind: &'static str,
    text: &'static str,
}

const fn script(path: &'static str, text: &'static str) -> Asset {
    Asset {
        path,
        kind: "text/javascript; charset=utf-8",
        text,
    }
}

const ASSETS: [Asset; 11] = [
    Asset {
        path: "/",
        kind: "text/html; charset=utf-8",
        text: include_str!("assets/page.html"),
    },
    Asset {
        path: "/page.css",
        kind: "text/css; charset=utf-8",
        text: include_str!("assets/page.css"),
    },
    Asset {
        path: "/icon.svg",
        kind: "image/svg+xml",
        text: include_str!("assets/icon.svg"),
    },
    script("/page.js", include_str!("assets/page.js")),
    script("/link.js", include_str!("assets/link.js")),
    script("/alarm.js", include_str!("assets/alarm.js")),
    script("/mouth.js", include_str!("assets/mouth.js")),
    script("/tooth.js", include_str!("assets/tooth.js")),
    script("/sheet.js", include_str!("assets/sheet.js")),
    script("/patient.js", include_str!("assets/patient.js")),
    script("/procedure.js", include_str!("assets/procedure.js")),
];

// ---- answers

#[derive(Serialize)]
struct Trouble {
    error: String,
}

fn trouble(status: StatusCode, why: impl Into<String>) -> Response {
    (status, Json(Trouble { error: why.into() })).into_response()
}

fn too_fast() -> Response {
    trouble(StatusCode::TOO_MANY_REQUESTS, "too fast; wait a moment")
}

async fn only_let_in(State(server): State<Arc<Server>>, request: Request, next: Next) -> Response {
    let is_known = guard::cookie(request.headers(), &server.cookie_name)
        .is_some_and(|secret| server.keys.knows(secret, Timestamp::now()));
    if is_known {
        next.run(request).await
    } else {
        trouble(
            StatusCode::UNAUTHORIZED,
            if server.is_tls {
                "type the pairing code that the machine shows"
            } else {
                "open the address that the machine shows"
            },
        )
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct EnterIn {
    secret: String,
}

async fn enter(State(server): State<Arc<Server>>, body: Bytes) -> Response {
    if server.entry_limit.check().is_err() {
        return too_fast();
    }
    let Ok(EnterIn { secret }) = serde_json::from_slice(&body) else {
        return trouble(StatusCode::BAD_REQUEST, "no such way in");
    };
    let (answer, new_code) = match server.keys.enter(&secret, Timestamp::now()) {
        Ok(Entry::In { secret, new_code }) => {
            let secure = if server.is_tls { "; Secure" } else { "" };
            let name = &server.cookie_name;
            let cookie = format!("{name}={secret}; Path=/; HttpOnly; SameSite=Strict{secure}");
            let answer = ([(header::SET_COOKIE, cookie)], StatusCode::NO_CONTENT).into_response();
            (answer, new_code)
        }
        Ok(Entry::Out { new_code }) => {
            let answer = trouble(StatusCode::UNAUTHORIZED, "that does not let you in");
            (answer, new_code)
        }
        Err(why) => {
            let answer = trouble(StatusCode::INTERNAL_SERVER_ERROR, why.to_string());
            (answer, None)
        }
    };
    if let Some(code) = new_code {
        (server.announce)(Notice::PairingCode(code));
    }
    answer
}

async fn words() -> Response {
    Json(words::words()).into_response()
}

async fn live_page(State(server): State<Arc<Server>>) -> Response {
    match Arc::clone(&server.pages).try_acquire_owned() {
        Ok(permit) => Sse::new(live::stream(server.view.clone(), permit)).into_response(),
        Err(_) => trouble(StatusCode::SERVICE_UNAVAILABLE, "too many pages are open"),
    }
}

#[derive(Serialize)]
struct PressOut {
    last: u64,
    said: Vec<String>,
}

async fn press(State(server): State<Arc<Server>>, body: Bytes) -> Response {
    if server.press_limit.check().is_err() {
        return too_fast();
    }
    let Body { seen, press } = match serde_json::from_slice(&body) {
        Ok(body) => body,
        Err(why) => return trouble(StatusCode::BAD_REQUEST, format!("no such press: {why}")),
    };
    let press = match press.press(seen) {
        Ok(press) => press,
        Err(unfit) => return trouble(StatusCode::UNPROCESSABLE_ENTITY, unfit.to_string()),
    };
    let (reply, answer) = oneshot::channel();
    match server.presses.try_send(Pressed { press, seen, reply }) {
        Ok(()) => {}
        Err(TrySendError::Full(_)) => {
            return trouble(StatusCode::SERVICE_UNAVAILABLE, "busy; press again");
        }
        Err(TrySendError::Disconnected(_)) => {
            return trouble(StatusCode::SERVICE_UNAVAILABLE, "the program is ending");
        }
    }
    let limit = Duration::from_millis(REPLY_MS_MAX);
    match tokio::time::timeout(limit, answer).await {
        Ok(Ok(Reply::Taken { last, said })) => Json(PressOut { last, said }).into_response(),
        Ok(Ok(Reply::Refused(why))) => trouble(StatusCode::CONFLICT, why),
        Ok(Ok(Reply::NotSaved(why))) => trouble(StatusCode::INSUFFICIENT_STORAGE, why),
        Ok(Err(_)) | Err(_) => trouble(
            StatusCode::SERVICE_UNAVAILABLE,
            "no answer; look whether it was saved before you press again",
        ),
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SearchIn {
    #[serde(default)]
    q: String,
}

async fn visits(
    State(server): State<Arc<Server>>,
    Query(SearchIn { q }): Query<SearchIn>,
) -> Response {
    if server.look_up_limit.check().is_err() {
        return too_fast();
    }
    let patient = server
        .view
        .borrow()
        .record
        .as_ref()
        .map(|record| record.patient.clone());
    let found = read(&server, move |archive| archive.search(&q)).await;
    match found {
        Ok(lines) => Json(state::visits(&lines, patient.as_ref())).into_response(),
        Err(response) => response,
    }
}

async fn visit(State(server): State<Arc<Server>>, Path(visit): Path<String>) -> Response {
    if server.look_up_limit.check().is_err() {
        return too_fast();
    }
    // Nothing of the path ever names a file: it is a number of a visit or refused.
    let Ok(visit) = visit.parse::<Uuid>() else {
        return trouble(StatusCode::NOT_FOUND, "no such visit");
    };
    match read(&server, move |archive| archive.visit(visit)).await {
        Ok(Some(record)) => Json(state::visit(&record)).into_response(),
        Ok(None) => trouble(StatusCode::NOT_FOUND, "no such visit"),
        Err(response) => response,
    }
}

/// Reading the journal may wait for the disk: not on the thread that serves.
async fn read<T: Send + 'static>(
    server: &Arc<Server>,
    then: impl FnOnce(&Archive) -> Result<T, JournalError> + Send + 'static,
) -> Result<T, Response> {
    let archive = Arc::clone(&server.archive);
    tokio::task::spawn_blocking(move || then(&archive))
        .await
        .map_err(|why| trouble(StatusCode::INTERNAL_SERVER_ERROR, why.to_string()))?
        .map_err(|why| trouble(StatusCode::INTERNAL_SERVER_ERROR, why.to_string()))
}
