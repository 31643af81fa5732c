//! The files under `shop/`: tables, drawings, cutting files, templates, legends. Ids have no dots, so no two names meet.

use super::{OutFile, csv, dxf, pdf, svg};
use crate::shop::{self, cutouts, cutting, drawing, legend, plan, sheet::Sheet, stick, template};
use crate::study::Study;
use rayon::prelude::*;

/// Makes one file.
type Job<'s> = (String, Box<dyn Fn() -> Vec<u8> + Send + Sync + 's>);

/// All files for the bench, in an order that never changes.
pub(super) fn files(study: &Study) -> Vec<OutFile> {
    let design = &study.design;
    let bench = shop::bench(design, &study.report);
    let plans = plan::plans(design, &study.report, &bench.schedules);
    let (drawings, templates) = rayon::join(
        || drawing::drawings(design, &plans),
        || template::templates(design, &plans),
    );
    let sawn = cutting::sheets(design, &bench.cutting);
    let sawn_title = format!("{}: cutting plan", design.name);
    let mut jobs: Vec<Job<'_>> = Vec::new();

    let all: Vec<Sheet> = drawings.iter().flat_map(|d| d.sheets.clone()).collect();
    if !all.is_empty() {
        let title = format!("{}: drawings", design.name);
        jobs.push((
            "shop/drawings.pdf".into(),
            Box::new(move || pdf::pdf(&all, &title)),
        ));
    }
    for d in &drawings {
        for (k, sheet) in d.sheets.iter().enumerate() {
            let title = format!("{}: {}, sheet {}", design.name, d.part, k + 1);
            jobs.push((
                format!("shop/{}.sheet-{}.svg", d.part, k + 1),
                Box::new(move || svg::svg(sheet, &title)),
            ));
        }
    }
    for (p, t) in plans.iter().zip(&templates) {
        let name = p.file_name();
        let side = if p.marked { "" } else { "-mirrored" };
        let title = format!("{}: {}, template{side}", design.name, p.title);
        jobs.push((
            format!("shop/{}", template::file_name(p)),
            Box::new(move || pdf::pdf(&t.sheets, &title)),
        ));
        if p.marked {
            jobs.push((format!("shop/{name}.dxf"), Box::new(move || dxf::dxf(p))));
        } else if first_of(&plans, p).holes.iter().any(|h| !h.opens_here) {
            jobs.push((
                format!("shop/{name}.other-face.dxf"),
                Box::new(move || dxf::dxf(p)),
            ));
        }
        if let Some(sheet) = legend::legend_sheet(p) {
            let title = format!("{}: {}, legends", design.name, p.title);
            let told = title.clone();
            jobs.push((
                format!("shop/{name}.legends.svg"),
                Box::new(move || svg::svg(&sheet, &told)),
            ));
            let pages = legend::pages(design, p);
            jobs.push((
                format!("shop/{name}.legends.pdf"),
                Box::new(move || pdf::pdf(&pages, &title)),
            ));
        }
    }
    let sticks = stick::sticks(design, &study.report);
    let pieces = cutouts::pieces(design, &study.assembly, &study.meshes);
    for (name, pages) in [
        ("story-stick", stick::pages(design, &sticks)),
        ("cut-outs", cutouts::pages(design, &pieces)),
    ] {
        if !pages.is_empty() {
            let title = format!("{}: {name}", design.name);
            jobs.push((
                format!("shop/{name}.pdf"),
                Box::new(move || pdf::pdf(&pages, &title)),
            ));
        }
    }
    for (k, sheet) in sawn.iter().enumerate() {
        let title = format!("{sawn_title}, sheet {}", k + 1);
        jobs.push((
            format!("shop/sheet-{}.cutting.svg", k + 1),
            Box::new(move || svg::svg(sheet, &title)),
        ));
    }
    if !sawn.is_empty() {
        jobs.push((
            "shop/cutting.pdf".into(),
            Box::new(|| pdf::pdf(&sawn, &sawn_title)),
        ));
    }
    let mut files = csv::tables(&bench);
    files.par_extend(jobs.into_par_iter().map(|(path, make)| (path, make())));
    files
}

/// The marked face of the same part.
fn first_of<'p>(plans: &'p [plan::Plan], p: &'p plan::Plan) -> &'p plan::Plan {
    plans.iter().find(|q| q.title == p.title).unwrap_or(p)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn names_differ_and_the_same_study_gives_the_same_bytes() {
        let s = crate::testing::harbour();
        let once = files(&s);
        let names: BTreeSet<String> = once.iter().map(|f| f.0.to_lowercase()).collect();
        assert_eq!(names.len(), once.len());
        assert!(once.iter().all(|f| !f.1.is_empty()));
        for end in [
            ".dxf",
            ".template.pdf",
            ".template-mirrored.pdf",
            ".sheet-1.svg",
            "drawings.pdf",
        ] {
            assert!(names.iter().any(|n| n.ends_with(end)), "{end}");
        }
        assert_eq!(once, files(&s));
    }
}
