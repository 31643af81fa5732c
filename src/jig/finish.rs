//! From a draft to what is printed: labels, tiles, meshes.

use super::blank::Blank;
use super::letters::Letters;
use super::{Draft, Jig, Piece, check, label, short_name, tiles};
use crate::design::{Design, PrintSpec};
use crate::mesh::{self, Division, EXPORT_CHORD};
use crate::units;

/// Labels a draft and makes its pieces: one, or tiles where it is larger than the bed.
pub(super) fn finish(mut draft: Draft, design: &Design, print: &PrintSpec) -> Result<Jig, String> {
    let scale = if draft.as_drawn {
        1.0
    } else {
        1.0 / (1.0 - print.shrink)
    };
    let failed = |why: String| format!("{}: {why}", draft.title);
    draft.blank.sunk = print.sunk;
    let mut notes = std::mem::take(&mut draft.blank.notes);
    let mut steps = draft.steps;
    let bounds = draft.blank.bounds();
    let mut play = 0.0;
    let mut whole = None;
    let mut blanks: Vec<(String, String, Blank)> = Vec::new();
    if on_bed(&draft.blank, print, scale).is_some() || draft.places.is_empty() {
        blanks.push((draft.name.clone(), draft.title.clone(), draft.blank));
    } else {
        let uncut = tiles::split(&draft.blank, print, scale).map_err(&failed)?;
        play = uncut.play;
        if uncut.unkeyed > 0 {
            notes.push(format!(
                "no room for keys along {}: glue a strip across, clear of the guides",
                units::count(uncut.unkeyed, "joint")
            ));
        }
        let body = draft.blank.body().map_err(|e| failed(e.to_string()))?;
        whole = Some(body.volume() + draft.blank.sunk_volume());
        steps.insert(0, joining(&draft.blank, &uncut, print));
        for (row, column, tile) in uncut.tiles {
            // letters for the columns, numbers for the rows, as on a map
            let mark = format!("{}{}", char::from(b'A' + (column % 26) as u8), row + 1);
            blanks.push((
                format!("{}.{mark}", draft.name),
                format!("{} tile {mark}", draft.title),
                tile,
            ));
        }
    }
    // how the joined set is checked, on the first tile that has room
    let tiled = blanks.len() > 1;
    let mut check = tiled.then(|| {
        let [low, high] = bounds;
        format!("check\n{:.1} x {:.1}", high.x - low.x, high.y - low.y)
    });
    let mut pieces = Vec::new();
    for (name, title, mut blank) in blanks {
        let mut letters = Letters::new(print.letter, print.stroke);
        // a tile's mark alone could be taken for a hole's
        let words = title.rsplitn(if tiled { 3 } else { 2 }, ' ');
        let rest = words.last().unwrap_or_default();
        let last = title[rest.len()..].trim();
        let last = if last.is_empty() { rest } else { last };
        let face = &draft.face;
        let texts = [
            format!("{}\n{title}\n{face}", short_name(design)),
            format!("{}\n{title}", short_name(design)),
            format!("{} {title}", short_name(design)),
            format!("{} {last}", short_name(design)),
            format!("{}\n{last}", short_name(design)),
            format!("{}\n{}", short_name(design), title.replace(' ', "\n")),
            title.clone(),
            last.to_owned(),
        ];
        label::level(&mut blank, &mut letters);
        if blank.title_strip {
            label::title(&mut blank, &mut letters, &texts);
        }
        label::bores(&mut blank, &mut letters);
        label::pointers(&mut blank, &mut letters, print.stroke);
        if !blank.title_strip {
            label::title(&mut blank, &mut letters, &texts);
        }
        // gauges lie on no face; where the title found room for it, it is there already
        if !face.is_empty() && !blank.texts.iter().any(|t| t.ends_with(face)) {
            label::title(&mut blank, &mut letters, std::slice::from_ref(face));
        }
        if let Some(text) = &check
            && label::anywhere(&mut blank, &mut letters, text)
        {
            check = None;
        }
        pieces.push(piece(&name, &title, &blank, print, scale).map_err(&failed)?);
        for note in blank.notes {
            notes.push(if tiled {
                format!("{last}: {note}")
            } else {
                note
            });
        }
    }
    if check.is_some() {
        notes.push("no tile has room for the check distance: it stands in the first step".into());
    }
    // the jig in one piece, not the sum of its tiles: so that the one tests the other
    let uncut = whole.unwrap_or_else(|| pieces.iter().map(|p| p.volume + p.letters).sum());
    Ok(Jig {
        name: draft.name,
        title: draft.title,
        face: draft.face,
        uncut,
        play,
        pieces,
        places: draft.places,
        steps,
        notes,
    })
}

