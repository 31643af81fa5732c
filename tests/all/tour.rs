//! Every command of the tour is run as printed, in order, in one folder; its output must be what the tour shows.
//!
//! `UPDATE_DOCS=1` writes the outputs into the page. A block marked `edit FILE` is what the reader changes in an editor: lines that begin
//! with `-` give way to those that begin with `+`.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

fn run(dir: &Path, line: &str) -> String {
    let program = Path::new(env!("CARGO_BIN_EXE_groovewright"));
    let own = program.parent().expect("a folder").display().to_string();
    let path = std::env::var("PATH").unwrap_or_default();
    // what goes wrong is part of what a reader sees
    let output = Command::new("sh")
        .arg("-c")
        .arg(format!("{{ {line}\n}} 2>&1"))
        .current_dir(dir)
        .env("PATH", format!("{own}:{path}"))
        .env("LC_ALL", "C")
        .stdin(Stdio::null())
        .output()
        .expect("a shell");
    String::from_utf8(output.stdout).expect("text")
}

fn edit(dir: &Path, file: &str, lines: &[&str]) {
    let path = dir.join(file);
    let mut text = fs::read_to_string(&path).expect("a file to edit");
    let take = |mark: char| -> String {
        lines
            .iter()
            .filter_map(|l| l.strip_prefix(mark))
            .map(|l| format!("{}\n", l.strip_prefix(' ').unwrap_or(l)))
            .collect()
    };
    let (old, new) = (take('-'), take('+'));
    assert_eq!(text.matches(&old).count(), 1, "{file} holds once:\n{old}");
    text = text.replacen(&old, &new, 1);
    fs::write(&path, text).expect("written");
}

#[cfg(unix)]
#[test]
fn the_tour_is_true() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/tour.md");
    let written = fs::read_to_string(&page).expect("the tour");
    let dir = tempfile::tempdir().expect("a folder");
    let mut now = String::new();
    let mut commands = 0;
    let mut lines = written.lines().peekable();
    while let Some(line) = lines.next() {
        let _ = writeln!(now, "{line}");
        let Some(kind) = line.strip_prefix("```").filter(|k| !k.is_empty()) else {
            continue;
        };
        let mut block = Vec::new();
        for inner in lines.by_ref().take_while(|l| *l != "```") {
            block.push(inner);
        }
        if kind == "console" {
            for typed in block.iter().filter_map(|l| l.strip_prefix("$ ")) {
                let _ = write!(now, "$ {typed}\n{}", run(dir.path(), typed));
                if !now.ends_with('\n') {
                    now.push('\n');
                }
                commands += 1;
            }
        } else {
            for inner in &block {
                let _ = writeln!(now, "{inner}");
            }
            if let Some(file) = kind.strip_prefix("edit ") {
                edit(dir.path(), file, &block);
            }
        }
        now.push_str("```\n");
    }
    assert!(commands >= 10, "{commands} commands");
    if std::env::var_os("UPDATE_DOCS").is_some() {
        fs::write(&page, &now).expect("written");
        return;
    }
    for (k, (is, was)) in now.lines().zip(written.lines()).enumerate() {
        assert_eq!(
            is,
            was,
            "docs/tour.md line {}: run `UPDATE_DOCS=1 cargo test tour`",
            k + 1
        );
    }
    assert_eq!(now.lines().count(), written.lines().count());
}
