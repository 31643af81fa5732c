use super::Mesh;

/// A mesh in the single precision that STL, GLB and 3MF readers keep, still closed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rounded {
    /// Corners in mm; no two are equal and no coordinate is `-0.0`.
    pub points: Vec<[f32; 3]>,
    /// Corner indices, counter-clockwise seen from outside, no two equal in one triangle.
    pub triangles: Vec<[u32; 3]>,
}

impl Mesh {
    /// Rounds the corners to `f32`.
    ///
    /// Corners that become equal are joined and the triangles that this flattens are dropped. Both triangles at a vanished edge
    /// go together, so what is left is closed. `-0.0` becomes `0.0`, because readers that compare bits would split the corner.
    #[must_use]
    pub fn rounded(&self) -> Rounded {
        // Adding 0.0 turns -0.0 into 0.0.
        let all: Vec<[f32; 3]> = self
            .points
            .iter()
            .map(|p| [p.x as f32 + 0.0, p.y as f32 + 0.0, p.z as f32 + 0.0])
            .collect();

        let mut used = vec![false; all.len()];
        self.triangles
            .iter()
            .flatten()
            .for_each(|&i| used[i as usize] = true);
        let mut order: Vec<u32> = (0..all.len() as u32)
            .filter(|&i| used[i as usize])
            .collect();
        let key = |i: u32| all[i as usize].map(f32::to_bits);
        order.sort_unstable_by_key(|&i| (key(i), i));

        // Each corner is represented by the first of those equal to it; numbering by first use keeps the order of the body.
        let mut same_as: Vec<u32> = (0..all.len() as u32).collect();
        for pair in order.windows(2) {
            if key(pair[0]) == key(pair[1]) {
                same_as[pair[1] as usize] = same_as[pair[0] as usize];
            }
        }
        let mut number = vec![u32::MAX; all.len()];
        let mut out = Rounded {
            points: Vec::with_capacity(all.len()),
            triangles: Vec::with_capacity(self.triangles.len()),
        };
        for triangle in &self.triangles {
            let [a, b, c] = triangle.map(|i| same_as[i as usize]);
            if a == b || b == c || c == a {
                continue;
            }
            out.triangles.push([a, b, c].map(|i| {
                let slot = &mut number[i as usize];
                if *slot == u32::MAX {
                    *slot = out.points.len() as u32;
                    out.points.push(all[i as usize]);
                }
                *slot
            }));
        }
        out
    }
}
