//! One stream to one page: the state whole after each change, the level while it moves, and a beat, so that
//! the page knows that what it shows is live.
//!
//! Invariant: a slow page gets the newest state, never a queue of old ones.

use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use axum::response::sse::Event;
use jiff::Timestamp;
use tokio::sync::{OwnedSemaphorePermit, mpsc, watch};
use tokio_stream::wrappers::ReceiverStream;

use super::View;
use super::state;

/// Pages held at once: a tablet, the machine, and room for what reconnects.
pub(super) const PAGES_MAX: usize = 16;
/// The page calls itself dead after about three missed beats.
const BEAT_MS: u64 = 1_500;

/// Follows the view until the page goes away or the program ends.
pub(super) fn stream(
    view: watch::Receiver<Arc<View>>,
    permit: OwnedSemaphorePermit,
    is_let_in: impl Fn() -> bool + Send + Sync + 'static,
) -> ReceiverStream<Result<Event, Infallible>> {
    // One waiting event: the next is made only when the page has taken this one.
    let (sender, receiver) = mpsc::channel(1);
    tokio::spawn(async move {
        let _permit = permit;
        follow(view, &sender, &is_let_in).await;
    });
    ReceiverStream::new(receiver)
}

async fn follow(
    mut view: watch::Receiver<Arc<View>>,
    sender: &mpsc::Sender<Result<Event, Infallible>>,
    is_let_in: &(impl Fn() -> bool + Sync),
) {
    let mut beat = tokio::time::interval(Duration::from_millis(BEAT_MS));
    let mut sent = String::new();
    loop {
        if !is_let_in() {
            return;
        }
        let now = Arc::clone(&view.borrow_and_update());
        for event in events(&now, &mut sent) {
            if sender.send(Ok(event)).await.is_err() {
                return;
            }
        }
        loop {
            tokio::select! {
                changed = view.changed() => match changed {
                    Ok(()) => break,
                    // The program ends: the closed stream tells the page.
                    Err(_) => return,
                },
                _ = beat.tick() => {
                    if !is_let_in() {
                        return;
                    }
                    let now_ms = Timestamp::now().as_millisecond().to_string();
                    if sender.send(Ok(Event::default().event("beat").data(now_ms))).await.is_err() {
                        return;
                    }
                }
                () = sender.closed() => return,
            }
        }
    }
}

/// The state where it differs from what was sent last; the level always.
fn events(view: &View, sent: &mut String) -> Vec<Event> {
    let mut events = Vec::with_capacity(2);
    let state = state::json(view);
    if state != *sent {
        events.push(Event::default().event("state").data(&state));
        *sent = state;
    }
    if let Some(level_dbfs) = view.level_dbfs {
        // JSON has no infinity; below -99 dB nobody speaks.
        let level = format!("{:.1}", level_dbfs.clamp(-99.0, 0.0));
        events.push(Event::default().event("level").data(level));
    }
    events
}
