//! Marks of holes: a letter for what is made alike, and a number.

use super::Row;
use crate::design::HoleShape;

/// All holes of one size together, the smallest first, then from left to right; a letter a size.
pub(super) fn tagged(mut rows: Vec<Row>) -> Vec<Row> {
    // what is made alike carries one letter: a countersink, a depth, a leg sets holes apart
    let group = |r: &Row| match &r.shape {
        HoleShape::Round { d } => (0, *d, 0.0, r.purpose.contains("leg on the p")),
        HoleShape::Countersunk { d, head, .. } => (1, *d, *head, false),
        HoleShape::Pilot { drill, depth, .. } => (2, *drill, *depth, false),
        HoleShape::Cut { outline } => (3, outline.area(), outline.length(), false),
    };
    rows.sort_by(|a, b| {
        let (ka, kb) = (group(a), group(b));
        (ka.0 == 3)
            .cmp(&(kb.0 == 3))
            .then(ka.1.total_cmp(&kb.1))
            .then(ka.0.cmp(&kb.0))
            .then(ka.2.total_cmp(&kb.2))
            .then(a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
            .then(a.id.cmp(&b.id))
    });
    let mut letter = 0;
    let mut number = 0;
    for k in 0..rows.len() {
        let same = k > 0 && {
            let (a, b) = (group(&rows[k - 1]), group(&rows[k]));
            a.0 == b.0 && (a.1 - b.1).abs() < 1e-6 && (a.2 - b.2).abs() < 1e-6
        };
        if k > 0 && !same {
            letter += 1;
            number = 0;
        }
        number += 1;
        rows[k].tag = format!("{}{number}", letters(letter));
    }
    rows
}

/// a, b, ... z, aa, ab, ... without i, l and o, which read as figures. Small, because `C1` is a builder's name for a can.
pub(super) fn letters(n: usize) -> String {
    const PLAIN: &[u8; 23] = b"abcdefghjkmnpqrstuvwxyz";
    let last = char::from(PLAIN[n % 23]);
    if n < 23 {
        last.to_string()
    } else {
        format!("{}{last}", letters(n / 23 - 1))
    }
}
