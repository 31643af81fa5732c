//! Transformers that are no stack of laminations: toroids on their centre bolt, C-cores under a band.

use super::Design;
use super::chassis::ChassisFrame;
use super::fasten::{Bond, Passed};
use super::iron_bolts::{bolts, machine};
use super::iron_spec::{IRON, IronSpec};
use super::ledger::Ledger;
use crate::assembly::How;
use crate::catalogue::{self, CoreRow, CutCoreRow, Row, ToroidRow};
use crate::params::{Mounting, Sp, Transformer};
use crate::pose::Pose;
use glam::DVec2;

/// Rubber pad on each side of a toroid, mm (from memory).
const PAD: f64 = 1.5;

/// Sheet of a toroid's washer and of a C-core's foot plate, mm (from memory).
const SHEET: f64 = 1.5;

/// Sheet of a C-core's band, mm (from memory).
pub const BAND: f64 = 0.8;

/// Mass of a toroid for each m3 of the cylinder about it, kg/m3: iron, copper and the air in the middle, as the rows of the catalogue have it.
const TOROID: f64 = 4000.0;

/// What a transformer is wound on.
#[derive(Clone, Copy, Debug)]
pub(super) enum Core {
    Lamination(&'static CoreRow),
    Toroid(&'static ToroidRow),
    Cut(&'static CutCoreRow),
}

impl Core {
    /// The row of that name, whatever its family, or an error that offers the nearest of all.
    pub fn look_up(name: &Sp<String>, ledger: &mut Ledger) -> Option<Core> {
        if let Some(row) = catalogue::find::<CoreRow>(&name.value) {
            return Some(Core::Lamination(row));
        }
        if let Some(row) = catalogue::find::<ToroidRow>(&name.value) {
            return Some(Core::Toroid(row));
        }
        if let Some(row) = catalogue::find::<CutCoreRow>(&name.value) {
            return Some(Core::Cut(row));
        }
        let mut near = catalogue::nearest::<CoreRow>(&name.value);
        near.extend(catalogue::nearest::<ToroidRow>(&name.value));
        near.extend(catalogue::nearest::<CutCoreRow>(&name.value));
        near.truncate(6);
        let hint = if near.is_empty() {
            "`groovewright parts` lists what there is".to_owned()
        } else {
            format!("nearest: `{}`", near.join("`, `"))
        };
        ledger.error(
            name.span.clone(),
            format!("no core `{}` in the catalogue", name.value),
            "a lamination, toroid or C-core of the catalogue",
            hint,
        );
        None
    }

    /// How it is mounted unless said.
    pub fn usual(self) -> Mounting {
        match self {
            Core::Lamination(_) => Mounting::Upright,
            Core::Toroid(_) => Mounting::CentreBolt,
            Core::Cut(_) => Mounting::Banded,
        }
    }

    /// Whether it can be mounted so.
    pub fn goes(self, mounting: Mounting) -> bool {
        match self {
            Core::Lamination(_) => !matches!(mounting, Mounting::CentreBolt | Mounting::Banded),
            _ => mounting == self.usual(),
        }
    }

    /// Name and source of its row.
    pub fn row(self) -> (&'static str, &'static str) {
        match self {
            Core::Lamination(r) => (r.id(), r.source()),
            Core::Toroid(r) => (r.id(), r.source()),
            Core::Cut(r) => (r.id(), r.source()),
        }
    }
}

/// Where it stands.
pub(super) struct Standing<'a> {
    pub t: &'a Transformer,
    pub id: &'a str,
    pub frame: &'a ChassisFrame,
    pub component: bool,
    pub pose: Pose,
}

fn typed(own: Option<&Sp<crate::params::Length>>, row: Option<f64>) -> Option<f64> {
    own.map(|v| v.value.0).or(row)
}

/// Resolves a toroid; `None` after an error.
pub(super) fn toroid(
    at: &Standing<'_>,
    row: Option<&'static ToroidRow>,
    design: &mut Design,
    ledger: &mut Ledger,
) -> Option<IronSpec> {
    let (t, id) = (at.t, at.id);
    let sizes = (
        typed(t.diameter.as_ref(), row.map(|r| r.diameter)),
        typed(t.height.as_ref(), row.map(|r| r.height)),
    );
    let (Some(diameter), Some(height)) = sizes else {
        ledger.error(
            t.span.clone(),
            format!("`{id}` has no size"),
            "`core`, or `diameter` and `height`",
            "for example `core = \"toroid 120 VA\"`",
        );
        return None;
    };
    let bore = typed(t.bore.as_ref(), row.map(|r| r.bore)).unwrap_or(diameter * 0.28);
    let usual = row.map_or("M5", |r| r.screw.as_str());
    let screw = machine(t, usual, usual, ledger)?;
    let washer = 0.7 * diameter;
    if !(screw.normal + 1.0 < bore && bore + 8.0 < washer && height > 4.0) {
        ledger.error(
            t.span.clone(),
            format!("a toroid of {diameter:.1} x {height:.1} mm with {bore:.1} mm in its middle does not go on a {} bolt", screw.id),
            "a middle wider than the bolt's hole and under 0.6 of the diameter",
            "measure the part in hand",
        );
        return None;
    }
    let mass = mass(
        at,
        row.map(|r| r.mass),
        std::f64::consts::PI / 4.0 * diameter * diameter * height * 1e-9 * TOROID,
        "4 kg for each litre of the cylinder about it (from memory)",
        ledger,
    );
    let spec = IronSpec {
        id: id.into(),
        role: t.role.value,
        mounting: Mounting::CentreBolt,
        component: at.component,
        tongue: (diameter - bore) / 2.0,
        length: diameter,
        height: diameter,
        stack: height,
        bell: 0.0,
        sheet: SHEET,
        holes: DVec2::ZERO,
        hole: screw.normal,
        spacer: PAD,
        bore,
        plate: at.frame.plate.thickness,
        mass,
        pose: at.pose,
    };
    let name = |w: &str| format!("{id}-{w}");
    let wide = (bore - screw.major) / 2.0;
    let tight = (screw.normal - screw.major) / 2.0;
    let passed = |w: &str, gap: f64| Passed { id: name(w), gap };
    let under = vec![
        passed("washer", tight),
        passed("pad-top", tight),
        passed("coil", wide),
        passed("pad", tight),
    ];
    let head = 2.0 * PAD + height + SHEET;
    bolts(
        &spec,
        t,
        &at.frame.plate,
        screw,
        &|_, _| (under.clone(), head),
        "centre bolt: nothing metal may join its head to the chassis, or it is a shorted turn",
        design,
    );
    for (a, b) in [
        (name("pad"), "plate".to_owned()),
        (name("coil"), name("pad")),
        (name("pad-top"), name("coil")),
        (name("washer"), name("pad-top")),
    ] {
        design.bonds.push(Bond::face(&a, &b, How::Bolted));
    }
    Some(spec)
}

/// Resolves a C-core; `None` after an error.
pub(super) fn banded(
    at: &Standing<'_>,
    row: Option<&'static CutCoreRow>,
    design: &mut Design,
    ledger: &mut Ledger,
) -> Option<IronSpec> {
    let (t, id) = (at.t, at.id);
    let sizes = (
        typed(t.length.as_ref(), row.map(|r| r.length)),
        typed(t.height.as_ref(), row.map(|r| r.height)),
        typed(t.stack.as_ref(), row.map(|r| r.strip)),
    );
    let (Some(length), Some(height), Some(strip)) = sizes else {
        ledger.error(
            t.span.clone(),
            format!("`{id}` has no size"),
            "`core`, or `length`, `height` and `stack`",
            "for example `core = \"SM 85b\"`",
        );
        return None;
    };
    let leg = row.map_or(length / 6.0, |r| r.leg);
    // what is left of the length: two windows
    let window = (length - 4.0 * leg) / 2.0;
    let open = height - 2.0 * leg;
    let bell = ledger.length(
        &format!("{id}.bell"),
        t.bell.as_ref(),
        window + 2.0,
        "the winding fills the window, plus 2 mm of wrap (computed)",
    );
    let usual = if length < 70.0 {
        ["M3", "#6"]
    } else {
        ["M4", "#8"]
    };
    let screw = machine(t, usual[0], usual[1], ledger)?;
    let foot = screw.pan_diameter.max(screw.nut * 1.16) + 5.0;
    let rule = DVec2::new(length + 2.0 * BAND + foot, (strip - foot).max(foot));
    let holes = match &t.holes {
        Some(s) => DVec2::new(s.width.value.0, s.height.value.0),
        None => {
            ledger.took(
                &format!("{id}.holes"),
                format!("{:.1} x {:.1} mm", rule.x, rule.y),
                "by rule; feet are not standardised, measure the part (computed)",
            );
            rule
        }
    };
    let sound = window > 3.0
        && open > 6.0
        && strip > 4.0
        && holes.x > length + 2.0 * BAND + screw.pan_diameter
        && holes.y > screw.pan_diameter;
    if !sound {
        ledger.error(
            t.span.clone(),
            format!("a C-core of {length:.1} x {height:.1} mm, {strip:.1} mm of strip, on holes {:.1} x {:.1} mm does not add up", holes.x, holes.y),
            format!("windows left between its legs, feet beside its band: about {:.1} x {:.1} mm by the rule", rule.x, rule.y),
            "measure the part in hand",
        );
        return None;
    }
    let iron = (length * height - 2.0 * window * open) * strip * 1e-9 * IRON;
    let mass = mass(
        at,
        None,
        iron * 1.4,
        &format!("iron {iron:.2} kg and 40 % copper (common practice)"),
        ledger,
    );
    let spec = IronSpec {
        id: id.into(),
        role: t.role.value,
        mounting: Mounting::Banded,
        component: at.component,
        tongue: leg,
        length,
        height,
        stack: strip,
        bell,
        sheet: SHEET,
        holes,
        hole: screw.normal,
        spacer: 0.0,
        bore: 0.0,
        plate: at.frame.plate.thickness,
        mass,
        pose: at.pose,
    };
    let gap = (screw.normal - screw.major) / 2.0;
    let foot_plate = vec![Passed {
        id: format!("{id}-feet"),
        gap,
    }];
    let under = |_, _| (foot_plate.clone(), SHEET);
    bolts(&spec, t, &at.frame.plate, screw, &under, "", design);
    let name = |w: &str| format!("{id}-{w}");
    for (a, b) in [
        (name("feet"), "plate".to_owned()),
        (name("core"), name("feet")),
        (name("band"), name("core")),
        (name("band"), name("feet")),
        (name("coil-front"), name("core")),
        (name("coil-rear"), name("core")),
    ] {
        design.bonds.push(Bond::face(&a, &b, How::Bolted));
    }
    Some(spec)
}

fn mass(at: &Standing<'_>, row: Option<f64>, reckoned: f64, why: &str, ledger: &mut Ledger) -> f64 {
    if let Some(m) = &at.t.mass {
        return m.value.0;
    }
    row.unwrap_or_else(|| {
        ledger.took(&format!("{}.mass", at.id), format!("{reckoned:.2} kg"), why);
        reckoned
    })
}
