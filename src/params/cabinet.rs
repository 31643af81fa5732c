//! The wooden box and the loudspeaker.

use super::place::{Size, UprightPlace};
use super::read::{Count, Degrees, Id, Length, Number, Sp};

words! {
    /// How the boards meet at the corners.
    pub enum Corner {
        /// Top and bottom lie over the ends of the sides.
        Butt = "butt",
        /// Top and bottom are rabbeted to half their thickness to take the sides.
        Rabbet = "rabbet",
        /// Interlocking fingers.
        BoxJoint = "box joint",
        /// Dovetails: modelled as a butt joint, the cut list adds the tails.
        Dovetail = "dovetail",
    }
}

words! {
    /// Whether the rear is closed.
    pub enum Back {
        /// Open, or partly open between back boards.
        Open = "open",
        /// Closed by back boards.
        Closed = "closed",
    }
}

table! {
    /// `[cabinet]`: inside sizes.
    pub struct Cabinet {
        /// Inside width between the sides, at the front.
        width: Sp<Length> where Positive,
        /// Inside width at the rear as built, if it differs.
        width_rear: Option<Sp<Length>> where Positive,
        /// Inside height.
        height: Sp<Length> where Positive,
        /// Depth of the sides, front edge to rear edge.
        depth: Sp<Length> where Positive,
        /// Thickness of the boards; 18 mm unless said.
        board: Option<Sp<Length>> where Positive,
        /// Wood of the boards; birch plywood unless said.
        material: Option<Sp<String>>,
        /// Corner joint; `box joint` unless said.
        corner: Option<Sp<Corner>>,
        /// Thickness of the covering; 0.9 mm unless said, 0 for bare wood.
        covering: Option<Sp<Length>> where NotNegative,
        /// How far the covering turns in at the open edge; 20 mm unless said.
        turn_in: Option<Sp<Length>> where NotNegative,
        /// Whether the covering is cut clear of the grooves; yes unless said.
        relieved: Option<Sp<bool>>,
        /// `open` unless said.
        back: Option<Sp<Back>>,
        /// The board that carries the loudspeaker, or the front of a head.
        baffle: Option<Baffle>,
        /// The grooves in the sides.
        groove: Option<Groove>,
        /// Wooden strips.
        cleat: Vec<Cleat>,
        /// Glue blocks in the corners.
        block: Vec<Block>,
        /// Boards that close the rear.
        back_board: Vec<BackBoard>,
        /// Carrying handle on the top.
        handle: Option<Handle>,
        /// Feet under the floor.
        feet: Option<Feet>,
    }
}

words! {
    /// How the baffle is held.
    pub enum BaffleFixing {
        /// Screwed from behind to cleats on the sides, in front of it.
        Cleats = "cleats",
        /// Wood screws through the baffle into the cleats, speaker on T-nuts.
        TNuts = "t-nuts",
        /// Glued in, nothing shown.
        Glued = "glued",
    }
}

table! {
    /// `[cabinet.baffle]`
    pub struct Baffle {
        /// Thickness; 18 mm unless said.
        thickness: Option<Sp<Length>> where Positive,
        /// From the sides' front edges to the baffle's front face, at the floor; 20 mm unless said.
        set_back: Option<Sp<Length>> where NotNegative,
        /// Lean of the top to the rear, degrees; 0 unless said.
        tilt: Option<Sp<Degrees>>,
        /// `glued` unless said.
        fixing: Option<Sp<BaffleFixing>>,
        /// Wood; that of the cabinet unless said.
        material: Option<Sp<String>>,
        /// Opening for a front panel.
        opening: Option<Opening>,
    }
}

table! {
    /// `[cabinet.baffle.opening]`: left out, an opening is cut for a front panel, smaller than the panel all round.
    pub struct Opening {
        /// Margin by which the panel is larger than the opening on each side; 8 mm unless said.
        overlap: Option<Sp<Length>>,
        /// Corner radius; 5 mm unless said.
        corner_radius: Option<Sp<Length>> where NotNegative,
    }
}

