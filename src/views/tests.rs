use super::raster::{Line, NOTHING, Pen};
use super::*;
use crate::assembly::{Group, Kind, Part};
use crate::design::Design;
use crate::export::test_assembly::{part, prism};
use crate::fit::{self, Finding};
use crate::mesh;
use crate::outline::{Loop, Region};
use crate::pose::Pose;
use crate::solid::{self, Layer, Recipe};
use glam::DVec2;

const GREEN: Rgb = [20, 200, 20];
const BLUE: Rgb = [20, 20, 220];

/// A block with its low corner at `at`.
fn block(id: &str, shape: usize, at: DVec3, colour: Rgb) -> Part {
    Part {
        colour,
        ..part(id, Kind::Board, Group::Cabinet, shape, Pose::shift(at))
    }
}

/// Draws parts without lines on a small sheet, one pixel per mm, seen from `from`; the amp's origin is in the middle.
fn small(
    assembly: &Assembly,
    from: DVec3,
    up: DVec3,
    cut: Option<f64>,
    ghosts: &[usize],
) -> (Canvas, raster::Seen) {
    let coarse: Vec<Coarse> = assembly
        .shapes
        .iter()
        .map(|s| Coarse::new(&s.body))
        .collect();
    let placed: Vec<Placed> = (assembly.parts.iter().enumerate())
        .map(|(i, part)| Placed {
            mesh: &coarse[part.shape],
            pose: part.pose,
            ghost: ghosts.contains(&i),
        })
        .collect();
    let camera = Camera {
        scale: 1.0,
        origin: [100.0, 100.0],
        ..Camera::looking_from(from, up)
    };
    let near = cut.map(|x| camera.project(DVec3::X * x).z);
    let (tris, _) = project(&placed, &camera, near);
    let looks: Vec<Look> = assembly
        .parts
        .iter()
        .enumerate()
        .map(|(i, p)| Look {
            colour: p.colour,
            ghost: ghosts.contains(&i),
            veil: 0.25,
            slant: true,
        })
        .collect();
    let mut canvas = Canvas::new(200, 200, PAPER);
    let seen = Picture {
        looks: &looks,
        tris: &tris,
        lines: &[],
        near,
        pixel: 1.0,
        paper: PAPER,
        ink: INK,
    }
    .draw(&mut canvas);
    (canvas, seen)
}

fn is_green(c: Rgb) -> bool {
    c[1] > 100 && c[0] < 100 && c[2] < 100
}

fn two_blocks() -> Assembly {
    Assembly {
        shapes: vec![prism(Loop::rect(DVec2::ZERO, DVec2::new(40.0, 20.0)), 30.0)],
        parts: vec![
            block("far", 0, DVec3::new(0.0, 50.0, 0.0), BLUE),
            block("near", 0, DVec3::ZERO, GREEN),
        ],
        joints: Vec::new(),
    }
}

/// A block of 40 x 20 x 30 mm at one pixel per mm, from the front (x right, z up) and from the top.
#[test]
fn a_block_covers_its_own_size_and_hides_what_is_behind() {
    let (canvas, seen) = small(&two_blocks(), -DVec3::Y, DVec3::Z, None, &[]);
    let green = canvas.pixels.iter().filter(|&&c| is_green(c)).count();
    assert_eq!(green, 40 * 30);
    // from x = 0 and z = 0, which are in the middle of the sheet, to the right and up
    let at = |x: usize, y: usize| canvas.pixels[y * 200 + x];
    assert!(is_green(at(100, 99)) && is_green(at(139, 70)));
    assert_eq!(
        (at(99, 99), at(140, 70), at(120, 100), at(120, 69)),
        (PAPER, PAPER, PAPER, PAPER)
    );
    assert!(
        !canvas.pixels.iter().any(|c| c[2] > 150 && c[0] < 60),
        "the far block is hidden"
    );
    assert!(seen.solid.contains(&1) && !seen.solid.contains(&0));

    let (canvas, seen) = small(&two_blocks(), DVec3::Z, DVec3::Y, None, &[]);
    let covered = canvas.pixels.iter().filter(|&&c| c != PAPER).count();
    assert_eq!(covered, 2 * 40 * 20);
    assert!(seen.solid.contains(&0));
}

