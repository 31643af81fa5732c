//! Distances and overlaps of placed bodies. The only folder that imports the boolean crate.
//!
//! Everything is measured on *check meshes*, which deviate only into the void and by at most [`CHECK_DEVIATION`]: a reported
//! clearance is never above the true one and at most twice that deviation below it. Whether parts that touch there really
//! overlap is decided on their exact faces; only then a volume is taken, on meshes divided much finer.

mod broad;
mod contact;
mod exact;
mod local;
mod overlap;
mod sweep;
#[cfg(test)]
mod tests;
mod tree;
mod triangle;
mod turn;

pub use broad::{BoxIndex, near_pairs};
pub use overlap::{Overlap, overlap};
pub use sweep::{Passing, Swept};
pub use turn::{TURN_TOUCH, Turned};

use crate::mesh::{Division, Mesh, faced_mesh};
use crate::pose::Pose;
use crate::solid::Body;
use glam::DVec3;
use std::borrow::Cow;
use std::sync::OnceLock;
use tree::Tree;

/// Largest deviation of a check mesh from its body, mm.
pub const CHECK_DEVIATION: f64 = 0.012;

/// Chord of the meshes of which overlap volumes are taken, mm.
pub const OVERLAP_CHORD: f64 = 0.002;

/// Overlap less deep than this is contact, mm: parts that are meant to touch differ by rounding and by how their circles are
/// divided.
pub const CONTACT_DEPTH: f64 = 0.001;

/// Distances below this are none, mm; far above the rounding of placements a metre from the origin, far below any tolerance.
const NO_DISTANCE: f64 = 1e-9;

/// A body made ready for measuring; one serves all parts of the same shape.
#[derive(Debug)]
pub struct Prepared<'b> {
    body: &'b Body,
    mesh: Mesh,
    /// For each triangle the index of its face.
    faces: Vec<u32>,
    tree: Tree,
    inner: DVec3,
    walls: OnceLock<Vec<Option<contact::Wall>>>,
    features: OnceLock<local::Features>,
    fine: OnceLock<Mesh>,
}

/// The closest points of two parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// Distance in mm; 0 when the check meshes touch or cross.
    pub distance: f64,
    /// On the first and on the second part, in the amp frame; the same point twice when they touch.
    pub at: [DVec3; 2],
}

/// What was measured between two parts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PairMeasure {
    /// Least distance, mm; 0 when they touch or overlap.
    pub clearance: f64,
    /// Common volume, mm3; 0 when they only touch.
    pub overlap: f64,
    /// Depth of the overlap, mm; 0 without one.
    pub depth: f64,
    /// The closest points on the first and the second part; the middle of the overlap, twice, where there is one.
    pub at: [DVec3; 2],
}

impl<'b> Prepared<'b> {
    /// Divides `body` and sorts its triangles.
    #[must_use]
    pub fn new(body: &'b Body) -> Prepared<'b> {
        let faced = faced_mesh(
            body,
            Division::Outward {
                deviation: CHECK_DEVIATION,
            },
        );
        let tree = Tree::new(&faced);
        let inner = tree.inner_point();
        Prepared {
            body,
            mesh: faced.mesh,
            faces: faced.face_of,
            tree,
            inner,
            walls: OnceLock::new(),
            features: OnceLock::new(),
            fine: OnceLock::new(),
        }
    }

    /// The exact body.
    #[must_use]
    pub fn body(&self) -> &'b Body {
        self.body
    }

    /// The check mesh, in the part frame.
    #[must_use]
    pub fn mesh(&self) -> &Mesh {
        &self.mesh
    }

    /// The faces as contact is decided on; made when first asked for.
    fn walls(&self) -> &[Option<contact::Wall>] {
        self.walls
            .get_or_init(|| contact::walls(self.body, &self.tree))
    }

    /// The mesh of which overlap volumes are taken: of what the body has within a box of its own frame.
    fn fine(&self, low: DVec3, high: DVec3) -> Cow<'_, Mesh> {
        let division = Division::EqualArea {
            chord: OVERLAP_CHORD,
        };
        let features = self
            .features
            .get_or_init(|| local::Features::new(self.body, &self.tree));
        match features.within(self.body, low, high) {
            Some(body) => Cow::Owned(crate::mesh::mesh(&body, division)),
            None => Cow::Borrowed(
                self.fine
                    .get_or_init(|| crate::mesh::mesh(self.body, division)),
            ),
        }
    }

    /// Box of the check mesh where `pose` puts it; holds the exact body and is at most [`CHECK_DEVIATION`] larger on each side.
    #[must_use]
    pub fn bounds(&self, pose: &Pose) -> [DVec3; 2] {
        let mut points = self.mesh.points.iter().map(|&p| pose.point(p));
        let first = points.next().unwrap_or_default();
        points.fold([first; 2], |[low, high], p| [low.min(p), high.max(p)])
    }

    /// Whether a point of the amp frame is inside the placed body.
    #[must_use]
    pub fn contains(&self, pose: &Pose, p: DVec3) -> bool {
        self.tree.contains(pose.inverse().point(p))
    }

    /// A point well inside the placed body, in the amp frame.
    #[must_use]
    pub fn inner_point(&self, pose: &Pose) -> DVec3 {
        pose.point(self.inner)
    }
}