table! {
    /// `[cabinet.groove]`
    pub struct Groove {
        /// How deep; 8 mm unless said, never over half the board.
        depth: Option<Sp<Length>> where Positive,
        /// How wide; left out, the plate's thickness and play rounded up to a cutter.
        width: Option<Sp<Length>> where Positive,
        /// From the floor to the groove's lower face; left out, from the panel's height.
        height: Option<Sp<Length>>,
        /// The left groove's height as built, if it differs.
        height_left: Option<Sp<Length>>,
        /// The right groove's height as built, if it differs.
        height_right: Option<Sp<Length>>,
        /// Where its closed end stands, from the edge opposite the entry; left out, just past the plate.
        stop: Option<Sp<Length>> where NotNegative,
        /// Play of the plate's thickness in the groove; 0.4 mm unless said.
        play: Option<Sp<Length>> where NotNegative,
    }
}

words! {
    /// What a cleat or a block lies against.
    pub enum Against {
        /// Inside face of the left side.
        Left = "left",
        /// Inside face of the right side.
        Right = "right",
        /// The floor.
        Floor = "floor",
        /// The roof.
        Roof = "roof",
    }
}

table! {
    /// `[[cabinet.cleat]]`: a strip of wood along a wall; upright on a side, lying on floor and roof.
    pub struct Cleat {
        /// Its name.
        id: Sp<Id>,
        /// The wall it is fixed to.
        against: Sp<Against>,
        /// How far it stands off its wall; 19 mm unless said.
        stands_off: Option<Sp<Length>> where Positive,
        /// Its other section size, front to rear; 19 mm unless said.
        wide: Option<Sp<Length>> where Positive,
        /// Its front face from the sides' front edges.
        front: Sp<Length>,
        /// Where it begins: from the floor on a side, from the left on floor and roof; 0 unless said.
        from: Option<Sp<Length>>,
        /// Where it ends; the whole way unless said.
        to: Option<Sp<Length>>,
    }
}

words! {
    /// A corner that runs front to rear.
    pub enum BlockCorner {
        /// Floor and left side.
        FloorLeft = "floor left",
        /// Floor and right side.
        FloorRight = "floor right",
        /// Roof and left side.
        RoofLeft = "roof left",
        /// Roof and right side.
        RoofRight = "roof right",
    }
}

table! {
    /// `[[cabinet.block]]`: a three-cornered glue block that runs front to rear in a corner.
    pub struct Block {
        /// Its name.
        id: Sp<Id>,
        /// The corner it fills.
        corner: Sp<BlockCorner>,
        /// Leg of its triangle; 19 mm unless said.
        leg: Option<Sp<Length>> where Positive,
        /// Its front end from the sides' front edges.
        front: Sp<Length>,
        /// Its length; 60 mm unless said.
        length: Option<Sp<Length>> where Positive,
    }
}

table! {
    /// `[[cabinet.back-board]]`: closes part of the rear between the sides, flush with their edges, screwed to a cleat on each side.
    pub struct BackBoard {
        /// Its name.
        id: Sp<Id>,
        /// Its lower edge above the floor; just over the covering unless said.
        bottom: Option<Sp<Length>>,
        /// Its height.
        height: Sp<Length> where Positive,
        /// Its thickness; 12 mm unless said.
        thickness: Option<Sp<Length>> where Positive,
        /// Play all round; 1 mm unless said.
        play: Option<Sp<Length>> where NotNegative,
        /// Screw; a #8 countersunk wood screw unless said.
        screw: Option<Sp<String>>,
        /// Screws on each side; 2 unless said.
        screws: Option<Sp<Count>>,
    }
}

table! {
    /// `[cabinet.handle]`: a bar on the top, bolted through, left to right in the middle of the width.
    pub struct Handle {
        /// A handle of the catalogue; the usual one unless said.
        type_: Option<Sp<String>>,
        /// Between its screws; the catalogue's (230 mm) unless said.
        spacing: Option<Sp<Length>> where Positive,
        /// Width of its ends; 30 mm unless said.
        width: Option<Sp<Length>> where Positive,
        /// Height above the top; 40 mm unless said.
        height: Option<Sp<Length>> where Positive,
        /// From the sides' front edges to its middle; the middle of the depth unless said.
        front: Option<Sp<Length>>,
        /// Screw; M5 unless said.
        screw: Option<Sp<String>>,
        /// How far screw and nut end below the roof; from the screw unless said.
        stick_out: Option<Sp<Length>> where NotNegative,
        /// The builder has measured it.
        measured: Option<Sp<bool>>,
    }
}