#[test]
fn a_see_through_part_tints_what_is_behind_it() {
    let (canvas, seen) = small(&two_blocks(), -DVec3::Y, DVec3::Z, None, &[1]);
    let [r, g, b] = canvas.pixels[85 * 200 + 120];
    assert!(
        b > 100 && b > g && g > r,
        "blue through a green veil: {r} {g} {b}"
    );
    assert!(seen.ghost.contains(&1) && seen.solid.contains(&0));
}

/// A square tube of 40 x 40 mm with walls of 10 mm along y, cut in the middle of its width: two striped walls, a hollow between.
#[test]
fn a_cut_shows_the_walls_filled_and_the_hollow_open() {
    let mut region = Region::solid(Loop::rect(DVec2::ZERO, DVec2::splat(40.0)));
    region
        .inner
        .push(Loop::rect(DVec2::splat(10.0), DVec2::splat(30.0)));
    let recipe = Recipe::Layered {
        base: 0.0,
        layers: vec![Layer {
            top: 25.0,
            regions: vec![region],
        }],
        holes: Vec::new(),
    };
    let body = solid::build(&recipe).unwrap();
    let shape = crate::assembly::Shape {
        volume: body.volume(),
        centroid: body.centroid(),
        recipe,
        body,
    };
    // the tube's axis is z; seen from +x, y runs to the right
    let assembly = Assembly {
        shapes: vec![shape],
        parts: vec![block("tube", 0, DVec3::ZERO, GREEN)],
        joints: Vec::new(),
    };
    let (canvas, _) = small(&assembly, DVec3::X, DVec3::Z, Some(20.0), &[]);
    let row: Vec<Rgb> = (100..140).map(|x| canvas.pixels[88 * 200 + x]).collect();
    // a cut face is paler than any lit face: its red is lifted
    let pale = |c: &Rgb| c[0] > 60 && c[1] > 100;
    assert!(
        row[..10].iter().all(pale) && row[30..].iter().all(pale),
        "{row:?}"
    );
    assert!(
        row[10..30].iter().all(|c| !pale(c) && *c != PAPER),
        "the wall behind the hollow is lit, not cut: {row:?}"
    );
    assert!(
        row[..10].iter().any(|c| c[1] < 190) && row[..10].iter().any(|c| c[1] > 210),
        "striped: {row:?}"
    );
}

/// Two boards that overlap, a tube, and the finding that says so.
fn clashing_study() -> Study {
    let design = Design {
        name: "two boards".into(),
        ..Design::default()
    };
    let mut tube = part(
        "V1",
        Kind::SmallTube,
        Group::Above,
        1,
        Pose::shift(DVec3::new(160.0, 40.0, 0.0)),
    );
    tube.colour = BLUE;
    let assembly = Assembly {
        shapes: vec![
            prism(Loop::rect(DVec2::ZERO, DVec2::new(120.0, 60.0)), 18.0),
            prism(Loop::circle(DVec2::ZERO, 11.0), 56.0),
        ],
        parts: vec![
            block("side-left", 0, DVec3::ZERO, GREEN),
            block("bottom", 0, DVec3::new(100.0, 0.0, 0.0), GREEN),
            tube,
        ],
        joints: Vec::new(),
    };
    let meshes: Vec<_> = assembly
        .shapes
        .iter()
        .map(|s| mesh::export_mesh(&s.body, s.volume))
        .collect();
    let finding = Finding {
        id: "overlap".into(),
        severity: Severity::Error,
        about: vec!["side-left".into(), "bottom".into()],
        at_mm: [110.0, 30.0, 18.0],
        measured: 21_600.0,
        wanted: 0.0,
        unit: "mm3".into(),
        text: "side-left and bottom share 21600.0 mm3".into(),
        hint: String::new(),
        source: "geometry".into(),
    };
    let report = fit::report(
        &design,
        &assembly,
        &meshes,
        &[],
        vec![finding],
        fit::SlideRows::default(),
    );
    Study {
        design,
        assembly,
        meshes,
        report,
    }
}

fn drawn(study: &Study, file: &str) -> (Canvas, Boxes) {
    let assembly = &study.assembly;
    let coarse: Vec<Coarse> = assembly
        .shapes
        .iter()
        .map(|s| Coarse::new(&s.body))
        .collect();
    let centres: Vec<DVec3> = assembly
        .parts
        .iter()
        .map(|p| p.pose.point(assembly.shapes[p.shape].centroid))
        .collect();
    let scenes = scene::scenes(&study.design, assembly, &centres);
    let scene = scenes.iter().find(|s| s.file == file).unwrap();
    draw(
        study,
        scene,
        &coarse,
        &names::details(&study.design),
        &clashes(study),
    )
}

