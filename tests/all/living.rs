//! Living with it: comparing, watching, the served page, the schema, first files, help for shells.

use super::cli::{TINY, clashes, code, command, err, folder, folder_with, out, run_in, tree};
use serde_json::Value;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Stdio};
use std::sync::mpsc::{self, Receiver};
use std::time::Duration;

/// Longer than any build of these small designs takes on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

#[test]
fn compare_tells_what_to_cut_again_and_takes_an_earlier_report() {
    let dir = folder_with(TINY);
    let wider = TINY.replace("width = 300", "width = 304");
    fs::write(dir.path().join("wider.toml"), wider).expect("written");
    let report = run_in(dir.path(), &["fit", "amp.toml", "--format", "json"]).stdout;
    fs::write(dir.path().join("fit.json"), report).expect("written");

    for old in ["amp.toml", "fit.json"] {
        let same = run_in(dir.path(), &["compare", old, "amp.toml"]);
        assert_eq!(code(&same), 0, "{}", err(&same));
        assert!(out(&same).contains("Nothing changed"), "{}", out(&same));
        let text = out(&run_in(dir.path(), &["compare", old, "wider.toml"]));
        for part in [
            "Cut again:",
            "plate; length ",
            "plate.template.pdf",
            "Dimensions that changed:",
            "304.0",
        ] {
            assert!(text.contains(part), "{part}: {text}");
        }
    }
    let json = run_in(
        dir.path(),
        &["compare", "fit.json", "wider.toml", "--format", "json"],
    );
    let c: Value = serde_json::from_slice(&json.stdout).expect("JSON");
    let plate = c["pieces"]
        .as_array()
        .expect("list")
        .iter()
        .find(|p| p["id"] == "plate")
        .expect("changed");
    assert_eq!(plate["fate"], "cut-again");
    let size = |key: &str| plate[key][0].as_f64().expect("a number");
    assert!((size("after_mm") - size("before_mm") - 4.0).abs() < 1e-6);
    assert!(!out(&json).contains("null"));
}

#[test]
fn compare_tells_new_and_cured_findings_and_wrong_input() {
    let dir = folder_with(TINY);
    fs::write(dir.path().join("clash.toml"), clashes()).expect("written");
    let worse = run_in(dir.path(), &["compare", "amp.toml", "clash.toml"]);
    assert_eq!(code(&worse), 1, "the later state has an error");
    assert!(
        out(&worse).starts_with("clashes, before: tight; ")
            && out(&worse).contains("New findings:"),
        "{}",
        out(&worse)
    );
    let better = run_in(dir.path(), &["compare", "clash.toml", "amp.toml"]);
    assert_eq!(code(&better), 0);
    assert!(out(&better).contains("Cured:"), "{}", out(&better));

    fs::write(dir.path().join("odd.json"), "{\"format\": 1}").expect("written");
    let odd = run_in(dir.path(), &["compare", "odd.json", "amp.toml"]);
    assert_eq!(code(&odd), 2);
    assert!(err(&odd).contains("no fit.json"), "{}", err(&odd));
    // an earlier version's report without pieces says so, and is compared as far as it goes
    let mut report: Value = serde_json::from_slice(
        &run_in(dir.path(), &["fit", "amp.toml", "--format", "json"]).stdout,
    )
    .expect("JSON");
    report
        .as_object_mut()
        .expect("object")
        .retain(|k, _| k != "holes" && k != "pieces");
    fs::write(dir.path().join("old.json"), report.to_string()).expect("written");
    let old = run_in(dir.path(), &["compare", "old.json", "amp.toml"]);
    assert_eq!(code(&old), 0);
    assert!(
        out(&old).contains("does not say which pieces"),
        "{}",
        out(&old)
    );
    assert_eq!(
        code(&run_in(dir.path(), &["compare", "amp.toml", "old.json"])),
        2
    );
}

#[test]
fn schema_is_the_committed_one() {
    let dir = folder();
    let printed = run_in(dir.path(), &["schema"]);
    assert_eq!(code(&printed), 0);
    assert_eq!(
        out(&printed),
        fs::read_to_string(
            std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
                .join("schema/groovewright.schema.json")
        )
        .expect("committed")
    );
}

