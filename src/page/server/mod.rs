//! The door: loopback only, few connections, short patience, and nobody comes in without the key.

mod answer;
mod guard;
mod routes;

use std::io;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::time::{Duration, Instant};

use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Notify, Semaphore};

use super::desk::Desk;
use super::work;
use guard::Keys;

/// Connections at a time: six tabs of a browser and some room.
const CONNECTIONS_MAX: usize = 32;
/// Longest wait for the head of a request, also on a connection kept open between two.
const HEAD_TIME: Duration = Duration::from_secs(10);
/// Longest wait for anything else of a request: body and answer.
const REQUEST_TIME: Duration = Duration::from_secs(30);
/// Largest head of a request, bytes.
const HEAD_MAX: usize = 64 * 1024;
/// Largest body of a request, bytes.
const BODY_MAX: usize = 2 * 1024 * 1024;
/// Without a request for so long, the program ends.
const IDLE_TIME: Duration = Duration::from_secs(3600);
/// How often it is looked at the clock for that.
const IDLE_LOOK: Duration = Duration::from_secs(20);
const WORKERS: usize = 8;

/// Ends the page from outside: Ctrl-C, a button, an hour of silence.
#[derive(Clone, Default)]
pub struct Stopper(Arc<Notify>);

impl Stopper {
    /// Ends the page; may be called from any thread.
    pub fn stop(&self) {
        self.0.notify_one();
    }
}

/// How the page is opened.
#[derive(Clone, Default)]
pub struct Door {
    /// Port to listen on; 0 for any that is free.
    pub port: u16,
    pub stopper: Stopper,
}

/// What every request needs.
pub(super) struct Shared {
    pub desk: Desk,
    pub keys: Keys,
    pub stopper: Stopper,
    asked: std::sync::Mutex<Instant>,
}

impl Shared {
    /// Takes down that somebody is there.
    fn touch(&self) {
        if let Ok(mut asked) = self.asked.lock() {
            *asked = Instant::now();
        }
    }

    fn is_idle(&self) -> bool {
        let asked = self.asked.lock();
        asked.is_ok_and(|asked| asked.elapsed() > IDLE_TIME)
    }
}

/// Serves a desk on the loopback address until it is stopped; `ready` is told the address to open, which is good for
/// one visit.
///
/// # Errors
/// The port cannot be had.
pub fn serve(desk: Desk, door: &Door, ready: impl FnOnce(&str)) -> io::Result<()> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_io()
        .enable_time()
        .max_blocking_threads(WORKERS)
        .build()?;
    let served = runtime.block_on(async {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, door.port)).await?;
        let address = listener.local_addr()?;
        let shared = Arc::new(Shared {
            desk,
            keys: Keys::new(address),
            stopper: door.stopper.clone(),
            asked: std::sync::Mutex::new(Instant::now()),
        });
        let at_work = shared.clone();
        let worker = std::thread::Builder::new()
            .name("page work".into())
            .spawn(move || work::run(&at_work.desk))?;
        ready(&shared.keys.first_address());
        accept(&listener, &shared).await;
        shared.desk.end();
        Ok::<_, io::Error>(worker)
    });
    // Connections that are still open are cut off; what is being worked out ends at its next step.
    runtime.shutdown_timeout(Duration::from_millis(200));
    served?
        .join()
        .map_err(|_| io::Error::other("the page's work stopped in the middle"))
}

/// Lets connections in until the page is to end.
async fn accept(listener: &TcpListener, shared: &Arc<Shared>) {
    let places = Arc::new(Semaphore::new(CONNECTIONS_MAX));
    let service = routes::routes(shared.clone());
    while !shared.is_idle() {
        let coming = tokio::select! {
            biased;
            () = shared.stopper.0.notified() => return,
            () = tokio::time::sleep(IDLE_LOOK) => continue,
            found = listener.accept() => found,
        };
        let Ok((stream, from)) = coming else {
            // Too many open files, or a caller who hung up at once.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        // Who finds no place is sent away at once: a queue would only hide that the place is taken.
        if let (true, Ok(place)) = (from.ip().is_loopback(), places.clone().try_acquire_owned()) {
            let service = service.clone();
            tokio::spawn(async move {
                converse(stream, service).await;
                drop(place);
            });
        }
    }
}

/// One connection, from its first request to its last.
async fn converse(stream: TcpStream, service: axum::Router) {
    let _ = stream.set_nodelay(true);
    let talk = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_TIME)
        .max_buf_size(HEAD_MAX)
        .half_close(false)
        .serve_connection(TokioIo::new(stream), TowerToHyperService::new(service));
    // What goes wrong with a caller is the caller's affair.
    let _ = talk.await;
}

fn host(address: SocketAddr) -> String {
    format!("{}:{}", address.ip(), address.port())
}
