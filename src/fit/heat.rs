//! Heat: what the tubes give off, whether the air carries it away, and what stands too near hot glass.

use super::doc::Doc;
use super::heat_near::{self, Hot};
use super::measure_all::Measured;
use super::report::{Finding, Severity};
use crate::assembly::{Assembly, Kind};
use crate::catalogue;
use crate::design::{Design, IronSpec, TubeSpec};
use crate::params::{TransformerRole, TubeRole};
use crate::physics::air::{self, Bulb, Opening};
use crate::units;
use glam::DVec3;
use std::collections::BTreeMap;

pub(super) const DOC: Doc = Doc {
    ids: &["heat", "heat-vent", "heat-near", "touch"],
    title: "Heat",
    does: "Adds up watts: each tube's heater, plates and screen, twice: at idle, by the design's `plate-watts` and `screen-watts` or an estimate (plates 90 % \
of their limit for one power tube alone, 70 % for two or more, 30 % for small tubes; screens half), and at the type's limits, which \
is the upper bound; a rectifier 10 % of what the other tubes' plates and screens take besides its heater; the power transformer 15 % of what it \
takes in, or its `loss`. Output transformer and choke are left out: a few watts. The air on the tubes' side of the plate takes it all \
up; it leaves by the stack effect through the open parts of the rear and the vents of `[heat]`, and through the boards of that space. `heat` tells how \
much warmer it gets at idle, 20 K or less wanted, and the area of opening there and wanted (two equal openings, low and high). Small holes round the sockets count as a vent at \
the plate's height if air can get under the plate. A vent wider than 12 mm both ways admits a finger (`heat-vent`). `heat-near` estimates how hot wood, \
covering, capacitors and magnet get within 40 mm of power tubes and rectifiers at idle: radiation of the glass, at the mean temperature at which it sheds its watts, and conduction \
of still air; 60 C for wood and covering, 70 C for capacitors (of the 85 C kind), 80 C for a magnet. The plume over a tube \
is not in it. `touch` tells how hot the glass is, and the power transformer, its loss spread over its faces; it warns where the mean of the glass is over what the tube's sheet allows its hottest spot.",
    why: "Heat dries wood, softens covering and shortens the life of capacitors, by half for every 10 K.",
    example: "`side-left gets about 74 C beside V4, 60 C at most wanted`",
    change: "`plate-watts` and `screen-watts` of a tube and `loss` of a transformer as measured; `[heat]` with `ambient`, `rise` and `[[heat.vent]]`; more distance, a metal \
sheet as a screen, a taller opening. The 25 mm that the air rule asks for beside a power tube can be too little beside a large one.",
    rests_on: "heater and limits: the catalogue, with their sources there; idle shares, 15 % loss and 10 % of a rectifier: from memory. Stack effect: \
Q = C A sqrt(2 g h dT / T) at h from the level where air neither enters nor leaves, C 0.65, for an opening that takes both ways 0.40 + 0.0045 dT (ASHRAE Fundamentals (1997) \
p. 25.13, as copied), tested against worked figures; heat carried: 1107 J/(m3 K) Q dT; convection h = 1.42 (dT/L)^0.25 (Holman, from memory), held against a published \
correlation; radiation e 5.67e-8 (T^4 - T0^4); a bulb of radius R and length L seen at c from its axis: R/c (2/pi)(atan u + u/(1 + u^2)), u = L/2c (computed); emissivity of glass 0.94, wood and covering 0.90: instrument makers' tables. Boards pass 2 to 3 W/(m2 K) (computed; conduction of wood 0.13 W/(m K), from memory). \
60 C for wood: common practice; 70 and 80 C: our own figures. Finger: test finger of IEC 61032, 12 mm. Touch: IEC 62368-1 Table 38, \
77 C for plastic touched up to 10 s as quoted on a mailing list, the others from memory; ISO 13732-1 has burn thresholds. Nothing here is a \
certificate: the standards decide, and a thermometer.",
};

/// Least size of an opening that a finger passes, mm: test finger of IEC 61032.
const FINGER: f64 = 12.0;

const GLASS: f64 = 0.94;

/// Emissivity of painted iron.
const PAINT: f64 = 0.92;

const SOURCE: &str = "stack effect (ASHRAE, as copied); idle watts by rule, from memory unless given; 20 K: our own figure";

/// Watts of a tube: at idle and at its limits, and whether the builder gave them.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Watts {
    idle: f64,
    most: f64,
    given: bool,
}

