//! The server: routes, and what each answers. Every route behind `guard`; all but the shell of the page and
//! the way in behind a browser that was let in.

use std::net::{IpAddr, SocketAddr, TcpListener};
use std::num::NonZeroU32;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Extension, Path, Query, Request, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::sse::Sse;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use axum_server::accept::DefaultAcceptor;
use axum_server::tls_rustls::RustlsAcceptor;
use crossbeam_channel::{Sender, TrySendError};
use governor::{DefaultDirectRateLimiter, Quota, RateLimiter};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use tokio::sync::{Semaphore, oneshot, watch};
use uuid::Uuid;

use super::archive::Archive;
use super::connections::{Connections, Counting, Line};
use super::guard::{self, Names};
use super::keys::{Browser, Caller, Entry, Keys};
use super::papers::{Paper, Papers, PapersError};
use super::press::{Body, PressIn, Pressed, Reply};
use super::sayings::{self, Sayings};
use super::signing::{self, Signing};
use super::words::WordsOut;
use super::{View, live, messages, state, tls, words};
use crate::record::JournalError;
use crate::terms::drug::Shelf;

/// The longest note in JSON, with room for escapes; anything bigger is no press.
const BODY_BYTES_MAX: usize = 16 * 1024;
/// Faster than two people press; slower than a runaway script.
const PRESSES_PER_SECOND: u32 = 20;
const LOOK_UPS_PER_SECOND: u32 = 10;
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
    /// Of the page's words; English where it is not known.
    pub language: String,
    /// What the page can have printed or saved.
    pub papers: Box<dyn Papers>,
    /// What was refused at the table, to be taken into the clinic's file.
    pub sayings: Box<dyn Sayings>,
    /// Who may sign.
    pub signing: Box<dyn Signing>,
    /// The clinic's drugs with their strengths.
    pub shelf: Shelf,
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
    /// Stop: a bug of the files compiled in.
    #[error("the page's words cannot be read: {0}")]
    Messages(#[from] messages::MessagesError),
}

