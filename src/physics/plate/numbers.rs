//! Legendre polynomials, Gauss's rule and Cholesky's method.

use std::f64::consts::PI;

/// Legendre polynomials 0 to `n` - 1 at `s` in -1 to 1, with first and second derivatives.
pub(super) fn legendre(s: f64, n: usize) -> Vec<[f64; 3]> {
    let mut p = vec![[1.0, 0.0, 0.0], [s, 1.0, 0.0]];
    for k in 1..n.max(2) - 1 {
        let (a, b) = (p[k], p[k - 1]);
        let c = (2 * k + 1) as f64;
        let d = (k + 1) as f64;
        p.push([
            (c * s * a[0] - k as f64 * b[0]) / d,
            b[1] + c * a[0],
            b[2] + c * a[1],
        ]);
    }
    p.truncate(n);
    p
}

/// Nodes and weights of Gauss's rule on -1 to 1 (Newton's method on the Legendre polynomial).
pub(super) fn gauss(n: usize) -> Vec<[f64; 2]> {
    (1..=n)
        .map(|i| {
            let mut s = (PI * (i as f64 - 0.25) / (n as f64 + 0.5)).cos();
            for _ in 0..20 {
                let p = legendre(s, n + 1)[n];
                s -= p[0] / p[1];
            }
            let slope = legendre(s, n + 1)[n][1];
            [s, 2.0 / ((1.0 - s * s) * slope * slope)]
        })
        .collect()
}

/// Cholesky's method on the lower half of `k`; `rhs` becomes the answer.
pub(super) fn solve(k: &mut [f64], rhs: &mut [f64], n: usize) -> Option<()> {
    for i in 0..n {
        for j in 0..=i {
            let (a, b) = (&k[i * n..i * n + j], &k[j * n..j * n + j]);
            let done: f64 = a.iter().zip(b).map(|(x, y)| x * y).sum();
            let v = k[i * n + j] - done;
            if i == j {
                if !(v > 0.0 && v.is_finite()) {
                    return None;
                }
                k[i * n + i] = v.sqrt();
            } else {
                k[i * n + j] = v / k[j * n + j];
            }
        }
    }
    for i in 0..n {
        let done: f64 = (0..i).map(|j| k[i * n + j] * rhs[j]).sum();
        rhs[i] = (rhs[i] - done) / k[i * n + i];
    }
    for i in (0..n).rev() {
        let done: f64 = (i + 1..n).map(|j| k[j * n + i] * rhs[j]).sum();
        rhs[i] = (rhs[i] - done) / k[i * n + i];
    }
    Some(())
}
