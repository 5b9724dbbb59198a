//! What a window asks for and complains of while nobody looks.

use chromiumoxide::cdp::browser_protocol::log::EventEntryAdded;
use chromiumoxide::cdp::browser_protocol::network::EventRequestWillBeSent;
use chromiumoxide::cdp::js_protocol::runtime::{EventConsoleApiCalled, EventExceptionThrown};
use chromiumoxide::listeners::EventStream;
use futures_util::{FutureExt as _, StreamExt as _};

use crate::window::Window;

/// Listens to a window.
pub struct Ears {
    requests: EventStream<EventRequestWillBeSent>,
    thrown: EventStream<EventExceptionThrown>,
    logged: EventStream<EventEntryAdded>,
    said: EventStream<EventConsoleApiCalled>,
}

impl Ears {
    /// Listens from now on.
    ///
    /// # Panics
    /// Where the browser does not answer.
    pub async fn on(window: &Window) -> Self {
        let page = window.page();
        Self {
            requests: page.event_listener().await.expect("events"),
            thrown: page.event_listener().await.expect("events"),
            logged: page.event_listener().await.expect("events"),
            said: page.event_listener().await.expect("events"),
        }
    }

    /// Every address that was asked for since the last time, in order.
    pub fn requests(&mut self) -> Vec<String> {
        drained(&mut self.requests).map(|event| event.request.url.clone()).collect()
    }

    /// What went wrong since the last time: exceptions, refusals, what the page wrote to its console.
    pub fn complaints(&mut self) -> Vec<String> {
        let thrown = drained(&mut self.thrown).map(|event| format!("{:?}", event.exception_details));
        let logged = drained(&mut self.logged).map(|event| event.entry.text.clone());
        let said = drained(&mut self.said).map(|event| format!("{:?}", event.args));
        thrown.chain(logged).chain(said).collect()
    }
}

/// What has come in so far.
fn drained<T: chromiumoxide::cdp::IntoEventKind + Unpin>(
    stream: &mut EventStream<T>,
) -> impl Iterator<Item = std::sync::Arc<T>> + use<'_, T> {
    std::iter::from_fn(|| stream.next().now_or_never().flatten())
}
