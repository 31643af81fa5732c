//! Plate, panels, angle and what holds the plate.

use super::read::{Count, Id, Length, Sp, Thickness};

words! {
    /// Where the plate slides in.
    pub enum Position {
        /// Low in the cabinet, parts standing up from the plate, wiring under it.
        Floor = "floor",
        /// Under the roof, parts hanging from the plate, wiring above it.
        Roof = "roof",
    }
}

words! {
    /// The edge of the cabinet the chassis enters from.
    pub enum Entry {
        /// From the rear.
        Rear = "rear",
        /// From the front.
        Front = "front",
    }
}

table! {
    /// `[chassis]`
    pub struct Chassis {
        /// `floor` unless said.
        position: Option<Sp<Position>>,
        /// `rear` unless said.
        enters: Option<Sp<Entry>>,
        /// Sheet material; aluminium 5052-H32 unless said.
        material: Option<Sp<String>>,
        /// Thickness of the plate; 3 mm (0.125 in in an inch file) unless said. A steel gauge may be written, `18 ga steel`.
        thickness: Option<Sp<Thickness>> where Positive,
        /// Depth of the plate front to rear; left out, from the panels or to just behind the baffle.
        depth: Option<Sp<Length>> where Positive,
        /// From the cabinet's edge to the panel's outer face (to the plate's edge without a panel); left out, from the longest control.
        set_back: Option<Sp<Length>>,
        /// Wanted margin of the longest control inside the cabinet's edge; 3 mm unless said.
        margin: Option<Sp<Length>> where NotNegative,
        /// Gap between the plate's far edge and the baffle when the depth is left out; 6 mm unless said.
        front_gap: Option<Sp<Length>> where NotNegative,
        /// Play of the plate in the grooves on each side; 0.8 mm unless said.
        side_play: Option<Sp<Length>> where NotNegative,
        /// Radius of the plate's corners; 3 mm unless said.
        corner_radius: Option<Sp<Length>> where NotNegative,
        /// Where the ears begin, from the plate's front edge; 0 unless said.
        ear_from: Option<Sp<Length>> where NotNegative,
        /// Where the ears end, from the plate's front edge; the whole depth unless said.
        ear_to: Option<Sp<Length>> where Positive,
        /// Most sag of the plate under all it carries; 1/300 of the inside width unless said.
        sag: Option<Sp<Length>> where Positive,
        /// Rectangular bites out of the plate's edges.
        notch: Vec<Notch>,
        /// The panels.
        panel: Option<Panels>,
        /// Angle stock that joins panels to the plate.
        angle: Option<AngleTable>,
        /// What holds the plate in its grooves.
        retain: Option<Retain>,
    }
}

words! {
    /// An edge of the plate.
    pub enum PlateEdge {
        /// Left ear's edge.
        Left = "left",
        /// Right ear's edge.
        Right = "right",
        /// Front edge.
        Front = "front",
        /// Rear edge.
        Rear = "rear",
    }
}

table! {
    /// `[[chassis.notch]]`
    pub struct Notch {
        /// Its name.
        id: Sp<Id>,
        /// The edge it is cut into.
        edge: Sp<PlateEdge>,
        /// Its middle: from the front edge on a left or right edge, from the left inside face on a front or rear edge.
        at: Sp<Length>,
        /// Its width along the edge.
        width: Sp<Length> where Positive,
        /// How deep it cuts in.
        depth: Sp<Length> where Positive,
    }
}

table! {
    /// `[chassis.panel]`
    pub struct Panels {
        /// The panel at the rear.
        rear: Option<Panel>,
        /// The panel at the front.
        front: Option<Panel>,
    }
}

words! {
    /// How a panel meets the plate.
    pub enum PanelFit {
        /// In front of the plate's edge, covering its thickness.
        Outside = "outside",
        /// Against the plate's face, flush with its edge.
        Under = "under",
    }
}

