//! Mass, balance, and what it means for hands, feet and grooves.

use super::doc::Doc;
use super::report::{Finding, MassRow, Severity};
use crate::assembly::{Assembly, Part};
use crate::design::Design;
use crate::physics::body::{self, Mass};
use crate::units;
use glam::DVec3;

pub(super) const DOC: Doc = Doc {
    ids: &["weight", "balance", "tipping"],
    title: "Weight and balance",
    does: "Adds up every solid, exact volume times density (speaker and transformers with their own mass), for the whole amp and for what slides \
out with the chassis. Tells what each groove carries, as a beam on two supports; how far the amp may be tipped to the front and to the rear \
over the middles of its feet (over the cabinet's edges without feet); how it hangs from its handle, front to rear and from side to side, where the handle would let it \
hang level front to rear, and how far the heaviest iron would have to move for the sides. A warning (`tipping`) if it falls at 10 degrees or less, and (`weight`) over 23 kg. `fit.json` has the masses and \
their centres under `masses`.",
    why: "An amp that leans into the leg is not carried twice, and a head with its iron at one edge falls off the cabinet it stands on.",
    example: "`11.9 kg (26.2 lb) in all, 3.9 kg of it chassis; the left groove carries 2.4 kg, the right 1.5 kg`",
    change: "`mass` of speaker and transformers as weighed; heavy iron nearer the middle; `cabinet.handle.front`.",
    rests_on: "tipping: atan(distance of the centre from the edge / its height); lean: the same from the handle's grip. Volumes to 1 part in a million against an independent kernel; densities of the catalogue, with their sources there; wires, solder and \
small parts on boards are not modelled. 10 degrees: a stability test of IEC 62368-1 (ed. 3) as quoted on a product-safety mailing list; \
23 kg: load constant of the NIOSH lifting equation, for ideal conditions and two hands (CCOHS page). Neither result is a \
certificate: the standard and its tests decide.",
};

/// Falls before this, degrees: warned of.
const TILT: f64 = 10.0;

/// Heavier than this, kg: warned of.
const LIFT: f64 = 23.0;

/// Lean from the handle that is worth a hint, degrees.
const LEAN: f64 = 3.0;

const POUND: f64 = 0.453_592_37;

/// Mass and centre of the parts that are meant, amp frame.
pub(super) fn mass(assembly: &Assembly, meant: impl Fn(&Part) -> bool) -> Mass {
    Mass::sum(assembly.parts.iter().filter(|p| meant(p)).map(|p| {
        let shape = &assembly.shapes[p.shape];
        Mass {
            kg: shape.volume * p.density * 1e-9,
            centre: p.pose.point(shape.centroid),
        }
    }))
}

/// What `fit.json` says of masses.
pub(super) fn rows(assembly: &Assembly) -> Vec<MassRow> {
    let row = |what: &str, m: Mass| MassRow {
        of: what.into(),
        mass_kg: m.kg,
        centre_mm: m.centre.to_array(),
    };
    let mut out = vec![row("amp", mass(assembly, |_| true))];
    if assembly.parts.iter().any(|p| p.moves) {
        out.push(row("chassis", mass(assembly, |p| p.moves)));
    }
    out
}

fn kg(m: f64) -> String {
    format!("{m:.1} kg ({:.1} lb)", m / POUND)
}

/// The lines over which the amp tips to the front and to the rear: the middles of its feet, without feet its edges.
pub(super) fn stands_between(design: &Design, depth: f64) -> [f64; 2] {
    let feet = || design.feet.iter().map(|f| f.pose.at.y);
    if design.feet.is_empty() {
        [0.0, depth]
    } else {
        [
            feet().fold(f64::INFINITY, f64::min),
            feet().fold(f64::NEG_INFINITY, f64::max),
        ]
    }
}

