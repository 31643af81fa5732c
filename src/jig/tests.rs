//! Jigs against the schedule and the drawings of the same design.

use super::*;
use crate::design::{Datum, HoleShape};
use crate::mesh::EXPORT_CHORD;
use crate::shop;
use crate::shop::plan;
use crate::study::{self, Study};
use crate::units;
use glam::DVec2;

const HARBOUR: &str = include_str!("../../params/harbour-15.toml");
const LANTERN: &str = include_str!("../../params/lantern-40.toml");
const PANTRY: &str = include_str!("../../params/pantry-4.toml");

fn made(text: &str) -> (Study, Vec<Schedule>, Jigs) {
    let s = study::study(text).expect("sound");
    let schedules = shop::schedule(&s.design);
    let jigs = jigs(&s.design, &s.assembly, &schedules);
    (s, schedules, jigs)
}

/// Whoever owns a drill of 2.8 mm and none of 3 gets guides for it: the drill in the guide is the one that the schedule begins with.
#[test]
fn a_guide_is_for_the_drill_that_the_schedule_names() {
    let text = HARBOUR.replace("\"3 mm\", ", "");
    assert_ne!(text, HARBOUR);
    let (_, schedules, jigs) = made(&text);
    let feet = jigs
        .jigs
        .iter()
        .find(|j| j.name == "feet-PT")
        .expect("feet");
    for b in &feet.pieces[0].bores {
        let mut rows = schedules.iter().flat_map(|s| &s.rows);
        let row = rows.find(|r| r.id == b.holes[0]).expect("a row");
        assert_eq!(row.steps[0].tool, "drill 2.8 mm");
        assert_eq!((b.drill, row.steps[0].d), (2.8, 2.8));
    }
}

/// Both angles of this demo have the same holes from their own ends: one sleeve, and it says so.
#[test]
fn equal_angles_share_one_sleeve_by_name() {
    let (_, _, jigs) = made(LANTERN);
    let sleeves = jigs.jigs.iter().filter(|j| j.name.starts_with("angle"));
    let sleeves: Vec<&Jig> = sleeves.collect();
    assert_eq!(sleeves.len(), 1);
    let parts: Vec<&str> = sleeves[0].places.iter().map(|p| p.part.as_str()).collect();
    assert_eq!(parts, ["angle-rear", "angle-front"]);
    let piece = &sleeves[0].pieces[0];
    assert!(piece.bores.iter().all(|b| b.holes.len() == 2));
    assert!(piece.cross.iter().all(|b| b.holes.len() == 2));
    let named = |s: &String| s.contains("angle-rear, angle-front");
    assert!(sleeves[0].steps.iter().any(named));
}

/// The gap or key that a socket jig tells is that of the wiring side's drawing, seen from the other face: left and right change places.
#[test]
fn gap_and_key_are_those_of_the_drawing() {
    for text in [HARBOUR, LANTERN] {
        let (s, schedules, jigs) = made(text);
        let plans = plan::plans(&s.design, &s.report, &schedules);
        let sockets: Vec<_> = plans.iter().flat_map(|p| &p.sockets).collect();
        assert!(!sockets.is_empty());
        let own = jigs.jigs.iter().filter(|j| j.name.starts_with("socket-"));
        let steps: Vec<&String> = own.flat_map(|j| &j.steps).collect();
        for socket in sockets {
            let id = socket.name.split(' ').next().expect("an id");
            let way = (socket.key * DVec2::new(-1.0, 1.0)).to_angle();
            let degrees = way.to_degrees().round().rem_euclid(360.0);
            let wanted = format!("{id} {} {degrees:.0} deg", socket.mark);
            let told = steps.iter().any(|t| t.contains(&wanted));
            assert!(told, "{wanted}: {steps:?}");
        }
    }
}

