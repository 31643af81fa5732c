//! The chassis upside down on the bench: what it rests on.

use super::doc::Doc;
use super::report::{Finding, Severity};
use super::scene::Scene;
use super::slide::is_glass;
use crate::assembly::{Kind, Part};
use crate::design::PlateFrame;
use crate::units;
use glam::{DVec2, DVec3};
use std::cell::OnceCell;

pub(super) const DOC: Doc = Doc {
    ids: &["bench-rest"],
    title: "Upside down on the bench",
    does: "Lays the chassis on its component side, as for wiring, twice: as it is, and with the tubes and their shields pulled. Finds the three points under its \
centre of mass on which it comes to rest, what they belong to, how far it leans, and how far inside the edge of what it stands on the centre of mass lies. \
A note says so, with the height of the props that keep all glass 5 mm off the bench when the plate is level. With the tubes pulled it must stand steadily on iron, \
cans or the metal itself: resting on a knob, a control or a circuit board, toppling, or standing with its centre of mass less than 1 mm from the nearest edge (it tips at a touch) is a warning.",
    why: "A chassis that rests on a tube breaks it with the first push of a screwdriver; one that tips, with the first pull at a wire.",
    example: "`upside down the chassis rests on PT-core, V3: glass; with the tubes out on C1, PT-core, 41.0 mm from tipping. Props 131.4 mm high keep the tubes off`",
    change: "props, or a cradle; pull the tubes before you turn it over; put the iron apart, so that the chassis stands on both.",
    rests_on: "geometry, masses of the catalogue; 5 mm and 1 mm: common practice, no published source.",
};

/// Wanted between glass and bench, mm.
const OFF: f64 = 5.0;

/// Wanted from the centre of mass to the edge of what it stands on, mm.
const STEADY: f64 = 1.0;

/// What is this near to the plane it rests on bears, mm.
const BEARS: f64 = 0.05;

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

/// How a chassis comes to rest.
struct Rest<'s> {
    /// The parts it stands on, each once, by name.
    on: Vec<&'s Part>,
    lean: f64,
    topples: bool,
    /// From its centre of mass to the nearest edge of what it stands on, mm; 0 when it topples.
    margin: f64,
    middle: DVec2,
    lowest: f64,
}

/// Lays the parts on their component side; none if they lie flat on the plate.
fn lay<'s>(
    scene: &Scene<'s, '_>,
    plate: &PlateFrame,
    keep: &dyn Fn(&Part) -> bool,
) -> Option<Rest<'s>> {
    let up = plate.component(0.0, 0.0).dir(DVec3::Z);
    let face = plate.component(0.0, 0.0).at;
    let parts: &'s [Part] = &scene.assembly.parts;
    let (mut mass, mut moment) = (0.0, DVec3::ZERO);
    let mut clouds = Vec::new();
    for (i, p) in parts.iter().enumerate().filter(|(_, p)| p.moves && keep(p)) {
        let shape = &scene.assembly.shapes[p.shape];
        let m = shape.volume * p.density;
        mass += m;
        moment += p.pose.point(shape.centroid) * m;
        let [low, high] = scene.boxes[i];
        let top = (low - face).dot(up).max((high - face).dot(up));
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
    let normal = {
        let [a, b, c] = three.map(|p| p.at.extend(p.height));
        (b - a).cross(c - a).normalize_or_zero()
    };
    let topples = three.iter().any(|p| p.part == NONE);
    // all that bears, not only the three: a flat core stands on its four corners
    let bearing: Vec<Point> = (clouds.iter())
        .filter(|c| c.most_over(&three) >= -BEARS)
        .flat_map(|c| c.points().iter().copied())
        .filter(|p| height_at(&three, p.at) - p.height <= BEARS)
        .collect();
    let mut on: Vec<&'s Part> = (three.iter().filter(|p| p.part != NONE))
        .map(|p| &parts[p.part])
        .collect();
    on.sort_unstable_by(|a, b| a.id.cmp(&b.id));
    on.dedup_by(|a, b| a.id == b.id);
    Some(Rest {
        on,
        lean: normal.z.abs().min(1.0).acos().to_degrees(),
        topples,
        margin: if topples {
            0.0
        } else {
            inside_hull(bearing.iter().map(|p| p.at).collect(), middle)
        },
        middle,
        lowest: three.iter().map(|p| p.height).fold(0.0, f64::max),
    })
}

