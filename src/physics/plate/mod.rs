//! A thin plate simply supported along its two ends, its other two edges free or stiffened by beams.
//!
//! Lengths in mm, forces in N, moduli in N/mm2 (MPa). x runs from support to support, y along the supports, z with the load.
//!
//! Kirchhoff's theory, small deflections. The deflection is a sum of sin(m pi x / a) times Legendre polynomials in y, whose factors make the
//! potential energy least (Ritz); beams along x add their bending energy, nothing of their twist and nothing of working together with the
//! plate, so a stiffened plate comes out softer than it is. With too few terms it comes out too stiff; the tests hold the error to 0.2 % with
//! many terms and 2 % with [`Terms::FEW`].
//!
//! Holes. A round hole in a wide plate costs strain energy as if so many times its area were taken out: 2/(1 - nu) where the plate is dished
//! (equal bending both ways), (5 + 3 nu)/(3 + nu) where it bends one way, 4/(3 + nu) where it is twisted. These follow from Kirchhoff's equations
//! with a free edge (computed; see the tests). The largest, 2/(1 - nu), is charged to every hole, at its place, and a window counts as the circle
//! round it: for holes that stand apart this is more than they cost.

mod numbers;

use numbers::{gauss, legendre, solve};
use std::f64::consts::PI;

/// The plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plate {
    /// Between the supports, mm.
    pub span: f64,
    /// Along the supports, mm.
    pub depth: f64,
    /// Thickness, mm.
    pub thickness: f64,
    /// Modulus of elasticity, MPa.
    pub modulus: f64,
    /// Poisson's ratio.
    pub poisson: f64,
}

impl Plate {
    /// Flexural rigidity E t^3 / (12 (1 - nu^2)), N mm.
    #[must_use]
    pub fn rigidity(&self) -> f64 {
        self.modulus * self.thickness.powi(3) / (12.0 * (1.0 - self.poisson * self.poisson))
    }
}

/// A beam along x, from support to support, joined to the plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beam {
    /// Its y, mm.
    pub at: f64,
    /// E I about its own axis, N mm2.
    pub stiffness: f64,
}

/// A force spread evenly over a rectangle, which may be a line or a point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// From and to along x, mm.
    pub x: [f64; 2],
    /// From and to along y, mm.
    pub y: [f64; 2],
    /// Force, N.
    pub force: f64,
}

/// A round hole, or the circle round a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Middle, mm.
    pub at: [f64; 2],
    /// Radius, mm.
    pub radius: f64,
}

/// How many sines and polynomials.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Terms {
    /// Half waves along x.
    pub x: usize,
    /// Polynomials along y.
    pub y: usize,
}

impl Terms {
    /// Enough for loads spread over a tenth of the span.
    pub const FEW: Terms = Terms { x: 9, y: 7 };
}

/// A bent plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Bent {
    plate: Plate,
    terms: Terms,
    factors: Vec<f64>,
}

/// How many times its area a round hole in a dished plate costs.
#[must_use]
pub fn hole_cost(poisson: f64) -> f64 {
    2.0 / (1.0 - poisson)
}

/// Stress at the edge of a small round hole over the stress without it, plate bent one way: (5 + 3 nu)/(3 + nu).
#[must_use]
pub fn hole_stress(poisson: f64) -> f64 {
    (5.0 + 3.0 * poisson) / (3.0 + poisson)
}

impl Terms {
    fn count(self) -> usize {
        self.x * self.y
    }

    /// Values and derivatives along y of the polynomials.
    fn along(self, plate: &Plate, y: f64) -> Vec<[f64; 3]> {
        let scale = 2.0 / plate.depth;
        legendre(y * scale - 1.0, self.y)
            .into_iter()
            .map(|p| [p[0], p[1] * scale, p[2] * scale * scale])
            .collect()
    }
}

fn wave(plate: &Plate, m: usize) -> f64 {
    (m + 1) as f64 * PI / plate.span
}