fn watts(design: &Design) -> BTreeMap<&str, Watts> {
    let powers = (design.tubes.iter())
        .filter(|t| t.role == TubeRole::Power)
        .count();
    let mut out = BTreeMap::new();
    let (mut fed_idle, mut fed_most) = (0.0, 0.0);
    for t in &design.tubes {
        let Some(row) = catalogue::tube(&t.type_id) else {
            continue;
        };
        let heater = row.heater_v * row.heater_a;
        let share = match t.role {
            TubeRole::Power if powers == 1 => 0.9,
            TubeRole::Power => 0.7,
            _ => 0.3,
        };
        let [plate, screen] = design.heat.tubes.get(&t.id).copied().unwrap_or_default();
        let given = plate.is_some();
        let plate = plate.unwrap_or(row.plate_w * share);
        let screen = screen.unwrap_or(row.screen_w * 0.5);
        fed_idle += plate + screen;
        fed_most += (row.plate_w + row.screen_w).max(plate + screen);
        out.insert(
            t.id.as_str(),
            Watts {
                idle: heater + plate + screen,
                most: heater + (row.plate_w + row.screen_w).max(plate + screen),
                given,
            },
        );
    }
    // a rectifier's own loss follows from what it feeds
    let rectifiers: Vec<&TubeSpec> = (design.tubes.iter())
        .filter(|t| t.role == TubeRole::Rectifier)
        .collect();
    for t in &rectifiers {
        if let Some(w) = out.get_mut(t.id.as_str()).filter(|w| !w.given) {
            w.idle += 0.1 * fed_idle / rectifiers.len() as f64;
            w.most += 0.1 * fed_most / rectifiers.len() as f64;
        }
    }
    out
}

/// Loss of the power transformers, W, when the tubes take so much.
fn transformer_loss(design: &Design, tubes: f64) -> f64 {
    let powers: Vec<&str> = (design.irons.iter())
        .filter(|i| i.role == TransformerRole::Power)
        .map(|i| i.id.as_str())
        .collect();
    let given: f64 = design.heat.losses.values().sum();
    let open = (powers.iter())
        .filter(|id| !design.heat.losses.contains_key(**id))
        .count();
    if open == 0 {
        return given;
    }
    given + tubes * 0.15 / 0.85 * open as f64 / powers.len() as f64
}

/// How hot a power transformer gets outside, C: its loss over the faces of its box, painted.
fn outside_of(design: &Design, iron: &IronSpec, watts: &BTreeMap<&str, Watts>, room: f64) -> f64 {
    let tubes: f64 = watts.values().map(|w| w.idle).sum();
    let powers = (design.irons.iter())
        .filter(|i| i.role == TransformerRole::Power)
        .count();
    // of several each feeds its share
    let loss = (design.heat.losses.get(&iron.id).copied())
        .unwrap_or(tubes * 0.15 / 0.85 / powers.max(1) as f64);
    let [l, h, s] = [iron.length, iron.height, iron.stack + 2.0 * iron.bell].map(|mm| mm / 1e3);
    let area = 2.0 * (l * h + l * s + h * s);
    air::warmed(|_| loss / area / PAINT, PAINT, room, h)
}

/// Watts drawn from the mains at idle: heaters, plates, screens and the loss of the transformer.
pub(super) fn drawn(design: &Design) -> f64 {
    let tubes: f64 = watts(design).values().map(|w| w.idle).sum();
    tubes + transformer_loss(design, tubes)
}

/// Heights from and to of the space the tubes stand in, mm.
fn space(design: &Design) -> Option<[f64; 2]> {
    let (cabinet, plate) = (design.cabinet?, design.plate?);
    Some(if plate.up {
        [plate.z0 + plate.thickness, cabinet.height]
    } else {
        [0.0, plate.z0]
    })
}

/// Openings of the space the tubes stand in, m: the open parts of the rear, and the vents.
fn openings(design: &Design, assembly: &Assembly) -> Vec<Opening> {
    let (Some(cabinet), Some(plate), Some(space)) = (design.cabinet, design.plate, space(design))
    else {
        return Vec::new();
    };
    let mut covered: Vec<[f64; 2]> = (assembly.parts.iter())
        .filter(|p| p.kind == Kind::BackBoard || p.id == "panel-rear")
        .map(|p| {
            let [low, high] = assembly.shapes[p.shape].body.bounds(&p.pose);
            [low.z, high.z]
        })
        .collect();
    covered.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut out = Vec::new();
    let mut from = space[0];
    for [low, high] in covered.into_iter().chain([[space[1], space[1]]]) {
        let to = low.min(space[1]);
        if to > from {
            out.push(Opening {
                low: from / 1e3,
                high: to / 1e3,
                area: (to - from) * cabinet.width / 1e6,
            });
        }
        from = from.max(high);
    }
    for v in &design.heat.vents {
        let (low, high) = (v.z[0].max(space[0]), v.z[1].min(space[1]));
        // a hole in the plate itself stands at the edge of the space
        if v.z[1] >= space[0] - plate.thickness - 1.0 && v.z[0] <= space[1] + plate.thickness + 1.0
        {
            out.push(Opening {
                low: low.min(high) / 1e3,
                high: low.max(high) / 1e3,
                area: v.area / 1e6,
            });
        }
    }
    out
}

