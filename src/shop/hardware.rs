//! The hardware list: what is bought by count.

use crate::catalogue;
use crate::design::{Design, Fastener};
use crate::params::{Head, Mounting, TransformerRole};
use crate::units;

/// Things bought by count.
#[derive(Clone, Debug, PartialEq)]
pub struct Bought {
    /// What it is: `screw`, `nut`, `grommet`, ...
    pub what: &'static str,
    /// Its size, in words.
    pub size: String,
    /// How many.
    pub count: usize,
    /// The items it serves, each once, in the order of the design.
    pub serves: Vec<String>,
}

/// The hardware list: screws with lengths, nuts, washers, grommets, inserts, stand-offs, feet, knobs, and the parts that come ready made.
#[must_use]
pub fn hardware(design: &Design) -> Vec<Bought> {
    let mut list = List::default();
    for f in &design.fasteners {
        let head = match f.head {
            Head::Countersunk => "countersunk head",
            Head::Pan => "pan head",
        };
        let what = if f.row.wood { "wood screw" } else { "screw" };
        let name = f.row.id.trim_end_matches(" wood");
        list.add(
            what,
            format!("{name} x {}, {head}{}", units::show(f.length), cut_from(f)),
            1,
            &f.owner,
        );
        if f.nut.is_some() {
            list.add("nut", name.to_owned(), 1, &f.owner);
        }
        if f.washer.is_some() {
            list.add("washer", format!("plain, {name}"), 1, &f.owner);
        }
    }
    for r in &design.rivets {
        list.add(
            "blind rivet",
            format!(
                "{}, dome head, grip {}",
                r.row.id.trim_start_matches("rivet "),
                units::show(r.grip)
            ),
            1,
            &r.owner,
        );
    }
    for i in &design.inserts {
        let what = if i.flange > 0.0 {
            "T-nut"
        } else {
            "threaded insert"
        };
        let size = format!(
            "{}, {} long, hole {}",
            i.row.id,
            units::mm_1(i.row.length),
            units::mm_1(i.row.hole)
        );
        list.add(what, size, 1, &i.owner);
    }
    for g in &design.grommets {
        list.add(
            "grommet",
            format!(
                "{}, for a hole of {} in {}",
                g.row.id,
                units::show(g.row.hole),
                units::show(g.sheet)
            ),
            1,
            &g.owner,
        );
    }
    for b in &design.boards {
        list.add(
            "stand-off",
            format!(
                "{} long, bore {}",
                units::show(b.stand_off),
                units::show(b.bore)
            ),
            b.holes.len(),
            &b.id,
        );
        list.add(
            "circuit board",
            format!(
                "{} x {} x {}",
                units::show(b.size.x),
                units::show(b.size.y),
                units::show(b.thickness)
            ),
            1,
            &b.id,
        );
    }
    for s in &design.studs {
        list.add(
            "solder lug",
            format!("hole {}", units::show(s.hole)),
            1,
            &s.owner,
        );
        // not in the model: thin, and squeezed flat
        if let Some(f) = design.fasteners.iter().find(|f| f.owner == s.owner) {
            list.add(
                "tooth washer",
                format!("{}, one under the lug, one under the nut", f.row.id),
                2,
                &s.owner,
            );
        }
    }
    for s in &design.strips {
        list.add(
            "terminal strip",
            format!("{} long", units::show(s.size.x)),
            1,
            &s.id,
        );
    }
    for f in &design.feet {
        list.add(
            "foot",
            format!(
                "rubber, {} dia, {} high",
                units::show(f.diameter),
                units::show(f.height)
            ),
            1,
            &f.id,
        );
    }
    if let Some(h) = &design.handle {
        list.add(
            "handle",
            format!("{} between screws", units::show(h.spacing)),
            1,
            "handle",
        );
    }
    for t in &design.tubes {
        list.add("tube", t.type_id.clone(), 1, &t.id);
        list.add("socket", t.socket.id.clone(), 1, &t.id);
        if let Some(r) = &t.retainer {
            list.add(
                "retainer",
                format!("for {} inside", units::mm_1(2.0 * r.inside)),
                1,
                &t.id,
            );
        }
    }
    for t in &design.irons {
        let what = match t.role {
            TransformerRole::Choke => "choke",
            _ => "transformer",
        };
        let size = match t.mounting {
            Mounting::CentreBolt => format!(
                "{}, toroid {} across, {} high",
                t.role.word(),
                units::mm_1(t.length),
                units::mm_1(t.stack)
            ),
            Mounting::Banded => format!(
                "{}, C-core {} x {}, strip {} wide",
                t.role.word(),
                units::mm_1(t.length),
                units::mm_1(t.height),
                units::mm_1(t.stack)
            ),
            _ => format!(
                "{}, laminations {} x {}, stack {}",
                t.role.word(),
                units::mm_1(t.length),
                units::mm_1(t.height),
                units::mm_1(t.stack)
            ),
        };
        list.add(what, size, 1, &t.id);
    }
    if let Some(s) = &design.speaker {
        let frame = match &s.oval {
            Some(o) => format!("{} x {}", units::mm_1(o.frame.x), units::mm_1(o.frame.y)),
            None => format!("{} across", units::show(s.frame)),
        };
        let size = format!("frame {frame}, {} deep", units::mm_1(s.depth));
        list.add("loudspeaker", size, 1, "speaker");
    }
    for t in &design.tanks {
        let size = format!(
            "{} x {} x {}",
            units::mm_1(t.size.x),
            units::mm_1(t.size.y),
            units::mm_1(t.size.z)
        );
        list.add("reverb tank", size, 1, &t.id);
    }
    for c in &design.cans {
        list.add(
            "can",
            format!("{} x {}", units::mm_1(c.diameter), units::mm_1(c.height)),
            1,
            &c.id,
        );
        list.add(
            "clamp",
            format!(
                "for {}, holes {} apart",
                units::mm_1(c.diameter),
                units::mm_1(2.0 * c.half_spacing)
            ),
            1,
            &c.id,
        );
    }
    for c in &design.controls {
        list.add("control", c.row.id.clone(), 1, &c.id);
        if let Some(k) = &c.knob {
            list.add("knob", k.row.id.clone(), 1, &c.id);
        }
    }
    list.rows
}

