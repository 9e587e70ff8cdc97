//! Addresses of the page, and the limits around them.

use std::collections::HashMap;
use std::convert::Infallible;
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_DISPOSITION, CONTENT_SECURITY_POLICY, CONTENT_TYPE, HeaderName,
    REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS, X_FRAME_OPTIONS,
};
use axum::http::{HeaderMap, HeaderValue, StatusCode, Uri};
use axum::middleware::from_fn_with_state;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use futures_util::stream::{self, Stream};
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::set_header::SetResponseHeaderLayer;
use tower_http::timeout::TimeoutLayer;

use super::guard::{guard, refused};
use super::{BODY_MAX, REQUEST_TIME, Shared, answer};
use crate::page::answers::Tick;
use crate::page::views::{self, View};

/// What the page may load and where it may send: itself.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; \
                      form-action 'self'; frame-ancestors 'none'; base-uri 'none'";
/// Which other pages may load its parts, and stand beside it.
const RESOURCE_POLICY: HeaderName = HeaderName::from_static("cross-origin-resource-policy");
const OPENER_POLICY: HeaderName = HeaderName::from_static("cross-origin-opener-policy");
/// Silence after which an open stream says that it is still there.
const STILL_THERE: Duration = Duration::from_secs(15);
/// Asks for the inner part of a view alone.
const PART: &str = "x-part";

type Fields = HashMap<String, String>;

pub fn routes(shared: Arc<Shared>) -> Router {
    let header = |name: HeaderName, value: &'static str| {
        SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value))
    };
    Router::new()
        .route("/", get(view))
        .route("/{view}", get(view))
        .route("/take/{what}", get(take))
        .route("/do/{what}", post(act))
        .route("/style.css", get(async || file("text/css", views::style())))
        .route(
            "/script.js",
            get(async || file("text/javascript", views::SCRIPT.to_owned())),
        )
        .route("/favicon.ico", get(|| async { StatusCode::NO_CONTENT }))
        .route("/events", get(events))
        .layer(RequestBodyLimitLayer::new(BODY_MAX))
        .layer(from_fn_with_state(shared.clone(), guard))
        .layer(TimeoutLayer::with_status_code(
            StatusCode::REQUEST_TIMEOUT,
            REQUEST_TIME,
        ))
        .layer(header(CONTENT_SECURITY_POLICY, POLICY))
        .layer(header(X_CONTENT_TYPE_OPTIONS, "nosniff"))
        .layer(header(X_FRAME_OPTIONS, "DENY"))
        .layer(header(REFERRER_POLICY, "same-origin"))
        .layer(header(CACHE_CONTROL, "no-store"))
        .layer(header(RESOURCE_POLICY, "same-origin"))
        .layer(header(OPENER_POLICY, "same-origin"))
        .with_state(shared)
}

fn file(kind: &'static str, text: String) -> Response {
    ([(CONTENT_TYPE, format!("{kind}; charset=utf-8"))], text).into_response()
}

/// Runs what takes milliseconds beside the door, so that the door stays open.
async fn aside<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Response> {
    tokio::task::spawn_blocking(work)
        .await
        .map_err(|_| StatusCode::INTERNAL_SERVER_ERROR.into_response())
}

async fn view(
    State(shared): State<Arc<Shared>>,
    name: Option<Path<String>>,
    Query(query): Query<Fields>,
    headers: HeaderMap,
) -> Response {
    let name = name.map(|Path(name)| name).unwrap_or_default();
    match View::named(&name) {
        Some(view) => shown(shared, view, query, headers.contains_key(PART)).await,
        None => missing("there is no such view"),
    }
}

fn missing(what: &str) -> Response {
    (StatusCode::NOT_FOUND, format!("bedyear: {what}\n")).into_response()
}

async fn shown(shared: Arc<Shared>, view: View, query: Fields, part: bool) -> Response {
    let made = aside(move || {
        if let Some(day) = query.get("day").and_then(|day| day.parse().ok()) {
            shared.desk.set_day(day);
        }
        shared.desk.want(view.needs());
        let seen = shared.desk.seen(query, &shared.keys.form);
        // What was told stays until something else is done or looked at.
        if !part {
            shared.desk.forget_message();
        }
        views::render(&seen, view, part).into_string()
    });
    match made.await {
        Ok(text) => file("text/html", text),
        Err(response) => response,
    }
}

async fn act(
    State(shared): State<Arc<Shared>>,
    Path(what): Path<String>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    let given = fields.get("csrf");
    if !given.is_some_and(|given| shared.keys.is_form(given)) {
        return refused("the form is not one of this page");
    }
    let back = fields.get("back").cloned().unwrap_or_default();
    let part = headers.contains_key(PART);
    let at_work = shared.clone();
    let done = aside(move || {
        at_work.desk.forget_message();
        answer::act(&at_work, &what, &fields)
    })
    .await;
    match done {
        Err(response) => response,
        Ok(false) => missing("there is nothing of that name to do"),
        Ok(true) => {
            let (path, query) = back.split_once('?').unwrap_or((&back, ""));
            let view = View::named(path.trim_start_matches('/')).unwrap_or(View::Setup);
            if part {
                let query = query_fields(query);
                return shown(shared, view, query, true).await;
            }
            let address = match query {
                "" => view.path().to_owned(),
                query => format!("{}?{query}", view.path()),
            };
            // Nothing but letters, digits and what an address is made of gets into the header.
            match HeaderValue::from_str(&address) {
                Ok(_) => Redirect::to(&address).into_response(),
                Err(_) => Redirect::to(view.path()).into_response(),
            }
        }
    }
}

fn query_fields(query: &str) -> Fields {
    let uri = format!("http://page/?{query}").parse::<Uri>().ok();
    let fields = uri.and_then(|uri| Query::<Fields>::try_from_uri(&uri).ok());
    fields.map(|Query(fields)| fields).unwrap_or_default()
}

async fn take(State(shared): State<Arc<Shared>>, Path(what): Path<String>) -> Response {
    let made = aside(move || {
        let seen = shared.desk.seen(HashMap::new(), &shared.keys.form);
        views::take_away(&seen, &what)
    });
    match made.await {
        Err(response) => response,
        Ok(None) => missing("there is nothing of that name to take away yet"),
        Ok(Some(taken)) => {
            let mut response = file(taken.kind, taken.text);
            if let Some(name) = taken.file
                && let Ok(value) = format!("attachment; filename=\"{name}\"").parse()
            {
                response.headers_mut().insert(CONTENT_DISPOSITION, value);
            }
            response
        }
    }
}

/// Tells the page when there is something new, and how far a search is.
async fn events(
    State(shared): State<Arc<Shared>>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let heard = shared.desk.tick.subscribe();
    let told = stream::unfold((heard, true), |(mut heard, first)| async move {
        if !first {
            heard.changed().await.ok()?;
            // A search tells how far it is hundreds of times a second.
            tokio::time::sleep(Duration::from_millis(60)).await;
        }
        let tick = heard.borrow_and_update().clone();
        Some((Ok(event(&tick)), (heard, false)))
    });
    Sse::new(told).keep_alive(KeepAlive::new().interval(STILL_THERE))
}

fn event(tick: &Tick) -> Event {
    let (work, all) = tick.work.unwrap_or((0, 0));
    let told = serde_json::json!({
        "version": tick.version,
        "doing": tick.doing,
        "work": work,
        "all": all,
    });
    Event::default().data(told.to_string())
}