pub(super) fn of_design(design: &Design, assembly: &Assembly) -> Vec<Finding> {
    let Some(cabinet) = design.cabinet else {
        return Vec::new();
    };
    let all = mass(assembly, |_| true);
    let chassis = mass(assembly, |p| p.moves);
    let mut out = Vec::new();
    let heavy = all.kg > LIFT;
    let mut weight = Finding::new(
        "weight",
        if heavy {
            Severity::Warning
        } else {
            Severity::Note
        },
        [if chassis.kg > 0.0 { "plate" } else { "bottom" }],
        all.centre,
        (all.kg, LIFT, "kg"),
    );
    weight.text = format!("{} in all", kg(all.kg));
    if chassis.kg > 0.0 {
        let [left, right] = body::shares(chassis.centre.x, 0.0, cabinet.width);
        weight.text.push_str(&format!(
            ", {} of it chassis; the left groove carries {:.1} kg, the right {:.1} kg",
            kg(chassis.kg),
            left * chassis.kg,
            right * chassis.kg
        ));
    }
    if heavy {
        weight.hint =
            "lighter iron or speaker, thinner boards; else two handles at the sides, and two people"
                .into();
    }
    weight.source = "solids x density; 23 kg: NIOSH lifting equation, ideal conditions".into();
    out.push(weight);

    let [front, rear] = stands_between(design, cabinet.depth);
    let ground =
        (design.feet.iter().map(|f| f.pose.at.z - f.height)).fold(-cabinet.board, f64::min);
    let above = all.centre.z - ground;
    let tips = [
        body::tipping(all.centre.y - front, above),
        body::tipping(rear - all.centre.y, above),
    ];
    let (least, way) = if tips[0] < tips[1] {
        (tips[0], "front")
    } else {
        (tips[1], "rear")
    };
    let mut text = format!(
        "the amp tips over at {:.0} degrees to the front and {:.0} to the rear; its centre is {} behind the front edges and {} above the ground",
        tips[0],
        tips[1],
        units::show(all.centre.y),
        units::show(above)
    );
    if least <= TILT {
        let mut f = Finding::new(
            "tipping",
            Severity::Warning,
            ["bottom"],
            all.centre,
            (least, TILT, "degrees"),
        );
        f.text = text;
        f.hint = format!(
            "feet nearer the {way} edge, the heavy parts further from it, or a deeper cabinet"
        );
        f.source =
            "10 degrees: IEC 62368-1 stability, as quoted by others; the standard decides".into();
        out.push(f);
        text = String::new();
    }
    let handle = design.handle.as_ref();
    let mut hint = String::new();
    if let Some(h) = handle {
        let grip = h.pose.at + DVec3::Z * h.height;
        let lean = body::lean(all.centre.y - h.pose.at.y, grip.z - all.centre.z);
        if !text.is_empty() {
            text.push_str("; ");
        }
        let aside = all.centre.x - h.pose.at.x;
        let sideways = body::lean(aside, grip.z - all.centre.z);
        text.push_str(&if lean.abs() < 0.5 {
            "from its handle it hangs level front to rear".to_owned()
        } else {
            format!(
                "from its handle it hangs with the {} {:.0} degrees low",
                if lean > 0.0 { "rear" } else { "front" },
                lean.abs()
            )
        });
        if lean.abs() > LEAN {
            hint = format!(
                "to lift it level, the handle's middle {} from the front edges (`cabinet.handle.front`)",
                units::show(all.centre.y)
            );
        }
        if sideways.abs() > LEAN {
            let [side, other] = if aside > 0.0 {
                ["right", "left"]
            } else {
                ["left", "right"]
            };
            text.push_str(&format!(
                "{} the {side} {:.0} degrees low: its centre is {} to the {side} of the handle's middle",
                if lean.abs() < 0.5 { ", with" } else { " and" },
                sideways.abs(),
                units::show(aside.abs()),
            ));
            // the handle's place along the width is not the builder's to choose, the iron's is
            let iron = (design.irons.iter())
                .map(|i| (mass(assembly, |p| p.owner == i.id).kg, i))
                .max_by(|a, b| a.0.total_cmp(&b.0))
                .filter(|(heavy, _)| *heavy > 0.0);
            if let Some((heavy, i)) = iron {
                if !hint.is_empty() {
                    hint.push_str("; ");
                }
                hint.push_str(&format!(
                    "heavy parts further to the {other}: {}, {heavy:.1} kg, would have to move {} to do it alone",
                    i.id,
                    units::show(aside.abs() * all.kg / heavy)
                ));
            }
        }
    }
    if !text.is_empty() {
        let mut f = Finding::new(
            "balance",
            Severity::Note,
            ["bottom"],
            all.centre,
            (least, TILT, "degrees"),
        );
        f.text = text;
        f.hint = hint;
        f.source = "solids x density; 10 degrees as in IEC 62368-1, as quoted by others".into();
        out.push(f);
    }
    out
}