/// What the boards of the space pass, W/K.
fn walls(design: &Design) -> f64 {
    let (Some(c), Some(plate), Some([low, high])) = (design.cabinet, design.plate, space(design))
    else {
        return 0.0;
    };
    let (w, h, d) = (c.width / 1e3, (high - low).max(0.0) / 1e3, c.depth / 1e3);
    // two sides, front, and the roof if warm air gathers under it: the floor and the metal are left out
    let roof = if plate.up { w * d } else { 0.0 };
    let area = 2.0 * h * d + w * h + roof;
    area / (0.25 + c.board / 1e3 / 0.13)
}

pub(super) fn of_design(
    design: &Design,
    assembly: &Assembly,
    measured: &[Measured],
) -> Vec<Finding> {
    let watts = watts(design);
    if watts.is_empty() {
        return Vec::new();
    }
    let (f, warming) = balance(design, assembly, &watts);
    let mut out = vec![f];
    vents(design, &mut out);
    let room = design.heat.ambient + warming;
    let hot: Vec<Hot<'_>> = (design.tubes.iter())
        .filter(|t| t.role != TubeRole::Preamp)
        .filter_map(|t| {
            let bulb = Bulb {
                diameter: t.diameter / 1e3,
                length: t.seated / 1e3,
                emissivity: GLASS,
            };
            let w = watts.get(t.id.as_str())?;
            Some(Hot {
                tube: t,
                bulb,
                celsius: bulb.temperature(w.idle, room),
            })
        })
        .collect();
    heat_near::near(assembly, measured, &hot, room, &mut out);
    let iron = (design.irons.iter())
        .find(|i| i.role == TransformerRole::Power)
        .map(|i| (i.id.as_str(), outside_of(design, i, &watts, room)));
    out.extend(heat_near::touch(&hot, iron));
    out
}

/// All the heat against all the openings; how much warmer it gets.
fn balance(design: &Design, assembly: &Assembly, watts: &BTreeMap<&str, Watts>) -> (Finding, f64) {
    let heat = &design.heat;
    let sum = |w: &dyn Fn(&Watts) -> f64| watts.values().map(w).sum::<f64>();
    let tubes = [sum(&|w| w.idle), sum(&|w| w.most)];
    let [idle, most] = tubes.map(|t| t + transformer_loss(design, t));
    let openings = openings(design, assembly);
    let walls = walls(design);
    let warm = |w: f64| air::warming(w, &openings, walls, heat.ambient);
    let (warming, at_most) = (warm(idle), warm(most));
    let there: f64 = openings.iter().map(|o| o.area).sum::<f64>() * 1e4;
    let apart = design.plate.map_or(0.2, |p| {
        let high = design.cabinet.map_or(200.0, |c| c.height);
        if p.up { high - p.z0 } else { p.z0 }
    }) / 1e3
        * 0.7;
    let apart = apart.max(0.02);
    let each = air::area_wanted(idle, walls, apart, heat.rise, heat.ambient) * 1e4;
    let mut f = heat_near::finding(
        "heat",
        if warming > heat.rise {
            Severity::Warning
        } else {
            Severity::Note
        },
        vec!["plate".into()],
        design.plate.map_or(DVec3::ZERO, |p| {
            DVec3::new(p.inside / 2.0, p.y0 + p.depth / 2.0, p.z0)
        }),
    );
    f.unit = "K".into();
    (f.measured, f.wanted) = (warming, heat.rise);
    let given = watts.values().filter(|w| w.given).count();
    f.text = format!(
        "the air round the tubes gets {warming:.0} K warmer than the room at {:.0} C, {:.0} K or less wanted ({at_most:.0} K with every tube at its limits): {idle:.0} W of heat at idle ({}), {most:.0} W at the limits; \
{there:.0} cm2 of opening, 2 x {each:.0} cm2 low and high would do",
        heat.ambient,
        heat.rise,
        match given {
            0 => "estimated".to_owned(),
            n if n == watts.len() => "by the design's own figures".to_owned(),
            n => format!(
                "{n} of {} tubes by the design's own figures, the others estimated",
                watts.len()
            ),
        },
    );
    if warming > heat.rise {
        f.hint = format!(
            "openings of {each:.0} cm2 each, one low and one high on the tubes' side of the plate: leave the back open, or slots no wider than 12 mm and holes round the sockets (`[[heat.vent]]`)"
        );
    }
    f.source = SOURCE.into();
    (f, warming)
}

fn vents(design: &Design, out: &mut Vec<Finding>) {
    let Some(v) = (design.heat.vents.iter()).find(|v| v.narrow > FINGER) else {
        return;
    };
    let mut f = heat_near::finding(
        "heat-vent",
        Severity::Warning,
        vec!["plate".into()],
        DVec3::Z * v.z[0],
    );
    f.unit = "mm".into();
    (f.measured, f.wanted) = (v.narrow, FINGER);
    f.text = format!(
        "a vent {} above the floor is {} across at its narrowest, a finger gets through from {} on",
        units::show(v.z[0]),
        units::show(v.narrow),
        units::show(FINGER)
    );
    f.hint = "more and narrower slots, or a grille behind it".into();
    f.source = "test finger of IEC 61032, from memory; the standard decides".into();
    out.push(f);
}