/// How far `p` lies inside the convex hull of points; 0 outside it.
fn inside_hull(mut points: Vec<DVec2>, p: DVec2) -> f64 {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    points.dedup();
    let mut hull: Vec<DVec2> = Vec::new();
    // below from left to right, then above back again
    for part in 0..2 {
        let start = hull.len();
        for k in 0..points.len() {
            let q = points[if part == 0 { k } else { points.len() - 1 - k }];
            while hull.len() >= start + 2 {
                let [a, b] = [hull[hull.len() - 2], hull[hull.len() - 1]];
                if (b - a).perp_dot(q - b) > 0.0 {
                    break;
                }
                hull.pop();
            }
            hull.push(q);
        }
        hull.pop();
    }
    if hull.len() < 3 {
        return 0.0;
    }
    (0..hull.len())
        .map(|k| {
            let (a, b) = (hull[k], hull[(k + 1) % hull.len()]);
            (b - a).normalize_or_zero().perp_dot(p - a)
        })
        .fold(f64::INFINITY, f64::min)
        .max(0.0)
}

pub(super) fn of_scene(scene: &Scene<'_, '_>) -> Option<Finding> {
    let plate = scene.design.plate?;
    let up = plate.component(0.0, 0.0).dir(DVec3::Z);
    let face = plate.component(0.0, 0.0).at;
    let glass = (scene.assembly.parts.iter().enumerate())
        .filter(|(_, p)| p.moves && is_glass(p))
        .flat_map(|(i, _)| scene.boxes[i])
        .map(|c| (c - face).dot(up))
        .fold(0.0, f64::max);
    let whole = lay(scene, &plate, &|_| true)?;
    let bare = if glass > 0.0 {
        lay(scene, &plate, &|p| !is_glass(p) && p.kind != Kind::Retainer)
    } else {
        None
    };
    let judged = bare.as_ref().unwrap_or(&whole);
    let names = |r: &Rest<'_>| {
        let ids: Vec<&str> = r.on.iter().map(|p| p.id.as_str()).collect();
        ids.join(", ")
    };
    let words = |r: &Rest<'_>| {
        if r.topples {
            format!("topples off {}", names(r))
        } else {
            format!(
                "rests on {}, leaning {:.1} degrees, {} from tipping",
                names(r),
                r.lean,
                units::show(r.margin)
            )
        }
    };
    let delicate = (judged.on.iter())
        .find(|p| matches!(p.kind, Kind::Knob | Kind::Control | Kind::CircuitBoard))
        .map(|p| p.id.as_str());
    // without tubes, and with nothing on it, the plate itself lies on the bench
    let flat = glass > 0.0 && bare.is_none();
    let shaky = !flat && (judged.topples || judged.margin < STEADY);
    let props = glass + OFF;
    let mut text = format!("upside down the chassis {}", words(&whole));
    if whole.on.iter().any(|p| is_glass(p)) {
        text.push_str(": glass");
    }
    if let Some(bare) = &bare {
        text.push_str(&format!("; with the tubes out it {}", words(bare)));
    }
    if let Some(id) = delicate {
        text.push_str(&format!("; {id} takes no weight"));
    }
    if glass > 0.0 {
        text.push_str(&format!(
            "; level, props {} high under the plate keep the tubes off the bench",
            units::show(props)
        ));
    }
    let warns = shaky || delicate.is_some();
    let about = (judged.on.iter().filter(|_| warns)).chain(whole.on.iter().filter(|_| !warns));
    Some(Finding {
        id: "bench-rest".into(),
        severity: if warns {
            Severity::Warning
        } else {
            Severity::Note
        },
        about: about.map(|p| p.id.clone()).collect(),
        at_mm: (whole.middle.extend(0.0) + DVec3::Z * (face.z + up.z * whole.lowest)).to_array(),
        measured: if warns { judged.margin } else { whole.lowest },
        wanted: if warns {
            STEADY
        } else {
            props.max(whole.lowest)
        },
        unit: "mm".into(),
        text,
        hint: match (warns, glass > 0.0) {
            (true, _) => {
                "make a cradle, or put iron so that the chassis stands on it at both ends".into()
            }
            (false, true) => "pull the tubes before you turn it over, or make a cradle".into(),
            (false, false) => String::new(),
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

    #[test]
    fn how_far_inside_its_footprint() {
        let corner = |x: f64, y: f64| DVec2::new(x, y);
        let square = vec![
            corner(0.0, 0.0),
            corner(80.0, 0.0),
            corner(80.0, 60.0),
            corner(0.0, 60.0),
            corner(40.0, 30.0),
            corner(40.0, 0.0),
        ];
        let inside = |p| inside_hull(square.clone(), p);
        assert!((inside(corner(30.0, 12.0)) - 12.0).abs() < 1e-12);
        assert!((inside(corner(75.0, 30.0)) - 5.0).abs() < 1e-12);
        assert_eq!(inside(corner(-1.0, 30.0)), 0.0);
        // a line bears nothing
        assert_eq!(
            inside_hull(vec![corner(0.0, 0.0), corner(9.0, 0.0)], corner(4.0, 0.0)),
            0.0
        );
    }
}
