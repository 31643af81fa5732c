//! The volume, surface and box of built solids against arithmetic written out here, from the figures of small parameter files of their own.
//!
//! The forms know nothing of the crate's outlines, recipes or faces: a section is an area and a length of rim, a part a volume and a surface.
//! Every test ends by asking that no shape of its design was left out.

mod cabinet;
mod chassis;
mod controls;
mod derived;
mod iron;
mod items;
mod places;
mod published;
mod rivets;
mod speaker;
mod tubes;
mod wound;

use groovewright::assembly::Part;
use groovewright::study::{Study, study};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::f64::consts::PI;

/// Relative difference that is still the same number.
const SAME: f64 = 1e-9;

/// A flat section: its area and the length of all its edges, mm2 and mm.
#[derive(Clone, Copy, Debug)]
struct Section {
    area: f64,
    rim: f64,
}

fn section(area: f64, rim: f64) -> Section {
    Section { area, rim }
}

fn rect(w: f64, h: f64) -> Section {
    section(w * h, 2.0 * (w + h))
}

/// A rectangle whose four corners are quarters of a circle of radius `r`.
fn rounded(w: f64, h: f64, r: f64) -> Section {
    section(
        w * h - (4.0 - PI) * r * r,
        2.0 * (w + h) - (8.0 - 2.0 * PI) * r,
    )
}

fn disc(d: f64) -> Section {
    section(PI * d * d / 4.0, PI * d)
}

fn ring(outside: f64, inside: f64) -> Section {
    disc(outside).less(1, disc(inside))
}

/// Hexagon of that width across flats: six triangles of height w/2 and base w/sqrt 3.
fn hexagon(flats: f64) -> Section {
    let side = flats / 3f64.sqrt();
    section(6.0 * side * flats / 4.0, 6.0 * side)
}

/// Two half discs of diameter `d` at the ends of a rectangle `length` long.
fn stadium(length: f64, d: f64) -> Section {
    section(length * d + PI * d * d / 4.0, 2.0 * length + PI * d)
}

impl Section {
    /// With `n` openings inside it.
    fn less(self, n: usize, hole: Section) -> Section {
        section(
            self.area - n as f64 * hole.area,
            self.rim + n as f64 * hole.rim,
        )
    }

    /// Extruded.
    fn high(self, h: f64) -> Form {
        Form {
            volume: self.area * h,
            area: 2.0 * self.area + self.rim * h,
        }
    }
}

/// A part: volume, mm3, and surface, mm2.
#[derive(Clone, Copy, Debug)]
struct Form {
    volume: f64,
    area: f64,
}

fn form(volume: f64, area: f64) -> Form {
    Form { volume, area }
}

/// Piece of a cone between two radii.
fn frustum(a: f64, b: f64, h: f64) -> f64 {
    PI * h / 3.0 * (a * a + a * b + b * b)
}

/// Its wall.
fn cone_wall(a: f64, b: f64, h: f64) -> f64 {
    PI * (a + b) * (b - a).hypot(h)
}

impl Form {
    fn plus(self, volume: f64, area: f64) -> Form {
        form(self.volume + volume, self.area + area)
    }

    /// `n` openings cut square through a wall of that thickness.
    fn cut(self, n: usize, hole: Section, wall: f64) -> Form {
        let n = n as f64;
        self.plus(
            -n * hole.area * wall,
            n * (hole.rim * wall - 2.0 * hole.area),
        )
    }

    /// `n` round holes through a wall.
    fn bored(self, n: usize, d: f64, wall: f64) -> Form {
        self.cut(n, disc(d), wall)
    }

    /// `n` blind holes with flat floors: the floor takes the place of the mouth.
    fn blind(self, n: usize, d: f64, deep: f64) -> Form {
        let n = n as f64;
        self.plus(-n * disc(d).area * deep, n * PI * d * deep)
    }

    /// `n` countersunk holes: a cone of the included angle from `head` at the face down to `d`.
    fn countersunk(self, n: usize, d: f64, head: f64, angle: f64, wall: f64) -> Form {
        let (r, big, n) = (d / 2.0, head / 2.0, n as f64);
        let cone = (big - r) / (angle / 2.0).to_radians().tan();
        assert!(cone < wall, "the cone stays within the wall");
        self.plus(
            -n * (frustum(big, r, cone) + PI * r * r * (wall - cone)),
            n * (cone_wall(big, r, cone) + 2.0 * PI * r * (wall - cone) - PI * (big * big + r * r)),
        )
    }
}

/// A pan head screw: two cylinders; the ring under the head and the shank's end make one disc of the head's size.
fn pan_screw(d: f64, head: f64, head_height: f64, length: f64) -> Form {
    form(
        disc(head).area * head_height + disc(d).area * length,
        2.0 * disc(head).area + PI * head * head_height + PI * d * length,
    )
}

/// A countersunk screw of that length over all, its head's cone reaching `head` at the top.
fn countersunk_screw(d: f64, head: f64, angle: f64, length: f64) -> Form {
    let (r, big) = (d / 2.0, head / 2.0);
    let cone = (big - r) / (angle / 2.0).to_radians().tan();
    form(
        frustum(big, r, cone) + PI * r * r * (length - cone),
        PI * big * big + cone_wall(big, r, cone) + 2.0 * PI * r * (length - cone) + PI * r * r,
    )
}

fn nut(flats: f64, bore: f64, thick: f64) -> Form {
    hexagon(flats).less(1, disc(bore)).high(thick)
}

/// Low and high corner, amp frame.
type Box3 = [[f64; 3]; 2];

/// The box of something `half` to both sides of a centre in x and y, from z0 to z1.
fn about(x: f64, y: f64, half: [f64; 2], z: [f64; 2]) -> Box3 {
    [
        [x - half[0], y - half[1], z[0]],
        [x + half[0], y + half[1], z[1]],
    ]
}

