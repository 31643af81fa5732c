//! The measure-first form: the figures nobody has measured, with what to set once they are.

use crate::design::{ControlSpec, Design, TubeSpec};
use crate::params::Mounting;
use crate::units;

/// A figure to measure before drilling.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The item.
    pub item: String,
    /// The table of the parameter file it stands in.
    pub table: &'static str,
    /// The catalogue row, or where the figure comes from.
    pub row: String,
    /// What to measure.
    pub what: &'static str,
    /// What the design reckons with, in its unit.
    pub reckoned: f64,
    /// `mm` or `kg`.
    pub unit: &'static str,
    /// The key to set, in words.
    pub set: &'static str,
}

impl Figure {
    /// What the design reckons with, in words.
    #[must_use]
    pub fn show(&self) -> String {
        if self.unit == "mm" {
            units::show(self.reckoned)
        } else {
            format!("{:.2} {}", self.reckoned, self.unit)
        }
    }
}

/// Figures of one item.
struct Form {
    item: String,
    row: String,
    out: Vec<Figure>,
}

impl Form {
    fn add(&mut self, table: &'static str, what: &'static str, reckoned: f64, set: &'static str) {
        self.put(table, what, reckoned, "mm", set);
    }

    fn put(
        &mut self,
        table: &'static str,
        what: &'static str,
        reckoned: f64,
        unit: &'static str,
        set: &'static str,
    ) {
        if reckoned > 0.0 {
            self.out.push(Figure {
                item: self.item.clone(),
                table,
                row: self.row.clone(),
                what,
                reckoned,
                unit,
                set,
            });
        }
    }
}

/// Every figure of every unmeasured item, in the order in which they were met.
#[must_use]
pub fn to_measure(design: &Design) -> Vec<Figure> {
    let mut out = Vec::new();
    for u in &design.unmeasured {
        let mut form = Form {
            item: u.id.clone(),
            row: u.row.clone(),
            out: Vec::new(),
        };
        item(design, &u.id, &mut form);
        if form.out.is_empty() {
            form.out.push(Figure {
                item: u.id.clone(),
                table: "",
                row: u.row.clone(),
                what: "every size",
                reckoned: 0.0,
                unit: "mm",
                set: "its own keys",
            });
        }
        out.append(&mut form.out);
    }
    out
}

/// The form with items that share a row on one line: one of them is measured for all, if they are alike in the hand too.
#[must_use]
pub fn shared(form: &[Figure]) -> Vec<(Vec<&str>, &Figure)> {
    let mut out: Vec<(Vec<&str>, &Figure)> = Vec::new();
    for f in form {
        let alike = out.iter_mut().find(|(_, g)| {
            (g.table, &g.row, g.what, g.unit, g.set) == (f.table, &f.row, f.what, f.unit, f.set)
                && (g.reckoned - f.reckoned).abs() < 0.005
        });
        match alike {
            Some((items, _)) => items.push(&f.item),
            None => out.push((vec![&f.item], f)),
        }
    }
    out
}

