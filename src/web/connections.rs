//! How many connections the page's server holds, counted before anything is read from them, TLS included.
//!
//! Invariants: nobody who was not let in can use up the connections of one who was: where there are too many, the
//! oldest of a browser that was not let in is closed, first of the same address; the number of open ones is bounded.

use std::io;
use std::net::IpAddr;
use std::pin::Pin;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::task::{Context, Poll, ready};

use axum::http::Request;
use axum_server::accept::Accept;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::TcpStream;
use tokio::sync::oneshot;
use tower_service::Service;

/// Pages that live on, their presses beside them, and room for what reconnects; far below the files that a process may
/// hold open.
const CONNECTIONS_MAX: usize = 192;
/// Of one address that nobody was let in from.
const UNKNOWN_OF_ONE_MAX: usize = 24;

/// The connections now open.
#[derive(Clone, Default)]
pub(crate) struct Connections(Arc<Mutex<Open>>);

#[derive(Default)]
struct Open {
    next: u64,
    /// Oldest first.
    all: Vec<One>,
}

struct One {
    number: u64,
    address: IpAddr,
    is_let_in: Arc<AtomicBool>,
    /// Dropped to close it.
    _close: oneshot::Sender<()>,
}

/// Goes with each request of a connection: says who sent it, and is told that its browser was let in.
#[derive(Clone)]
pub(crate) struct Line {
    pub address: IpAddr,
    is_let_in: Arc<AtomicBool>,
}

impl Line {
    pub fn let_in(&self) {
        self.is_let_in.store(true, Ordering::Relaxed);
    }
}

impl Connections {
    fn open(&self) -> MutexGuard<'_, Open> {
        // A poisoned lock only means that another connection ended in its middle.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Takes a new connection in; none where all that are open belong to browsers that were let in.
    fn admit(&self, address: IpAddr) -> Option<(u64, Line, oneshot::Receiver<()>)> {
        let mut open = self.open();
        let is_unknown = |one: &One| !one.is_let_in.load(Ordering::Relaxed);
        let of_address = |one: &One| is_unknown(one) && one.address == address;
        if open.all.iter().filter(|one| of_address(one)).count() >= UNKNOWN_OF_ONE_MAX
            && let Some(oldest) = open.all.iter().position(of_address)
        {
            open.all.remove(oldest);
        }
        if open.all.len() >= CONNECTIONS_MAX {
            let oldest = open.all.iter().position(is_unknown)?;
            open.all.remove(oldest);
        }
        let number = open.next;
        open.next += 1;
        let (close, closed) = oneshot::channel();
        let is_let_in = Arc::new(AtomicBool::new(false));
        open.all.push(One {
            number,
            address,
            is_let_in: Arc::clone(&is_let_in),
            _close: close,
        });
        Some((number, Line { address, is_let_in }, closed))
    }

    fn gone(&self, number: u64) {
        self.open().all.retain(|one| one.number != number);
    }
}

/// Counts a connection before it is handed on.
#[derive(Clone)]
pub(crate) struct Counting<A> {
    pub connections: Connections,
    pub inner: A,
}

impl<A, S> Accept<TcpStream, S> for Counting<A>
where
    A: Accept<Held, WithLine<S>>,
    A::Future: Send + 'static,
    S: 'static,
{
    type Stream = A::Stream;
    type Service = A::Service;
    type Future = Pin<Box<dyn Future<Output = io::Result<(A::Stream, A::Service)>> + Send>>;

    fn accept(&self, stream: TcpStream, service: S) -> Self::Future {
        let admitted = stream
            .peer_addr()
            .map(|peer| self.connections.admit(peer.ip().to_canonical()));
        let (number, line, closed) = match admitted {
            Ok(Some(admitted)) => admitted,
            Ok(None) => {
                let why = io::Error::other("too many connections are open");
                return Box::pin(async { Err(why) });
            }
            Err(why) => return Box::pin(async { Err(why) }),
        };
        let held = Held {
            stream,
            closed: Some(closed),
            number,
            connections: self.connections.clone(),
        };
        Box::pin(self.inner.accept(held, WithLine { service, line }))
    }
}