/// A design built, and which of its shapes were compared.
struct Built {
    study: Study,
    seen: RefCell<BTreeSet<usize>>,
}

impl Built {
    fn new(text: &str) -> Built {
        let study = study(text).unwrap_or_else(|d| panic!("{}", d.render("form", text, false)));
        assert_eq!(study.report.solids.len(), study.assembly.parts.len());
        let built = Built {
            study,
            seen: RefCell::default(),
        };
        built.sound();
        built
    }

    /// Every solid closed and oriented, its export mesh too, and that mesh's volume within 0.2 %.
    fn sound(&self) {
        for part in &self.study.assembly.parts {
            let shape = &self.study.assembly.shapes[part.shape];
            let mesh = &self.study.meshes[part.shape];
            assert!(shape.body.check().is_ok(), "{}: the record", part.id);
            assert_eq!(shape.body.shells(), 1, "{}: one piece", part.id);
            assert!(mesh.check().is_sound(), "{}: {:?}", part.id, mesh.check());
            let off = (mesh.volume() / shape.body.volume() - 1.0).abs();
            assert!(off < 0.002, "{}: mesh volume off by {off}", part.id);
        }
    }

    fn part(&self, id: &str) -> (usize, &Part) {
        let parts = &self.study.assembly.parts;
        let known = || parts.iter().map(|p| p.id.as_str()).collect::<Vec<_>>();
        let k = parts
            .iter()
            .position(|p| p.id == id)
            .unwrap_or_else(|| panic!("no part {id} among {:?}", known()));
        (k, &parts[k])
    }

    /// Compares volume and surface of the solid and of its row in the report.
    fn is(&self, id: &str, want: Form) {
        let (k, part) = self.part(id);
        let body = &self.study.assembly.shapes[part.shape].body;
        let row = &self.study.report.solids[k];
        assert_eq!(row.id, id);
        for (what, have, want) in [
            ("volume", body.volume(), want.volume),
            ("volume in the report", row.volume_mm3, want.volume),
            ("surface", body.area(), want.area),
            (
                "mass in the report",
                row.mass_g,
                // kg/m3 and mm3 to g
                want.volume * part.density * 1e-6,
            ),
        ] {
            assert!(
                (have - want).abs() <= SAME * want.abs(),
                "{id}: {what} is {have}, by hand {want} ({:+.3e})",
                have - want
            );
        }
        self.seen.borrow_mut().insert(part.shape);
    }

    /// Compares the box of the placed solid and of its row in the report, amp frame.
    fn lies(&self, id: &str, want: Box3) {
        let (k, part) = self.part(id);
        let body = &self.study.assembly.shapes[part.shape].body;
        let exact = body.bounds(&part.pose).map(|c| c.to_array());
        let size = want
            .as_flattened()
            .iter()
            .fold(1.0_f64, |m, v| m.max(v.abs()));
        for have in [exact, self.study.report.solids[k].box_mm] {
            for (a, b) in have.as_flattened().iter().zip(want.as_flattened()) {
                assert!(
                    (a - b).abs() <= SAME * size,
                    "{id}: lies in {have:?}, by hand {want:?}"
                );
            }
        }
    }

    /// Both.
    fn has(&self, id: &str, want: Form, place: Box3) {
        self.is(id, want);
        self.lies(id, place);
    }

    /// No shape was left out, but for parts that another test measures.
    fn all_but(&self, elsewhere: impl Fn(&Part) -> bool) {
        let seen = self.seen.borrow();
        let left: Vec<&str> = (self.study.assembly.parts.iter())
            .filter(|p| !seen.contains(&p.shape) && !elsewhere(p))
            .map(|p| p.id.as_str())
            .collect();
        assert!(left.is_empty(), "not compared: {left:?}");
    }

    fn all(&self) {
        self.all_but(|_| false);
    }

    fn derived(&self, name: &str) -> f64 {
        let all = &self.study.design.derived;
        let known = || all.iter().map(|d| d.name.as_str()).collect::<Vec<_>>();
        all.iter()
            .find(|d| d.name == name)
            .unwrap_or_else(|| panic!("no {name:?} among {:?}", known()))
            .value
    }

    fn derives(&self, name: &str, want: f64) {
        let have = self.derived(name);
        assert!(
            (have - want).abs() <= SAME * want.abs().max(1.0),
            "{name}: {have}, by hand {want}"
        );
    }
}

/// A cabinet of 400 x 300 x 240 mm inside with a bare plate at 90 mm over the floor, for what stands on it: 414.4 x 180 x 3, its low corner
/// at x = -7.2, y = 30; z from 90 to 93; held by two wood screws through holes of 4.9784.
fn on_plate(items: &str) -> String {
    format!(
        r##"
[design]
name = "forms"
[cabinet]
width = 400
height = 300
depth = 240
board = 18
corner = "butt"
covering = 0
[cabinet.groove]
depth = 8
width = 3.5
height = 90
[chassis]
thickness = 3
depth = 180
set-back = 30
side-play = 0.8
corner-radius = 3
[chassis.retain]
kind = "screw"
screw = "#8 wood"
from-edge = 23
{items}"##
    )
}

/// That plate without the holes of the items on it.
fn plate() -> Form {
    rounded(414.4, 180.0, 3.0).high(3.0).bored(2, 4.9784, 3.0)
}

/// Solids of that cabinet and of what holds the plate, which `cabinet` measures.
fn measured_in_cabinet(p: &Part) -> bool {
    p.owner.starts_with("side-")
        || p.owner.starts_with("retain-")
        || ["top", "bottom"].contains(&p.id.as_str())
}
