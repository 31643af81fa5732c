//! The chassis upside down on the bench: what it rests on.

use super::in_use::Scene;
use super::page::Doc;
use super::report::{Finding, Severity};
use crate::assembly::{Kind, Part};
use crate::units;
use glam::{DVec2, DVec3};
use std::cell::OnceCell;

pub(super) const DOC: Doc = Doc {
    ids: &["bench-rest"],
    title: "Upside down on the bench",
    does: "Lays the chassis on its component side, as for wiring, and finds the three points under its centre of mass on which it comes to rest, what \
they belong to, and how far it leans. A note says so, with the height of the props that keep all glass 5 mm off the bench when the plate is \
level. Where fewer than three points bear, it says that it topples.",
    why: "A chassis that rests on a tube breaks it with the first push of a screwdriver.",
    example: "`upside down it rests on PT-core, PT-core, V3: glass. Props 131.4 mm high under the plate keep it off`",
    change: "props, or a cradle; pull the tubes before you turn it over.",
    rests_on: "geometry, masses of the catalogue; 5 mm: common practice, no published source.",
};

/// Wanted between glass and bench, mm.
const OFF: f64 = 5.0;

fn is_glass(p: &Part) -> bool {
    matches!(p.kind, Kind::SmallTube | Kind::PowerTube | Kind::Rectifier)
}

/// A point seen from the component side: place in the plate's plane and height over its component face.
#[derive(Clone, Copy, Debug)]
struct Point {
    at: DVec2,
    height: f64,
    part: usize,
}

/// Not a part: one of the far corners that hold the first triangle.
const NONE: usize = usize::MAX;

/// The points of one part, and a box round them that tells cheaply how high they may stand.
struct Cloud<'f> {
    low: DVec2,
    high: DVec2,
    top: f64,
    points: Box<dyn Fn() -> Vec<Point> + 'f>,
    made: OnceCell<Vec<Point>>,
}

impl Cloud<'_> {
    fn points(&self) -> &[Point] {
        self.made.get_or_init(|| (self.points)())
    }

    /// No point of it stands higher over the plane than this.
    fn most_over(&self, three: &[Point; 3]) -> f64 {
        let corners = [
            self.low,
            DVec2::new(self.low.x, self.high.y),
            DVec2::new(self.high.x, self.low.y),
            self.high,
        ];
        let lowest = (corners.iter())
            .map(|c| height_at(three, *c))
            .fold(f64::INFINITY, f64::min);
        self.top - lowest
    }
}