/// Least distance of two placed surfaces, or none when it is `limit` mm or more. A part wholly inside another has a distance from
/// its surface: see [`measure_pair`].
#[must_use]
pub fn distance(
    a: &Prepared,
    a_pose: &Pose,
    b: &Prepared,
    b_pose: &Pose,
    limit: f64,
) -> Option<Nearest> {
    let faces = exact::Faces::new(a, a_pose, b, b_pose);
    let found = a
        .tree
        .closest(a_pose, &b.tree, b_pose, limit, Some(&faces))?;
    let distance = if found.distance < NO_DISTANCE {
        0.0
    } else {
        found.distance
    };
    Some(Nearest {
        distance,
        at: found.at,
    })
}

/// Where the check meshes of two placed bodies come nearer than `limit` mm, if they do. Told on triangles alone: cheaper than [`distance`]
/// where tools are tried by the hundred, and no further from the truth than twice [`CHECK_DEVIATION`].
#[must_use]
pub fn touch(
    a: &Prepared,
    a_pose: &Pose,
    b: &Prepared,
    b_pose: &Pose,
    limit: f64,
) -> Option<DVec3> {
    a.tree
        .closest(a_pose, &b.tree, b_pose, limit, None)
        .map(|found| found.at[1])
}

/// Clearance and overlap of two placed bodies, or none when they are `limit` mm or more apart.
#[must_use]
pub fn measure_pair(
    a: &Prepared,
    a_pose: &Pose,
    b: &Prepared,
    b_pose: &Pose,
    limit: f64,
) -> Option<PairMeasure> {
    let near = match meet(a, a_pose, b, b_pose, limit) {
        Meeting::Apart(near) => return near,
        Meeting::Overlap(near) => near,
    };
    let found = overlap(a, a_pose, b, b_pose);
    if found.volume > 0.0 {
        return Some(PairMeasure {
            clearance: 0.0,
            overlap: found.volume,
            depth: found.depth,
            at: [found.at; 2],
        });
    }
    near
}

/// As [`measure_pair`] where it is enough to know that two bodies overlap: the overlap is then told as 1 mm3. Thin contact may be told as one.
#[must_use]
pub fn meet_pair(
    a: &Prepared,
    a_pose: &Pose,
    b: &Prepared,
    b_pose: &Pose,
    limit: f64,
) -> Option<PairMeasure> {
    match meet(a, a_pose, b, b_pose, limit) {
        Meeting::Apart(near) => near,
        Meeting::Overlap(near) => Some(PairMeasure {
            clearance: 0.0,
            overlap: 1.0,
            depth: 0.0,
            at: near.map_or([b.inner_point(b_pose); 2], |n| n.at),
        }),
    }
}

/// How two bodies stand, before any volume is taken.
enum Meeting {
    /// Apart or only touching; none beyond the limit.
    Apart(Option<PairMeasure>),
    /// One reaches into the other; with what was measured of their surfaces.
    Overlap(Option<PairMeasure>),
}

fn meet(a: &Prepared, a_pose: &Pose, b: &Prepared, b_pose: &Pose, limit: f64) -> Meeting {
    let nearest = distance(a, a_pose, b, b_pose, limit);
    let buried =
        b.contains(b_pose, a.inner_point(a_pose)) || a.contains(a_pose, b.inner_point(b_pose));
    let near = nearest.map(|n| PairMeasure {
        clearance: n.distance,
        overlap: 0.0,
        depth: 0.0,
        at: n.at,
    });
    if buried {
        return Meeting::Overlap(near);
    }
    if near.is_none_or(|n| n.clearance > 0.0) || contact::only_touch(a, a_pose, b, b_pose) {
        return Meeting::Apart(near);
    }
    Meeting::Overlap(near)
}

/// Whether two placed bodies stand at least `wanted` mm apart (above 0) and neither is inside the other; cheaper than measuring how
/// far they do or how much they share.
#[must_use]
pub fn clear_by(a: &Prepared, a_pose: &Pose, b: &Prepared, b_pose: &Pose, wanted: f64) -> bool {
    distance(a, a_pose, b, b_pose, wanted).is_none_or(|n| n.distance >= wanted)
        && !b.contains(b_pose, a.inner_point(a_pose))
        && !a.contains(a_pose, b.inner_point(b_pose))
}
