//! The kinds of rows. All lengths in mm; a field that a part does not have is `None`.

use serde::Deserialize;

/// How much a figure may be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// The document was opened and its printed value is quoted.
    Published,
    /// Custom of the trade, no document.
    CommonPractice,
    /// Remembered; to be measured on the real part.
    FromMemory,
    /// Follows from a formula.
    Computed,
}

/// A tube type.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct TubeRow {
    /// Type, e.g. `EL84`.
    pub id: String,
    /// Other names, e.g. `6BQ5`.
    #[serde(default)]
    pub also: Vec<String>,
    /// `preamp`, `power` or `rectifier`.
    pub role: String,
    /// `noval`, `miniature`, `octal`.
    pub base: String,
    /// Largest bulb or base diameter.
    pub diameter: f64,
    /// Largest overall length with pins.
    pub overall: f64,
    /// Largest height above the socket's top.
    pub seated: f64,
    /// Height of a base shell above the socket (octal); 0 for all-glass.
    #[serde(default)]
    pub shell: f64,
    /// Heater volts.
    pub heater_v: f64,
    /// Heater amperes.
    pub heater_a: f64,
    /// Largest plate dissipation, all sections, W.
    #[serde(default)]
    pub plate_w: f64,
    /// Largest screen dissipation, W.
    #[serde(default)]
    pub screen_w: f64,
    /// Hottest place of the bulb that its maker allows, degrees C; `None` where no sheet says.
    pub bulb_c: Option<f64>,
    /// Largest diameter of the classic outline, where it is known apart from a current maker's.
    pub classic_diameter: Option<f64>,
    /// Largest overall length of the classic outline.
    pub classic_overall: Option<f64>,
    /// Largest diameter on a current maker's sheet of this very type.
    pub current_diameter: Option<f64>,
    /// Largest overall length on that sheet.
    pub current_overall: Option<f64>,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A tube socket: a round body through a chassis hole, an oblong flange under the plate with two screws.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SocketRow {
    /// Name.
    pub id: String,
    /// The base it takes.
    pub base: String,
    /// Whether it is the usual one for its base.
    #[serde(default)]
    pub usual: bool,
    /// Chassis hole.
    pub hole: f64,
    /// Screw centres.
    pub spacing: f64,
    /// Screw size.
    pub screw: String,
    /// Body diameter in the hole.
    pub body: f64,
    /// How far the body stands above a 3 mm plate's component face.
    pub above: f64,
    /// Depth below the plate's wiring face with lugs.
    pub below: f64,
    /// Flange thickness.
    pub flange: f64,
    /// Flange width across the screws' line.
    pub flange_width: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// An EI lamination.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct CoreRow {
    /// Name, `EI96` metric or `EI-100` US.
    pub id: String,
    /// Width of the tongue.
    pub tongue: f64,
    /// Length L, along the base of the E.
    pub length: f64,
    /// Assembled height H, along the tongue.
    pub height: f64,
    /// Corner hole diameter.
    pub hole: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A loudspeaker pattern.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct SpeakerRow {
    /// Name, e.g. `12 in ceramic`.
    pub id: String,
    /// Outside diameter of the frame; of an oval one its length.
    pub frame: f64,
    /// Width of an oval frame; a round one has none.
    pub frame_width: Option<f64>,
    /// Hole in the baffle; of an oval speaker its length.
    pub cutout: f64,
    /// Width of an oval hole.
    pub cutout_width: Option<f64>,
    /// Bolt circle diameter; of an oval speaker the circle through its four bolts.
    pub bolt_circle: f64,
    /// The rectangle of an oval speaker's four bolts: along its long side, and across.
    pub bolt_spacing: Option<[f64; 2]>,
    /// Number of bolts.
    pub bolts: u32,
    /// Hole in the flange.
    pub bolt_hole: f64,
    /// Mounting face to the rear of the magnet.
    pub depth: f64,
    /// Magnet diameter.
    pub magnet: f64,
    /// Magnet length.
    pub magnet_length: f64,
    /// Flange thickness.
    pub flange: f64,
    /// Mass, kg.
    pub mass: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A control or connector. Along its axis, from the panel's inner face inwards: the body; outwards from the inner face: bushing, nut,
/// shaft or lever. A part in a rectangular cut-out has `cutout`, `flange` and screws instead of a bushing.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ControlRow {
    /// Name.
    pub id: String,
    /// Kind word of the parameter file, e.g. `pot`.
    pub kind: String,
    /// Whether it is the usual one of its kind.
    #[serde(default)]
    pub usual: bool,
    /// Round panel hole.
    pub hole: Option<f64>,
    /// Flat of a D hole: distance of the flat from the hole's centre.
    pub flat: Option<f64>,
    /// Rectangular cut-out, width and height.
    pub cutout: Option<[f64; 2]>,
    /// Bushing (thread) diameter.
    pub bushing: Option<f64>,
    /// Bushing length from the mounting face.
    #[serde(default)]
    pub bushing_length: f64,
    /// Round body diameter behind the panel.
    pub body: Option<f64>,
    /// Rectangular body, width and height, behind the panel.
    pub body_box: Option<[f64; 2]>,
    /// Depth behind the panel's inner face.
    pub behind: f64,
    /// Extra depth behind with a plug in a jack, or a fuse drawn.
    #[serde(default)]
    pub behind_in_use: f64,
    /// Shaft or lever diameter in front of the bushing.
    pub shaft: Option<f64>,
    /// Tip of shaft or lever from the mounting (inner) face.
    #[serde(default)]
    pub tip: f64,
    /// Nut width across flats.
    pub nut: Option<f64>,
    /// Nut thickness.
    #[serde(default)]
    pub nut_thickness: f64,
    /// Diameter of a cap or jewel in front of the panel.
    pub cap: Option<f64>,
    /// Height of that cap over the outer face.
    #[serde(default)]
    pub cap_height: f64,
    /// Flange in front of the panel, width and height.
    pub flange: Option<[f64; 2]>,
    /// Flange thickness.
    #[serde(default)]
    pub flange_thickness: f64,
    /// Centres of two flange screws.
    pub screw_spacing: Option<f64>,
    /// Flange screw.
    pub screw: Option<String>,
    /// Turn-stop hole: diameter.
    pub stop_hole: Option<f64>,
    /// Turn-stop hole: distance from the shaft's centre.
    pub stop_radius: Option<f64>,
    /// Largest panel thickness.
    pub panel_most: Option<f64>,
    /// Usual knob, if it carries one.
    pub knob: Option<String>,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A knob.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct KnobRow {
    /// Name.
    pub id: String,
    /// Diameter.
    pub diameter: f64,
    /// Height.
    pub height: f64,
    /// Depth of its bore.
    pub bore_depth: f64,
    /// Gap between knob and panel face.
    pub gap: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A screw size with its head, nut, washer and holes.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ScrewRow {
    /// `M4`, `#8`, `1/4`; wood screws `#8 wood`.
    pub id: String,
    /// Other names.
    #[serde(default)]
    pub also: Vec<String>,
    /// Whether it is a wood screw (no nut, needs a pilot).
    #[serde(default)]
    pub wood: bool,
    /// Major diameter.
    pub major: f64,
    /// Largest pan head diameter.
    pub pan_diameter: f64,
    /// Largest pan head height.
    pub pan_height: f64,
    /// Largest countersunk head diameter (actual).
    pub csk_diameter: f64,
    /// Countersunk head height (reference).
    pub csk_height: f64,
    /// Countersink angle, degrees.
    pub csk_angle: f64,
    /// Nut width across flats (largest); 0 for wood screws.
    #[serde(default)]
    pub nut: f64,
    /// Nut thickness (largest).
    #[serde(default)]
    pub nut_thickness: f64,
    /// Plain washer outside diameter.
    #[serde(default)]
    pub washer: f64,
    /// Plain washer thickness.
    #[serde(default)]
    pub washer_thickness: f64,
    /// Clearance hole, close or fine.
    pub close: f64,
    /// Clearance hole, normal or medium.
    pub normal: f64,
    /// Clearance hole, loose or coarse.
    pub loose: f64,
    /// Close fit of the older shop chart, for inch screws; smaller than `close`.
    pub chart_close: Option<f64>,
    /// Free fit of the older shop chart.
    pub chart_free: Option<f64>,
    /// Pilot hole: wood pilot, or nothing for machine screws.
    pub pilot: Option<f64>,
    /// Lengths sold.
    pub lengths: Vec<f64>,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A sheet, board or envelope material.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct MaterialRow {
    /// Name, e.g. `aluminium 5052-H32`, `birch plywood`.
    pub id: String,
    /// Other names.
    #[serde(default)]
    pub also: Vec<String>,
    /// `metal`, `wood` or `other`.
    pub family: String,
    /// kg/m3.
    pub density: f64,
    /// Modulus of elasticity, GPa; of wood and boards along the grain, in bending.
    pub modulus: Option<f64>,
    /// Poisson's ratio.
    pub poisson: Option<f64>,
    /// Electrical resistivity at 20 degrees C unless the source says otherwise, nano-ohm metres.
    pub resistivity: Option<f64>,
    /// Thicknesses that are sold as sheet or board.
    #[serde(default)]
    pub stock: Vec<f64>,
    /// sRGB for models and pictures.
    pub colour: [u8; 3],
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// Sheet thickness by gauge.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct GaugeRow {
    /// As written: `18 ga steel`.
    pub id: String,
    /// Thickness.
    pub thickness: f64,
    /// Where the figure is from.
    pub source: String,
    /// Its standing.
    pub status: Status,
}

/// A default of the trade that is not a part: hole of a grommet by its bore, can clamp by its can.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct GrommetRow {
    /// Name.
    pub id: String,
    /// Bore.
    pub bore: f64,
    /// Hole in the sheet.
    pub hole: f64,
    /// Outside diameter.
    pub outside: f64,
    /// Height over both faces of the sheet together, without the sheet.
    pub height: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}

/// A can clamp.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct ClampRow {
    /// Name.
    pub id: String,
    /// Can diameter it takes.
    pub can: f64,
    /// Hole centres.
    pub spacing: f64,
    /// Hole diameter in its lugs.
    pub hole: f64,
    /// Screw.
    pub screw: String,
    /// Width over the lugs.
    pub over_lugs: f64,
    /// Height of the band.
    pub band: f64,
    /// Where the figures are from.
    pub source: String,
    /// Their standing.
    pub status: Status,
}
