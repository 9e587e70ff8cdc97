//! A caller at the page's door, by plain sockets.
#![allow(dead_code)] // tests and bench each use a part of it

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Longest wait for an answer.
const PATIENCE: Duration = Duration::from_secs(60);

/// A page that is open, with its cookie.
pub struct Page {
    child: Child,
    folder: PathBuf,
    pub file: PathBuf,
    pub port: u16,
    pub key: String,
    pub cookie_line: String,
}

impl Drop for Page {
    fn drop(&mut self) {
        self.kill();
        let _ = std::fs::remove_dir_all(&self.folder);
    }
}

/// Status of an answer; 0 for none.
pub fn status(answer: &str) -> u16 {
    let code = answer.split(' ').nth(1);
    code.and_then(|code| code.parse().ok()).unwrap_or(0)
}

impl Page {
    /// Opens the page on a starter file in a folder of its own.
    pub fn open(name: &str) -> Self {
        let folder =
            std::env::temp_dir().join(format!("bedyear-page-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join("greenhouse.toml");
        let made = Command::new(env!("CARGO_BIN_EXE_bedyear"))
            .args(["new", file.to_str().unwrap()])
            .stderr(Stdio::null())
            .status();
        assert!(made.unwrap().success());
        // Few weather years keep the work behind the page short.
        let text = std::fs::read_to_string(&file).unwrap();
        std::fs::write(
            &file,
            text.replace("weather_years = 30", "weather_years = 4"),
        )
        .unwrap();
        Self::start(folder, file)
    }

    /// Opens the page on a copy of a file, in a folder of its own.
    pub fn on(name: &str, original: &Path) -> Self {
        let folder =
            std::env::temp_dir().join(format!("bedyear-page-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join("greenhouse.toml");
        std::fs::copy(original, &file).unwrap();
        Self::start(folder, file)
    }

    /// Opens it once more.
    pub fn again(mut before: Page) -> Self {
        let folder = std::mem::take(&mut before.folder);
        let file = std::mem::take(&mut before.file);
        Self::start(folder, file)
    }

    fn start(folder: PathBuf, file: PathBuf) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_bedyear"))
            .args(["open", file.to_str().unwrap(), "--no-browser"])
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stderr.take().unwrap()).lines();
        let line = lines.next().unwrap().unwrap();
        // The rest is read away, so that the program never waits for a reader.
        std::thread::spawn(move || lines.for_each(drop));
        let (_, address) = line.split_once("http://127.0.0.1:").expect(&line);
        let (port, key) = address.split_once("/?key=").expect(&line);
        let mut page = Self {
            child,
            folder,
            file,
            port: port.parse().unwrap(),
            key: key.trim().to_owned(),
            cookie_line: String::new(),
        };
        let answer = page.plain(&format!("GET /?key={} HTTP/1.1", page.key), &[]);
        assert_eq!(status(&answer), 303, "{answer}");
        let line = answer
            .lines()
            .find(|line| line.to_ascii_lowercase().starts_with("set-cookie:"));
        page.cookie_line = line.expect("a cookie").to_owned();
        page
    }

    /// Ends the program at once, as a power cut would.
    pub fn kill(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }

    pub fn cookie(&self) -> String {
        let pair = self
            .cookie_line
            .split_once(':')
            .unwrap()
            .1
            .split(';')
            .next()
            .unwrap();
        format!("Cookie: {}", pair.trim())
    }

    pub fn try_connect(&self) -> std::io::Result<TcpStream> {
        let stream = TcpStream::connect(("127.0.0.1", self.port))?;
        stream.set_read_timeout(Some(PATIENCE))?;
        stream.set_write_timeout(Some(PATIENCE))?;
        Ok(stream)
    }

    pub fn connect(&self) -> TcpStream {
        self.try_connect().unwrap()
    }

    /// Sends bytes and reads until the other side closes.
    pub fn raw(&self, request: &str) -> String {
        let mut stream = self.connect();
        let _ = stream.write_all(request.as_bytes());
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        String::from_utf8_lossy(&bytes).into_owned()
    }

    /// A request by the right name, with these headers and no cookie of its own.
    pub fn plain(&self, first: &str, headers: &[&str]) -> String {
        let mut request = format!(
            "{first}\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n",
            self.port
        );
        for header in headers {
            request.push_str(&format!("{header}\r\n"));
        }
        self.raw(&format!("{request}\r\n"))
    }

    pub fn get(&self, path: &str) -> String {
        self.plain(&format!("GET {path} HTTP/1.1"), &[&self.cookie()])
    }

    /// The same, asked again while the door is crowded.
    pub fn get_patiently(&self, path: &str) -> String {
        let began = Instant::now();
        loop {
            let answer = self.get(path);
            if status(&answer) != 0 || began.elapsed() > PATIENCE {
                return answer;
            }
            std::thread::sleep(Duration::from_millis(100));
        }
    }

    pub fn csrf(&self) -> String {
        let text = self.get("/");
        let at = text.split_once("name=\"csrf\" value=\"").expect("a form").1;
        at[..32].to_owned()
    }

    pub fn post_with(&self, path: &str, body: &str, headers: &[String]) -> String {
        let mut all = vec![
            self.cookie(),
            "Content-Type: application/x-www-form-urlencoded".to_owned(),
            format!("Content-Length: {}", body.len()),
        ];
        all.extend(headers.iter().cloned());
        let mut request = format!(
            "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{}\r\nConnection: close\r\n",
            self.port
        );
        for header in all {
            request.push_str(&format!("{header}\r\n"));
        }
        self.raw(&format!("{request}\r\n{body}"))
    }

    fn post_as(&self, path: &str, fields: &[(&str, &str)], more: &[String]) -> String {
        let mut body = format!("csrf={}", self.csrf());
        for (key, value) in fields {
            let value: String = value.bytes().map(|byte| format!("%{byte:02X}")).collect();
            body.push_str(&format!("&{key}={value}"));
        }
        let mut headers = vec![format!("Origin: http://127.0.0.1:{}", self.port)];
        headers.extend(more.iter().cloned());
        self.post_with(path, &body, &headers)
    }

    pub fn post(&self, path: &str, fields: &[(&str, &str)]) -> String {
        self.post_as(path, fields, &[])
    }

    /// As the page's script asks: the answer is the inner part of the view.
    pub fn post_part(&self, path: &str, fields: &[(&str, &str)]) -> String {
        self.post_as(path, fields, &["X-Part: 1".to_owned()])
    }

    /// The project as it is on the page.
    pub fn project(&self) -> String {
        let answer = self.get("/take/project.toml");
        answer.split_once("\r\n\r\n").unwrap().1.to_owned()
    }

    /// Waits until nothing is being worked out.
    pub fn wait_idle(&self) -> bool {
        let began = Instant::now();
        while began.elapsed() < PATIENCE * 2 {
            let text = self.get("/beds");
            let doing = text.split_once("id=\"doing\"").map_or("", |(_, rest)| rest);
            if doing
                .split_once('>')
                .is_some_and(|(_, rest)| rest.starts_with("</span>"))
            {
                return true;
            }
            std::thread::sleep(Duration::from_millis(200));
        }
        false
    }

    /// Threads of the program.
    pub fn threads(&self) -> usize {
        let path = format!("/proc/{}/task", self.child.id());
        std::fs::read_dir(path).map_or(0, |tasks| tasks.count())
    }
}
