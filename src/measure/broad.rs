use glam::DVec3;

/// Pairs of boxes (least and greatest corner) whose distance is at most `reach` mm, each with the smaller index first, in rising
/// order.
///
/// Boxes are swept along the axis over which they are spread most, so the cost is that of sorting and of the boxes that overlap
/// in that one direction.
#[must_use]
pub fn near_pairs(boxes: &[[DVec3; 2]], reach: f64) -> Vec<(usize, usize)> {
    let Some(axis) = widest(boxes) else {
        return Vec::new();
    };
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by(|&i, &j| {
        boxes[i][0][axis]
            .total_cmp(&boxes[j][0][axis])
            .then(i.cmp(&j))
    });

    let mut out = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    for &i in &order {
        let [low, high] = boxes[i];
        let mut k = 0;
        while k < open.len() {
            let j = open[k];
            if boxes[j][1][axis] + reach < low[axis] {
                open.swap_remove(k);
                continue;
            }
            let apart = (low - boxes[j][1]).max(boxes[j][0] - high).max(DVec3::ZERO);
            if apart.length_squared() <= reach * reach {
                out.push((i.min(j), i.max(j)));
            }
            k += 1;
        }
        open.push(i);
    }
    out.sort_unstable();
    out
}

/// The axis along which the middles of the boxes are spread most.
fn widest(boxes: &[[DVec3; 2]]) -> Option<usize> {
    let middle = |b: &[DVec3; 2]| b[0] + b[1];
    let first = middle(boxes.first()?);
    let (low, high) = boxes
        .iter()
        .map(middle)
        .fold((first, first), |(l, h), m| (l.min(m), h.max(m)));
    Some((high - low).max_position())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn finds_the_same_pairs_as_trying_all(
            seeds in proptest::collection::vec(((-90.0..90.0, -90.0..90.0, -90.0..90.0), (0.0..30.0, 0.0..30.0, 0.0..30.0)), 0..40),
            reach in 0.0..40.0,
        ) {
            let boxes: Vec<[DVec3; 2]> = seeds
                .into_iter()
                .map(|((x, y, z), (w, d, h))| [DVec3::new(x, y, z), DVec3::new(x + w, y + d, z + h)])
                .collect();
            let mut all = Vec::new();
            for i in 0..boxes.len() {
                for j in i + 1..boxes.len() {
                    let d: f64 = (0..3)
                        .map(|k| (boxes[i][0][k] - boxes[j][1][k]).max(boxes[j][0][k] - boxes[i][1][k]).max(0.0).powi(2))
                        .sum();
                    if d.sqrt() <= reach {
                        all.push((i, j));
                    }
                }
            }
            prop_assert_eq!(near_pairs(&boxes, reach), all);
        }
    }
}
