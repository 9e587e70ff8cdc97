//! Who may come in: a key good for one visit, then a cookie; requests only from the page itself.

use std::net::SocketAddr;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::header::{COOKIE, HOST, LOCATION, ORIGIN, SET_COOKIE};
use axum::http::{HeaderMap, Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::{Shared, host};

/// The keys of one run, 128 bits each.
pub struct Keys {
    host: String,
    port: u16,
    first: String,
    spent: AtomicBool,
    cookie: String,
    /// Stands in every form of the page, where no other page can read it.
    pub form: String,
}

fn key() -> String {
    format!("{:032x}", rand::random::<u128>())
}

/// Are two keys the same? Takes as long for a wrong one as for a right one.
fn same(given: &str, own: &str) -> bool {
    let pairs = given.bytes().zip(own.bytes());
    given.len() == own.len() && pairs.fold(0, |wrong, (a, b)| wrong | (a ^ b)) == 0
}

impl Keys {
    pub fn new(address: SocketAddr) -> Self {
        Self {
            host: host(address),
            port: address.port(),
            first: key(),
            spent: AtomicBool::new(false),
            cookie: key(),
            form: key(),
        }
    }

    /// The address to open.
    pub fn first_address(&self) -> String {
        format!("http://{}/?key={}", self.host, self.first)
    }

    fn cookie_name(&self) -> String {
        // Cookies know no ports: two projects open at the same time must not share one.
        format!("bedyear-{}", self.port)
    }

    fn has_cookie(&self, headers: &HeaderMap) -> bool {
        let name = self.cookie_name();
        headers
            .get_all(COOKIE)
            .iter()
            .filter_map(|line| line.to_str().ok())
            .flat_map(|line| line.split(';'))
            .filter_map(|pair| pair.trim().split_once('='))
            .any(|(key, value)| key == name && same(value, &self.cookie))
    }

    /// Spends the first key; false where it is wrong or spent.
    fn spend(&self, given: &str) -> bool {
        same(given, &self.first) && !self.spent.swap(true, Ordering::Relaxed)
    }

    /// Is this the key of the page's forms?
    pub fn is_form(&self, given: &str) -> bool {
        same(given, &self.form)
    }
}

/// Turns away who has no business here.
pub async fn guard(State(shared): State<Arc<Shared>>, request: Request, next: Next) -> Response {
    let keys = &shared.keys;
    let headers = request.headers();
    let is = |name, wanted: &str| {
        let mut all = headers.get_all(name).iter();
        matches!((all.next(), all.next()), (Some(one), None) if one.as_bytes() == wanted.as_bytes())
    };
    if !is(HOST, &keys.host) {
        return refused("this address is not the one that the program printed");
    }
    let path = request.uri().path();
    let key = (path == "/")
        .then(|| request.uri().query()?.strip_prefix("key="))
        .flatten();
    if let Some(key) = key {
        if keys.spend(key) {
            let cookie = format!(
                "{}={}; HttpOnly; SameSite=Strict; Path=/",
                keys.cookie_name(),
                keys.cookie
            );
            shared.touch();
            return response(
                StatusCode::SEE_OTHER,
                &[(SET_COOKIE, &cookie), (LOCATION, "/")],
            );
        }
        if keys.has_cookie(headers) {
            return response(StatusCode::SEE_OTHER, &[(LOCATION, "/")]);
        }
        return refused(
            "this address was good for one visit, which is over; end the program and start `bedyear open` again",
        );
    }
    if !keys.has_cookie(headers) {
        return refused("open the page by the address that the program printed");
    }
    let method = request.method();
    if method == Method::POST {
        let origin = format!("http://{}", keys.host);
        let elsewhere = headers
            .get("sec-fetch-site")
            .is_some_and(|site| site.as_bytes() != b"same-origin");
        if !is(ORIGIN, &origin) || elsewhere {
            return refused("only the page itself may change something");
        }
    } else if method != Method::GET && method != Method::HEAD {
        return response(StatusCode::METHOD_NOT_ALLOWED, &[]);
    }
    shared.touch();
    next.run(request).await
}

fn response(status: StatusCode, headers: &[(axum::http::HeaderName, &str)]) -> Response {
    let mut response = Response::new(Body::empty());
    *response.status_mut() = status;
    for (name, value) in headers {
        if let Ok(value) = value.parse() {
            response.headers_mut().insert(name.clone(), value);
        }
    }
    response
}

pub fn refused(why: &str) -> Response {
    (StatusCode::FORBIDDEN, format!("bedyear: {why}\n")).into_response()
}