fn drafts_of(
    text: &str,
    drafts: impl Fn(&Bench<'_>, &mut Vec<String>) -> Vec<Draft>,
) -> Vec<Draft> {
    let s = study::study(text).expect("sound");
    let schedules = shop::schedule(&s.design);
    let bench = Bench {
        design: &s.design,
        schedules: &schedules,
        print: &s.design.print,
    };
    drafts(&bench, &mut Vec::new())
}

/// Taken to the part, every arrow leads to the corner that the design calls its datum, away from both far edges; no jig has two.
#[test]
fn arrows_point_to_the_datum_corner() {
    // one socket turned: it gets a jig of its own, because the arrow of the others would be wrong for it
    let turned = HARBOUR.replace("type = \"EZ81\"\n", "type = \"EZ81\"\nturn = 30\n");
    assert_ne!(turned, HARBOUR);
    let mut made = Vec::new();
    for text in [HARBOUR, LANTERN, &turned] {
        let s = study::study(text).expect("sound");
        let mut count = 0;
        let kinds = [ring::drafts, row::drafts, feet::drafts, speaker::drafts];
        let drafts: Vec<Draft> = (kinds.iter().flat_map(|k| drafts_of(text, k))).collect();
        for draft in &drafts {
            let pointer = match &draft.blank.pointers[..] {
                [one] => one,
                // a sector of the bolt circle is the same on both sides of its line
                [] if draft.name == "speaker-bolts" => continue,
                other => panic!("{}: {other:?}", draft.name),
            };
            for place in &draft.places {
                let flat = s.design.flat(&place.part).expect("a part");
                let way = place.to_amp.dir(pointer.way.extend(0.0));
                let way = flat.pose.inverse().dir(way).truncate();
                let wanted = match flat.datum {
                    Datum::LowLow => DVec2::new(-1.0, -1.0),
                    Datum::HighLow => DVec2::new(1.0, -1.0),
                    Datum::LowHigh => DVec2::new(-1.0, 1.0),
                };
                let off = way.distance(wanted.normalize());
                assert!(off < 1e-9, "{} at {}: {way}", draft.name, place.of);
                count += 1;
            }
        }
        assert!(count > 8, "{count}");
        let sockets = drafts.iter().filter(|d| d.name.starts_with("socket-"));
        made.push(sockets.count());
    }
    assert_eq!(made[2], made[0] + 1);
}

/// A jig's notches stand on the line through its first screw: where that is turned, the lines to scribe are told with their angle, and a
/// socket at half a degree is not rounded away. The large hole's lines come before its punch, the pilots last.
#[test]
fn a_turned_socket_tells_the_lines_to_scribe() {
    let text = LANTERN.replace("id = \"V4\"\n", "id = \"V4\"\nturn = 22.5\n");
    assert_ne!(text, LANTERN);
    for (name, turned) in [("socket-V4", true), ("socket-V5", false)] {
        let drafts = drafts_of(&text, ring::drafts);
        let d = drafts.iter().find(|d| d.name == name).expect("a jig");
        let [before, punch, turn, _, drill] = &d.steps[..] else {
            panic!("{:?}", d.steps);
        };
        let to_part = d.places[0].to_amp.dir(glam::DVec3::X);
        // seen on the component face of a plate that hangs: left and right of the amp change places
        let angle = to_part.y.atan2(-to_part.x).to_degrees().rem_euclid(180.0);
        let off = angle.rem_euclid(90.0);
        assert_eq!((off - 45.0).abs() < 44.9, turned, "{angle}");
        let either = [angle, 180.0 - angle].map(|a| format!("one at {a:.1} degrees"));
        assert_eq!(
            either.iter().any(|e| before.contains(e)),
            turned,
            "{before}"
        );
        assert!(before.contains("component face from the datum corner"));
        assert!(before.contains(" at x ") && punch.starts_with("Punch"));
        assert_eq!(turn.contains("two turned lines"), turned, "{turn}");
        assert!(drill.starts_with("Drill one pilot"), "{drill}");
    }
}

/// Uneven pitches: each guide stands over its own holes at the place where the jig is set for them, one drill runs in all of them and in
/// the bore of the pin, and two rows of a panel have two titles.
#[test]
fn uneven_rows_have_their_own_places_one_drill_and_their_own_titles() {
    let rows = "items = [\"IN1\", \"VOLUME\", \"TREBLE\", \"BASS\"]\nfrom = { left = 40 }\nto = { left = 160 }\n\
        [[row]]\nitems = [\"SPK\", \"LAMP\"]\nfrom = { left = 220 }\nto = { left = 300 }\n\
        [[row]]\nitems = [\"POWER\", \"FUSE\"]\nfrom = { right = 140, middle = -8 }\nto = { right = 86, middle = -8 }\n";
    let (before, after) = HARBOUR.split_once("items = [\"IN1\"").expect("a row");
    let after = after
        .split_once("to = { right = 86 }\n")
        .expect("its end")
        .1;
    // IN1 is 9.92 mm and LAMP 17.5: a pilot of 11 does not go through the first
    let text = format!("{before}{rows}{after}\n[print]\npilot = 11\n");
    let (s, _, jigs) = made(&text);
    let rows: Vec<&Jig> = (jigs.jigs.iter())
        .filter(|j| j.name.starts_with("row-"))
        .collect();
    assert_eq!(rows.len(), 2);
    assert_ne!(rows[0].title, rows[1].title);
    let mut count = 0;
    for jig in rows {
        let bores = jig.pieces.iter().flat_map(|p| &p.bores);
        let drills: Vec<f64> = bores.clone().map(|b| b.drill).collect();
        assert!(drills.iter().all(|d| *d == drills[0]), "{drills:?}");
        for b in bores {
            for (k, hole) in b.holes.iter().enumerate() {
                let place = jig.place_of(&b.stands, k).expect("a place");
                let flat = s.design.flat(&place.part).expect("a part");
                let at = place.to_amp.point(b.at.extend(0.0));
                let at = flat.pose.inverse().point(at).truncate();
                let wanted = flat.holes.iter().find(|h| h.id == *hole).expect("a hole");
                assert!(at.distance(wanted.at) < 1e-9, "{hole}");
                count += 1;
            }
        }
    }
    assert_eq!(count, 5 + 5 + 1 + 1);
}

/// A ring as large as a loudspeaker's cutout leaves no straight line for a joint: the ring gives way, not the jig.
#[test]
fn a_ring_larger_than_a_tile_gives_way() {
    let text = format!("{HARBOUR}\n[print]\nscribe-ring = true\nwhole = [\"baffle\"]\n");
    let (_, _, jigs) = made(&text);
    let jig = jigs.jigs.iter().find(|j| j.name == "whole-baffle");
    let jig = jig.unwrap_or_else(|| panic!("{:?}", jigs.unmade));
    assert!(jig.pieces.len() > 1);
    let told = |n: &String| n.contains("speaker-cutout") && n.contains("trammel");
    assert!(jig.notes.iter().any(told), "{:?}", jig.notes);
}

/// Whatever lies on a part says on which face; a cutout's lines are scribed while its centre is still there.
#[test]
fn every_jig_names_its_face_and_lines_come_before_the_cut() {
    for text in [HARBOUR, LANTERN, PANTRY] {
        let (_, _, jigs) = made(text);
        for j in jigs.jigs.iter().filter(|j| !j.places.is_empty()) {
            assert!(!j.face.is_empty(), "{}", j.name);
        }
        for j in jigs.jigs.iter().filter(|j| j.name == "speaker-bolts") {
            let step = |word: &str| j.steps.iter().position(|s| s.starts_with(word));
            let (line, cut) = (step("Before the cutout"), step("Cut and smooth"));
            assert!(line.is_some() && line < cut, "{:?}", j.steps);
        }
    }
}

/// A label stands beside one guide alone: a long name that would reach from one guide to the next gives way to a number.
#[test]
fn a_label_belongs_to_one_guide() {
    for text in [HARBOUR, LANTERN, PANTRY] {
        for d in drafts_of(text, ring::drafts) {
            let mut blank = d.blank;
            let before = blank.keep_off.len();
            label::bores(&mut blank, &mut letters::Letters::new(5.0, 0.8));
            let boxes = &blank.keep_off[before..];
            assert_eq!(boxes.len(), blank.bores.len());
            for (k, [low, high]) in boxes.iter().enumerate() {
                // boxes are 2 mm wider than their letters on both sides
                let (low, high) = (*low + DVec2::X * 2.0, *high - DVec2::X * 2.0);
                let gap = |b: &Bore| b.at.clamp(low, high).distance(b.at) - b.d / 2.0;
                let own = gap(&blank.bores[k]);
                for (i, other) in blank.bores.iter().enumerate() {
                    assert!(i == k || gap(other) > own + 1.4, "{} {k}", d.name);
                }
            }
        }
    }
}

/// Tiles have letters and numbers, and so have holes: a tile says that it is one.
#[test]
fn a_tile_is_called_a_tile() {
    let text = format!("{PANTRY}\n[print]\nwhole = [\"panel-rear\"]\nbed-width = \"100 mm\"\n");
    let (_, _, jigs) = made(&text);
    let jig = jigs.jigs.iter().find(|j| j.name == "whole-panel-rear");
    let pieces = &jig.expect("asked for").pieces;
    assert!(pieces.len() > 1);
    assert!(pieces[0].label.ends_with(" tile A1"), "{}", pieces[0].label);
}

/// The sleeve by hand: two plates of one thickness along an inside corner, less bores (polygons outside their circles) and letters, some
/// of which stand on the upright side.
#[test]
fn the_sleeve_has_letters_on_both_sides() {
    for text in [HARBOUR, LANTERN] {
        let (s, _, all) = made(text);
        let jig = all.jigs.iter().find(|j| j.name == "angle");
        let [piece] = &jig.expect("a sleeve").pieces[..] else {
            panic!("one piece");
        };
        let [long, wide, high] = piece.check.size;
        let t = s.design.print.thickness;
        let circle = |d: f64| d * d * std::f64::consts::FRAC_PI_4;
        let bores = piece.bores.iter().map(|b| circle(b.d));
        // a level bore is a round wall that the mesh divides: drawn larger by the chord
        let cross = piece.cross.iter().map(|b| circle(b.d + 2.0 * EXPORT_CHORD));
        let plates = long * wide * t + long * t * (high - t);
        let off = plates - bores.chain(cross).sum::<f64>() * t - piece.volume - piece.letters;
        // each upright bore's polygon lies up to 0.01 mm outside its circle: 0.03 mm2 at 3.2 mm, 6 mm long
        let most = 0.2 * piece.bores.len() as f64;
        assert!(off > 0.0 && off < most, "{off}");
        let floors = &piece.letter_floors;
        assert_eq!(floors.len(), 2);
        assert!(floors[0].0.z.abs() > 0.5 && floors[1].0.z.abs() < 1e-9);
        for (out, off) in floors {
            let on = |c: &u32| (piece.mesh.points[*c as usize].dot(*out) - off).abs() < 1e-6;
            let floor = piece.mesh.triangles.iter().filter(|t| t.iter().all(on));
            assert!(floor.count() > 50);
        }
    }
}

/// With `scribe-ring` every scribed round hole of 14 mm and more has a centre jig whose slots run along its edge; without, none has.
#[test]
fn large_holes_get_their_ring_where_it_is_asked_for() {
    assert!(drafts_of(HARBOUR, centre::drafts).is_empty());
    let text = format!("{HARBOUR}\n[print]\nscribe-ring = true\nwhole = [\"plate\"]\n");
    let s = study::study(&text).expect("sound");
    let drafts = drafts_of(&text, centre::drafts);
    let places = drafts.iter().flat_map(|d| &d.places);
    let mut served: Vec<&str> = places.map(|p| p.of.as_str()).collect();
    let metal =
        (s.design.flats.iter()).filter(|f| ["plate", "panel-rear"].contains(&f.id.as_str()));
    let mut wanted: Vec<&str> = metal
        .flat_map(|f| &f.holes)
        .filter(|h| matches!(h.shape, HoleShape::Round { d } if d >= 14.0))
        .map(|h| h.id.as_str())
        .collect();
    served.sort_unstable();
    wanted.sort_unstable();
    assert!(served.len() >= 6);
    assert_eq!(served, wanted);
    for d in drafts.iter().chain(&drafts_of(&text, whole::drafts)) {
        let slots: Vec<_> = d.blank.cuts.iter().filter(|c| c.nodes.len() > 20).collect();
        assert!(slots.len() >= 3 && slots.len() % 3 == 0, "{}", d.name);
        for slot in slots {
            let off = |b: &Bore| {
                let from = slot.nodes.iter().map(|n| n.at.distance(b.at));
                from.fold(0.0, f64::max) - b.finished[0] / 2.0
            };
            let least = d
                .blank
                .bores
                .iter()
                .map(|b| off(b).abs())
                .fold(9.0, f64::min);
            assert!(least < 1e-9, "{}: {least}", d.name);
        }
    }
}

/// The crosses that the steps have scribed lie under the windows, at whole tens of mm or halves of an inch, 60 mm apart or more.
#[test]
fn windows_stand_over_the_crosses_that_are_scribed() {
    let whole = "\n[print]\nwhole = [\"plate\", \"panel-rear\"]\n";
    for (text, step) in [(LANTERN, 10.0), (PANTRY, 12.7)] {
        let drafts = drafts_of(&format!("{text}{whole}"), whole::drafts);
        assert_eq!(drafts.len(), 2);
        for d in drafts {
            let windows = d.blank.cuts.iter().filter(|c| c.nodes.len() == 4);
            let windows: Vec<DVec2> = windows.map(|c| c.centroid()).collect();
            let [a, b] = windows[..] else {
                panic!("{}: {windows:?}", d.name);
            };
            assert!(a.distance(b) > 60.0);
            for w in [a.abs(), b.abs()] {
                let told = format!("x {}, y {}", units::show(w.x), units::show(w.y));
                assert!(
                    d.steps.iter().any(|s| s.contains(&told)),
                    "{told}: {:?}",
                    d.steps
                );
                let share = w / step - (w / step).round();
                assert!(share.abs().max_element() < 1e-9, "{w}");
            }
        }
    }
}

/// A drop-through transformer leaves scrap: two screws hold its jig there, and never in what stays.
#[test]
fn screws_go_into_the_scrap_of_the_opening() {
    let s = study::study(PANTRY).expect("sound");
    let mut count = 0;
    for d in drafts_of(PANTRY, feet::drafts) {
        for screw in d.blank.cuts.iter().filter(|c| c.nodes.len() > 12) {
            let place = &d.places[0];
            let flat = s.design.flat(&place.part).expect("a part");
            let at = place.to_amp.point(screw.centroid().extend(0.0));
            let at = flat.pose.inverse().point(at).truncate();
            let opening = flat.holes.iter().find_map(|h| match &h.shape {
                HoleShape::Cut { outline } if h.owner == place.of => Some(outline),
                _ => None,
            });
            let opening = opening.expect("an opening");
            assert!(opening.contains(at) && opening.distance_to_point(at) > 6.0);
            count += 1;
        }
    }
    assert_eq!(count, 2);
}