pub(super) struct Server {
    names: Arc<Names>,
    cookie_name: String,
    is_tls: bool,
    keys: Keys,
    archive: Arc<Archive>,
    view: watch::Receiver<Arc<View>>,
    presses: Sender<Pressed>,
    pages: Arc<Semaphore>,
    press_limit: DefaultDirectRateLimiter,
    pub(super) look_up_limit: DefaultDirectRateLimiter,
    messages: messages::MessagesOut,
    papers: Arc<dyn Papers>,
    pub(super) sayings: Arc<dyn Sayings>,
    pub(super) signing: Arc<dyn Signing>,
    pub(super) sign_limit: DefaultDirectRateLimiter,
    words: WordsOut,
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
        messages: messages::of(&options.language)?,
        papers: Arc::from(options.papers),
        sayings: Arc::from(options.sayings),
        signing: Arc::from(options.signing),
        sign_limit: RateLimiter::direct(Quota::per_minute(at_least_one(signing::TRIES_PER_MINUTE))),
        words: words::words(&options.shelf),
        announce: options.announce,
    });
    let routes = routes(&server).into_make_service();
    let idle = Duration::from_millis(FIRST_REQUEST_MS_MAX);
    if is_tls {
        let certificate = tls::certificate(&options.folder, address.ip(), Timestamp::now())?;
        let tell = &server.announce;
        tell(Notice::Address(format!("https://{address}/")));
        tell(Notice::Fingerprint(certificate.fingerprint));
        tell(Notice::PairingCode(server.keys.way_in()));
        let tls = RustlsAcceptor::new(certificate.config)
            .handshake_timeout(Duration::from_millis(FIRST_REQUEST_MS_MAX));
        axum_server::from_tcp(listener)?
            .acceptor(Counting {
                connections: Connections::default(),
                inner: tls,
            })
            .http1_only()
            .first_request_timeout(idle)
            .serve(routes)
            .await?;
    } else {
        let token = server.keys.way_in();
        (server.announce)(Notice::Address(format!("http://{address}/#{token}")));
        axum_server::from_tcp(listener)?
            .acceptor(Counting {
                connections: Connections::default(),
                inner: DefaultAcceptor::new(),
            })
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
pub(crate) fn names(address: SocketAddr, is_tls: bool) -> Names {
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
        .route("/api/papers/{visit}/{paper}", get(paper))
        .route("/api/sayings", get(sayings::list))
        .route("/api/sayings/accept", post(sayings::accept))
        .route("/api/signers", get(signing::names))
        .route("/api/browsers", get(browsers))
        .route("/api/browsers/shut", post(shut_out))
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
        .route("/api/messages", get(page_messages))
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

const ASSETS: [Asset; 18] = [
    Asset {
        path: "/",
        kind: "text/html; charset=utf-8",
        text: include_str!("assets/page.html"),
    },
    // The same shell: the page's script shows what is read from afar.
    Asset {
        path: "/wall",
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
    script("/messages.js", include_str!("assets/messages.js")),
    script("/pad.js", include_str!("assets/pad.js")),
    script("/draft.js", include_str!("assets/draft.js")),
    script("/after.js", include_str!("assets/after.js")),
    script("/vitals.js", include_str!("assets/vitals.js")),
    script("/drugs.js", include_str!("assets/drugs.js")),
];

// ---- answers

#[derive(Serialize)]
struct Trouble {
    error: String,
}

pub(super) fn trouble(status: StatusCode, why: impl Into<String>) -> Response {
    (status, Json(Trouble { error: why.into() })).into_response()
}

pub(super) fn too_fast() -> Response {
    trouble(StatusCode::TOO_MANY_REQUESTS, "too fast; wait a moment")
}

async fn only_let_in(State(server): State<Arc<Server>>, request: Request, next: Next) -> Response {
    let is_known = server.secret(request.headers()).is_some();
    if is_known {
        if let Some(line) = request.extensions().get::<Line>() {
            line.let_in();
        }
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

async fn enter(
    State(server): State<Arc<Server>>,
    Extension(line): Extension<Line>,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    let caller = Caller {
        address: line.address,
        name: browser_name(&headers),
    };
    let Ok(EnterIn { secret }) = serde_json::from_slice(&body) else {
        return trouble(StatusCode::BAD_REQUEST, "no such way in");
    };
    let (answer, new_code) = match server.keys.enter(&secret, &caller, Timestamp::now()) {
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
        Ok(Entry::Wait) => {
            let why = "too many wrong tries from here; wait a minute";
            (trouble(StatusCode::TOO_MANY_REQUESTS, why), None)
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

async fn words(State(server): State<Arc<Server>>) -> Response {
    Json(&server.words).into_response()
}

async fn page_messages(State(server): State<Arc<Server>>) -> Response {
    Json(&server.messages).into_response()
}

async fn live_page(State(server): State<Arc<Server>>, headers: HeaderMap) -> Response {
    let secret = server.secret(&headers);
    match Arc::clone(&server.pages).try_acquire_owned() {
        Ok(permit) => {
            let at = Arc::clone(&server);
            // A browser that is shut out sees nothing more.
            let is_let_in = move || {
                secret
                    .as_deref()
                    .is_some_and(|secret| at.keys.knows(secret, Timestamp::now()))
            };
            Sse::new(live::stream(server.view.clone(), permit, is_let_in)).into_response()
        }
        Err(_) => trouble(StatusCode::SERVICE_UNAVAILABLE, "too many pages are open"),
    }
}

#[derive(Serialize)]
struct NotSavedOut {
    error: String,
    /// What the page shows it as.
    outcome: &'static str,
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
    if let PressIn::Sign(sign) = &press
        && let Some(refused) = signing::refused(&server, sign).await
    {
        return refused;
    }
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
        Ok(Ok(Reply::NotSaved(error))) => {
            let outcome = "not_saved";
            let told = NotSavedOut { error, outcome };
            (StatusCode::INSUFFICIENT_STORAGE, Json(told)).into_response()
        }
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

async fn paper(
    State(server): State<Arc<Server>>,
    Path((visit, paper)): Path<(String, String)>,
) -> Response {
    if server.look_up_limit.check().is_err() {
        return too_fast();
    }
    // The path is a number of a visit and one of a few words; it never names a file.
    let (Ok(visit), Some(paper)) = (visit.parse::<Uuid>(), Paper::by_name(&paper)) else {
        return trouble(StatusCode::NOT_FOUND, "no such paper");
    };
    let papers = Arc::clone(&server.papers);
    let made = tokio::task::spawn_blocking(move || papers.make(visit, paper)).await;
    match made {
        Ok(Ok(bytes)) => {
            let name = format!("{}; filename=\"{}\"", paper.shown(), paper.file_name());
            let kind = (header::CONTENT_TYPE, paper.kind().to_owned());
            ([kind, (header::CONTENT_DISPOSITION, name)], bytes).into_response()
        }
        Ok(Err(PapersError::NoVisit)) => trouble(StatusCode::NOT_FOUND, "no such visit"),
        Ok(Err(why)) => trouble(StatusCode::INTERNAL_SERVER_ERROR, why.to_string()),
        Err(why) => trouble(StatusCode::INTERNAL_SERVER_ERROR, why.to_string()),
    }
}

// ---- browsers

impl Server {
    /// The secret of a browser that was let in.
    fn secret(&self, headers: &HeaderMap) -> Option<String> {
        guard::cookie(headers, &self.cookie_name)
            .filter(|secret| self.keys.knows(secret, Timestamp::now()))
            .map(str::to_owned)
    }
}

/// What a browser calls itself, as far as a person needs it to tell two apart.
fn browser_name(headers: &HeaderMap) -> String {
    let text = headers
        .get(header::USER_AGENT)
        .and_then(|value| value.to_str().ok())
        .unwrap_or_default();
    let has = |word: &str| text.contains(word);
    // The first that fits; engines name those before them too.
    let browser = [
        ("Firefox/", "Firefox"),
        ("Edg/", "Edge"),
        ("OPR/", "Opera"),
        ("Chromium/", "Chromium"),
        ("Chrome/", "Chromium"),
        ("Safari/", "Safari"),
    ];
    let system = [
        ("iPad", "iPad"),
        ("iPhone", "iPhone"),
        ("Android", "Android"),
        ("Windows", "Windows"),
        ("Mac OS X", "Mac"),
        ("Linux", "Linux"),
    ];
    let first = |list: &[(&str, &'static str)]| {
        list.iter()
            .find(|(word, _)| has(word))
            .map_or("", |(_, name)| *name)
    };
    let name = format!("{} {}", first(&browser), first(&system));
    name.trim().to_owned()
}

#[derive(Serialize)]
struct BrowserOut {
    id: String,
    name: String,
    address: Option<String>,
    since_ms: Option<i64>,
    seen_ms: Option<i64>,
    until_ms: i64,
    is_this: bool,
}

async fn browsers(State(server): State<Arc<Server>>, headers: HeaderMap) -> Response {
    let own = server.secret(&headers).unwrap_or_default();
    let ms = |at: Timestamp| at.as_millisecond();
    let list: Vec<BrowserOut> = server
        .keys
        .browsers(Timestamp::now())
        .iter()
        .map(|browser| BrowserOut {
            id: browser.id().to_owned(),
            name: browser.name.clone(),
            address: browser.address.map(|address| address.to_string()),
            since_ms: browser.since.map(ms),
            seen_ms: browser.seen.map(ms),
            until_ms: ms(browser.until),
            is_this: Keys::is_of(&own, browser),
        })
        .collect();
    Json(list).into_response()
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ShutIn {
    /// None: all but the one that asks.
    id: Option<String>,
}

async fn shut_out(State(server): State<Arc<Server>>, headers: HeaderMap, body: Bytes) -> Response {
    let own = server.secret(&headers).unwrap_or_default();
    let Ok(ShutIn { id }) = serde_json::from_slice(&body) else {
        return trouble(StatusCode::BAD_REQUEST, "which browser?");
    };
    let wanted = |browser: &Browser| match &id {
        Some(id) => browser.id() == id,
        None => !Keys::is_of(&own, browser),
    };
    match server.keys.shut_out(wanted) {
        Ok(0) if id.is_some() => trouble(StatusCode::NOT_FOUND, "no such browser"),
        Ok(_) => StatusCode::NO_CONTENT.into_response(),
        Err(why) => trouble(StatusCode::INTERNAL_SERVER_ERROR, why.to_string()),
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