#[test]
fn start_takes_answers_as_options_and_demos() {
    let dir = folder();
    let given = run_in(
        dir.path(),
        &[
            "start",
            "head.toml",
            "--cabinet",
            "head",
            "--tubes",
            "pair",
            "--chassis",
            "high",
            "--unit",
            "in",
        ],
    );
    assert_eq!(code(&given), 0, "{}", err(&given));
    let text = fs::read_to_string(dir.path().join("head.toml")).expect("there");
    assert!(text.starts_with("#:schema groovewright.schema.json\n"));
    assert!(
        text.contains("unit = \"in\"")
            && text.contains("position = \"roof\"")
            && !text.contains("[speaker]"),
        "{text}"
    );
    let fit = run_in(dir.path(), &["fit", "head.toml"]);
    assert!(
        out(&fit).starts_with("fits; ") && out(&fit).contains("\nhead: "),
        "{}",
        out(&fit)
    );
    for demo in ["harbour-15", "lantern-40", "pantry-4"] {
        let file = format!("my {demo}.toml");
        assert_eq!(
            code(&run_in(dir.path(), &["start", &file, "--from", demo])),
            0
        );
        let text = fs::read_to_string(dir.path().join(&file)).expect("there");
        assert!(text.starts_with("#:schema groovewright.schema.json\n"));
        assert!(text.contains(&format!("name = \"my {demo}\"")), "{text}");
    }
    let both = run_in(
        dir.path(),
        &["start", "x.toml", "--from", "pantry-4", "--unit", "mm"],
    );
    assert_eq!(code(&both), 2);
    // piped, nothing is asked
    assert!(!out(&run_in(dir.path(), &["start", "plain.toml"])).contains('?'));
}

/// On a terminal of its own, which util-linux's `script` makes.
#[cfg(target_os = "linux")]
fn on_a_terminal(dir: &std::path::Path, args: &str, typed: &str) -> (i32, String) {
    let line = format!("'{}' {args}", env!("CARGO_BIN_EXE_groovewright"));
    let mut child = std::process::Command::new("script")
        .args(["-qec", &line, "/dev/null"])
        .current_dir(dir)
        .env("TERM", "xterm")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("util-linux's script");
    // kept open to the end: its end would end the terminal
    let mut keys = child.stdin.take().expect("piped");
    keys.write_all(typed.as_bytes()).expect("typed");
    let mut said = String::new();
    let mut screen = child.stdout.take().expect("piped");
    screen.read_to_string(&mut said).expect("text");
    let status = child.wait().expect("ends");
    (status.code().expect("a code"), said)
}

#[cfg(target_os = "linux")]
#[test]
fn start_asks_on_a_terminal_and_writes_what_was_answered() {
    let dir = folder();
    let (code_of, said) = on_a_terminal(
        dir.path(),
        "start asked.toml",
        "head\nbox\npair\n\nhigh\nin\n",
    );
    assert_eq!(code_of, 0, "{said}");
    for part in [
        "Cabinet?",
        "Output tubes?",
        "Rectifier?",
        "Chassis?",
        "Unit?",
        "[Enter]",
        "please type",
        "wrote asked.toml",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(!said.contains("Speaker"), "{said}");
    let args = "--cabinet head --tubes pair --chassis high --unit in";
    let mut given = vec!["start", "given.toml"];
    given.extend(args.split(' '));
    run_in(dir.path(), &given);
    let text = |name: &str| fs::read_to_string(dir.path().join(name)).expect("written");
    assert_eq!(
        text("asked.toml").replacen("\"asked\"", "\"given\"", 1),
        text("given.toml")
    );
    // with an answer given as an option nothing is asked, and a wrong file is told in colour
    let (code_of, said) = on_a_terminal(dir.path(), "start more.toml --unit mm", "");
    assert!(code_of == 0 && !said.contains('?'), "{said}");
    fs::write(dir.path().join("more.toml"), "[design]\nname = 7\n").expect("written");
    let (code_of, said) = on_a_terminal(dir.path(), "fit more.toml", "");
    assert!(code_of == 2 && said.contains("\u{1b}["), "{said}");
    assert!(!err(&run_in(dir.path(), &["fit", "more.toml"])).contains('\u{1b}'));
}

#[test]
fn help_for_shells_pages_and_the_version() {
    let dir = folder();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = run_in(dir.path(), &["completions", shell]);
        assert_eq!(code(&script), 0);
        assert!(
            out(&script).contains("groovewright") && out(&script).contains("compare"),
            "{shell}"
        );
    }
    let page = out(&run_in(dir.path(), &["man"]));
    assert!(
        page.contains(".TH groovewright") && page.contains("Exit codes"),
        "{page}"
    );
    let own = out(&run_in(dir.path(), &["man", "watch"]));
    assert!(
        own.contains("\\-\\-open") && own.contains("groovewright\\-watch"),
        "{own}"
    );
    assert_eq!(code(&run_in(dir.path(), &["man", "saw"])), 2);
    let version = out(&run_in(dir.path(), &["--version"]));
    assert!(
        version.starts_with(&format!("groovewright {}", env!("CARGO_PKG_VERSION"))),
        "{version}"
    );
    if let Some((_, commit)) = version.trim().split_once("(commit ") {
        assert!(commit.len() == 13 && commit.ends_with(')'), "{version}");
    }
}

