//! The page's door, tried from outside by plain sockets: who may come in, what is refused, what is survived.
#![cfg(feature = "page")]

#[path = "page/caller.rs"]
mod caller;

use std::io::{Read, Write};
use std::net::{Shutdown, TcpStream};
use std::time::{Duration, Instant};

use caller::{Page, status};

#[test]
fn the_first_address_is_good_for_one_visit() {
    let page = Page::open("visit");
    let again = page.plain(&format!("GET /?key={} HTTP/1.1", page.key), &[]);
    assert_eq!(status(&again), 403, "{again}");
    assert!(again.contains("good for one visit"), "{again}");
    let wrong = page.plain("GET /?key=00000000000000000000000000000000 HTTP/1.1", &[]);
    assert_eq!(status(&wrong), 403);
    assert_eq!(status(&page.get("/")), 200);
    let cookie = page.cookie_line.to_ascii_lowercase();
    assert!(
        cookie.contains("httponly") && cookie.contains("samesite=strict"),
        "{cookie}"
    );
}

#[test]
fn nobody_comes_in_without_the_cookie_or_by_another_name() {
    let page = Page::open("names");
    for path in ["/", "/food", "/style.css", "/events", "/take/project.toml"] {
        assert_eq!(
            status(&page.plain(&format!("GET {path} HTTP/1.1"), &[])),
            403,
            "{path}"
        );
    }
    let forged = format!(
        "Cookie: bedyear-{}=0123456789abcdef0123456789abcdef",
        page.port
    );
    assert_eq!(status(&page.plain("GET / HTTP/1.1", &[&forged])), 403);
    for host in [
        "localhost",
        "evil.example",
        "127.0.0.1",
        "127.0.0.1:1",
        "[::1]",
    ] {
        let answer = page.raw(&format!(
            "GET / HTTP/1.1\r\nHost: {host}\r\n{}\r\nConnection: close\r\n\r\n",
            page.cookie()
        ));
        assert_eq!(status(&answer), 403, "{host}");
    }
    let none = page.raw(&format!("GET / HTTP/1.0\r\n{}\r\n\r\n", page.cookie()));
    assert!([400, 403].contains(&status(&none)), "{none}");
    let two = page.raw(&format!(
        "GET / HTTP/1.1\r\nHost: 127.0.0.1:{0}\r\nHost: evil.example\r\n{1}\r\nConnection: close\r\n\r\n",
        page.port,
        page.cookie()
    ));
    assert!([400, 403].contains(&status(&two)), "{two}");
}

#[test]
fn only_the_page_itself_may_change_something() {
    let page = Page::open("origin");
    let before = page.project();
    let body = format!(
        "csrf={}&back=%2F&path=money.groceries&value=700+USD%2Fmonth",
        page.csrf()
    );
    let own = format!("Origin: http://127.0.0.1:{}", page.port);
    for headers in [
        vec![],
        vec!["Origin: https://evil.example".to_owned()],
        vec!["Origin: null".to_owned()],
        vec![format!("Origin: http://localhost:{}", page.port)],
        vec![own.clone(), "Sec-Fetch-Site: cross-site".to_owned()],
    ] {
        let answer = page.post_with("/do/set", &body, &headers);
        assert_eq!(status(&answer), 403, "{headers:?}: {answer}");
    }
    let no_key = page.post_with(
        "/do/set",
        "path=money.groceries&value=700+USD%2Fmonth",
        std::slice::from_ref(&own),
    );
    assert_eq!(status(&no_key), 403);
    let wrong_key = body.replace(&page.csrf(), "0123456789abcdef0123456789abcdef");
    assert_eq!(
        status(&page.post_with("/do/set", &wrong_key, std::slice::from_ref(&own))),
        403
    );
    assert_eq!(page.project(), before);
    assert_eq!(status(&page.post_with("/do/set", &body, &[own])), 303);
    assert!(
        page.project().contains("groceries = \"700 USD/month\""),
        "{}",
        page.project()
    );
    for method in ["PUT", "DELETE", "OPTIONS", "TRACE"] {
        let answer = page.plain(&format!("{method} / HTTP/1.1"), &[&page.cookie()]);
        assert_eq!(status(&answer), 405, "{method}");
    }
}

#[test]
fn no_path_leads_out_of_the_project() {
    let page = Page::open("paths");
    for path in [
        "/take/../../../../etc/passwd",
        "/take/%2e%2e%2f%2e%2e%2fetc%2fpasswd",
        "/..%2f..%2fetc%2fpasswd",
        "/etc/passwd",
        "/take/%2Fetc%2Fpasswd",
        "/take/greenhouse.journal.csv",
        "/%00",
    ] {
        let answer = page.get(path);
        assert!([400, 404].contains(&status(&answer)), "{path}: {answer}");
        assert!(!answer.contains("root:"), "{path}");
    }
    let before = page.project();
    for path in [
        "../../x",
        "folders",
        "",
        "x.y",
        "bed[0].nothing",
        "__proto__",
    ] {
        let answer = page.post("/do/set", &[("path", path), ("value", "1")]);
        assert!([303, 404].contains(&status(&answer)), "{path}: {answer}");
    }
    assert_eq!(page.project(), before);
    // An address to come back to is one of the page's own.
    let answer = page.post(
        "/do/units",
        &[("units", "us"), ("back", "https://evil.example/\r\nX: y")],
    );
    assert!(answer.contains("location: /\r\n"), "{answer}");
}