#[test]
fn a_clash_is_ringed_named_and_written_and_no_names_overlap() {
    let study = clashing_study();
    let (canvas, boxes) = drawn(&study, "rear");
    let count = |[x0, y0, x1, y1]: [usize; 4], want: &dyn Fn(Rgb) -> bool| {
        (y0..y1)
            .flat_map(|y| (x0..x1).map(move |x| (x, y)))
            .filter(|&(x, y)| want(canvas.pixels[y * WIDTH + x]))
            .count()
    };
    // the ring's own colour, which shading never gives, in the drawing: 2 pi r times the stroke, less its soft edges and what names cover
    let ring = count([250, 150, 1350, 1100], &|c| c == BAD);
    assert!(ring > 150, "{ring}");
    // name and verdict above, the finding below: a font that is lost leaves them blank
    assert!(count([36, 20, 300, 64], &|c| c == INK) > 300);
    assert!(
        count([1300, 24, 1564, 64], &|c| c == BAD) > 2_000
            && count([1300, 24, 1564, 64], &|c| c == PAPER) > 100
    );
    assert!(count([200, 1150, 1564, 1190], &|c| c == BAD) > 150);
    // side-left, bottom, V1 and the clash
    assert_eq!(boxes.len(), 4);
    for (k, a) in boxes.iter().enumerate() {
        let area = [
            a[0].floor() as usize,
            a[1].floor() as usize,
            a[2].ceil() as usize,
            a[3].ceil() as usize,
        ];
        assert!(
            count(area, &|c| c != PAPER) > 60,
            "a name without ink: {a:?}"
        );
        for b in &boxes[..k] {
            assert!(
                a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1],
                "{a:?} {b:?}"
            );
        }
    }
}

#[test]
fn the_same_study_gives_the_same_file_of_the_promised_size() {
    let study = clashing_study();
    let png = drawn(&study, "section").0.png();
    assert_eq!(png, drawn(&study, "section").0.png());
    let reader = png::Decoder::new(std::io::Cursor::new(&png))
        .read_info()
        .unwrap();
    assert_eq!((reader.info().width, reader.info().height), (1600, 1200));
    // without a plate there is no chassis to look under
    let centres = vec![DVec3::ZERO; 3];
    let files: Vec<&str> = scene::scenes(&study.design, &study.assembly, &centres)
        .iter()
        .map(|s| s.file)
        .collect();
    assert_eq!(
        files,
        ["front", "rear-corner", "top", "rear", "section", "exploded"]
    );
}

#[test]
fn lines_are_drawn_where_they_are_seen_and_only_there() {
    // an upright line 50 mm behind a block that covers its lower half
    let assembly = Assembly {
        parts: vec![block("near", 0, DVec3::ZERO, GREEN)],
        ..two_blocks()
    };
    let coarse = [Coarse::new(&assembly.shapes[0].body)];
    let camera = Camera {
        scale: 1.0,
        origin: [100.0, 100.0],
        ..Camera::looking_from(-DVec3::Y, DVec3::Z)
    };
    let placed = [Placed {
        mesh: &coarse[0],
        pose: assembly.parts[0].pose,
        ghost: false,
    }];
    let (tris, _) = project(&placed, &camera, None);
    let ends =
        [DVec3::new(20.5, 70.0, 1.0), DVec3::new(20.5, 70.0, 60.0)].map(|p| camera.project(p));
    let looks = [Look {
        colour: GREEN,
        ghost: false,
        veil: 0.2,
        slant: true,
    }];
    let mut canvas = Canvas::new(200, 200, PAPER);
    let lines = [Line {
        ends,
        pen: Pen::Outline,
    }];
    let seen = Picture {
        looks: &looks,
        tris: &tris,
        lines: &lines,
        near: None,
        pixel: 1.0,
        paper: PAPER,
        ink: INK,
    }
    .draw(&mut canvas);
    let dark = |y: usize| canvas.pixels[y * 200 + 120].iter().all(|&c| c < 90);
    // the block's upper edge is at row 70
    assert!((42..68).all(dark));
    assert!((72..99).all(|y| !dark(y)));
    assert_eq!(
        seen.solid.iter().filter(|&&i| i != NOTHING).count(),
        20 * 15
    );
}
