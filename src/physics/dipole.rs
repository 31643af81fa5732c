//! Magnetic dipoles: a coil or core seen from further off than its own size.
//!
//! Near by, the real field has more than its dipole in it, and gaps and saturation shape it, so results rank places and turns; they are no
//! levels. No null of a real pair is perfect: [`FLOOR`].

use glam::DVec3;

/// mu0 / 4 pi, T m/A (1e-7 to nine digits, CODATA 2018).
const MU0_4PI: f64 = 1e-7;

/// A null of a real pair is taken to leave this share of the worst turn's coupling, 30 dB down (from memory; no source).
pub const FLOOR: f64 = 0.0316;

/// Field, T, of a dipole of moment `m`, A m2, at `r` from it, m: (mu0 / 4 pi r^3) (3 (m.r^) r^ - m).
#[must_use]
pub fn field(m: DVec3, r: DVec3) -> DVec3 {
    let far = r.length();
    let way = r / far;
    (way * (3.0 * m.dot(way)) - m) * (MU0_4PI / far.powi(3))
}

/// Area of a closed loop through these corners, along its axis; times its current it is a dipole's moment.
#[must_use]
pub fn area(corners: &[DVec3]) -> DVec3 {
    let next = corners.iter().cycle().skip(1);
    (corners.iter().zip(next))
        .map(|(a, b)| a.cross(*b))
        .sum::<DVec3>()
        / 2.0
}

/// Coupling of two dipoles with unit axes, `r` apart: 3 (u1.r^)(u2.r^) - u1.u2, times 1/r^3 left out. 2 end to end, -1 side by side.
#[must_use]
pub fn facing(u1: DVec3, u2: DVec3, r: DVec3) -> f64 {
    let way = r.normalize_or_zero();
    3.0 * u1.dot(way) * u2.dot(way) - u1.dot(u2)
}

/// The coupling over that of the same two end to end `standard` apart: sign dropped.
#[must_use]
pub fn coupling(u1: DVec3, u2: DVec3, r: DVec3, standard: f64) -> f64 {
    facing(u1, u2, r).abs() / 2.0 * (standard / r.length()).powi(3)
}

/// What a victim without an axis of its own gets: the field's size over that on the axis at `standard`.
#[must_use]
pub fn strength(u: DVec3, r: DVec3, standard: f64) -> f64 {
    let way = r.normalize_or_zero();
    (way * (3.0 * u.dot(way)) - u).length() / 2.0 * (standard / r.length()).powi(3)
}

/// The turn, whole degrees from 0 to 179, at which `coupling` is least, and its value; the smallest of several.
#[must_use]
pub fn best_turn(coupling: impl Fn(f64) -> f64) -> (u32, f64) {
    let mut best = (0, f64::INFINITY);
    for degrees in 0..180 {
        let value = coupling(f64::from(degrees));
        // rounding must not choose between two nulls
        if value < best.1 - 1e-9 {
            best = (degrees, value);
        }
    }
    best
}

/// Decibels of a ratio of fields, for print: never below -60.
#[must_use]
pub fn decibels(ratio: f64) -> f64 {
    20.0 * ratio.max(1e-3).log10()
}

#[cfg(test)]
mod tests {
    use super::*;

    const X: DVec3 = DVec3::X;
    const Y: DVec3 = DVec3::Y;
    const Z: DVec3 = DVec3::Z;

    /// The closed cases of the dipole's formula.
    #[test]
    fn closed_cases() {
        let r = X * 120.0;
        assert!((facing(X, X, r) - 2.0).abs() < 1e-12);
        assert!((facing(Y, Y, r) + 1.0).abs() < 1e-12);
        assert!(facing(X, Y, r).abs() < 1e-12);
        assert!(facing(Y, Z, r).abs() < 1e-12);
        // both axes alike, null where cos^2 = 1/3: 54.7356 degrees from the line
        let magic = (1.0_f64 / 3.0).sqrt().acos();
        assert!((magic.to_degrees() - 54.7356).abs() < 1e-4);
        let u = X * magic.cos() + Y * magic.sin();
        assert!(facing(u, u, r).abs() < 1e-12);
        // 18.06 dB for each doubling
        let drop = coupling(X, X, r, 100.0) / coupling(X, X, r * 2.0, 100.0);
        assert!((decibels(drop) - 18.06).abs() < 0.01);
        assert!((coupling(X, X, X * 100.0, 100.0) - 1.0).abs() < 1e-12);
    }

    /// 1 A m2: 200 uT on the axis at 0.1 m, 59.26 at 0.15, 25 at 0.2, half of it beside; the field leans by tan(th)/2 from the line.
    #[test]
    fn field_in_tesla() {
        for (r, on) in [(0.1, 200e-6), (0.15, 59.26e-6), (0.2, 25e-6)] {
            assert!((field(Z, Z * r).length() / on - 1.0).abs() < 1e-4);
            assert!((field(Z, X * r).length() * 2.0 / on - 1.0).abs() < 1e-4);
        }
        for th in [0.2_f64, 0.7, 1.2] {
            let way = Z * th.cos() + X * th.sin();
            let b = field(Z, way * 0.3).normalize();
            let lean = b.dot(way).acos().tan();
            assert!((lean - th.tan() / 2.0).abs() < 1e-9);
            // strength is that of the field
            let s = strength(Z, way * 0.3, 0.1) * 200e-6;
            assert!((s / field(Z, way * 0.3).length() - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_loop_has_its_area() {
        let square = [X + Z, X + Y + Z, Y + Z, Z];
        assert!((area(&square) - Z).length() < 1e-12);
        assert_eq!(area(&[X, Y]), DVec3::ZERO);
        assert_eq!(area(&[]), DVec3::ZERO);
    }

    /// Standing aside at 45 degrees the field leans 26.565 degrees from the line, so the best turn is 161.565, not 90.
    #[test]
    fn another_turn_than_ninety_may_win() {
        let r = DVec3::new(100.0, 100.0, 0.0);
        let at = |deg: f64| {
            let (s, c) = deg.to_radians().sin_cos();
            coupling(X, DVec3::new(c, s, 0.0), r, 100.0)
        };
        let (turn, left) = best_turn(at);
        assert_eq!(turn, 162);
        assert!(left < at(90.0) / 50.0);
        // straight beside or end to end it is 90
        for r in [X * 100.0, Y * 100.0] {
            let at = |deg: f64| {
                let (s, c) = deg.to_radians().sin_cos();
                coupling(X, DVec3::new(c, s, 0.0), r, 100.0)
            };
            assert_eq!(best_turn(at).0, 90);
        }
        // an upright axis in one plane with a lying one is at a null whatever it turns by
        assert_eq!(best_turn(|_| coupling(X, Z, r, 100.0)).0, 0);
    }

    #[test]
    fn coupling_is_mutual_and_bounded() {
        let axes = [
            X,
            Y,
            Z,
            DVec3::new(0.6, 0.0, 0.8),
            DVec3::new(-0.48, 0.64, 0.6),
        ];
        for a in axes {
            for b in axes {
                let r = DVec3::new(70.0, -40.0, 25.0);
                assert!((facing(a, b, r) - facing(b, a, -r)).abs() < 1e-12);
                assert!(facing(a, b, r).abs() <= 2.0 + 1e-12);
                assert!(coupling(a, b, r * 1.5, 100.0) <= coupling(a, b, r, 100.0));
                assert!(strength(a, r, 100.0) >= coupling(a, b, r, 100.0) - 1e-12);
            }
        }
    }
}
