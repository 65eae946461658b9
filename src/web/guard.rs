//! What every request must pass before anything looks at it, and the headers that every answer carries.
//! Any page in the same browser can send requests to this machine, and a hostile name server can make a foreign
//! page look like ours: so listening on loopback alone is no defence.
//!
//! Invariants: names and origins are compared whole, never by pattern; nothing has an effect by GET.

use axum::body::Body;
use axum::extract::State;
use axum::http::header::{self, HeaderName, HeaderValue};
use axum::http::{HeaderMap, Method, Request, StatusCode, Uri};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;
use std::time::Duration;

/// A request that is not answered by then is given up: a slow body, a stuck queue.
const ANSWER_MS_MAX: u64 = 10_000;

pub(crate) const HEADERS: [(HeaderName, &str); 8] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; \
         base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; \
         trusted-types 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (header::REFERRER_POLICY, "no-referrer"),
    (header::CACHE_CONTROL, "no-store"),
    (
        HeaderName::from_static("cross-origin-opener-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("cross-origin-resource-policy"),
        "same-origin",
    ),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(), microphone=(), geolocation=(), usb=(), serial=()",
    ),
];

/// The names under which this server may be asked for.
#[derive(Debug, Clone)]
pub(crate) struct Names {
    /// `http` or `https`.
    pub scheme: &'static str,
    /// Name and port, as browsers send them.
    pub hosts: Vec<String>,
}

/// Why a request is turned away before anything looks at it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Turned {
    Host,
    Origin,
    FetchSite,
    Method,
    ContentType,
}

impl Turned {
    pub fn status(self) -> StatusCode {
        match self {
            Self::Host | Self::Origin | Self::FetchSite => StatusCode::FORBIDDEN,
            Self::Method => StatusCode::METHOD_NOT_ALLOWED,
            Self::ContentType => StatusCode::UNSUPPORTED_MEDIA_TYPE,
        }
    }

    pub fn why(self) -> &'static str {
        match self {
            Self::Host => "this server does not go by that name",
            Self::Origin => "the request does not come from this server's page",
            Self::FetchSite => "the browser says that another site asks",
            Self::Method => "only GET and POST are answered",
            Self::ContentType => "a press is sent as application/json",
        }
    }
}

impl Names {
    pub fn check(&self, method: &Method, uri: &Uri, headers: &HeaderMap) -> Result<(), Turned> {
        let host = one(headers, &header::HOST).ok_or(Turned::Host)?;
        if !self.hosts.iter().any(|known| known == host)
            || uri.authority().is_some_and(|asked| asked.as_str() != host)
        {
            return Err(Turned::Host);
        }
        let has_effect = match *method {
            Method::GET | Method::HEAD => false,
            Method::POST => true,
            _ => return Err(Turned::Method),
        };
        if has_effect || headers.contains_key(header::ORIGIN) {
            let origin = one(headers, &header::ORIGIN).ok_or(Turned::Origin)?;
            if origin != format!("{}://{host}", self.scheme) {
                return Err(Turned::Origin);
            }
        }
        let fetch_site = HeaderName::from_static("sec-fetch-site");
        if headers.contains_key(&fetch_site) {
            match one(headers, &fetch_site) {
                Some("same-origin") => {}
                // Typed or opened by the person.
                Some("none") if !has_effect => {}
                _ => return Err(Turned::FetchSite),
            }
        }
        if has_effect
            && !matches!(
                one(headers, &header::CONTENT_TYPE),
                Some("application/json" | "application/json; charset=utf-8")
            )
        {
            return Err(Turned::ContentType);
        }
        Ok(())
    }
}

/// The value of a header that stands there exactly once.
fn one<'a>(headers: &'a HeaderMap, name: &HeaderName) -> Option<&'a str> {
    let mut all = headers.get_all(name).iter();
    let only = all.next()?;
    if all.next().is_some() {
        return None;
    }
    only.to_str().ok()
}

/// The value of a cookie; nothing where it stands there twice.
pub(crate) fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let mut found = headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .filter(|(key, _)| *key == name)
        .map(|(_, value)| value);
    let only = found.next()?;
    found.next().is_none().then_some(only)
}

/// Turns away what does not pass; puts the headers on every answer.
pub(super) async fn guard(
    State(names): State<Arc<Names>>,
    request: Request<Body>,
    next: Next,
) -> Response {
    let mut response = match names.check(request.method(), request.uri(), request.headers()) {
        Err(turned) => (turned.status(), turned.why()).into_response(),
        Ok(()) => {
            let limit = Duration::from_millis(ANSWER_MS_MAX);
            tokio::time::timeout(limit, next.run(request))
                .await
                .unwrap_or_else(|_| {
                    (StatusCode::REQUEST_TIMEOUT, "the request took too long").into_response()
                })
        }
    };
    for (name, value) in HEADERS {
        response
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    response
}
