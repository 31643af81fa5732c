//! Serves one page to this machine only: the page of the last good build at `/`, and news of the next at `/news` (server-sent
//! events, WHATWG HTML 9.2). Nothing else is answered, nothing is read from disk.

use crate::export::page;
use std::io::{self, BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

/// A request is a line or two; nobody of this machine needs more, bytes.
const LONGEST_REQUEST: u64 = 16 << 10;

/// Pages that may listen for news at a time.
const MOST_LISTENERS: usize = 32;

const PATIENCE: Duration = Duration::from_secs(5);

/// How often a quiet listener is asked whether it is still there.
const BREATH: Duration = Duration::from_secs(15);

#[derive(Default)]
struct Shared {
    /// Counts the builds that were shown.
    build: u64,
    page: Option<Vec<u8>>,
    /// What is wrong with the file now; empty if nothing.
    broken: String,
    listeners: Vec<Sender<String>>,
}

/// A running server; it ends with the program.
pub(super) struct Server {
    address: SocketAddr,
    shared: Arc<Mutex<Shared>>,
}

impl Server {
    /// Begins to listen at a port of the loopback address; 0 for any free one.
    pub fn start(port: u16) -> io::Result<Server> {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))?;
        let address = listener.local_addr()?;
        let shared = Arc::new(Mutex::new(Shared::default()));
        let of_thread = Arc::clone(&shared);
        thread::Builder::new().spawn(move || {
            for stream in listener.incoming().flatten() {
                let shared = Arc::clone(&of_thread);
                // one that gets no thread is dropped, and asks again
                let _ = thread::Builder::new().spawn(move || {
                    let _ = serve(&stream, address, &shared);
                });
            }
        })?;
        Ok(Server { address, shared })
    }

    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Shows a new page, and tells the pages that are open.
    pub fn show(&self, page: Vec<u8>) {
        let mut shared = lock(&self.shared);
        shared.build += 1;
        shared.page = Some(page);
        shared.broken.clear();
        let news = build_news(shared.build);
        shared.listeners.retain(|l| l.send(news.clone()).is_ok());
    }

    /// Tells the pages that are open why there is no new one.
    pub fn tell_broken(&self, why: &str) {
        let mut shared = lock(&self.shared);
        why.trim().clone_into(&mut shared.broken);
        let news = broken_news(&shared.broken);
        shared.listeners.retain(|l| l.send(news.clone()).is_ok());
    }
}

/// A thread that failed leaves whole values behind: each is set in one step.
fn lock(shared: &Mutex<Shared>) -> MutexGuard<'_, Shared> {
    shared.lock().unwrap_or_else(PoisonError::into_inner)
}

fn build_news(build: u64) -> String {
    format!("event: build\ndata: {build}\n\n")
}

fn broken_news(why: &str) -> String {
    // as JSON it is one line
    let line = serde_json::to_string(why).unwrap_or_default();
    format!("event: broken\ndata: {line}\n\n")
}

fn serve(stream: &TcpStream, address: SocketAddr, shared: &Mutex<Shared>) -> io::Result<()> {
    stream.set_read_timeout(Some(PATIENCE))?;
    stream.set_write_timeout(Some(PATIENCE))?;
    let mut lines = BufReader::new(stream.take(LONGEST_REQUEST)).lines();
    let first = lines.next().transpose()?.unwrap_or_default();
    let mut host = String::new();
    for line in lines {
        let line = line?;
        if line.is_empty() {
            break;
        }
        if let Some((name, value)) = line.split_once(':')
            && name.eq_ignore_ascii_case("host")
        {
            value.trim().clone_into(&mut host);
        }
    }
    // A page of elsewhere whose name was made to point here bears that name in Host.
    let ours = [address.to_string(), format!("localhost:{}", address.port())];
    if !ours.contains(&host.to_ascii_lowercase()) {
        return reply(
            stream,
            "403 Forbidden",
            "text/plain",
            b"for this machine only\n",
        );
    }
    match first.split(' ').take(2).collect::<Vec<_>>()[..] {
        ["GET", "/"] => {
            let body = {
                let shared = lock(shared);
                match &shared.page {
                    Some(page) => page::numbered(page, shared.build),
                    None => page::waiting(),
                }
            };
            reply(stream, "200 OK", "text/html; charset=utf-8", &body)
        }
        ["GET", "/news"] => news(stream, shared),
        ["GET", _] => reply(stream, "404 Not Found", "text/plain", b"there is only /\n"),
        _ => reply(
            stream,
            "405 Method Not Allowed",
            "text/plain",
            b"GET only\n",
        ),
    }
}

fn reply(mut stream: &TcpStream, status: &str, kind: &str, body: &[u8]) -> io::Result<()> {
    let head = format!(
        "HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\nCache-Control: no-store\r\nX-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n",
        body.len()
    );
    stream.write_all(head.as_bytes())?;
    stream.write_all(body)?;
    stream.flush()
}

fn news(mut stream: &TcpStream, shared: &Mutex<Shared>) -> io::Result<()> {
    let (sender, receiver) = mpsc::channel();
    {
        let mut shared = lock(shared);
        if shared.listeners.len() >= MOST_LISTENERS {
            shared.listeners.remove(0);
        }
        // what it may have missed between page and listening
        let _ = sender.send(build_news(shared.build));
        if !shared.broken.is_empty() {
            let _ = sender.send(broken_news(&shared.broken));
        }
        shared.listeners.push(sender);
    }
    stream.write_all(b"HTTP/1.1 200 OK\r\nContent-Type: text/event-stream\r\nCache-Control: no-store\r\nConnection: close\r\n\r\nretry: 1000\n\n")?;
    loop {
        match receiver.recv_timeout(BREATH) {
            Ok(text) => stream.write_all(text.as_bytes())?,
            Err(RecvTimeoutError::Timeout) => stream.write_all(b": still here\n\n")?,
            Err(RecvTimeoutError::Disconnected) => return Ok(()),
        }
        stream.flush()?;
    }
}
