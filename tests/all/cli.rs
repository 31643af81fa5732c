//! The command line, run as a builder runs it: exit codes, what is written and what never is.

use groovewright::export::write::{LIST, WriteError, write_build};
use serde_json::Value;
use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

/// An invented head without speaker or panels: few parts, so that it is checked fast; tight, as its wiring side lies open.
pub(super) const TINY: &str = r#"
[design]
name = "tiny"
[cabinet]
width = 300
height = 200
depth = 180
corner = "butt"
covering = 0
[chassis]
depth = 120
[[tube]]
id = "V1"
type = "12AX7"
at = { centre = 0, middle = 0 }
"#;

/// The same with an output transformer that stands into the tube.
pub(super) fn clashes() -> String {
    format!(
        "{TINY}\n[[transformer]]\nid = \"OT\"\nrole = \"output\"\ncore = \"EI66\"\ngrommets = 0\nat = {{ centre = -30, middle = 0 }}\n"
    )
}

pub(super) fn run_in<S: AsRef<OsStr>>(dir: &Path, args: &[S]) -> Output {
    command(dir, args).output().expect("the program runs")
}

pub(super) fn command<S: AsRef<OsStr>>(dir: &Path, args: &[S]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_groovewright"));
    command.current_dir(dir).args(args).stdin(Stdio::null());
    command
}

pub(super) fn code(output: &Output) -> i32 {
    output.status.code().expect("an exit code, not a signal")
}

pub(super) fn out(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

pub(super) fn err(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

pub(super) fn folder() -> TempDir {
    tempfile::tempdir().expect("a folder to work in")
}

pub(super) fn folder_with(text: &str) -> TempDir {
    let dir = folder();
    fs::write(dir.path().join("amp.toml"), text).expect("written");
    dir
}

/// Every file below a folder with its bytes, by its path.
pub(super) fn tree(dir: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut todo = vec![dir.to_path_buf()];
    while let Some(here) = todo.pop() {
        for entry in fs::read_dir(&here).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                todo.push(path);
            } else {
                let name = path
                    .strip_prefix(dir)
                    .expect("below")
                    .to_string_lossy()
                    .into_owned();
                found.insert(name, fs::read(&path).expect("readable"));
            }
        }
    }
    found
}