#[test]
fn the_page_loads_nothing_but_itself() {
    let page = Page::open("policy");
    let answer = page.get("/").to_ascii_lowercase();
    for header in [
        "content-security-policy: default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self';",
        "x-content-type-options: nosniff",
        "x-frame-options: deny",
        "cache-control: no-store",
        "cross-origin-resource-policy: same-origin",
    ] {
        assert!(answer.contains(header), "{header}: {answer}");
    }
    // The policy holds for refusals too.
    assert!(
        page.plain("GET / HTTP/1.1", &[])
            .contains("content-security-policy")
    );
    for view in [
        "/", "/cold", "/food", "/beds", "/stay", "/money", "/week", "/take", "/changes",
    ] {
        let text = page.get(view);
        assert_eq!(status(&text), 200, "{view}");
        for forbidden in [
            "<style",
            " style=",
            "onclick",
            "javascript:",
            "http://",
            "https://",
        ] {
            assert!(!text.contains(forbidden), "{view} has {forbidden}");
        }
    }
    let script = page.get("/script.js");
    assert!(script.len() < 40_000, "{} bytes of script", script.len());
}

#[test]
fn too_much_is_refused_and_the_door_stays_open() {
    let page = Page::open("much");
    let head = |more: &str| {
        format!(
            "POST /do/set HTTP/1.1\r\nHost: 127.0.0.1:{0}\r\n{1}\r\nOrigin: http://127.0.0.1:{0}\r\nContent-Type: application/x-www-form-urlencoded\r\n{more}\r\n\r\n",
            page.port,
            page.cookie()
        )
    };
    // 100 MB announced.
    let answer = page.raw(&head("Content-Length: 104857600"));
    assert_eq!(status(&answer), 413, "{answer}");
    // 100 MB not announced, piece by piece.
    let mut stream = page.connect();
    stream
        .write_all(head("Transfer-Encoding: chunked").as_bytes())
        .unwrap();
    let piece = format!("10000\r\n{}\r\n", "x".repeat(0x1_0000));
    let mut sent = 0;
    while sent < 1600 && stream.write_all(piece.as_bytes()).is_ok() {
        sent += 1;
    }
    assert!(sent < 1600, "100 MB were taken");
    // A head without end.
    let mut stream = page.connect();
    let long = format!("GET /?{} HTTP/1.1\r\n", "x".repeat(300_000));
    let _ = stream.write_all(long.as_bytes());
    let mut text = String::new();
    let _ = stream.read_to_string(&mut text);
    assert!(
        text.is_empty() || [400, 414, 431].contains(&status(&text)),
        "{text}"
    );
    assert_eq!(status(&page.get("/")), 200);
}

#[test]
fn slow_and_broken_callers_do_not_close_the_door() {
    let page = Page::open("slow");
    // Two hundred at once, that say nothing: most are sent away, and the door opens again when they go.
    let crowd: Vec<TcpStream> = (0..200).filter_map(|_| page.try_connect().ok()).collect();
    assert!(crowd.len() > 100);
    drop(crowd);
    assert_eq!(status(&page.get_patiently("/")), 200);
    // Half a request, then only the writing side closed.
    for half in [
        "GET / HT",
        "GET / HTTP/1.1\r\nHost: 127",
        "POST /do/set HTTP/1.1\r\nContent-Length: 10\r\n\r\nab",
        "\0\0\0\0",
    ] {
        let mut stream = page.connect();
        let _ = stream.write_all(half.as_bytes());
        let _ = stream.shutdown(Shutdown::Write);
    }
    // Callers who leave in the middle of the answer.
    for _ in 0..20 {
        let mut stream = page.connect();
        let ask = format!(
            "GET /cold HTTP/1.1\r\nHost: 127.0.0.1:{}\r\n{}\r\n\r\n",
            page.port,
            page.cookie()
        );
        let _ = stream.write_all(ask.as_bytes());
        drop(stream);
    }
    assert_eq!(status(&page.get_patiently("/")), 200);
    // A head that comes letter by letter, for longer than the door waits.
    let mut stream = page.connect();
    let began = Instant::now();
    stream
        .set_read_timeout(Some(Duration::from_millis(400)))
        .unwrap();
    let mut closed = false;
    for letter in "GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: "
        .bytes()
        .cycle()
    {
        let gone = stream.write_all(&[letter]).is_err();
        let mut byte = [0];
        let ended = matches!(stream.read(&mut byte), Ok(0));
        if gone || ended {
            closed = true;
            break;
        }
        if began.elapsed() > Duration::from_secs(25) {
            break;
        }
    }
    assert!(closed, "still listening after {:?}", began.elapsed());
    assert_eq!(status(&page.get("/")), 200);
}

