//! What is mounted on plate and panels.

use super::place::{AnyPlace, PlatePlace, Size};
use super::read::{Count, Degrees, Id, Length, Number, Sp};

words! {
    /// What a tube does.
    pub enum TubeRole {
        /// Small-signal stage.
        Preamp = "preamp",
        /// Output stage.
        Power = "power",
        /// Rectifier.
        Rectifier = "rectifier",
    }
}

words! {
    /// What keeps a tube in its socket.
    pub enum Retainer {
        /// Nothing.
        None = "none",
        /// A base clamp ring.
        Clamp = "clamp",
        /// A screening can over the whole tube.
        Shield = "shield",
    }
}

words! {
    /// The side of the plate.
    pub enum PlateSide {
        /// The component side: on top with tubes up, hanging with tubes down.
        Component = "component",
        /// The wiring side.
        Wiring = "wiring",
    }
}

table! {
    /// `[[tube]]`: stands on the component side of the plate.
    pub struct Tube {
        /// Its name, e.g. `V1`.
        id: Sp<Id>,
        /// Catalogue type, e.g. `EL84`.
        type_: Sp<String>,
        /// What it does; from the type unless said.
        role: Option<Sp<TubeRole>>,
        /// Largest diameter, if not the catalogue's.
        diameter: Option<Sp<Length>> where Positive,
        /// Height above the socket's top, if not the catalogue's.
        seated: Option<Sp<Length>> where Positive,
        /// Catalogue socket; by the base unless said.
        socket: Option<Sp<String>>,
        /// `none` unless said.
        retainer: Option<Sp<Retainer>>,
        /// Where.
        at: Option<Sp<PlatePlace>>,
        /// Turn of the socket's key or gap from the rear, degrees clockwise seen from the component side.
        turn: Option<Sp<Degrees>>,
        /// Watts its plates give off at idle, all sections; a share of the type's limit unless said.
        plate_watts: Option<Sp<Number>> where NotNegative,
        /// Watts its screen gives off at idle.
        screen_watts: Option<Sp<Number>> where NotNegative,
        /// The builder has measured it.
        measured: Option<Sp<bool>>,
    }
}

words! {
    /// What a transformer does.
    pub enum TransformerRole {
        /// Mains supply.
        Power = "power",
        /// Output.
        Output = "output",
        /// Smoothing choke.
        Choke = "choke",
        /// Reverb driver.
        Reverb = "reverb",
    }
}

words! {
    /// How a transformer is mounted.
    pub enum Mounting {
        /// Laminations flat on the plate, lower half of the coil through a window.
        DropThrough = "drop-through",
        /// Laminations parallel to the plate, raised on spacers over it.
        Flat = "flat",
        /// Laminations upright, end bells with feet.
        Upright = "upright",
        /// Strap with two feet, coil axis upright.
        ChannelFrame = "channel frame",
        /// A toroid lying between two pads, held by one bolt through its middle.
        CentreBolt = "centre bolt",
        /// A C-core under a band on a plate with four feet.
        Banded = "banded",
    }
}

table! {
    /// `[[transformer]]`
    pub struct Transformer {
        /// Its name, e.g. `PT`.
        id: Sp<Id>,
        /// What it does.
        role: Sp<TransformerRole>,
        /// Lamination, toroid or C-core, e.g. `EI96`, `EI-100`, `toroid 120 VA`, `SM 85b`; gives every size not said.
        core: Option<Sp<String>>,
        /// Stack height; the tongue's width (square) unless said.
        stack: Option<Sp<Length>> where Positive,
        /// Lamination length, if not the catalogue's; of a C-core its length over both loops.
        length: Option<Sp<Length>> where Positive,
        /// Lamination height, if not the catalogue's; of a toroid or C-core how high it stands.
        height: Option<Sp<Length>> where Positive,
        /// Outside diameter of a toroid over its winding, if not the catalogue's.
        diameter: Option<Sp<Length>> where Positive,
        /// Diameter of a toroid's open middle, if not the catalogue's.
        bore: Option<Sp<Length>> where Positive,
        /// How far coil or bell stands out of the stack on each side; a little over half the tongue unless said.
        bell: Option<Sp<Length>> where NotNegative,
        /// How it is mounted; `upright` unless said, a toroid by its `centre bolt`, a C-core `banded`.
        mounting: Option<Sp<Mounting>>,
        /// Component or wiring side of the plate; `component` unless said.
        side: Option<Sp<PlateSide>>,
        /// Hole spacing of its feet, if not by the rule: `width` along the laminations, `height` across.
        holes: Option<Size>,
        /// Screw; from the size unless said.
        screw: Option<Sp<String>>,
        /// Where its centre is.
        at: Option<Sp<PlatePlace>>,
        /// Turn, degrees clockwise seen from the component side.
        turn: Option<Sp<Degrees>>,
        /// Mass in kg, if not from iron and copper.
        mass: Option<Sp<Number>> where Positive,
        /// Watts it turns into heat; of a power transformer 15 % of what it takes in unless said.
        loss: Option<Sp<Number>> where NotNegative,
        /// Number of lead grommets beside it; 0 drop-through, 1 otherwise, unless said.
        grommets: Option<Sp<Count>>,
        /// The builder has measured it.
        measured: Option<Sp<bool>>,
    }
}

words! {
    /// How a can is held.
    pub enum CanMount {
        /// Upright in a ring clamp with two lugs.
        Clamp = "clamp",
        /// Lying along the plate, held by a strap.
        Lying = "lying",
    }
}