/// How tiles are joined, and what that costs in truth.
fn joining(blank: &Blank, tiles: &tiles::Tiles, print: &PrintSpec) -> String {
    let [low, high] = blank.bounds();
    let size = high - low;
    let [x, y] = tiles.lines;
    let error = |joints: usize, length: f64| EACH * (1 + joints) as f64 + LENGTH_ERROR * length;
    let worst = error(x, size.x).max(error(y, size.y));
    format!(
        "Lay the {} tiles {} on glass: seen on the letters the columns A, B, ... run from left to right and the rows 1, 2, ... upwards. Push them together until the straight edges touch, run thin glue into the play of {} round the keys, and weigh them down until it sets. Then check the set: {} over its length and {} over its depth. It may be off by up to about {worst:.1} mm at the far end ({EACH} mm for each piece and {:.1} mm a metre of print); a paper template and a centre punch are off by about {PAPER} mm anywhere: {}.",
        tiles.tiles.len(),
        if blank.work_side_up() {
            "with their letters down"
        } else {
            "with their letters up"
        },
        units::mm_2(print.joint_play),
        units::show(size.x),
        units::show(size.y),
        1000.0 * LENGTH_ERROR,
        if worst > PAPER {
            "paper does better here, use the set only if its check is good"
        } else {
            "the set does as well"
        }
    )
}

/// What a printed edge is off by, mm, and a printed length as a share (both from memory: hobby printers, well set).
const EACH: f64 = 0.1;
const LENGTH_ERROR: f64 = 0.001;
/// What a paper template and a centre punch are off by, mm (from memory).
const PAPER: f64 = 0.4;

/// Makes one piece; turned by a quarter where it fits the bed only so.
fn piece(
    name: &str,
    label: &str,
    blank: &Blank,
    print: &PrintSpec,
    scale: f64,
) -> Result<Piece, String> {
    let quarter = on_bed(blank, print, scale).ok_or_else(|| {
        let [l, h] = blank.bounds();
        format!(
            "{:.0} x {:.0} x {:.0} mm does not fit the bed of {:.0} x {:.0} x {:.0} mm with its margin",
            (h.x - l.x) * scale,
            (h.y - l.y) * scale,
            blank.height() * scale,
            print.bed[0],
            print.bed[1],
            print.bed[2]
        )
    })?;
    let body = blank.body().map_err(|e| e.to_string())?;
    let mut to_bed = blank.to_bed(quarter);
    let drawn = mesh::mesh(
        &body,
        Division::EqualArea {
            chord: EXPORT_CHORD,
        },
    );
    // notches may take the outermost corners away
    let low = drawn.transformed(&to_bed).bounds()[0];
    to_bed.at -= low;
    let mut on_bed = drawn.transformed(&to_bed);
    for p in &mut on_bed.points {
        *p *= scale;
    }
    if !on_bed.check().is_sound() {
        return Err("its mesh does not close".into());
    }
    let check = check::look(blank, &on_bed, print);
    Ok(Piece {
        name: name.to_owned(),
        label: label.to_owned(),
        volume: drawn.volume(),
        body,
        letters: blank.sunk_volume(),
        letter_floors: blank
            .letter_floors()
            .into_iter()
            .map(|(at, out)| {
                let out = to_bed.dir(out);
                (out, (to_bed.point(at) * scale).dot(out))
            })
            .collect(),
        mesh: on_bed,
        from_bed: to_bed.inverse(),
        scale,
        bores: blank.bores.clone(),
        cross: blank.cross.clone(),
        check,
    })
}

/// Whether it fits the bed, and then whether only after a quarter turn.
pub(super) fn on_bed(blank: &Blank, print: &PrintSpec, scale: f64) -> Option<bool> {
    let [l, h] = blank.bounds();
    let size = (h - l) * scale;
    let [w, d] = print.room();
    if blank.height() * scale > print.bed[2] {
        return None;
    }
    if size.x <= w && size.y <= d {
        Some(false)
    } else if size.x <= d && size.y <= w {
        Some(true)
    } else {
        None
    }
}
