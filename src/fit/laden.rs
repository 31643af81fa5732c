//! The plate with all it carries, ready to be bent: in its own sheet or in another.

use crate::assembly::{Assembly, Kind};
use crate::catalogue::{self, MaterialRow};
use crate::design::{AngleBar, Design, Flat, HoleShape, PlateFrame};
use crate::physics::GRAVITY;
use crate::physics::plate::{Beam, Bent, Hole, Load, Plate, Terms, bend};
use std::collections::BTreeMap;

/// A stiffener counts if it is at least this share of the span long: what is missing at its ends is where bending is least.
const LONG_ENOUGH: f64 = 0.9;

/// Half the side of the patch through which a foot of iron presses, mm (its washer; common practice).
const FOOT: f64 = 6.0;

/// A plate under its load.
pub(super) struct Laden {
    pub frame: PlateFrame,
    /// Between the mouths of the grooves and along them, mm.
    pub span: f64,
    pub depth: f64,
    /// Of the sheet with its holes, mm2.
    pub area: f64,
    /// All it carries, kg.
    pub load: f64,
    pub loads: Vec<Load>,
    pub beams: Vec<Beam>,
    /// What stiffens which edge, in words.
    pub stiffened: Vec<String>,
    pub holes: Vec<Hole>,
}

/// E I of a panel about its own level axis, less a slot as high as its highest hole, N mm2.
fn panel_stiffness(flat: &Flat) -> Option<(f64, f64)> {
    let metal = catalogue::material(&flat.material)?;
    let [low, high] = flat.outline.bounds();
    let (length, height) = (high.x - low.x, high.y - low.y);
    let middle = f64::midpoint(low.y, high.y);
    // what a hole at that height takes off
    let worst = (flat.holes.iter())
        .map(|h| {
            let [a, b] = h.edge().bounds();
            let (d, off) = (b.y - a.y, f64::midpoint(a.y, b.y) - middle);
            d * d * d / 12.0 + d * off * off
        })
        .fold(0.0, f64::max);
    let second = flat.thickness * (height.powi(3) / 12.0 - worst).max(0.0);
    Some((metal.modulus? * 1e3 * second, length))
}

/// E I of an angle about its own level axis, N mm2.
fn angle_stiffness(a: &AngleBar) -> Option<f64> {
    let metal = catalogue::material(&a.material)?;
    let (l, t) = (a.leg, a.thickness);
    let (lying, standing) = (l * t, (l - t) * t);
    let up = [t / 2.0, t + (l - t) / 2.0];
    let centre = (lying * up[0] + standing * up[1]) / (lying + standing);
    let second = l * t.powi(3) / 12.0
        + lying * (up[0] - centre).powi(2)
        + t * (l - t).powi(3) / 12.0
        + standing * (up[1] - centre).powi(2);
    Some(metal.modulus? * 1e3 * second)
}

impl Laden {
    pub fn new(design: &Design, assembly: &Assembly) -> Option<Laden> {
        let frame = design.plate?;
        let plate = assembly.parts.iter().find(|p| p.id == "plate")?;
        let flat = design.flat("plate")?;
        let (span, depth) = (frame.inside, frame.depth);
        let mut out = Laden {
            frame,
            span,
            depth,
            area: assembly.shapes[plate.shape].volume / frame.thickness,
            load: 0.0,
            loads: Vec::new(),
            beams: Vec::new(),
            stiffened: Vec::new(),
            holes: Vec::new(),
        };
        // iron presses through its feet; everything else through what it covers
        let mut iron: BTreeMap<&str, f64> =
            design.irons.iter().map(|i| (i.id.as_str(), 0.0)).collect();
        for part in &assembly.parts {
            if !part.moves || part.id == "plate" {
                continue;
            }
            let shape = &assembly.shapes[part.shape];
            let kg = shape.volume * part.density * 1e-9;
            out.load += kg;
            if let Some(sum) = iron.get_mut(part.owner.as_str()) {
                *sum += kg;
                continue;
            }
            let [low, high] = shape.body.bounds(&part.pose);
            out.loads.push(Load {
                x: [low.x.clamp(0.0, span), high.x.clamp(0.0, span)],
                y: [low.y, high.y].map(|y| (y - frame.y0).clamp(0.0, depth)),
                force: kg * GRAVITY,
            });
        }
        for i in &design.irons {
            let feet = i.mounts();
            let share = iron.get(i.id.as_str()).copied().unwrap_or(0.0) / feet.len() as f64;
            for foot in feet {
                let at = i.pose.point(foot.extend(0.0));
                let y = at.y - frame.y0;
                out.loads.push(Load {
                    x: [at.x - FOOT, at.x + FOOT].map(|x| x.clamp(0.0, span)),
                    y: [y - FOOT, y + FOOT].map(|y| y.clamp(0.0, depth)),
                    force: share * GRAVITY,
                });
            }
        }
        for (edge, at) in [("front", 0.0), ("rear", depth)] {
            let mut stiffness = 0.0;
            let mut what = Vec::new();
            let panel = design
                .flat(&format!("panel-{edge}"))
                .filter(|f| f.kind == Kind::Panel);
            let long = |length: f64| length >= LONG_ENOUGH * span;
            if let Some((ei, _)) = panel.and_then(panel_stiffness).filter(|p| long(p.1)) {
                stiffness += ei;
                what.push("panel");
            }
            let id = format!("angle-{edge}");
            let angle = design.angles.iter().find(|a| a.id == id);
            if let Some(ei) = angle.filter(|a| long(a.length)).and_then(angle_stiffness) {
                stiffness += ei;
                what.push("angle");
            }
            if stiffness > 0.0 {
                out.beams.push(Beam { at, stiffness });
                out.stiffened
                    .push(format!("the {edge} edge by {}", what.join(" and ")));
            }
        }
        for h in &flat.holes {
            let (at, radius) = match &h.shape {
                HoleShape::Cut { outline } => {
                    let [low, high] = outline.bounds();
                    (low.midpoint(high), low.distance(high) / 2.0)
                }
                _ => (h.at, h.radius().unwrap_or(0.0)),
            };
            out.holes.push(Hole {
                at: [at.x + frame.x0, at.y],
                radius,
            });
        }
        Some(out)
    }