#[test]
fn a_search_that_is_stopped_frees_its_threads() {
    let page = Page::open("stop");
    page.get("/beds");
    let settled = page.wait_idle();
    let threads = page.threads();
    for _ in 0..3 {
        assert_eq!(status(&page.post("/do/search", &[])), 303);
        std::thread::sleep(Duration::from_millis(50));
        assert_eq!(status(&page.post("/do/stop", &[])), 303);
    }
    let idle = page.wait_idle();
    assert!(settled && idle, "the search goes on");
    assert!(
        page.threads() <= threads + 8,
        "{} threads, were {threads}",
        page.threads()
    );
}

#[test]
fn a_file_changed_on_disk_is_never_written_over_unasked() {
    let page = Page::open("disk");
    page.post(
        "/do/set",
        &[("path", "money.groceries"), ("value", "900 USD/month")],
    );
    let other = std::fs::read_to_string(&page.file)
        .unwrap()
        .replace("length = \"11 m\"", "length = \"12 m\"");
    std::fs::write(&page.file, &other).unwrap();
    page.post("/do/save", &[]);
    assert_eq!(
        std::fs::read_to_string(&page.file).unwrap(),
        other,
        "written over"
    );
    assert!(page.get("/").contains("changed on disk"));
    page.post("/do/lay-over", &[]);
    page.post("/do/save", &[]);
    let both = std::fs::read_to_string(&page.file).unwrap();
    assert!(
        both.contains("length = \"12 m\"") && both.contains("groceries = \"900 USD/month\""),
        "{both}"
    );
    // Every comment of the starter is still there.
    assert_eq!(both.matches('#').count(), other.matches('#').count());
    // With nothing unsaved on the page, a change on disk is simply read.
    std::fs::write(&page.file, both.replace("\"12 m\"", "\"13 m\"")).unwrap();
    assert!(page.get("/").contains("13 m"));
}

#[test]
fn what_was_not_saved_is_offered_the_next_time() {
    let mut page = Page::open("killed");
    page.post(
        "/do/set",
        &[("path", "building.length"), ("value", "9.5 m")],
    );
    page.kill();
    let page = Page::again(page);
    let text = page.get("/");
    assert!(
        text.contains("not saved the last time") && text.contains("9.5 m"),
        "{text}"
    );
    page.post("/do/unsaved", &[]);
    page.post("/do/save", &[]);
    assert!(
        std::fs::read_to_string(&page.file)
            .unwrap()
            .contains("length = \"9.5 m\"")
    );
    assert!(!page.file.with_extension("unsaved.toml").exists());
}

#[test]
fn what_cannot_be_is_told_and_changes_nothing() {
    let page = Page::open("wrong");
    let before = page.project();
    for (path, value) in [
        ("building.length", "tall"),
        ("building.length", "-3 m"),
        ("building.glazing", "paper"),
        ("site.place", "nowhere at all"),
        ("household.want[0]", "much"),
    ] {
        page.post_part("/do/set", &[("path", path), ("value", value)]);
        assert_eq!(page.project(), before, "{path} = {value}");
    }
    let told = page.post_part("/do/set", &[("path", "building.length"), ("value", "tall")]);
    assert!(
        told.contains("role=\"alert\"") && told.contains("tall"),
        "{told}"
    );
}

/// Four stories, keyboard, phone, dark, two tabs, reload, a program that ends: in Chromium, where it is there.
///
/// With `BEDYEAR_BROWSER=must` a browser that is not there is a failure.
#[test]
fn a_browser_lives_with_the_page() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("page");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/browser/page.mjs");
    let ran = std::process::Command::new("node")
        .arg(script)
        .arg(env!("CARGO_BIN_EXE_bedyear"))
        .arg(folder.join("browser"))
        .arg(folder.join("pictures"))
        .output();
    let must = std::env::var_os("BEDYEAR_BROWSER").is_some_and(|word| word == "must");
    let skipped = |why: &str| {
        assert!(!must, "the browser test must run here: {why}");
        println!("SKIPPED browser test: {why}");
    };
    match ran {
        Ok(output) => {
            let text = [output.stdout, output.stderr].concat();
            let text = String::from_utf8_lossy(&text);
            match output.status.code() {
                Some(77) => skipped(&text),
                code => assert_eq!(code, Some(0), "{text}"),
            }
        }
        Err(error) => skipped(&error.to_string()),
    }
}