/// Says from which stocked length a screw of another length is cut; empty for a stocked one.
fn cut_from(f: &Fastener) -> String {
    if f.row.lengths.iter().any(|l| (l - f.length).abs() < 0.02) {
        return String::new();
    }
    let longer = catalogue::screw_length_at_least(f.row, f.length);
    longer.map_or_else(
        || ", a length to look for".into(),
        |l| format!(", cut from {}", units::show(l)),
    )
}

#[derive(Default)]
struct List {
    rows: Vec<Bought>,
}

impl List {
    fn add(&mut self, what: &'static str, size: String, count: usize, serves: &str) {
        let row = match self
            .rows
            .iter_mut()
            .find(|r| r.what == what && r.size == size)
        {
            Some(row) => row,
            None => {
                // kinds stay together: a new size goes behind the last of its kind
                let at = self
                    .rows
                    .iter()
                    .rposition(|r| r.what == what)
                    .map_or(self.rows.len(), |k| k + 1);
                self.rows.insert(
                    at,
                    Bought {
                        what,
                        size,
                        count: 0,
                        serves: Vec::new(),
                    },
                );
                &mut self.rows[at]
            }
        };
        row.count += count;
        if !row.serves.iter().any(|s| s == serves) {
            row.serves.push(serves.to_owned());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fastener_of_the_model_is_bought_once() {
        for s in crate::testing::demos() {
            let list = hardware(&s.design);
            let bought = |what: &[&str]| -> usize {
                list.iter()
                    .filter(|b| what.contains(&b.what))
                    .map(|b| b.count)
                    .sum()
            };
            let solids = |kind: &str| s.report.solids.iter().filter(|x| x.kind == kind).count();
            assert_eq!(bought(&["screw", "wood screw"]), solids("screw"));
            assert_eq!(bought(&["washer"]), solids("washer"));
            assert_eq!(bought(&["stand-off"]), solids("stand-off"));
            assert_eq!(bought(&["foot"]), solids("foot"));
            assert_eq!(bought(&["socket"]), solids("socket"));
            // the nuts of controls come with them
            let own = s
                .design
                .controls
                .iter()
                .filter(|c| {
                    let id = format!("{}-nut", c.id);
                    s.report.solids.iter().any(|x| x.id == id)
                })
                .count();
            assert_eq!(bought(&["nut"]) + own, solids("nut"), "{}", s.design.name);
        }
    }
}