/// Bends it. `None` if a size is not over zero or the numbers are beyond all measure.
#[must_use]
pub fn bend(
    plate: Plate,
    beams: &[Beam],
    loads: &[Load],
    holes: &[Hole],
    terms: Terms,
) -> Option<Bent> {
    let sizes = [plate.span, plate.depth, plate.thickness, plate.modulus];
    if !sizes.iter().all(|v| *v > 0.0 && v.is_finite()) {
        return None;
    }
    let n = terms.count();
    let mut k = vec![0.0; n * n];
    whole_plate(&plate, terms, &mut k);
    for b in beams {
        let f = terms.along(&plate, b.at);
        for m in 0..terms.x {
            let c = 0.5 * plate.span * b.stiffness * wave(&plate, m).powi(4);
            for i in 0..terms.y {
                for j in 0..terms.y {
                    k[(m * terms.y + i) * n + m * terms.y + j] += c * f[i][0] * f[j][0];
                }
            }
        }
    }
    less_holes(&plate, terms, holes, &mut k);
    let mut factors = vec![0.0; n];
    let rule = gauss(terms.y / 2 + 1);
    for load in loads {
        let across: Vec<f64> = (0..terms.x)
            .map(|m| mean_sine(wave(&plate, m), load.x))
            .collect();
        let along = mean_along(&plate, terms, &rule, load.y);
        for (m, s) in across.iter().enumerate() {
            for (i, f) in along.iter().enumerate() {
                factors[m * terms.y + i] += load.force * s * f;
            }
        }
    }
    if holes.is_empty() {
        // each half wave by itself
        for m in 0..terms.x {
            let own = m * terms.y;
            let mut block: Vec<f64> = (0..terms.y)
                .flat_map(|i| k[(own + i) * n + own..(own + i) * n + own + terms.y].to_vec())
                .collect();
            solve(&mut block, &mut factors[own..own + terms.y], terms.y)?;
        }
    } else {
        solve(&mut k, &mut factors, n)?;
    }
    Some(Bent {
        plate,
        terms,
        factors,
    })
}

/// Energy of the plate without holes: each half wave by itself.
fn whole_plate(plate: &Plate, terms: Terms, k: &mut [f64]) {
    let (d, nu, n) = (plate.rigidity(), plate.poisson, terms.count());
    for [s, weight] in gauss(terms.y + 1) {
        let y = (s + 1.0) * plate.depth / 2.0;
        let f = terms.along(plate, y);
        let dy = weight * plate.depth / 2.0;
        for m in 0..terms.x {
            let a2 = wave(plate, m).powi(2);
            for i in 0..terms.y {
                for j in 0..terms.y {
                    let (p, q) = (f[i], f[j]);
                    let e = p[2] * q[2] - nu * a2 * (p[0] * q[2] + p[2] * q[0])
                        + a2 * a2 * p[0] * q[0]
                        + 2.0 * (1.0 - nu) * a2 * p[1] * q[1];
                    k[(m * terms.y + i) * n + m * terms.y + j] += 0.5 * d * plate.span * dy * e;
                }
            }
        }
    }
}

/// Cells along x and y in which what holes cost is spread.
const CELLS: [usize; 2] = [48, 20];

/// A cell keeps at least this share of its stiffness.
const LEAST: f64 = 0.1;

