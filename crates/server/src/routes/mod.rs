//! The routes: each takes path and body apart, calls one method of the workbench on a thread that may
//! block, and dresses the outcome.

mod blanket;
mod files;
mod jobs;
mod looks;
mod making;
mod paper;
mod person;
mod shelf;

use core::future::Future;
use core::str::FromStr;
use std::sync::Arc;

use axum::body::Body;
use axum::extract::{FromRequestParts, RawPathParams, State};
use axum::http::header::{LOCATION, SET_COOKIE};
use axum::http::request::Parts;
use axum::http::{HeaderMap, Method, Request, StatusCode, Uri};
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodFilter, MethodRouter, get, on};
use axum::{Json, Router};
use serde::Serialize;
use tokio::task::spawn_blocking;
use workbench::{BlanketId, Workbench};

use crate::failure::Failure;
use crate::{App, head, site};

/// A request for a route.
pub(crate) struct Ask {
    pub(crate) app: Arc<App>,
    pub(crate) place: Place,
    pub(crate) request: Request<Body>,
}

/// What the variable parts of a path say.
pub(crate) struct Place(Vec<(String, String)>);

impl<S: Send + Sync> FromRequestParts<S> for Place {
    type Rejection = Failure;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Failure> {
        // What is no text once the percent signs are resolved names nothing here.
        let params =
            RawPathParams::from_request_parts(parts, state).await.map_err(|_| Failure::not_there())?;
        Ok(Self(params.iter().map(|(name, value)| (name.to_owned(), value.to_owned())).collect()))
    }
}

impl Place {
    fn text(&self, name: &str) -> &str {
        self.0.iter().find(|(has, _)| has == name).map_or("", |(_, value)| value)
    }

    /// A number written in plain digits; anything else names nothing here.
    fn number<T: FromStr>(&self, name: &str) -> Result<T, Failure> {
        let text = self.text(name);
        if !text.bytes().all(|byte| byte.is_ascii_digit()) {
            return Err(Failure::not_there());
        }
        text.parse().map_err(|_| Failure::not_there())
    }

    fn blanket(&self) -> Result<BlanketId, Failure> {
        self.number("blanket").map(BlanketId)
    }
}

impl Ask {
    /// Does one thing with the workbench, off the threads that answer.
    fn work<T: Send + 'static, W>(&self, work: W) -> impl Future<Output = Result<T, Failure>> + use<T, W>
    where
        W: FnOnce(&Workbench) -> Result<T, workbench::Failure> + Send + 'static,
    {
        let workbench = Arc::clone(&self.app.workbench);
        let working = spawn_blocking(move || work(&workbench));
        async {
            match working.await {
                Ok(outcome) => outcome.map_err(Failure::from),
                Err(_) => Err(Failure::broke_off()),
            }
        }
    }

    /// The value of a query field, its percent signs resolved.
    fn query(&self, name: &str) -> Option<String> {
        let query = self.request.uri().query().unwrap_or_default();
        let mut fields = form_urlencoded::parse(query.as_bytes());
        fields.find(|(has, _)| has == name).map(|(_, value)| value.into_owned())
    }
}

/// An answer of JSON.
fn answer(value: impl Serialize) -> Response {
    Json(value).into_response()
}

/// An answer that says no more than that it was done.
fn done() -> Response {
    answer(serde_json::json!({}))
}

/// One route: a method and what answers it.
fn route<F>(method: MethodFilter, answers: fn(Ask) -> F) -> MethodRouter<Arc<App>>
where
    F: Future<Output = Result<Response, Failure>> + Send + 'static,
{
    on(method, move |State(app): State<Arc<App>>, place: Place, request: Request<Body>| {
        answers(Ask { app, place, request })
    })
}

