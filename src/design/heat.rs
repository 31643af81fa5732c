//! What the builder said of warmth: the room, the vents, what tubes and transformers give off.

use super::Design;
use super::ledger::Ledger;
use crate::params::Params;
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// Slots or holes, all alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VentSpec {
    /// Lower and upper edge above the floor, mm.
    pub z: [f64; 2],
    /// Free area of all, mm2.
    pub area: f64,
    /// The smaller size of one, mm.
    pub narrow: f64,
}

/// What is known of warmth.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeatSpec {
    /// Air round the amp, degrees C.
    pub ambient: f64,
    /// Most warming of the air inside, K.
    pub rise: f64,
    /// Openings beyond the open back.
    pub vents: Vec<VentSpec>,
    /// Idle watts of plates and of the screen that the builder gave, by tube.
    pub tubes: BTreeMap<String, [Option<f64>; 2]>,
    /// Watts lost in transformers that the builder gave.
    pub losses: BTreeMap<String, f64>,
}

/// Rooms that amps are played in, degrees C.
const ROOMS: [f64; 2] = [-20.0, 60.0];

pub(super) fn build(params: &Params, design: &mut Design, ledger: &mut Ledger) {
    let table = params.heat.as_ref();
    let heat = &mut design.heat;
    heat.ambient = match table.and_then(|h| h.ambient.as_ref()) {
        Some(a) => {
            if !(ROOMS[0]..=ROOMS[1]).contains(&a.value.0) {
                ledger.error(
                    a.span.clone(),
                    format!("air of {} C round the amp", a.value.0),
                    format!("{} to {}", ROOMS[0], ROOMS[1]),
                    "degrees Celsius",
                );
            }
            a.value.0
        }
        None => 30.0,
    };
    heat.rise = table
        .and_then(|h| h.rise.as_ref())
        .map_or(20.0, |r| r.value.0);
    for v in table.map_or(&[][..], |h| h.vent.as_slice()) {
        let length =
            |o: &Option<crate::params::Sp<crate::params::Length>>| o.as_ref().map(|l| l.value.0);
        let (one, high, narrow) = match (length(&v.diameter), length(&v.width), length(&v.height)) {
            (Some(d), None, None) => (PI * d * d / 4.0, d, d),
            (None, Some(w), Some(h)) => (w * h, h, w.min(h)),
            _ => {
                ledger.error(
                    v.span.clone(),
                    "a vent is a slot or a round hole",
                    "`width` and `height`, or `diameter` alone",
                    "",
                );
                continue;
            }
        };
        let bottom = v.bottom.value.0;
        let count = v.count.as_ref().map_or(1, |c| c.value.0);
        heat.vents.push(VentSpec {
            z: [bottom, bottom + high],
            area: one * f64::from(count),
            narrow,
        });
    }
    for t in &params.tube {
        let own = [&t.plate_watts, &t.screen_watts].map(|w| w.as_ref().map(|n| n.value.0));
        if own.iter().any(Option::is_some) {
            heat.tubes.insert(t.id.value.0.clone(), own);
        }
    }
    for t in &params.transformer {
        if let Some(loss) = &t.loss {
            heat.losses.insert(t.id.value.0.clone(), loss.value.0);
        }
    }
    design.most_sag = params
        .chassis
        .as_ref()
        .and_then(|c| c.sag.as_ref())
        .map(|s| s.value.0);
}
