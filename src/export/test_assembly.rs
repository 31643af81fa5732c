//! A small assembly for the tests of this folder and of the pictures.

use crate::assembly::{Assembly, Group, Kind, Part, Shape};
use crate::mesh::{self, Mesh};
use crate::outline::{Loop, Region};
use crate::pose::Pose;
use crate::solid::{self, Layer, Recipe};
use glam::{DVec2, DVec3};

/// A solid of one outline from z = 0 up.
pub(crate) fn prism(outline: Loop, height: f64) -> Shape {
    let recipe = Recipe::Layered {
        base: 0.0,
        layers: vec![Layer::new(height, Region::solid(outline))],
        holes: Vec::new(),
    };
    let body = solid::build(&recipe).expect("a plain prism is a solid");
    Shape {
        volume: body.volume(),
        centroid: body.centroid(),
        recipe,
        body,
    }
}

/// A part that does not move.
pub(crate) fn part(id: &str, kind: Kind, group: Group, shape: usize, pose: Pose) -> Part {
    Part {
        id: id.into(),
        kind,
        group,
        owner: id.into(),
        material: "poplar".into(),
        density: 450.0,
        colour: [188, 100, 50],
        moves: false,
        shape,
        pose,
    }
}

/// Two equal blocks of 10 x 20 x 30 mm, one of them turned, and a glass rod; with their export meshes.
pub(crate) fn two_cubes_and_a_tube() -> (Assembly, Vec<Mesh>) {
    let block = prism(Loop::rect(DVec2::ZERO, DVec2::new(10.0, 20.0)), 30.0);
    let rod = prism(Loop::circle(DVec2::ZERO, 11.0), 50.0);
    let turned = Pose::shift(DVec3::new(60.0, 0.0, 0.0)).turned_z(30.0);
    let mut tube = part(
        "V1",
        Kind::SmallTube,
        Group::Above,
        1,
        Pose::shift(DVec3::new(100.0, 50.0, 40.0)),
    );
    tube.material = "glass".into();
    tube.colour = [186, 210, 214];
    let parts = vec![
        part("block-1", Kind::Board, Group::Cabinet, 0, Pose::IDENTITY),
        tube,
        part("block-2", Kind::Board, Group::Cabinet, 0, turned),
    ];
    let shapes = vec![block, rod];
    let meshes = shapes
        .iter()
        .map(|s| mesh::export_mesh(&s.body, s.volume))
        .collect();
    (
        Assembly {
            shapes,
            parts,
            joints: Vec::new(),
        },
        meshes,
    )
}
