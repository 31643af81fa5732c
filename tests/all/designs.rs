//! The demo designs fit; each design of tests/designs fails in the way its own comment tells.

use groovewright::fit::{Severity, Verdict};
use groovewright::study::study;
use std::path::{Path, PathBuf};

fn files(folder: &str) -> Vec<PathBuf> {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut out: Vec<PathBuf> = std::fs::read_dir(&dir)
        .unwrap_or_else(|e| panic!("{}: {e}", dir.display()))
        .map(|f| f.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    out.sort();
    out
}

#[test]
fn demo_designs_fit() {
    let files = files("params");
    assert!(files.len() >= 3);
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let s = study(&text).unwrap_or_else(|d| panic!("{}", d.render("demo", &text, false)));
        let found: Vec<&str> = s.report.findings.iter().map(|f| f.text.as_str()).collect();
        assert_eq!(
            s.report.verdict,
            Verdict::Fits,
            "{}: {found:?}",
            file.display()
        );
        assert!(s.report.solids.len() >= 70, "{}", file.display());
        for part in &s.assembly.parts {
            let shape = &s.assembly.shapes[part.shape];
            assert!(
                shape.body.check().is_ok() && s.meshes[part.shape].check().is_sound(),
                "{}: {}",
                file.display(),
                part.id
            );
        }
    }
}

/// `# must give: CHECK of A and B`, `# must warn: CHECK of A`, `# must note: CHECK of A`, `# must fit`, in the file's head.
#[test]
fn each_failing_design_fails_as_it_says() {
    let files = files("tests/designs");
    let mut clashing = 0;
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let wanted: Vec<(Severity, &str)> = text
            .lines()
            .filter_map(|l| {
                l.strip_prefix("# must give: ")
                    .map(|w| (Severity::Error, w))
                    .or_else(|| {
                        l.strip_prefix("# must warn: ")
                            .map(|w| (Severity::Warning, w))
                    })
                    .or_else(|| l.strip_prefix("# must note: ").map(|w| (Severity::Note, w)))
            })
            .collect();
        let fits = text.lines().any(|l| l == "# must fit");
        assert!(
            wanted.iter().all(|w| w.0 == Severity::Note) == fits,
            "{} says nothing, or two things",
            file.display()
        );
        let s = study(&text).unwrap_or_else(|d| panic!("{}", d.render("design", &text, false)));
        let errs = wanted.iter().any(|w| w.0 == Severity::Error);
        let verdict = if errs {
            Verdict::Clashes
        } else if fits {
            Verdict::Fits
        } else {
            Verdict::Tight
        };
        let texts: Vec<&str> = s.report.findings.iter().map(|f| f.text.as_str()).collect();
        assert_eq!(s.report.verdict, verdict, "{}: {texts:?}", file.display());
        clashing += usize::from(errs);
        for (severity, want) in wanted {
            let (check, about) = want.split_once(" of ").expect("a check and its parts");
            let mut about: Vec<&str> = about.split(" and ").collect();
            about.sort_unstable();
            let found = s.report.findings.iter().any(|f| {
                let mut ids: Vec<&str> = f.about.iter().map(String::as_str).collect();
                ids.sort_unstable();
                f.id == check && f.severity == severity && ids == about
            });
            assert!(found, "{}: no {want:?} among {texts:?}", file.display());
        }
    }
    assert!(clashing >= 8);
}

/// A small sound amp; `more` is put in place of the tables of its chassis.
fn small(more: &str) -> String {
    format!(
        "[design]\nname = \"small\"\n[cabinet]\nwidth = 420\nheight = 300\ndepth = 230\n[cabinet.baffle]\n{more}\n\
         [[tube]]\nid = \"V1\"\ntype = \"12AX7\"\nat = {{ centre = 0, front = 80 }}\n"
    )
}

#[test]
fn a_panel_under_the_plate_with_an_overlay_fits_as_defaulted() {
    let text =
        small("[chassis]\n[chassis.panel.rear]\nheight = 70\nfit = \"under\"\noverlay = 1.5");
    let s = study(&text).unwrap_or_else(|d| panic!("{}", d.render("small", &text, false)));
    let texts: Vec<&str> = s.report.findings.iter().map(|f| f.text.as_str()).collect();
    assert_eq!(s.report.verdict, Verdict::Fits, "{texts:?}");
}

#[test]
fn a_pilot_in_the_floor_of_a_wide_groove_is_told_at_its_table() {
    let text = small(
        "[cabinet.groove]\nwidth = 45\n[chassis]\n[chassis.panel.rear]\nheight = 70\n[chassis.retain]\nkind = \"bracket\"",
    );
    let told = study(&text)
        .expect_err("a pilot where the groove is")
        .render("small", &text, false);
    assert!(
        told.contains("`retain-left-wood-screw-pilot` runs into `side-left-groove`"),
        "{told}"
    );
}