/// A `watch` that runs, and what it says, line by line.
struct Watching {
    child: Child,
    said: Receiver<String>,
    complained: Receiver<String>,
}

fn lines_of(from: impl Read + Send + 'static) -> Receiver<String> {
    let (sender, receiver) = mpsc::channel();
    std::thread::spawn(move || {
        for line in BufReader::new(from).lines().map_while(Result::ok) {
            if sender.send(line).is_err() {
                break;
            }
        }
    });
    receiver
}

fn watch(dir: &std::path::Path, more: &[&str]) -> Watching {
    let args: Vec<&str> = ["watch", "amp.toml", "--only", "fit"]
        .iter()
        .chain(more)
        .copied()
        .collect();
    let mut child = command(dir, &args)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("runs");
    let said = lines_of(child.stdout.take().expect("piped"));
    let complained = lines_of(child.stderr.take().expect("piped"));
    Watching {
        child,
        said,
        complained,
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn until(lines: &Receiver<String>, part: &str) -> Vec<String> {
    let mut seen = Vec::new();
    loop {
        let line = lines
            .recv_timeout(PATIENCE)
            .unwrap_or_else(|e| panic!("waiting for {part:?}: {e}; so far {seen:#?}"));
        let found = line.contains(part);
        seen.push(line);
        if found {
            return seen;
        }
    }
}

#[test]
fn watch_builds_on_save_tells_what_changed_and_keeps_the_last_good_build() {
    let dir = folder_with(TINY);
    let file = dir.path().join("amp.toml");
    let w = watch(dir.path(), &[]);
    let first = until(&w.said, "wrote ");
    assert!(first.iter().any(|l| l.starts_with("tight; ")), "{first:?}");

    // an editor that writes in place
    fs::write(&file, TINY.replace("width = 300", "width = 304")).expect("written");
    let second = until(&w.said, "wrote ");
    assert!(second.iter().any(|l| l == "Cut again:"), "{second:?}");
    let good = tree(&dir.path().join("out"));

    // broken: told with its place, nothing of the last good build is touched
    fs::write(&file, TINY.replace("width = 300", "width = \"3oo\"")).expect("written");
    let told = until(&w.complained, "stay as they are");
    assert!(
        told.iter().any(|l| l.contains("amp.toml:5:9: error: ")),
        "{told:?}"
    );
    assert_eq!(tree(&dir.path().join("out")), good);

    // an editor that writes beside and moves into place; the comparison is with the last good build
    fs::write(dir.path().join("amp.tmp"), clashes()).expect("written");
    fs::rename(dir.path().join("amp.tmp"), &file).expect("moved");
    let third = until(&w.said, "wrote ");
    assert!(
        third.iter().any(|l| l.starts_with("clashes; ")),
        "{third:?}"
    );
    assert!(third.iter().any(|l| l == "New findings:"), "{third:?}");

    // taken away and put back
    fs::remove_file(&file).expect("removed");
    until(&w.complained, "no such file");
    fs::write(&file, TINY).expect("written");
    let fourth = until(&w.said, "wrote ");
    assert!(fourth.iter().any(|l| l == "Cured:"), "{fourth:?}");
}

#[test]
fn watch_ends_when_nobody_reads_what_it_says() {
    let dir = folder_with(TINY);
    let mut w = watch(dir.path(), &[]);
    until(&w.said, "wrote ");
    // the thread that reads ends with the next line, and closes the pipe
    w.said = mpsc::channel().1;
    let mut width = 300;
    let ended = loop {
        if let Some(status) = w.child.try_wait().expect("a child") {
            break status;
        }
        width += 1;
        assert!(width < 360, "still running");
        let wider = TINY.replace("width = 300", &format!("width = {width}"));
        fs::write(dir.path().join("amp.toml"), wider).expect("written");
        std::thread::sleep(Duration::from_secs(1));
    };
    assert_eq!(ended.code(), Some(0));
}

fn get(address: &str, path: &str, host: &str) -> TcpStream {
    let mut stream = TcpStream::connect(address).expect("listens");
    stream.set_read_timeout(Some(PATIENCE)).expect("set");
    write!(stream, "GET {path} HTTP/1.1\r\nHost: {host}\r\n\r\n").expect("sent");
    stream
}

fn all_of(mut stream: TcpStream) -> String {
    let mut text = String::new();
    stream.read_to_string(&mut text).expect("text");
    text
}

#[test]
fn watch_serves_the_page_to_this_machine_and_tells_it_of_each_build() {
    let dir = folder_with(TINY);
    let w = watch(dir.path(), &["--open", "0"]);
    let line = until(&w.said, "http://").pop().expect("a line");
    let address = line
        .split("http://")
        .nth(1)
        .and_then(|l| l.split('/').next())
        .expect("an address")
        .to_owned();
    assert!(address.starts_with("127.0.0.1:"), "{line}");
    until(&w.said, "wrote ");
    let page = all_of(get(&address, "/", &address));
    assert!(
        page.starts_with("HTTP/1.1 200 ") && page.contains("<html lang=\"en\" data-build=\"1\">"),
        "{}",
        &page[..300.min(page.len())]
    );
    assert!(all_of(get(&address, "/amp.toml", &address)).starts_with("HTTP/1.1 404 "));
    assert!(all_of(get(&address, "/", "elsewhere.example")).starts_with("HTTP/1.1 403 "));

    let news = lines_of(get(&address, "/news", &address));
    until(&news, "data: 1");
    fs::write(dir.path().join("amp.toml"), "nonsense").expect("written");
    until(&news, "event: broken");
    assert!(
        until(&news, "data: ")
            .pop()
            .expect("a line")
            .contains("amp.toml:1:")
    );
    fs::write(dir.path().join("amp.toml"), TINY).expect("written");
    until(&news, "data: 2");
    // a second one at the same port is told so
    let port = address.rsplit(':').next().expect("a port");
    let second = run_in(dir.path(), &["watch", "amp.toml", "--open", port]);
    assert_eq!(code(&second), 3, "{}", err(&second));
    assert!(err(&second).contains(port));
}

#[test]
fn watch_refuses_what_it_cannot_watch() {
    let dir = folder();
    for file in ["nowhere.toml", "-"] {
        assert_eq!(code(&run_in(dir.path(), &["watch", file])), 2);
    }
    assert!(tree(dir.path()).is_empty());
}

/// A disk that fills up while a build is written, stood in for by a limit on the size of files: the system refuses the write (EFBIG, POSIX
/// `setrlimit`) in the middle of a file, as it does with ENOSPC.
#[cfg(unix)]
#[test]
fn a_write_that_is_cut_short_gives_3_and_leaves_no_half_file() {
    let dir = folder_with(TINY);
    assert_eq!(
        code(&run_in(
            dir.path(),
            &["build", "amp.toml", "--out", "whole"]
        )),
        0
    );
    let whole = tree(&dir.path().join("whole"));
    let line = format!(
        "trap '' XFSZ; ulimit -f 24; exec '{}' build amp.toml --out short",
        env!("CARGO_BIN_EXE_groovewright")
    );
    let output = std::process::Command::new("sh")
        .arg("-c")
        .arg(line)
        .current_dir(dir.path())
        .stdin(Stdio::null())
        .output()
        .expect("a shell");
    assert_eq!(code(&output), 3, "{}{}", out(&output), err(&output));
    assert!(err(&output).contains("cannot write "), "{}", err(&output));
    assert!(out(&output).is_empty(), "{}", out(&output));
    let short = tree(&dir.path().join("short"));
    assert!(!short.is_empty() && short.len() < whole.len());
    for (name, bytes) in &short {
        if !name.ends_with(groovewright::export::write::LIST) {
            assert!(whole[name] == *bytes, "{name} is whole");
        }
    }
}