table! {
    /// `[[can]]`
    pub struct Can {
        /// Its name, e.g. `C1`.
        id: Sp<Id>,
        /// A can of the catalogue, `can 35 x 51` unless said.
        type_: Option<Sp<String>>,
        /// Diameter, if not the catalogue's.
        diameter: Option<Sp<Length>> where Positive,
        /// Height, if not the catalogue's.
        height: Option<Sp<Length>> where Positive,
        /// `clamp` unless said.
        mount: Option<Sp<CanMount>>,
        /// `component` unless said.
        side: Option<Sp<PlateSide>>,
        /// Where.
        at: Option<Sp<PlatePlace>>,
        /// Turn of the clamp's lugs, degrees clockwise seen from the component side.
        turn: Option<Sp<Degrees>>,
        /// The builder has measured it.
        measured: Option<Sp<bool>>,
    }
}

table! {
    /// `[[board]]`: an eyelet, turret or tag board on stand-offs.
    pub struct CircuitBoard {
        /// Its name.
        id: Sp<Id>,
        /// Length, left to right before turning.
        length: Sp<Length> where Positive,
        /// Width, front to rear before turning.
        width: Sp<Length> where Positive,
        /// A circuit board of the catalogue, `board fibre` unless said; gives its thickness.
        type_: Option<Sp<String>>,
        /// Thickness, if not the catalogue's.
        thickness: Option<Sp<Length>> where Positive,
        /// Height of the stand-offs; 10 mm unless said.
        stand_off: Option<Sp<Length>> where Positive,
        /// Stand-off centres from the board's edges; 5 mm unless said.
        inset: Option<Sp<Length>> where Positive,
        /// Height of the parts on it; 12 mm unless said.
        parts: Option<Sp<Length>> where NotNegative,
        /// Screw; M3 unless said.
        screw: Option<Sp<String>>,
        /// `wiring` unless said.
        side: Option<Sp<PlateSide>>,
        /// Where its centre is.
        at: Option<Sp<PlatePlace>>,
        /// Turn, degrees clockwise seen from the component side.
        turn: Option<Sp<Degrees>>,
        /// The builder has measured it.
        measured: Option<Sp<bool>>,
    }
}

words! {
    /// Kinds of hardware.
    pub enum HardwareKind {
        /// Rubber grommet in the plate.
        Grommet = "grommet",
        /// Protective-earth stud with its nut.
        EarthStud = "earth stud",
        /// Terminal strip on one screw.
        Strip = "terminal strip",
        /// A plain round hole.
        Hole = "hole",
        /// Reverb tank on the cabinet's floor or on the plate.
        ReverbTank = "reverb tank",
    }
}

table! {
    /// `[[hardware]]`
    pub struct Hardware {
        /// Its name.
        id: Sp<Id>,
        /// What it is.
        kind: Sp<HardwareKind>,
        /// A reverb tank or terminal strip of the catalogue; the usual one unless said.
        type_: Option<Sp<String>>,
        /// Bore of a grommet, diameter of a hole.
        diameter: Option<Sp<Length>> where Positive,
        /// Screw of a stud or strip; M4 unless said.
        screw: Option<Sp<String>>,
        /// Length of a strip or tank.
        length: Option<Sp<Length>> where Positive,
        /// Width of a strip or tank.
        width: Option<Sp<Length>> where Positive,
        /// Height of a strip or tank.
        height: Option<Sp<Length>> where Positive,
        /// Side of the plate the larger part is on; `wiring` unless said.
        side: Option<Sp<PlateSide>>,
        /// Where; for a tank: on the cabinet's floor, `front` from the baffle's rear face.
        at: Option<Sp<PlatePlace>>,
        /// Turn, degrees clockwise seen from the component side.
        turn: Option<Sp<Degrees>>,
        /// The builder has measured it.
        measured: Option<Sp<bool>>,
    }
}

words! {
    /// Kinds of controls and connectors.
    pub enum ControlKind {
        /// Potentiometer.
        Pot = "pot",
        /// Phone jack.
        Jack = "jack",
        /// Toggle switch.
        Toggle = "toggle",
        /// Rotary switch.
        Rotary = "rotary",
        /// Pilot lamp.
        Lamp = "lamp",
        /// Fuse holder.
        FuseHolder = "fuse holder",
        /// Mains inlet.
        Inlet = "inlet",
        /// Strain relief for a fixed cord.
        StrainRelief = "strain relief",
        /// Grommet.
        Grommet = "grommet",
    }
}

words! {
    /// What a control is mounted on.
    pub enum ControlOn {
        /// The rear panel.
        Rear = "rear",
        /// The front panel.
        Front = "front",
        /// The plate.
        Plate = "plate",
    }
}

table! {
    /// `[[control]]`
    pub struct Control {
        /// Its name, e.g. `VOLUME`.
        id: Sp<Id>,
        /// What it is.
        kind: Sp<ControlKind>,
        /// A row of the catalogue; the usual one of its kind unless said.
        type_: Option<Sp<String>>,
        /// The panel it is on; the only panel unless there are two.
        on: Option<Sp<ControlOn>>,
        /// Where; the middle of the panel's height unless said.
        at: Option<Sp<AnyPlace>>,
        /// A knob of the catalogue, or `none`; the usual one on pots and rotary switches unless said.
        knob: Option<Sp<String>>,
        /// Text beside it on the panel.
        legend: Option<Sp<String>> where MayBeEmpty,
        /// Turn, degrees clockwise seen from outside.
        turn: Option<Sp<Degrees>>,
        /// The builder has measured it.
        measured: Option<Sp<bool>>,
    }
}