/// Takes off what holes cost. Each hole's loss is spread over a square about it of twice the area that is lost, so that half is left there.
fn less_holes(plate: &Plate, terms: Terms, holes: &[Hole], k: &mut [f64]) {
    if holes.is_empty() {
        return;
    }
    let [nx, ny] = CELLS;
    let (dx, dy) = (plate.span / nx as f64, plate.depth / ny as f64);
    let mut left = vec![1.0; nx * ny];
    for h in holes {
        let lost = hole_cost(plate.poisson) * PI * h.radius * h.radius;
        let half = (2.0 * lost).sqrt() / 2.0;
        let clip = |at: f64, end: f64| [(at - half).max(0.0), (at + half).min(end)];
        let (x, y) = (clip(h.at[0], plate.span), clip(h.at[1], plate.depth));
        let area = (x[1] - x[0]).max(0.0) * (y[1] - y[0]).max(0.0);
        if area <= 0.0 {
            continue;
        }
        // near an edge the square is smaller and the loss the same
        let share = (lost / area).min(1.0 - LEAST);
        let cells = |r: [f64; 2], d: f64, n: usize| {
            (r[0] / d).floor() as usize..(((r[1] / d).ceil() as usize).min(n))
        };
        for j in cells(y, dy, ny) {
            for i in cells(x, dx, nx) {
                let over = |r: [f64; 2], k: usize, d: f64| {
                    (r[1].min((k + 1) as f64 * d) - r[0].max(k as f64 * d)).max(0.0) / d
                };
                left[j * nx + i] *= 1.0 - share * over(x, i, dx) * over(y, j, dy);
            }
        }
    }
    let (d, nu, n) = (plate.rigidity(), plate.poisson, terms.count());
    let waves: Vec<f64> = (0..terms.x).map(|m| wave(plate, m)).collect();
    let trig: Vec<Vec<(f64, f64)>> = (0..nx)
        .map(|i| {
            let x = (i as f64 + 0.5) * dx;
            waves.iter().map(|a| (a * x).sin_cos()).collect()
        })
        .collect();
    for j in 0..ny {
        let row = &left[j * nx..(j + 1) * nx];
        if row.iter().all(|l| *l >= 1.0) {
            continue;
        }
        let f = terms.along(plate, (j as f64 + 0.5) * dy);
        for m in 0..terms.x {
            for o in 0..=m {
                let (mut ss, mut cc) = (0.0, 0.0);
                for (l, t) in row.iter().zip(&trig) {
                    let lost = 1.0 - l.max(LEAST);
                    ss += lost * t[m].0 * t[o].0;
                    cc += lost * t[m].1 * t[o].1;
                }
                let scale = d * dx * dy;
                let (ss, cc) = (ss * scale, cc * scale);
                let (a, b) = (waves[m], waves[o]);
                let (a2, b2) = (a * a, b * b);
                for (i, p) in f.iter().enumerate() {
                    for (q, g) in f.iter().enumerate() {
                        let e = ss
                            * (a2 * b2 * p[0] * g[0] + p[2] * g[2]
                                - nu * (a2 * p[0] * g[2] + b2 * p[2] * g[0]))
                            + cc * 2.0 * (1.0 - nu) * a * b * p[1] * g[1];
                        k[(m * terms.y + i) * n + o * terms.y + q] -= e;
                    }
                }
            }
        }
    }
}

/// Mean of sin(wave x) over a stretch.
fn mean_sine(wave: f64, [from, to]: [f64; 2]) -> f64 {
    let w = to - from;
    if w * wave < 1e-6 {
        return (wave * (from + to) / 2.0).sin();
    }
    ((wave * from).cos() - (wave * to).cos()) / (wave * w)
}

/// Means of the polynomials over a stretch, by a rule that is exact for them.
fn mean_along(plate: &Plate, terms: Terms, rule: &[[f64; 2]], [from, to]: [f64; 2]) -> Vec<f64> {
    let mut out = vec![0.0; terms.y];
    let half = (to - from) / 2.0;
    for [s, weight] in rule {
        let f = terms.along(plate, f64::midpoint(from, to) + s * half);
        for (o, p) in out.iter_mut().zip(f) {
            *o += p[0] * weight / 2.0;
        }
    }
    out
}

/// Where the deepest and the most strained place is looked for.
const GRID: [usize; 2] = [33, 13];

