use super::*;
use crate::mesh::{self, Division};

fn block() -> Body {
    let across = hole(
        DVec3::new(30.0, 0.0, 5.0),
        DVec3::Y,
        &[(0.0, 2.0), (20.0, 2.0)],
        false,
    );
    let outline = Region::solid(Loop::rect(v(0.0, 0.0), v(40.0, 20.0)));
    build(&slab(outline, 10.0, vec![across])).unwrap()
}

/// The side at y = 0 seen from outside: x to the right, z up.
const SIDE: Pose = Pose {
    rot: DMat3::from_cols(DVec3::X, DVec3::Z, DVec3::NEG_Y),
    at: DVec3::ZERO,
};

/// A square ring, as an O is.
fn ring(at: DVec2) -> Region {
    Region {
        outer: Loop::rect(at, at + v(6.0, 6.0)),
        inner: vec![Loop::rect(at + v(1.0, 1.0), at + v(5.0, 5.0))],
    }
}

#[test]
fn a_pocket_takes_its_area_times_its_depth_and_leaves_its_island() {
    let body = block();
    let before = body.volume();
    let faces = body.faces.len();
    let bar = Region::solid(Loop::rect(v(12.0, 2.0), v(13.0, 8.0)));
    let sunk = sink(body, &SIDE, &[ring(v(2.0, 2.0)), bar], 0.6).unwrap();
    // ring 36 - 16, bar 6
    assert!((before - sunk.volume() - 0.6 * 26.0).abs() < 1e-9);
    // two floors, one island, 8 walls of the ring and 4 of the bar
    assert_eq!(sunk.faces.len(), faces + 2 + 1 + 12);
    compare_truck(&sunk);
    let drawn = mesh::mesh(&sunk, Division::EqualArea { chord: 0.01 });
    assert!(drawn.check().is_sound(), "{:?}", drawn.check());
    assert!((drawn.volume() - sunk.volume()).abs() < 1e-6);
    // the floor lies 0.6 mm behind the side, where the side was looked at
    let floor = |p: &&DVec3| (p.y - 0.6).abs() < 1e-12 && p.x < 20.0;
    assert_eq!(sunk.vertices.iter().filter(floor).count(), 8 + 4);
}

#[test]
fn pockets_that_meet_anything_are_refused() {
    let why = |face: &Pose, pocket: Region, depth: f64| match sink(block(), face, &[pocket], depth)
    {
        Err(e) => e.to_string(),
        Ok(_) => "sunk".into(),
    };
    assert_eq!(why(&SIDE, ring(v(2.0, 2.0)), 0.6), "sunk");
    // over the edge, across the bore, round the bore, off the face
    for at in [
        v(-1.0, 2.0),
        v(2.0, 5.0),
        v(26.0, 2.0),
        v(27.0, 2.0),
        v(60.0, 2.0),
    ] {
        assert!(why(&SIDE, ring(at), 0.6).contains("no flat face"), "{at}");
    }
    let above = Pose::shift(DVec3::new(0.0, 0.0, 1.0));
    assert!(why(&above, ring(v(2.0, 2.0)), 0.6).contains("no flat face"));
    // the top has the level bore 3 mm below it
    let top = Pose::shift(DVec3::new(0.0, 0.0, 10.0));
    assert_eq!(why(&top, ring(v(26.0, 5.0)), 2.5), "sunk");
    assert!(why(&top, ring(v(26.0, 5.0)), 3.5).contains("behind"));
    assert_eq!(why(&top, ring(v(2.0, 5.0)), 9.5), "sunk");
    assert!(why(&top, ring(v(2.0, 5.0)), 10.0).contains("behind"));
    assert!(why(&SIDE, Region::solid(Loop::circle(v(5.0, 5.0), 2.0)), 0.6).contains("round"));
    assert!(why(&SIDE, ring(v(2.0, 2.0)), 0.0).contains("no thickness"));
    assert!(why(&SIDE, ring(v(2.0, 2.0)), f64::NAN).contains("no thickness"));
}
