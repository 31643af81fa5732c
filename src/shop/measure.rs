//! The measure-first form: the figures nobody has measured, with what to set once they are.

use crate::design::{Design, Unmeasured};
use crate::params::Mounting;

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
    /// What the design reckons with, mm.
    pub reckoned: f64,
    /// The key to set, in words.
    pub set: &'static str,
}

/// Every figure of every unmeasured item, in the order in which they were met.
#[must_use]
pub fn to_measure(design: &Design) -> Vec<Figure> {
    design
        .unmeasured
        .iter()
        .flat_map(|u| figures(design, u))
        .collect()
}

fn figures(design: &Design, u: &Unmeasured) -> Vec<Figure> {
    let mut out = Vec::new();
    let mut add = |table: &'static str, what: &'static str, reckoned: f64, set: &'static str| {
        if reckoned > 0.0 {
            out.push(Figure {
                item: u.id.clone(),
                table,
                row: u.row.clone(),
                what,
                reckoned,
                set,
            });
        }
    };
    if let Some(t) = design.tubes.iter().find(|t| t.id == u.id) {
        let s = t.socket;
        add("[[tube]]", "largest diameter", t.diameter, "`diameter`");
        add("[[tube]]", "height above the socket", t.seated, "`seated`");
        add(
            "[[tube]]",
            "socket: hole in the plate",
            s.hole,
            "`socket`: the row that fits",
        );
        add(
            "[[tube]]",
            "socket: between its screws",
            s.spacing,
            "`socket`: the row that fits",
        );
        add(
            "[[tube]]",
            "socket: depth below the plate, with lugs",
            s.below,
            "`socket`: the row that fits",
        );
    }
    if let Some(t) = design.irons.iter().find(|t| t.id == u.id) {
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
            add(table, what, *size, set);
        }
    }
    if let Some(c) = design.cans.iter().find(|c| c.id == u.id) {
        add("[[can]]", "diameter", c.diameter, "`diameter`");
        add("[[can]]", "height or length", c.height, "`height`");
        add(
            "[[can]]",
            "clamp: between its screws",
            2.0 * c.half_spacing,
            "none: spot the holes from the clamp in hand",
        );
    }
    if let Some(b) = design.boards.iter().find(|b| b.id == u.id) {
        add("[[board]]", "length", b.size.x, "`length`");
        add("[[board]]", "width", b.size.y, "`width`");
        add("[[board]]", "height of the parts", b.parts, "`parts`");
    }
    if let Some(t) = design.tanks.iter().find(|t| t.id == u.id) {
        add("[[hardware]]", "length", t.size.x, "`length`");
        add("[[hardware]]", "width", t.size.y, "`width`");
        add("[[hardware]]", "height", t.size.z, "`height`");
    }
    if let Some(c) = design.controls.iter().find(|c| c.id == u.id) {
        let r = c.row;
        let set = "`type`: the row that fits";
        let pair = |p: Option<[f64; 2]>, k: usize| p.map_or(0.0, |p| p[k]);
        let table = "[[control]]";
        add(table, "panel hole", r.hole.unwrap_or(0.0), set);
        add(table, "cut-out, width", pair(r.cutout, 0), set);
        add(table, "cut-out, height", pair(r.cutout, 1), set);
        add(
            table,
            "between its screws",
            r.screw_spacing.unwrap_or(0.0),
            set,
        );
        add(
            table,
            "body behind the panel, diameter",
            r.body.unwrap_or(0.0),
            set,
        );
        add(
            table,
            "body behind the panel, width",
            pair(r.body_box, 0),
            set,
        );
        add(
            table,
            "body behind the panel, height",
            pair(r.body_box, 1),
            set,
        );
        add(table, "depth behind the panel", r.behind, set);
    }
    if let Some(s) = design.speaker.as_ref().filter(|_| u.id == "speaker") {
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
                add(table, what, size, set);
            }
        } else {
            add(table, "frame, outside diameter", s.frame, "`frame`");
            add(table, "hole in the baffle", s.cutout, "`cutout`");
            add(table, "bolt circle", s.bolt_circle, "`bolt-circle`");
        }
        add(
            table,
            "mounting face to the rear of the magnet",
            s.depth,
            "`depth`",
        );
        add(table, "magnet, diameter", s.magnet, "`magnet`");
        add(table, "magnet, length", s.magnet_length, "`magnet-length`");
        add(table, "flange, thickness", s.flange, "`flange`");
    }
    if let Some(g) = design.grommets.iter().find(|g| g.id == u.id) {
        let set = "`diameter`: the bore whose row fits";
        add(
            "[[hardware]]",
            "grommet: hole in the sheet",
            g.row.hole,
            set,
        );
        add(
            "[[hardware]]",
            "grommet: outside diameter",
            g.row.outside,
            set,
        );
    }
    if let Some(f) = design.feet.first().filter(|_| u.id == "feet") {
        add("[cabinet.feet]", "foot, diameter", f.diameter, "`diameter`");
        add("[cabinet.feet]", "foot, height", f.height, "`height`");
    }
    if let Some(h) = design.handle.as_ref().filter(|_| u.id == "handle") {
        let table = "[cabinet.handle]";
        add(table, "between its screws", h.spacing, "`spacing`");
        add(table, "width of its ends", h.width, "`width`");
        add(table, "height above the top", h.height, "`height`");
    }
    let tank = design.tanks.iter().map(|t| (&t.id, t.size));
    let strip = design.strips.iter().map(|t| (&t.id, t.size));
    if let Some((_, size)) = tank.chain(strip).find(|(id, _)| **id == u.id) {
        let table = "[[hardware]]";
        add(table, "length", size.x, "`length`");
        add(table, "width", size.y, "`width`");
        add(table, "height", size.z, "`height`");
    }
    if let Some(i) = design.inserts.iter().find(|i| i.row.id == u.row) {
        let (table, set) = if i.flange > 0.0 {
            ("[speaker]", "`measured`")
        } else {
            ("[chassis.retain]", "`measured`")
        };
        add(table, "hole drilled for it", i.row.hole, set);
        add(table, "outside diameter", i.row.outside, set);
        add(table, "length in the wood", i.row.length, set);
    }
    if out.is_empty() {
        out.push(Figure {
            item: u.id.clone(),
            table: "",
            row: u.row.clone(),
            what: "every size",
            reckoned: 0.0,
            set: "its own keys",
        });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study;

    #[test]
    fn every_unmeasured_item_has_figures_and_a_measured_one_none() {
        let text = include_str!("../../params/lantern-40.toml");
        let s = study::study(text).expect("sound");
        let form = to_measure(&s.design);
        for u in &s.design.unmeasured {
            let own: Vec<_> = form.iter().filter(|f| f.item == u.id).collect();
            assert!(own.len() >= 2, "{}: {own:?}", u.id);
            assert!(own.iter().all(|f| f.reckoned > 0.0), "{own:?}");
        }
        let measured = text.replace("id = \"PT\"\n", "id = \"PT\"\nmeasured = true\n");
        let s = study::study(&measured).expect("sound");
        assert!(to_measure(&s.design).iter().all(|f| f.item != "PT"));
    }
}
