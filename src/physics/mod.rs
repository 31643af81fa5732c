//! Bending plates, magnetic dipoles, warm air, masses: formulas with their sources. Knows nothing of amplifiers.
//!
//! Every module says what its formula leaves out and which way that errs.

pub mod air;
pub mod body;
pub mod dipole;
pub mod plate;
pub mod skin;

/// Standard gravity, m/s2 (ISO 80000-3, exact).
pub const GRAVITY: f64 = 9.80665;