table! {
    /// `[cabinet.feet]`: four round feet screwed to the bottom.
    pub struct Feet {
        /// A foot of the catalogue; the usual one unless said.
        type_: Option<Sp<String>>,
        /// Diameter; the catalogue's (38 mm) unless said.
        diameter: Option<Sp<Length>> where Positive,
        /// Height; the catalogue's (15 mm) unless said.
        height: Option<Sp<Length>> where Positive,
        /// Centre from the outside edges; 40 mm unless said.
        inset: Option<Sp<Length>> where Positive,
        /// Screw; #8 unless said.
        screw: Option<Sp<String>>,
        /// Length of the screw in the board; unless said, that of the longest stocked screw that ends inside the board.
        bite: Option<Sp<Length>> where Positive,
        /// The builder has measured them.
        measured: Option<Sp<bool>>,
    }
}

words! {
    /// The side of the baffle that the speaker's flange lies on.
    pub enum SpeakerMount {
        /// On the rear face.
        Rear = "rear",
        /// On the front face.
        Front = "front",
    }
}

words! {
    /// Which way the long side of an oval speaker lies.
    pub enum LongSide {
        /// Left to right.
        Across = "across",
        /// Up and down the baffle.
        Upright = "upright",
    }
}

table! {
    /// `[speaker]`: a catalogue pattern, its own numbers, or a pattern corrected by numbers.
    pub struct Speaker {
        /// A row of the catalogue, e.g. `12 in ceramic`.
        pattern: Option<Sp<String>>,
        /// Outside diameter of the frame; of an oval one its length.
        frame: Option<Sp<Length>> where Positive,
        /// Width of the frame; makes the speaker an oval one.
        frame_width: Option<Sp<Length>> where Positive,
        /// Diameter of the hole in the baffle; of an oval one its length.
        cutout: Option<Sp<Length>> where Positive,
        /// Width of the hole for an oval speaker.
        cutout_width: Option<Sp<Length>> where Positive,
        /// Diameter of the bolt circle of a round speaker.
        bolt_circle: Option<Sp<Length>> where Positive,
        /// Bolts of an oval speaker, centre to centre: `width` along its long side, `height` across.
        bolt_spacing: Option<Size>,
        /// Which way the long side of an oval speaker lies; `across` unless said.
        long_side: Option<Sp<LongSide>>,
        /// Number of bolts.
        bolts: Option<Sp<Count>> where Positive,
        /// Bolt size; M5 unless said.
        bolt: Option<Sp<String>>,
        /// From the mounting face to the rear of the magnet.
        depth: Option<Sp<Length>> where Positive,
        /// Diameter of the magnet.
        magnet: Option<Sp<Length>> where Positive,
        /// Length of the magnet along the axis.
        magnet_length: Option<Sp<Length>> where Positive,
        /// Thickness of the flange.
        flange: Option<Sp<Length>> where Positive,
        /// Mass, kg.
        mass: Option<Sp<Number>> where Positive,
        /// Centre of the speaker on the baffle's front face, before tilt; the centre of the free part of the baffle unless said.
        at: Option<Sp<UprightPlace>>,
        /// `rear` unless said.
        mount: Option<Sp<SpeakerMount>>,
        /// Turn of a round speaker's first bolt from straight up, degrees clockwise seen from the front.
        turn: Option<Sp<Degrees>>,
        /// How far the bolts stand out behind their nuts; 3 mm unless said.
        stick_out: Option<Sp<Length>> where NotNegative,
        /// Side of the terminals on the basket, degrees clockwise from straight up seen from the front; away from the chassis unless said.
        terminals: Option<Sp<Degrees>>,
        /// Length of its lead to the chassis; left out, the report says how long it must be.
        lead: Option<Sp<Length>> where Positive,
        /// Whether a plug ends the lead at the chassis; no unless said.
        lead_plug: Option<Sp<bool>>,
        /// The item of the chassis that the lead goes to, e.g. a jack; the farthest corner of the plate unless said.
        lead_to: Option<Sp<Id>>,
        /// The builder has measured it.
        measured: Option<Sp<bool>>,
    }
}