fn item(design: &Design, id: &str, form: &mut Form) {
    if let Some(t) = design.tubes.iter().find(|t| t.id == id) {
        form.add("[[tube]]", "largest diameter", t.diameter, "`diameter`");
        form.add("[[tube]]", "height above the socket", t.seated, "`seated`");
        form.add(
            "[[tube]]",
            "length of the pins",
            t.pins,
            "none: it is the pull that frees the tube",
        );
        socket(t, form);
    }
    if let Some(t) = design.irons.iter().find(|t| t.id == id) {
        let table = "[[transformer]]";
        let screw = "`screw`: the size that goes through";
        let figures: &[(&'static str, f64, &'static str)] = match t.mounting {
            Mounting::CentreBolt => &[
                ("toroid, outside diameter", t.length, "`diameter`"),
                ("toroid, height without pads", t.stack, "`height`"),
                ("toroid, open middle", t.bore, "`bore`"),
                ("centre bolt: hole diameter", t.hole, screw),
            ],
            Mounting::Banded => &[
                ("C-core, length over both loops", t.length, "`length`"),
                ("C-core, height", t.height, "`height`"),
                ("C-core, width of its strip", t.stack, "`stack`"),
                ("coil beyond the strip, each side", t.bell, "`bell`"),
                ("feet: holes along the core", t.holes.x, "`holes.width`"),
                ("feet: holes across the core", t.holes.y, "`holes.height`"),
                ("feet: hole diameter", t.hole, screw),
            ],
            _ => &[
                ("lamination, long side", t.length, "`length`"),
                ("lamination, short side", t.height, "`height`"),
                ("stack", t.stack, "`stack`"),
                ("coil or bell beyond the stack, each side", t.bell, "`bell`"),
                (
                    "feet: holes along the laminations",
                    t.holes.x,
                    "`holes.width`",
                ),
                (
                    "feet: holes across the laminations",
                    t.holes.y,
                    "`holes.height`",
                ),
                ("feet: hole diameter", t.hole, screw),
            ],
        };
        for (what, size, set) in figures {
            form.add(table, what, *size, set);
        }
        form.put(table, "mass", t.mass, "kg", "`mass`");
    }
    if let Some(c) = design.cans.iter().find(|c| c.id == id) {
        let clamp = "none: spot the holes from the clamp in hand";
        form.add("[[can]]", "diameter", c.diameter, "`diameter`");
        form.add("[[can]]", "height or length", c.height, "`height`");
        form.add("[[can]]", "terminals below the plate", c.tail, clamp);
        form.add(
            "[[can]]",
            "clamp: between its screws",
            2.0 * c.half_spacing,
            clamp,
        );
        form.add("[[can]]", "clamp: over its lugs", 2.0 * c.half_lugs, clamp);
        form.add("[[can]]", "clamp: height of the band", c.band, clamp);
    }
    if let Some(b) = design.boards.iter().find(|b| b.id == id) {
        form.add("[[board]]", "length", b.size.x, "`length`");
        form.add("[[board]]", "width", b.size.y, "`width`");
        form.add("[[board]]", "height of the parts", b.parts, "`parts`");
    }
    if let Some(c) = design.controls.iter().find(|c| c.id == id) {
        control(c, form);
        knob(c, form);
    }
    if let Some(s) = design.speaker.as_ref().filter(|_| id == "speaker") {
        let table = "[speaker]";
        if let Some(o) = &s.oval {
            for (what, size, set) in [
                ("frame, length", o.frame.x, "`frame`"),
                ("frame, width", o.frame.y, "`frame-width`"),
                ("hole in the baffle, length", o.cutout.x, "`cutout`"),
                ("hole in the baffle, width", o.cutout.y, "`cutout-width`"),
                ("bolts along it", o.bolts.x, "`bolt-spacing.width`"),
                ("bolts across it", o.bolts.y, "`bolt-spacing.height`"),
            ] {
                form.add(table, what, size, set);
            }
        } else {
            form.add(table, "frame, outside diameter", s.frame, "`frame`");
            form.add(table, "hole in the baffle", s.cutout, "`cutout`");
            form.add(table, "bolt circle", s.bolt_circle, "`bolt-circle`");
        }
        form.add(
            table,
            "hole in the flange",
            s.bolt_hole,
            "`bolt`: the size that goes through",
        );
        form.add(
            table,
            "mounting face to the rear of the magnet",
            s.depth,
            "`depth`",
        );
        form.add(table, "magnet, diameter", s.magnet, "`magnet`");
        form.add(table, "magnet, length", s.magnet_length, "`magnet-length`");
        form.add(table, "flange, thickness", s.flange, "`flange`");
        form.put(table, "mass", s.mass, "kg", "`mass`");
    }
    if let Some(g) = design.grommets.iter().find(|g| g.id == id) {
        let (table, set) = ("[[hardware]]", "`diameter`: the bore whose row fits");
        form.add(table, "grommet: hole in the sheet", g.row.hole, set);
        form.add(table, "grommet: outside diameter", g.row.outside, set);
    }
    if let Some(f) = design.feet.first().filter(|_| id == "feet") {
        form.add("[cabinet.feet]", "foot, diameter", f.diameter, "`diameter`");
        form.add("[cabinet.feet]", "foot, height", f.height, "`height`");
    }
    if let Some(h) = design.handle.as_ref().filter(|_| id == "handle") {
        let table = "[cabinet.handle]";
        form.add(table, "between its screws", h.spacing, "`spacing`");
        form.add(table, "width of its ends", h.width, "`width`");
        form.add(table, "height above the top", h.height, "`height`");
    }
    let tank = design.tanks.iter().map(|t| (&t.id, t.size));
    let strip = design.strips.iter().map(|t| (&t.id, t.size));
    if let Some((_, size)) = tank.chain(strip).find(|(of, _)| **of == *id) {
        let table = "[[hardware]]";
        form.add(table, "length", size.x, "`length`");
        form.add(table, "width", size.y, "`width`");
        form.add(table, "height", size.z, "`height`");
    }
    if let Some(i) = design.inserts.iter().find(|i| i.row.id == form.row) {
        let (table, set) = if i.flange > 0.0 {
            ("[speaker]", "`measured`")
        } else {
            ("[chassis.retain]", "`measured`")
        };
        form.add(table, "hole drilled for it", i.row.hole, set);
        form.add(table, "outside diameter", i.row.outside, set);
        form.add(table, "length in the wood", i.row.length, set);
    }
}