/// All routes, guarded.
pub(crate) fn router(app: Arc<App>) -> Router {
    const GET: MethodFilter = MethodFilter::GET;
    const POST: MethodFilter = MethodFilter::POST;
    const PUT: MethodFilter = MethodFilter::PUT;
    let api = Router::new()
        .route("/shelf", route(GET, shelf::shelf))
        .route("/blankets", route(POST, shelf::new))
        .route("/blankets/from-chart", route(POST, shelf::from_chart))
        .route("/blankets/from-picture", route(POST, shelf::from_picture))
        .route("/blankets/{blanket}", route(GET, blanket::blanket))
        .route("/blankets/{blanket}/rename", route(POST, shelf::rename))
        .route("/blankets/{blanket}/duplicate", route(POST, shelf::duplicate))
        .route("/blankets/{blanket}/set-aside", route(POST, shelf::set_aside))
        .route("/blankets/{blanket}/put-back", route(POST, shelf::put_back))
        .route("/blankets/{blanket}/delete-for-good", route(POST, shelf::delete_for_good))
        .route("/blankets/{blanket}/edit", route(POST, blanket::edit))
        .route("/blankets/{blanket}/take-back", route(POST, blanket::take_back))
        .route("/blankets/{blanket}/do-again", route(POST, blanket::do_again))
        .route("/blankets/{blanket}/chart-picture", route(POST, jobs::chart_picture))
        .route("/blankets/{blanket}/choices", route(POST, jobs::choices))
        .route("/blankets/{blanket}/take-choice", route(POST, jobs::take_choice))
        .route("/blankets/{blanket}/strands", route(GET, blanket::strands))
        .route("/blankets/{blanket}/rows/{number}", route(GET, blanket::row))
        .route("/blankets/{blanket}/thumbnail.png", route(GET, files::thumbnail))
        .route("/blankets/{blanket}/picture.jpg", route(GET, files::picture))
        .route("/blankets/{blanket}/fabric.png", route(GET, looks::fabric))
        .route("/blankets/{blanket}/alike", route(GET, looks::alike))
        .route("/blankets/{blanket}/making", route(GET, making::making).merge(route(PUT, making::keep)))
        .route("/blankets/{blanket}/take-gauge", route(POST, making::take_gauge))
        .route("/blankets/{blanket}/swatch", route(POST, making::swatch))
        .route("/blankets/{blanket}/amounts", route(GET, making::amounts))
        .route("/blankets/{blanket}/border", route(GET, making::border))
        .route(
            "/blankets/{blanket}/winding",
            route(GET, making::winding).merge(route(POST, making::tick_winding)),
        )
        .route("/blankets/{blanket}/ends", route(GET, making::ends).merge(route(POST, making::tick_ends)))
        .route("/blankets/{blanket}/lessons", route(GET, making::lessons))
        .route("/blankets/{blanket}/paper", route(GET, paper::paper))
        .route("/blankets/{blanket}/paper/{page}", route(GET, paper::page))
        .route("/blankets/{blanket}/pattern.pdf", route(GET, paper::printed))
        .route("/blankets/{blanket}/pattern.html", route(GET, paper::take_away))
        .route("/lettering", route(POST, looks::lettering))
        .route("/blankets/{blanket}/files/{file}", route(GET, files::file))
        .route("/jobs/{job}/events", route(GET, jobs::events))
        .route("/jobs/{job}/choices", route(GET, jobs::found))
        .route("/jobs/{job}/choices/{choice}", route(GET, jobs::choice_picture))
        .route("/jobs/{job}/cancel", route(POST, jobs::cancel))
        .route("/yarns", route(GET, person::yarns).merge(route(PUT, person::keep_yarns)))
        .route("/yarns/read", route(POST, person::read_yarns))
        .route("/yarns/take-back", route(POST, person::take_back_yarns))
        .route("/yarns.toml", route(GET, person::yarns_toml))
        .route("/settings", route(GET, person::settings).merge(route(PUT, person::keep_settings)))
        .route("/quit", route(POST, person::quit))
        .fallback(async || Failure::not_there())
        .method_not_allowed_fallback(async || Failure::wrong_method())
        .layer(from_fn_with_state(Arc::clone(&app), head::needs_key));
    Router::new()
        .nest("/api", api)
        .route("/enter", get(enter))
        .fallback(async |method: Method, uri: Uri, headers: HeaderMap| site::file(&method, &uri, &headers))
        .method_not_allowed_fallback(async || Failure::wrong_method())
        .layer(from_fn_with_state(Arc::clone(&app), head::every_request))
        .with_state(app)
}

/// Lets the browser in that was opened with the key of this run.
async fn enter(State(app): State<Arc<App>>, uri: Uri) -> Result<Response, Failure> {
    let given = uri.query().and_then(|query| query.strip_prefix("key="));
    if !given.is_some_and(|given| app.guard.key().is(given.as_bytes())) {
        return Err(Failure::new(
            StatusCode::FORBIDDEN,
            "this is not the key of this run",
            "key",
            "open the address that the program printed when it was started last",
        ));
    }
    Ok((StatusCode::SEE_OTHER, [(LOCATION, "/".to_owned()), (SET_COOKIE, app.guard.cookie())])
        .into_response())
}