    /// Bent in a sheet of that metal, its own weight with it; with its holes or without.
    pub fn bend(&self, metal: &MaterialRow, thickness: f64, holes: bool) -> Option<Bent> {
        let mut loads = self.loads.clone();
        loads.push(Load {
            x: [0.0, self.span],
            y: [0.0, self.depth],
            force: self.area * thickness * metal.density * 1e-9 * GRAVITY,
        });
        let plate = Plate {
            span: self.span,
            depth: self.depth,
            thickness,
            modulus: metal.modulus? * 1e3,
            poisson: metal.poisson?,
        };
        let holes: &[Hole] = if holes { &self.holes } else { &[] };
        bend(plate, &self.beams, &loads, holes, Terms::FEW)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::Design;
    use crate::pose::Pose;

    /// A 19.05 x 3.175 angle: area t(2L - t), centroid 5.9 mm from the heel for 3/4 x 3/4 x 1/8 in (mill tables); I by the parallel-axis rule from
    /// the square L^4/3 less the hollow (L - t)^4/3 about the heel.
    #[test]
    fn angle_is_that_of_the_tables() {
        let (l, t) = (19.05_f64, 3.175_f64);
        let bar = AngleBar {
            id: String::new(),
            kind: Kind::Angle,
            group: crate::assembly::Group::Chassis,
            moves: true,
            material: "aluminium 6063-T5".into(),
            leg: l,
            thickness: t,
            fillet: 0.0,
            length: 400.0,
            plate_leg: Vec::new(),
            panel_leg: Vec::new(),
            gauge: 10.0,
            pose: Pose::IDENTITY,
            span: 0..0,
        };
        let area = t * (2.0 * l - t);
        let centre = (l * l * l / 2.0 - (l - t) * (l - t) * (t + (l - t) / 2.0)) / area;
        assert!((centre - 5.9).abs() < 0.05, "{centre}");
        // L x L less (L - t) x (L - t) standing off the heel by t
        let hollow = (l - t).powi(4) / 12.0 + (l - t).powi(2) * (t + (l - t) / 2.0).powi(2);
        let second = l.powi(4) / 3.0 - hollow - area * centre * centre;
        let have = angle_stiffness(&bar).expect("known");
        assert!((have / (68.9e3 * second) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn all_of_the_chassis_presses_on_the_plate() {
        let study = crate::testing::harbour();
        let laden = Laden::new(&study.design, &study.assembly).expect("it has a plate");
        let force: f64 = laden.loads.iter().map(|l| l.force).sum();
        assert!((force - laden.load * GRAVITY).abs() < 1e-9);
        let chassis = super::super::weight::mass(&study.assembly, |p| p.moves);
        let plate = super::super::weight::mass(&study.assembly, |p| p.id == "plate");
        assert!((laden.load + plate.kg - chassis.kg).abs() < 1e-9);
        assert_eq!(laden.stiffened, ["the rear edge by panel and angle"]);
        // their moments about the left groove are those of the masses, but for what hangs over the plate's edge
        let pull: f64 = (laden.loads.iter())
            .map(|l| l.force * f64::midpoint(l.x[0], l.x[1]))
            .sum();
        let want = (chassis.kg * chassis.centre.x - plate.kg * plate.centre.x) * GRAVITY;
        assert!((pull / want - 1.0).abs() < 0.02, "{pull} {want}");
        assert!(Laden::new(&Design::default(), &study.assembly).is_none());
    }
}