fn socket(t: &TubeSpec, form: &mut Form) {
    let s = t.socket;
    let set = "`socket`: the row that fits";
    let table = "[[tube]]";
    form.add(table, "socket: hole in the plate", s.hole, set);
    form.add(table, "socket: between its screws", s.spacing, set);
    form.add(table, "socket: its top above the plate", s.above, set);
    form.add(
        table,
        "socket: depth below the plate, with lugs",
        s.below,
        set,
    );
    form.add(table, "socket: width of its flange", s.flange_width, set);
    if let Some(r) = &t.retainer {
        form.add(
            table,
            "retainer: width inside",
            2.0 * r.inside,
            "`retainer`: the kind that fits",
        );
    }
}

fn control(c: &ControlSpec, form: &mut Form) {
    let r = c.row;
    let set = "`type`: the row that fits";
    let table = "[[control]]";
    let pair = |p: Option<[f64; 2]>, k: usize| p.map_or(0.0, |p| p[k]);
    for (what, value) in [
        ("panel hole", r.hole.unwrap_or(0.0)),
        ("panel hole, flat from the centre", r.flat.unwrap_or(0.0)),
        ("cut-out, width", pair(r.cutout, 0)),
        ("cut-out, height", pair(r.cutout, 1)),
        ("between its screws", r.screw_spacing.unwrap_or(0.0)),
        ("turn-stop hole", r.stop_hole.unwrap_or(0.0)),
        (
            "turn-stop hole, from the centre",
            r.stop_radius.unwrap_or(0.0),
        ),
        ("bushing, diameter", r.bushing.unwrap_or(0.0)),
        ("bushing, length", r.bushing_length),
        ("nut, across flats", r.nut.unwrap_or(0.0)),
        ("nut, thickness", r.nut_thickness),
        ("shaft or lever, tip from the mounting face", r.tip),
        ("cap or jewel, diameter", r.cap.unwrap_or(0.0)),
        ("cap or jewel, height", r.cap_height),
        ("flange, width", pair(r.flange, 0)),
        ("flange, height", pair(r.flange, 1)),
        ("flange, thickness", r.flange_thickness),
        ("body behind the panel, diameter", r.body.unwrap_or(0.0)),
        ("body behind the panel, width", pair(r.body_box, 0)),
        ("body behind the panel, height", pair(r.body_box, 1)),
        ("depth behind the panel", r.behind),
        ("more depth in use (plug, fuse drawn)", r.behind_in_use),
        ("thickest panel it takes", r.panel_most.unwrap_or(0.0)),
    ] {
        form.add(table, what, value, set);
    }
}

fn knob(c: &ControlSpec, form: &mut Form) {
    if let Some(k) = &c.knob {
        let set = "`knob`: the row that fits";
        form.add("[[control]]", "knob, diameter", k.row.diameter, set);
        form.add("[[control]]", "knob, height", k.row.height, set);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study;

    #[test]
    fn every_unmeasured_item_has_figures_and_a_measured_one_none() {
        let text = crate::testing::LANTERN;
        let s = study::study(text).expect("sound");
        let form = to_measure(&s.design);
        for u in &s.design.unmeasured {
            let own: Vec<_> = form.iter().filter(|f| f.item == u.id).collect();
            assert!(own.len() >= 2, "{}: {own:?}", u.id);
            assert!(own.iter().all(|f| f.reckoned > 0.0), "{own:?}");
        }
        // a published tube on a socket that nobody measured: the socket's hole is on the form
        let hole = |f: &&Figure| f.item == "V1" && f.what == "socket: hole in the plate";
        assert!(form.iter().any(|f| hole(&f)));
        let measured = text.replace("id = \"V1\"\n", "id = \"V1\"\nmeasured = true\n");
        let s = study::study(&measured).expect("sound");
        assert!(to_measure(&s.design).iter().all(|f| f.item != "V1"));
        let measured = text.replace("id = \"PT\"\n", "id = \"PT\"\nmeasured = true\n");
        let s = study::study(&measured).expect("sound");
        assert!(to_measure(&s.design).iter().all(|f| f.item != "PT"));
    }
}