impl Bent {
    /// Of each half wave along y = const: its factor, and the factor's first and second derivative.
    fn along(&self, y: f64) -> Vec<[f64; 3]> {
        let f = self.terms.along(&self.plate, y);
        (self.factors.chunks(self.terms.y))
            .map(|row| [0, 1, 2].map(|d| row.iter().zip(&f).map(|(q, p)| q * p[d]).sum()))
            .collect()
    }

    /// Sine and cosine of each half wave at x.
    fn across(&self, x: f64) -> Vec<(f64, f64)> {
        (0..self.terms.x)
            .map(|m| (wave(&self.plate, m) * x).sin_cos())
            .collect()
    }

    /// Deflection, then its second derivatives along x, along y, and across.
    fn shape(&self, across: &[(f64, f64)], along: &[[f64; 3]]) -> [f64; 4] {
        let mut out = [0.0; 4];
        for (m, ((s, c), w)) in across.iter().zip(along).enumerate() {
            let a = wave(&self.plate, m);
            out[0] += w[0] * s;
            out[1] -= a * a * w[0] * s;
            out[2] += w[2] * s;
            out[3] += a * w[1] * c;
        }
        out
    }

    /// Deflection, mm.
    #[must_use]
    pub fn sag(&self, x: f64, y: f64) -> f64 {
        self.shape(&self.across(x), &self.along(y))[0]
    }

    /// Work of loads along the sag: twice the energy stored if they are those that bent it.
    #[cfg(test)]
    fn work(&self, loads: &[Load]) -> f64 {
        let mut sum = 0.0;
        for load in loads {
            let rule = gauss(self.terms.y / 2 + 1);
            let along = mean_along(&self.plate, self.terms, &rule, load.y);
            for m in 0..self.terms.x {
                let s = load.force * mean_sine(wave(&self.plate, m), load.x);
                let row = &self.factors[m * self.terms.y..(m + 1) * self.terms.y];
                sum += row.iter().zip(&along).map(|(q, f)| s * q * f).sum::<f64>();
            }
        }
        sum
    }

    /// Largest bending stress of the plate at a place, MPa: 6 M / t^2 of the larger principal moment.
    #[must_use]
    pub fn stress(&self, x: f64, y: f64) -> f64 {
        self.strained(self.shape(&self.across(x), &self.along(y)))
    }

    fn strained(&self, [_, xx, yy, xy]: [f64; 4]) -> f64 {
        let (d, nu) = (self.plate.rigidity(), self.plate.poisson);
        let (mx, my, mxy) = (d * (xx + nu * yy), d * (yy + nu * xx), d * (1.0 - nu) * xy);
        let middle = f64::midpoint(mx, my);
        let most = middle.abs() + ((mx - my) / 2.0).hypot(mxy);
        6.0 * most / (self.plate.thickness * self.plate.thickness)
    }

    /// The largest value of `what` and where, on a grid of 33 by 13 places with all edges.
    fn largest(&self, what: impl Fn([f64; 4]) -> f64) -> (f64, [f64; 2]) {
        let mut best = (0.0, [0.0, 0.0]);
        let place = |i: usize, n: usize, end: f64| end * i as f64 / (n - 1) as f64;
        let across: Vec<_> = (0..GRID[0])
            .map(|i| self.across(place(i, GRID[0], self.plate.span)))
            .collect();
        for j in 0..GRID[1] {
            let y = place(j, GRID[1], self.plate.depth);
            let along = self.along(y);
            for (i, across) in across.iter().enumerate() {
                let v = what(self.shape(across, &along));
                if v > best.0 {
                    best = (v, [place(i, GRID[0], self.plate.span), y]);
                }
            }
        }
        best
    }

    /// The deepest place: how deep, mm, and where.
    #[must_use]
    pub fn deepest(&self) -> (f64, [f64; 2]) {
        self.largest(|s| s[0])
    }

    /// The most strained place: stress, MPa, and where.
    #[must_use]
    pub fn most_strained(&self) -> (f64, [f64; 2]) {
        self.largest(|s| self.strained(s))
    }
}

#[cfg(test)]
mod tests;
