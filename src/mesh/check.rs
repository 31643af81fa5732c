use super::Mesh;

/// What [`Mesh::check`] found; a sound mesh is [`Validity::is_sound`].
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Validity {
    /// Directed edges that no triangle runs the other way: gaps, or neighbours that look to different sides.
    pub open_edges: usize,
    /// Directed edges that more than one triangle runs the same way.
    pub repeated_edges: usize,
    /// Triangles with two corners in the same place.
    pub degenerate: usize,
    /// Whether the triangles as a whole look inwards (the enclosed volume is not positive).
    pub inside_out: bool,
}

impl Validity {
    /// Closed, oriented outwards and without degenerate triangles.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        *self == Validity::default()
    }
}

impl Mesh {
    /// Whether the mesh bounds a solid.
    #[must_use]
    pub fn check(&self) -> Validity {
        let mut edges: Vec<(u32, u32)> = Vec::with_capacity(3 * self.triangles.len());
        let mut degenerate = 0;
        for (t, &[a, b, c]) in self.triangles.iter().enumerate() {
            edges.extend([(a, b), (b, c), (c, a)]);
            let [p, q, r] = self.corners(t);
            degenerate += usize::from(p == q || q == r || r == p);
        }
        edges.sort_unstable();
        let repeated_edges = edges.windows(2).filter(|w| w[0] == w[1]).count();
        let open_edges = edges
            .iter()
            .filter(|&&(a, b)| edges.binary_search(&(b, a)).is_err())
            .count();
        Validity {
            open_edges,
            repeated_edges,
            degenerate,
            inside_out: self.volume() <= 0.0,
        }
    }
}