#[test]
fn starter_fits_and_is_never_written_over() {
    let dir = folder();
    let output = run_in(dir.path(), &["start", "my first amp.toml"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let output = run_in(dir.path(), &["fit", "my first amp.toml"]);
    assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
    let text = out(&output);
    assert!(text.starts_with("fits; "), "{text}");
    assert!(text.contains("my first amp: "), "named as its file: {text}");

    fs::write(dir.path().join("my first amp.toml"), "mine").expect("written");
    let output = run_in(dir.path(), &["start", "my first amp.toml"]);
    assert_eq!(code(&output), 2);
    assert!(err(&output).contains("--force"), "{}", err(&output));
    assert_eq!(
        tree(dir.path()).into_values().collect::<Vec<_>>(),
        [b"mine".to_vec()]
    );
    let output = run_in(dir.path(), &["start", "--force", "my first amp.toml"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert_ne!(
        tree(dir.path()).into_values().next(),
        Some(b"mine".to_vec())
    );
}

#[test]
fn start_refuses_folders_and_tells_of_a_missing_one() {
    let dir = folder();
    fs::create_dir(dir.path().join("sub")).expect("made");
    for (path, says) in [
        ("sub", "is a folder"),
        ("no/amp.toml", "no such folder"),
        ("..", "names no file"),
    ] {
        let output = run_in(dir.path(), &["start", path]);
        assert_eq!(code(&output), 2, "{path}");
        assert!(err(&output).contains(says), "{path}: {}", err(&output));
    }
    assert!(tree(dir.path()).is_empty());
}

#[test]
fn start_uses_a_plain_name_where_the_files_own_cannot_name_a_design() {
    let dir = folder();
    assert_eq!(code(&run_in(dir.path(), &["start", "nul.toml"])), 0);
    let text = fs::read_to_string(dir.path().join("nul.toml")).expect("there");
    assert!(text.contains("name = \"first-combo\""));
}

#[test]
fn start_refuses_a_speaker_for_a_head() {
    let dir = folder();
    let args = ["start", "amp.toml", "--cabinet", "head", "--speaker", "12"];
    let output = run_in(dir.path(), &args);
    assert_eq!(code(&output), 2, "{}", out(&output));
    assert!(
        err(&output).contains("`--speaker` says nothing about a head"),
        "{}",
        err(&output)
    );
    assert!(!dir.path().join("amp.toml").exists());
}

#[test]
fn exit_codes_tell_what_happened() {
    let dir = folder_with(TINY);
    let good = run_in(dir.path(), &["fit", "amp.toml"]);
    assert_eq!(code(&good), 0, "{}{}", out(&good), err(&good));
    assert!(err(&good).is_empty(), "quiet: {}", err(&good));

    let dir = folder_with(&clashes());
    let clash = run_in(dir.path(), &["fit", "amp.toml"]);
    assert_eq!(code(&clash), 1, "{}{}", out(&clash), err(&clash));
    assert!(out(&clash).starts_with("clashes; "), "{}", out(&clash));
    assert!(out(&clash).contains("error: ") && out(&clash).contains("Caution: "));
    let built = run_in(dir.path(), &["build", "amp.toml"]);
    assert_eq!(code(&built), 1, "a clash does not stop the writing");
    assert!(dir.path().join("out/tiny/model/assembly.step").is_file());

    let dir = folder_with(&TINY.replace("width = 300", "width = \"3oo\"\nheigth = 2"));
    let wrong = run_in(dir.path(), &["fit", "amp.toml"]);
    assert_eq!(code(&wrong), 2);
    assert!(out(&wrong).is_empty(), "{}", out(&wrong));
    let text = err(&wrong);
    assert!(
        text.contains("amp.toml:5:9: error: ")
            && text.contains("amp.toml:6:1: error: ")
            && text.contains("hint: "),
        "{text}"
    );
    assert!(!text.contains('\u{1b}'), "no colour when piped: {text:?}");
}

#[test]
fn nothing_is_written_when_the_file_cannot_be_used() {
    let dir = folder_with(&TINY.replace("12AX7", "12AX77"));
    let before = tree(dir.path());
    for args in [
        &["build", "amp.toml"][..],
        &["build", "amp.toml", "--out", "here"],
        &["fit", "amp.toml"],
    ] {
        assert_eq!(code(&run_in(dir.path(), args)), 2, "{args:?}");
    }
    assert_eq!(tree(dir.path()), before);
    assert_eq!(
        fs::read_dir(dir.path()).expect("there").count(),
        1,
        "no folder either"
    );
}

#[test]
fn wrong_command_lines_are_input_that_cannot_be_used() {
    let dir = folder_with(TINY);
    for args in [
        &["fit"][..],
        &["fit", "amp.toml", "--format", "xml"],
        &["saw"],
        &["build", "amp.toml", "--only", "hologram"],
        &[],
    ] {
        let output = run_in(dir.path(), args);
        assert_eq!(code(&output), 2, "{args:?}");
        assert!(
            out(&output).is_empty() && !err(&output).is_empty(),
            "{args:?}"
        );
    }
    for args in [["--version"], ["--help"]] {
        let output = run_in(dir.path(), &args);
        assert_eq!(code(&output), 0, "{args:?}");
        assert!(out(&output).contains("groovewright"));
    }
}

#[test]
fn unreadable_input_is_told_in_words() {
    let dir = folder();
    fs::create_dir(dir.path().join("sub")).expect("made");
    fs::write(dir.path().join("latin1.toml"), b"# caf\xe9\n").expect("written");
    fs::write(dir.path().join("utf16.toml"), b"\xff\xfe[\0d\0").expect("written");
    let cases = [
        ("nowhere.toml", "no such file"),
        ("latin1.toml/x", "no such file"),
        ("sub", "is a folder"),
        (
            "latin1.toml",
            "latin1.toml:1:6: error: this is not UTF-8 text (byte 0xE9)",
        ),
        ("utf16.toml", "UTF-16"),
        ("/dev/null", "error: "),
    ];
    for (path, says) in cases {
        let output = run_in(dir.path(), &["fit", path]);
        assert_eq!(code(&output), 2, "{path}: {}", err(&output));
        assert!(err(&output).contains(says), "{path}: {}", err(&output));
    }
    if cfg!(target_os = "linux") {
        let output = run_in(dir.path(), &["fit", "/dev/zero"]);
        assert_eq!(code(&output), 2);
        assert!(
            err(&output).contains("no parameter file"),
            "{}",
            err(&output)
        );
        // The first page of a process's memory is never there: the system fails the read.
        let output = run_in(dir.path(), &["fit", "/proc/self/mem"]);
        assert_eq!(code(&output), 3);
        assert!(err(&output).contains("cannot be read"), "{}", err(&output));
    }
}

#[test]
fn reads_standard_input() {
    let dir = folder();
    let mut child = command(dir.path(), &["fit", "-", "--format", "json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("runs");
    child
        .stdin
        .take()
        .expect("piped")
        .write_all(TINY.as_bytes())
        .expect("taken");
    let output = child.wait_with_output().expect("ends");
    assert_eq!(code(&output), 0);
    let report: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(report["design"], "tiny");
}

#[test]
fn json_is_what_its_page_says() {
    // an earth stud slides past a retaining block, so that the way in has rows
    let stud =
        "[[hardware]]\nid = \"EARTH\"\nkind = \"earth stud\"\nat = { left = 28, middle = 0 }\n";
    let dir = folder_with(&format!("{}\n{stud}", clashes()));
    let output = run_in(dir.path(), &["fit", "amp.toml", "--format", "json"]);
    assert_eq!(code(&output), 1);
    let text = out(&output);
    assert!(text.ends_with("}\n") && !text.contains("null"));
    let report: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(report["format"], 1);
    assert_eq!(report["verdict"], "clashes");
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let demo = run_in(root, &["fit", "params/harbour-15.toml", "--format", "json"]);
    let demo: Value = serde_json::from_slice(&demo.stdout).expect("JSON");
    // Every key is on the page, and every key of the page's tables is written by one of the rows.
    let page = include_str!("../../docs/fit-json.md");
    let mut keys: Vec<&str> = report
        .as_object()
        .expect("object")
        .keys()
        .map(String::as_str)
        .collect();
    for list in [
        "masses", "solids", "pairs", "joined", "slide", "findings", "derived", "pieces", "holes",
    ] {
        // nothing of so small an amp is near anything while it slides
        let of = if report[list] == serde_json::json!([]) {
            &demo
        } else {
            &report
        };
        let rows = of[list].as_array().expect("a list");
        assert!(!rows.is_empty(), "{list}");
        keys.extend(
            rows[0]
                .as_object()
                .expect("object")
                .keys()
                .map(String::as_str),
        );
    }
    for key in &keys {
        assert!(
            page.contains(&format!("`{key}`")),
            "`{key}` is not on the page"
        );
    }
    let (tables, _) = page.split_once("## When").expect("the part on errors");
    for cell in tables
        .lines()
        .filter_map(|l| l.strip_prefix("| `"))
        .filter_map(|l| l.split_once(" | "))
    {
        for key in cell.0.split(", ").map(|k| k.trim_matches('`')) {
            assert!(
                keys.contains(&key),
                "`{key}` is on the page but not written"
            );
        }
    }
    // One row a line, so that two reports differ in lines.
    let solids = report["solids"].as_array().expect("list").len();
    assert_eq!(
        text.lines()
            .filter(|l| l.contains("\"volume_mm3\""))
            .count(),
        solids
    );

    fs::write(dir.path().join("amp.toml"), "[design]\nname = 7\n").expect("written");
    let output = run_in(dir.path(), &["fit", "amp.toml", "--format", "json"]);
    assert_eq!(code(&output), 2);
    let refused: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert!(
        refused["errors"]
            .as_array()
            .expect("list")
            .iter()
            .any(|e| e["line"] == 2 && e["column"] == 8),
        "{refused}"
    );
    assert!(err(&output).contains("amp.toml:2:8: error: "));
    assert_eq!(refused["file"], "amp.toml");
}

#[test]
fn a_file_that_cannot_be_read_is_told_to_machines_too() {
    let dir = folder_with(TINY);
    fs::write(dir.path().join("latin1.toml"), b"# a\n# caf\xe9\n").expect("written");
    fs::write(dir.path().join("odd.json"), "{\"format\": 1}").expect("written");
    let json = ["--format", "json"];
    for (args, file, part) in [
        (&["fit", "nowhere.toml"][..], "nowhere.toml", "no such file"),
        (&["fit", "."], ".", "is a folder"),
        (
            &["compare", "amp.toml", "nowhere.toml"],
            "nowhere.toml",
            "no such file",
        ),
        (
            &["compare", "odd.json", "amp.toml"],
            "odd.json",
            "no fit.json",
        ),
        (
            &["compare", "amp.toml", "odd.json"],
            "odd.json",
            "holds JSON",
        ),
    ] {
        let output = run_in(dir.path(), &[args, &json].concat());
        assert_eq!(code(&output), 2, "{args:?}");
        assert!(err(&output).contains(part), "{}", err(&output));
        let refused: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        assert_eq!(refused["file"], file);
        let errors = refused["errors"].as_array().expect("a list");
        assert_eq!(errors.len(), 1);
        let message = errors[0]["message"].as_str().expect("text");
        assert!(message.contains(part), "{message}");
        assert!(errors[0]["hint"].is_string());
        // for people the same as without the option, and nothing on stdout
        let plain = run_in(dir.path(), args);
        assert!(plain.stdout.is_empty());
        assert_eq!(err(&plain), err(&output));
    }
    let output = run_in(dir.path(), &["fit", "latin1.toml", "--format", "json"]);
    let refused: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let error = &refused["errors"][0];
    assert_eq!((&error["line"], &error["column"]), (&2.into(), &6.into()));
    // what only the system can put right
    if cfg!(target_os = "linux") {
        let output = run_in(dir.path(), &["fit", "/proc/self/mem", "--format", "json"]);
        assert_eq!(code(&output), 3, "{}", err(&output));
        let refused: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        assert_eq!(refused["file"], "/proc/self/mem");
    }
}

#[test]
fn all_lists_every_pair_and_json_agrees() {
    let dir = folder_with(TINY);
    let text = out(&run_in(dir.path(), &["fit", "amp.toml", "--all"]));
    let report: Value = serde_json::from_slice(
        &run_in(dir.path(), &["fit", "amp.toml", "--format", "json"]).stdout,
    )
    .expect("JSON");
    for pair in report["pairs"].as_array().expect("list") {
        let (a, b) = (
            pair["a"].as_str().expect("id"),
            pair["b"].as_str().expect("id"),
        );
        assert!(
            text.lines().any(|l| l.ends_with(&format!(" {a} - {b}"))),
            "{a} - {b}"
        );
    }
}

#[test]
fn two_builds_give_the_same_bytes() {
    let trees: Vec<_> = ["1", "4"]
        .into_iter()
        .map(|threads| {
            let dir = folder_with(TINY);
            let output = command(dir.path(), &["build", "amp.toml"])
                .env("RAYON_NUM_THREADS", threads)
                .output()
                .expect("runs");
            assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
            tree(&dir.path().join("out"))
        })
        .collect();
    assert!(trees[0] == trees[1], "the same files with the same bytes");
    let names: Vec<&str> = trees[0].keys().map(String::as_str).collect();
    for name in [
        "tiny/fit.json",
        "tiny/fit.md",
        "tiny/model/assembly.step",
        "tiny/model/assembly.stl",
        "tiny/model/parts/V1.stl",
        "tiny/model/parts/plate.stl",
    ] {
        assert!(names.contains(&name), "{name} in {names:?}");
    }
    // Each solid has its file, and the list names them all.
    let report: Value = serde_json::from_slice(&trees[0]["tiny/fit.json"]).expect("JSON");
    let list = String::from_utf8(trees[0][&format!("tiny/{LIST}")].clone()).expect("text");
    for solid in report["solids"].as_array().expect("list") {
        let path = format!("model/parts/{}.stl", solid["id"].as_str().expect("id"));
        assert!(
            names.contains(&format!("tiny/{path}").as_str()) && list.lines().any(|l| l == path),
            "{path}"
        );
        let triangles = (trees[0][&format!("tiny/{path}")].len() - 84) / 50;
        assert!(
            triangles > 0 && triangles as u64 <= solid["triangles"].as_u64().expect("count"),
            "{path}"
        );
    }
    assert_eq!(
        list.lines().count(),
        names.len() - 1,
        "the list and nothing else is not in the list"
    );
    let page = String::from_utf8(trees[0]["tiny/fit.md"].clone()).expect("text");
    assert!(page.starts_with("# tiny\n\n**tight; "), "{page}");
    for head in [
        "## What was found",
        "## The tightest places",
        "## Numbers that follow",
        "## What you left out",
        "## Cautions",
    ] {
        assert!(page.contains(head), "{head}");
    }
}

#[test]
fn only_picks_and_the_folder_holds_the_last_build() {
    let dir = folder_with(TINY);
    assert_eq!(code(&run_in(dir.path(), &["build", "amp.toml"])), 0);
    let mine = dir.path().join("out/tiny/model/parts/mine.stl");
    fs::write(&mine, "my own").expect("written");
    let output = run_in(dir.path(), &["build", "amp.toml", "--only", "step,fit"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(
        out(&output).contains("wrote 3 files") && out(&output).contains("removed "),
        "{}",
        out(&output)
    );
    let names: Vec<String> = tree(&dir.path().join("out")).into_keys().collect();
    assert_eq!(
        names,
        [
            format!("tiny/{LIST}"),
            "tiny/fit.json".into(),
            "tiny/fit.md".into(),
            "tiny/model/assembly.step".into(),
            "tiny/model/parts/mine.stl".into()
        ]
    );
}

/// A jig that cannot be made is told where the builder looks, with what to do; pictures of jigs come with the other pictures only.
#[test]
fn jigs_that_cannot_be_made_are_told() {
    let ring = "\n[print]\nbed-width = \"95 mm\"\nbed-depth = \"95 mm\"\nscribe-ring = true\n";
    // its cradles stand higher than such a bed is long
    let high = include_str!("../../params/harbour-15.toml");
    let dir = folder_with(&format!("{high}{ring}"));
    let small = run_in(dir.path(), &["build", "amp.toml", "--only", "jig"]);
    assert_eq!(code(&small), 0, "{}", err(&small));
    let told = out(&small);
    let line = told.lines().find(|l| l.starts_with("no jig: "));
    let line = line.unwrap_or_else(|| panic!("{}", told));
    let folder = dir.path().join("out/harbour-15/jig");
    let read = |name: &str| fs::read_to_string(folder.join(name)).expect("written");
    assert!(read("README.md").contains(line.trim_start_matches("no jig: ")));
    assert!(read("jigs.json").contains(line.trim_start_matches("no jig: ")));
    assert!(!folder.join("coupon.png").exists() && !read("README.md").contains(".png"));

    let dir = folder_with(TINY);
    let plain = run_in(dir.path(), &["build", "amp.toml", "--only", "jig,views"]);
    assert!(!out(&plain).contains("no jig"), "{}", out(&plain));
    let folder = dir.path().join("out/tiny/jig");
    let readme = fs::read_to_string(folder.join("README.md")).expect("written");
    let pictures = readme.lines().filter_map(|l| l.strip_prefix("!["));
    let names: Vec<&str> = pictures
        .filter_map(|l| l.split_once("](")?.1.strip_suffix(')'))
        .collect();
    assert!(names.len() > 3, "{readme}");
    for name in names {
        let bytes = fs::read(folder.join(name)).expect("a picture");
        // ISO/IEC 15948, 5.2
        assert!(bytes.starts_with(b"\x89PNG\r\n\x1a\n"), "{name}");
    }
}

#[test]
fn folders_with_spaces_and_other_letters_work() {
    let dir = folder();
    let deep = dir.path().join("Größe 20 mm/真空管");
    fs::create_dir_all(&deep).expect("made");
    fs::write(
        deep.join("mein verstärker.toml"),
        TINY.replace("\"tiny\"", "\"kleiner Verstärker ω\""),
    )
    .expect("written");
    let output = run_in(
        dir.path(),
        &[
            "build",
            "Größe 20 mm/真空管/mein verstärker.toml",
            "--out",
            "Größe 20 mm/fertig hier",
        ],
    );
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(
        dir.path()
            .join("Größe 20 mm/fertig hier/kleiner Verstärker ω/fit.json")
            .is_file()
    );
    #[cfg(unix)]
    {
        use std::os::unix::ffi::OsStrExt;
        let odd = OsStr::from_bytes(b"not \xff text.toml");
        fs::write(dir.path().join(odd), TINY).expect("written");
        let output = run_in(dir.path(), &[OsStr::new("fit"), odd]);
        assert_eq!(code(&output), 0, "{}", err(&output));
        let output = run_in(
            dir.path(),
            &[OsStr::new("start"), OsStr::from_bytes(b"new \xff.toml")],
        );
        assert_eq!(code(&output), 0, "{}", err(&output));
    }
}

#[test]
fn a_place_that_cannot_be_written_is_the_machines_failure() {
    let dir = folder_with(TINY);
    fs::write(dir.path().join("file"), "mine").expect("written");
    let before = tree(dir.path());
    let mut places = vec!["file", "file/below"];
    if cfg!(target_os = "linux") {
        places.push("/proc/out");
    }
    for place in places {
        let output = run_in(dir.path(), &["build", "amp.toml", "--out", place]);
        assert_eq!(code(&output), 3, "{place}: {}", err(&output));
        assert!(err(&output).contains(place), "{place}: {}", err(&output));
        assert!(
            out(&output).is_empty(),
            "no word of a build that was not written"
        );
    }
    assert_eq!(tree(dir.path()), before);
    if cfg!(target_os = "linux") {
        let output = run_in(dir.path(), &["start", "/proc/amp.toml"]);
        assert_eq!(code(&output), 3, "{}", err(&output));
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_under_the_answer_is_told() {
    let full = || {
        fs::OpenOptions::new()
            .write(true)
            .open("/dev/full")
            .expect("Linux has one")
    };
    let dir = folder_with(TINY);
    for args in [
        &["parts"][..],
        &["fit", "amp.toml"],
        &["fit", "amp.toml", "--format", "json"],
    ] {
        let output = command(dir.path(), args)
            .stdout(full())
            .output()
            .expect("runs");
        assert_eq!(code(&output), 3, "{args:?}: {}", err(&output));
        assert!(
            err(&output).contains("cannot write the answer"),
            "{args:?}: {}",
            err(&output)
        );
    }
}

/// A limit on the size of files stands for a disk that fills up half-way, and holds for root too; its signal is ignored, as a full disk sends none.
#[cfg(unix)]
#[test]
fn what_does_not_go_on_the_disk_leaves_nothing_half_written() {
    let whole = folder_with(TINY);
    let args = ["build", "amp.toml", "--only", "stl,shop"];
    assert_eq!(code(&run_in(whole.path(), &args)), 0);
    let whole = tree(whole.path());
    let limited = |dir: &Path, blocks: u32, args: &[&str]| {
        Command::new("sh")
            .arg("-c")
            .arg(format!(
                "trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\""
            ))
            .arg(env!("CARGO_BIN_EXE_groovewright"))
            .args(args)
            .current_dir(dir)
            .stdin(Stdio::null())
            .output()
            .expect("a shell")
    };
    let mut written = Vec::new();
    // not even the list; the list and small files
    for blocks in [0, 16] {
        let dir = folder_with(TINY);
        let output = limited(dir.path(), blocks, &args);
        assert_eq!(code(&output), 3, "{blocks}: {}", err(&output));
        assert!(
            err(&output).contains("cannot write out/tiny/"),
            "{blocks}: {}",
            err(&output)
        );
        assert!(out(&output).is_empty(), "no word of a build that failed");
        let there = tree(dir.path());
        written.push(there.len());
        for (path, bytes) in &there {
            let list = path.ends_with(LIST);
            assert!(list || whole.get(path) == Some(bytes), "{path}");
        }
        // with room again the same command makes it whole
        assert_eq!(code(&run_in(dir.path(), &args)), 0);
        assert_eq!(tree(dir.path()), whole);
    }
    assert_eq!(written[0], 1, "the parameter file alone");
    assert!(written[0] < written[1] && written[1] < whole.len());

    let dir = folder();
    let output = limited(dir.path(), 0, &["start", "new.toml"]);
    assert_eq!(code(&output), 3, "{}", err(&output));
    assert!(tree(dir.path()).is_empty());
}

#[test]
fn a_reader_that_has_gone_is_no_failure() {
    let dir = folder_with(TINY);
    for args in [
        &["parts"][..],
        &["fit", "amp.toml"],
        &["fit", "amp.toml", "--format", "json"],
        &["build", "amp.toml"],
        &["--help"],
    ] {
        let (reader, writer) = std::io::pipe().expect("a pipe");
        drop(reader);
        let output = command(dir.path(), args)
            .stdout(writer)
            .output()
            .expect("runs");
        assert_eq!(code(&output), 0, "{args:?}: {}", err(&output));
        assert!(err(&output).is_empty(), "{args:?}: {}", err(&output));
    }
    assert!(
        dir.path().join("out/tiny/fit.json").is_file(),
        "written all the same"
    );
}

#[test]
fn parts_shows_sources() {
    let dir = folder();
    let all = out(&run_in(dir.path(), &["parts"]));
    assert!(all.contains("TUBES") && all.contains("EL84"), "{all}");
    let one = out(&run_in(dir.path(), &["parts", "el 84"]));
    assert!(one.contains("tube EL84") && one.contains("source"), "{one}");
}

#[test]
fn parts_ends_with_lines_that_the_parameter_file_takes() {
    let dir = folder();
    let one = run_in(dir.path(), &["parts", "EL84"]);
    let text = out(&one);
    let lines = &text[text.find("[[tube]]").expect("lines to paste")..];
    let head = TINY.split("[[tube]]").next().expect("a head");
    let with = format!("{head}{lines}at = {{ centre = 0, middle = 0 }}\n");
    fs::write(dir.path().join("amp.toml"), with).expect("written");
    let fit = run_in(dir.path(), &["fit", "amp.toml", "--format", "json"]);
    assert!(code(&fit) < 2, "{}", err(&fit));
    assert!(out(&fit).contains("\"id\": \"V1\""), "{}", out(&fit));
}

#[test]
fn parts_names_the_tools_for_a_hole_and_refuses_the_unknown() {
    let dir = folder();
    let hole = out(&run_in(dir.path(), &["parts", "28.6 mm"]));
    assert!(
        hole.contains("28.6 mm (1 1/8 in)") && hole.contains("punch 1 1/8"),
        "{hole}"
    );
    let none = run_in(dir.path(), &["parts", "EL8444"]);
    assert_eq!(code(&none), 2);
    assert!(
        err(&none).contains("nothing in the catalogue") && err(&none).contains("EL84"),
        "{}",
        err(&none)
    );
    assert!(out(&none).is_empty());
    let long = run_in(dir.path(), &["parts", &"x".repeat(10_000)]);
    assert!(code(&long) == 2 && err(&long).len() < 300, "{}", err(&long));
}

#[test]
fn fit_compares_metals_when_asked() {
    let dir = folder_with(TINY);
    let plain = out(&run_in(dir.path(), &["fit", "amp.toml"]));
    let asked = out(&run_in(dir.path(), &["fit", "amp.toml", "--materials"]));
    assert!(
        asked.starts_with(&plain) && !plain.contains("Aluminium or steel"),
        "{asked}"
    );
    for word in [
        "Aluminium or steel for this plate",
        "as drawn",
        "steel low carbon",
        "skin depth",
        "rusts",
    ] {
        assert!(asked.contains(word), "{word}: {asked}");
    }
    let json = run_in(
        dir.path(),
        &["fit", "amp.toml", "--materials", "--format", "json"],
    );
    assert_eq!(code(&json), 2);
    assert!(out(&json).is_empty() && err(&json).contains("--materials"));
}

// The writer by itself, where a whole build would be a detour.

fn files(list: &[(&str, &str)]) -> Vec<(String, Vec<u8>)> {
    list.iter()
        .map(|(path, text)| ((*path).to_owned(), text.as_bytes().to_vec()))
        .collect()
}

#[test]
fn removes_what_an_earlier_build_wrote_and_nothing_else() {
    let dir = folder();
    let first = files(&[("a/b/old.txt", "1"), ("a/keep.txt", "1"), ("gone.txt", "1")]);
    let done = write_build(dir.path(), "amp", &first).expect("written");
    assert_eq!((done.files, done.removed), (3, 0));
    let here = dir.path().join("amp");
    fs::write(here.join("a/mine.txt"), "mine").expect("written");
    fs::write(dir.path().join("outside.txt"), "mine").expect("written");
    // A list that somebody has tampered with reaches no further than the folder.
    let absolute = dir.path().join("outside.txt");
    let list = fs::read_to_string(here.join(LIST)).expect("there")
        + "../outside.txt\na/../../outside.txt\n"
        + &absolute.to_string_lossy()
        + "\n\na\n.\n";
    fs::write(here.join(LIST), list).expect("written");

    let done = write_build(
        dir.path(),
        "amp",
        &files(&[("a/keep.txt", "2"), ("new.txt", "2")]),
    )
    .expect("written");
    assert_eq!((done.files, done.removed), (2, 2));
    let now: Vec<(String, String)> = tree(dir.path())
        .into_iter()
        .map(|(name, bytes)| (name, String::from_utf8_lossy(&bytes).into_owned()))
        .collect();
    let want = [
        (&*format!("amp/{LIST}"), "a/keep.txt\nnew.txt\n"),
        ("amp/a/keep.txt", "2"),
        ("amp/a/mine.txt", "mine"),
        ("amp/new.txt", "2"),
        ("outside.txt", "mine"),
    ];
    assert_eq!(now, want.map(|(a, b)| (a.to_owned(), b.to_owned())));
    assert!(!here.join("a/b").exists(), "a folder left empty goes too");
}

#[test]
fn a_failure_half_way_leaves_whole_files_that_the_list_knows() {
    let dir = folder();
    write_build(dir.path(), "amp", &files(&[("a.txt", "1"), ("z.txt", "1")])).expect("written");
    let here = dir.path().join("amp");
    // A folder stands where the second file belongs.
    fs::create_dir_all(here.join("b.txt/mine")).expect("made");
    let next = files(&[
        ("a.txt", "2"),
        ("b.txt", "2"),
        ("c.txt", "2"),
        ("z.txt", "2"),
    ]);
    let error = write_build(dir.path(), "amp", &next)
        .expect_err("in the way")
        .to_string();
    assert!(
        error.contains("b.txt") && error.contains("in the way"),
        "{error}"
    );
    let now = tree(&here);
    assert_eq!(now["a.txt"], b"2");
    assert_eq!(now["z.txt"], b"1");
    assert_eq!(now[LIST], b"a.txt\nb.txt\nc.txt\nz.txt\n");
    assert_eq!(now.len(), 3, "no temporary file is left: {:?}", now.keys());
    assert!(here.join("b.txt/mine").is_dir());
}

#[cfg(unix)]
#[test]
fn writes_and_removes_through_no_link() {
    use std::os::unix::fs::symlink;
    let dir = folder();
    let elsewhere = folder();
    fs::write(elsewhere.path().join("x.stl"), "mine").expect("written");
    let one = files(&[("model/x.stl", "1")]);

    // The design's own folder is a link.
    symlink(elsewhere.path(), dir.path().join("linked")).expect("made");
    assert!(matches!(
        write_build(dir.path(), "linked", &one),
        Err(WriteError::Link(_))
    ));

    // A folder in it is one: nothing is written there, nothing that the list names is removed there.
    write_build(dir.path(), "amp", &one).expect("written");
    let here = dir.path().join("amp");
    fs::remove_dir_all(here.join("model")).expect("removed");
    symlink(elsewhere.path(), here.join("model")).expect("made");
    let error = write_build(dir.path(), "amp", &one).expect_err("a link");
    assert!(error.to_string().contains("symbolic link"), "{error}");
    write_build(dir.path(), "amp", &files(&[("other.txt", "1")])).expect("written");

    // A file that is a link is replaced, not followed.
    symlink(elsewhere.path().join("x.stl"), here.join("y.txt")).expect("made");
    write_build(dir.path(), "amp", &files(&[("y.txt", "new")])).expect("written");
    assert!(
        fs::symlink_metadata(here.join("y.txt"))
            .expect("there")
            .is_file()
    );

    let there = tree(elsewhere.path());
    assert_eq!(there.len(), 1);
    assert_eq!(there["x.stl"], b"mine");
    // A folder that the builder named by a link is his own choice.
    symlink(elsewhere.path(), dir.path().join("disk")).expect("made");
    write_build(&dir.path().join("disk"), "amp", &one).expect("written");
    assert!(elsewhere.path().join("amp/model/x.stl").is_file());
}