/// A connection that ends when it is closed from here.
pub(crate) struct Held {
    stream: TcpStream,
    /// Nothing once it has fired.
    closed: Option<oneshot::Receiver<()>>,
    number: u64,
    connections: Connections,
}

impl Held {
    fn is_closed(&mut self, context: &mut Context<'_>) -> bool {
        match &mut self.closed {
            None => true,
            Some(closed) => {
                let is = Pin::new(closed).poll(context).is_ready();
                if is {
                    self.closed = None;
                }
                is
            }
        }
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        self.connections.gone(self.number);
    }
}

impl AsyncRead for Held {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        if self.is_closed(context) {
            return Poll::Ready(Err(io::ErrorKind::ConnectionAborted.into()));
        }
        Pin::new(&mut self.stream).poll_read(context, buffer)
    }
}

impl AsyncWrite for Held {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        if self.is_closed(context) {
            return Poll::Ready(Err(io::ErrorKind::ConnectionAborted.into()));
        }
        Pin::new(&mut self.stream).poll_write(context, bytes)
    }

    fn poll_flush(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(context)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, context: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(context)
    }
}

/// Puts the [`Line`] into each request of its connection.
#[derive(Clone)]
pub(crate) struct WithLine<S> {
    service: S,
    line: Line,
}

impl<S, B> Service<Request<B>> for WithLine<S>
where
    S: Service<Request<B>>,
{
    type Response = S::Response;
    type Error = S::Error;
    type Future = S::Future;

    fn poll_ready(&mut self, context: &mut Context<'_>) -> Poll<Result<(), Self::Error>> {
        Poll::Ready(ready!(self.service.poll_ready(context)))
    }

    fn call(&mut self, mut request: Request<B>) -> Self::Future {
        request.extensions_mut().insert(self.line.clone());
        self.service.call(request)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn idle_strangers_give_way_and_those_let_in_stay() {
        let connections = Connections::default();
        let of = |last: u8| IpAddr::from([192, 0, 2, last]);
        let (_, nurse, mut nurse_closed) = connections.admit(of(1)).expect("room");
        nurse.let_in();
        let mut strangers: Vec<_> = (0..1_000)
            .map(|at| connections.admit(of(2 + (at % 200) as u8)).expect("room"))
            .collect();
        assert_eq!(connections.open().all.len(), CONNECTIONS_MAX);
        assert!(
            nurse_closed.try_recv() == Err(oneshot::error::TryRecvError::Empty),
            "hers is open"
        );
        let closed = |one: &mut (u64, Line, oneshot::Receiver<()>)| {
            one.2.try_recv() == Err(oneshot::error::TryRecvError::Closed)
        };
        assert!(closed(&mut strangers[0]), "the oldest went");
        let newest = strangers.last_mut().expect("some");
        assert!(!closed(newest));
    }

    #[test]
    fn one_address_cannot_close_those_of_another() {
        let connections = Connections::default();
        let (_, _tablet, mut closed) = connections
            .admit(IpAddr::from([192, 0, 2, 1]))
            .expect("room");
        for _ in 0..1_000 {
            connections
                .admit(IpAddr::from([192, 0, 2, 2]))
                .expect("room");
        }
        assert_eq!(closed.try_recv(), Err(oneshot::error::TryRecvError::Empty));
        assert_eq!(connections.open().all.len(), UNKNOWN_OF_ONE_MAX + 1);
    }

    #[test]
    fn where_all_are_let_in_the_next_is_refused() {
        let connections = Connections::default();
        let mut kept = Vec::new();
        for at in 0..CONNECTIONS_MAX {
            let (number, line, closed) = connections
                .admit(IpAddr::from([192, 0, 2, (at % 250) as u8]))
                .expect("room");
            line.let_in();
            kept.push((number, closed));
        }
        assert!(connections.admit(IpAddr::from([192, 0, 2, 9])).is_none());
        connections.gone(kept[0].0);
        assert!(connections.admit(IpAddr::from([192, 0, 2, 9])).is_some());
    }
}