/// The triangle of highest points over `middle`: the plane through them has all points below it, and is the lowest such plane there.
///
/// Starts from far corners deep below and takes the point that stands highest over the plane again and again. The plane's height at
/// `middle` rises with every step, so it ends.
fn rest(clouds: &[Cloud<'_>], middle: DVec2) -> [Point; 3] {
    const FAR: f64 = 1e6;
    let corner = |x: f64, y: f64| Point {
        at: middle + DVec2::new(x, y) * FAR,
        height: -FAR * 1e3,
        part: NONE,
    };
    let mut three = [corner(0.0, 2.0), corner(-2.0, -1.0), corner(2.0, -1.0)];
    // a few dozen steps do; far corners round so coarsely that the same points could come again for ever
    for _ in 0..1_000 {
        let mut best: Option<(f64, Point)> = None;
        for cloud in clouds {
            let bound = cloud.most_over(&three);
            if bound < 1e-9 || best.is_some_and(|b| bound < b.0) {
                continue;
            }
            for p in cloud.points() {
                let over = p.height - height_at(&three, p.at);
                if best.is_none_or(|b| over > b.0) {
                    best = Some((over, *p));
                }
            }
        }
        let Some((most, p)) = best else {
            break;
        };
        let again = three.iter().any(|q| q.at == p.at && q.height == p.height);
        if most < 1e-9 || again {
            break;
        }
        // the new point takes the place of the corner on whose account the middle stays within
        let with = |k: usize| {
            let mut t = three;
            t[k] = p;
            t
        };
        let Some(k) = (0..3).max_by(|&a, &b| {
            least_share(&with(a), middle).total_cmp(&least_share(&with(b), middle))
        }) else {
            break;
        };
        three = with(k);
    }
    three
}

/// Barycentric shares of a point.
fn shares(t: &[Point; 3], at: DVec2) -> [f64; 3] {
    let [a, b, c] = t.map(|p| p.at);
    let whole = (b - a).perp_dot(c - a);
    if whole == 0.0 {
        return [f64::NEG_INFINITY; 3];
    }
    [
        (b - at).perp_dot(c - at) / whole,
        (c - at).perp_dot(a - at) / whole,
        (a - at).perp_dot(b - at) / whole,
    ]
}

fn least_share(t: &[Point; 3], at: DVec2) -> f64 {
    shares(t, at).into_iter().fold(f64::INFINITY, f64::min)
}

fn height_at(t: &[Point; 3], at: DVec2) -> f64 {
    let s = shares(t, at);
    (0..3).map(|k| s[k] * t[k].height).sum()
}

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Option<Finding> {
    let plate = scene.design.plate?;
    let up = plate.component(0.0, 0.0).dir(DVec3::Z);
    let face = plate.component(0.0, 0.0).at;
    let parts = &scene.assembly.parts;
    let (mut mass, mut moment) = (0.0, DVec3::ZERO);
    let mut clouds = Vec::new();
    let mut glass = 0.0_f64;
    for (i, p) in parts.iter().enumerate().filter(|(_, p)| p.moves) {
        let shape = &scene.assembly.shapes[p.shape];
        let m = shape.volume * p.density;
        mass += m;
        moment += p.pose.point(shape.centroid) * m;
        let [low, high] = scene.boxes[i];
        let top = (low - face).dot(up).max((high - face).dot(up));
        if is_glass(p) {
            glass = glass.max(top);
        }
        let mesh = scene.shape(p).mesh();
        clouds.push(Cloud {
            low: low.truncate(),
            high: high.truncate(),
            top,
            points: Box::new(move || {
                (mesh.points.iter())
                    .map(|&q| p.pose.point(q))
                    .map(|q| Point {
                        at: q.truncate(),
                        height: (q - face).dot(up),
                        part: i,
                    })
                    .collect()
            }),
            made: OnceCell::new(),
        });
    }
    // a bare plate lies flat
    if mass <= 0.0 || clouds.iter().all(|c| c.top < 1e-6) {
        return None;
    }
    let middle = (moment / mass).truncate();
    let three = rest(&clouds, middle);
    let lowest = three.iter().map(|p| p.height).fold(0.0, f64::max);
    let normal = {
        let [a, b, c] = three.map(|p| p.at.extend(p.height));
        (b - a).cross(c - a).normalize_or_zero()
    };
    let lean = normal.z.abs().min(1.0).acos().to_degrees();
    let topples = three.iter().any(|p| p.part == NONE);
    let mut on: Vec<&str> = (three.iter().filter(|p| p.part != NONE))
        .map(|p| parts[p.part].id.as_str())
        .collect();
    on.sort_unstable();
    on.dedup();
    let on_glass = three
        .iter()
        .any(|p| p.part != NONE && is_glass(&parts[p.part]));
    let props = glass + OFF;
    let mut text = if topples {
        format!("upside down the chassis topples off {}", on.join(", "))
    } else {
        format!(
            "upside down the chassis rests on {}, leaning {lean:.1} degrees{}",
            on.join(", "),
            if on_glass { ": glass" } else { "" }
        )
    };
    if glass > 0.0 {
        text.push_str(&format!(
            "; level, props {} high under the plate keep the tubes off the bench",
            units::show(props)
        ));
    }
    Some(Finding {
        id: "bench-rest".into(),
        severity: Severity::Note,
        about: on.into_iter().map(str::to_owned).collect(),
        at_mm: (middle.extend(0.0) + DVec3::Z * (face.z + up.z * lowest)).to_array(),
        measured: lowest,
        wanted: props.max(lowest),
        unit: "mm".into(),
        text,
        hint: if glass > 0.0 {
            "pull the tubes before you turn it over, or make a cradle".into()
        } else {
            String::new()
        },
        source: "geometry and the catalogue's masses".into(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(x: f64, y: f64, height: f64, part: usize) -> Point {
        Point {
            at: DVec2::new(x, y),
            height,
            part,
        }
    }

    #[test]
    fn a_table_rests_on_the_legs_about_its_middle() {
        // the fourth leg is short
        let legs = [
            point(0.0, 0.0, 10.0, 0),
            point(100.0, 0.0, 10.0, 1),
            point(0.0, 100.0, 10.0, 2),
            point(100.0, 100.0, 4.0, 3),
        ];
        let table = || {
            legs.map(|p| Cloud {
                low: p.at,
                high: p.at,
                top: p.height,
                points: Box::new(move || vec![p]),
                made: OnceCell::new(),
            })
        };
        let on = |m: DVec2| {
            let mut t: Vec<usize> = rest(&table(), m).iter().map(|p| p.part).collect();
            t.sort_unstable();
            t
        };
        assert_eq!(on(DVec2::new(30.0, 30.0)), [0, 1, 2]);
        // beyond the line from leg 1 to leg 2 it tips onto the short one
        assert_eq!(on(DVec2::new(70.0, 70.0)), [1, 2, 3]);
        // a middle outside the legs does not stay up
        assert!(on(DVec2::new(-5.0, 50.0)).contains(&NONE));
        let t = rest(&table(), DVec2::new(70.0, 70.0));
        // plane through (100,0,10), (0,100,10), (100,100,4): falls 0.06 for each mm in x and in y
        assert!((height_at(&t, DVec2::new(70.0, 70.0)) - (10.0 - 0.06 * 40.0)).abs() < 1e-9);
    }
}