table! {
    /// `[chassis.panel.rear]`, `[chassis.panel.front]`
    pub struct Panel {
        /// Height.
        height: Sp<Length> where Positive,
        /// Thickness; the plate's unless said.
        thickness: Option<Sp<Thickness>> where Positive,
        /// Length; left out, from the inside width less covering and play.
        length: Option<Sp<Length>> where Positive,
        /// Play at each end over the covering; 1.1 mm unless said.
        play: Option<Sp<Length>> where NotNegative,
        /// `outside` unless said.
        fit: Option<Sp<PanelFit>>,
        /// Thickness of an overlay (engraved face) on its outer side; none unless said.
        overlay: Option<Sp<Length>> where NotNegative,
        /// Material; the plate's unless said.
        material: Option<Sp<String>>,
        /// Corner radius; 2 mm unless said.
        corner_radius: Option<Sp<Length>> where NotNegative,
    }
}

words! {
    /// Head of a fastener.
    pub enum Head {
        /// Countersunk, flush.
        Countersunk = "countersunk",
        /// Pan.
        Pan = "pan",
    }
}

words! {
    /// System of clearance holes.
    pub enum HoleFit {
        /// Fine (ISO 273) or close (ASME B18.2.8).
        Close = "close",
        /// Medium or normal.
        Normal = "normal",
        /// Coarse or loose.
        Loose = "loose",
    }
}

table! {
    /// `[chassis.angle]`
    pub struct AngleTable {
        /// Outside width of each leg; 19.05 mm (3/4 in) unless said.
        leg: Option<Sp<Length>> where Positive,
        /// Thickness; 3.175 mm (1/8 in) unless said.
        thickness: Option<Sp<Length>> where Positive,
        /// Radius of the inside fillet; 0 (6063, square) unless said.
        fillet: Option<Sp<Length>> where NotNegative,
        /// Material; aluminium 6063-T5 unless said.
        material: Option<Sp<String>>,
        /// Screw; M4 (#8 in an inch file) unless said.
        screw: Option<Sp<String>>,
        /// Blind rivets in place of screws, e.g. `rivet 1/8`.
        rivet: Option<Sp<String>>,
        /// Left out, `countersunk`; `pan` where a countersink would be deeper than 0.8 of the plate or panel and no overlay lies on it.
        head: Option<Sp<Head>>,
        /// Fit of the clearance holes; `normal` unless said.
        fit: Option<Sp<HoleFit>>,
        /// Number of screws or rivets in each leg.
        count: Option<Sp<Count>> where Positive,
        /// Largest pitch of the screws; 50 mm unless a count is given.
        pitch: Option<Sp<Length>> where Positive,
        /// First and last screw from the ends; 12 mm unless said.
        end_margin: Option<Sp<Length>> where Positive,
        /// Clear of the panel's ends on each side; 0 unless said.
        shorter: Option<Sp<Length>> where NotNegative,
    }
}

words! {
    /// What holds the plate.
    pub enum RetainKind {
        /// A wood screw on each side through the plate into a block under (tubes up) or over (tubes down) its edge.
        Screw = "screw",
        /// The same with a machine screw into a threaded insert.
        Insert = "insert",
        /// An angle bracket on each side, bolted to a nut that is fixed to the plate's wiring side (riveted, pressed or glued in) and screwed to the
        /// side.
        Bracket = "bracket",
        /// Nothing: the plate lies loose in its grooves.
        None = "none",
    }
}

table! {
    /// `[chassis.retain]`
    pub struct Retain {
        /// `screw` unless said.
        kind: Option<Sp<RetainKind>>,
        /// Screw size; #8 for wood, M4 for metal unless said.
        screw: Option<Sp<String>>,
        /// From the plate's edge on the entry side to the screw; clear of the angle unless said.
        from_edge: Option<Sp<Length>> where NotNegative,
        /// Anti-rattle strip in the groove, thickness; none unless said.
        strip: Option<Sp<Length>> where NotNegative,
        /// The builder has measured the insert.
        measured: Option<Sp<bool>>,
    }
}
