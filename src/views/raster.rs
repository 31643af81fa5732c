//! Depth-buffered drawing of one view, in bands so that memory stays low.
//!
//! Surfaces are sampled four times per pixel. Lines are stroked over them with exact coverage, where the depth says that they are
//! seen: a sample is hidden when everything around it is nearer than the line.

use super::canvas::{Canvas, Rgb, mix, stroke};
use glam::Vec3;

/// Samples per pixel along each axis.
const FINE: usize = 2;

/// Rows of pixels in a band, and how far lines look beyond it.
const BAND: usize = 96;
const MARGIN: usize = 3;

/// No item.
pub(super) const NOTHING: u32 = u32::MAX;

/// Set in an item's number where its cut face is seen.
const CUT: u32 = 1 << 31;

/// Pixels of the picture per cell of [`Drawn::seen`].
pub(super) const CELL: usize = 2;

/// How an item looks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Look {
    pub colour: Rgb,
    /// See-through.
    pub ghost: bool,
    /// Share of a see-through surface in the colour.
    pub veil: f32,
    /// Stripes of a cut face slant to the right or to the left.
    pub slant: bool,
}

/// A triangle in pixels (x, y from the top left) and depth in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tri {
    pub at: [Vec3; 3],
    /// Brightness at the corners, 0 to 1.
    pub shade: [f32; 3],
    pub item: u32,
    /// Looks away from the viewer: only seen where the solid is cut open.
    pub away: bool,
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pen {
    /// An edge between two visible faces.
    Edge,
    /// The outline of a part.
    Outline,
    /// The outline of a cut face.
    Cut,
    /// An edge of a see-through part.
    Ghost,
}

impl Pen {
    fn width(self) -> f32 {
        match self {
            Pen::Edge => 1.0,
            Pen::Outline => 1.6,
            Pen::Cut => 2.4,
            Pen::Ghost => 1.1,
        }
    }
}

/// A straight line in pixels and depth.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line {
    pub ends: [Vec3; 2],
    pub pen: Pen,
}

/// What is drawn.
pub(super) struct Picture<'a> {
    pub looks: &'a [Look],
    pub tris: &'a [Tri],
    pub lines: &'a [Line],
    /// Depth before which everything is cut away, mm.
    pub near: Option<f32>,
    /// mm per pixel.
    pub pixel: f32,
    pub paper: Rgb,
    pub ink: Rgb,
}

/// Which items are seen where: one cell per [`CELL`] x [`CELL`] pixels.
pub(super) struct Seen {
    pub columns: usize,
    /// Nearest solid item.
    pub solid: Vec<u32>,
    /// Nearest see-through item that is in front of it.
    pub ghost: Vec<u32>,
}

/// Samples of one band.
struct Band {
    /// First row of samples; may be negative at the top.
    first: i32,
    columns: usize,
    rows: usize,
    solid: Layer,
    ghost: Layer,
}

struct Layer {
    depth: Vec<f32>,
    item: Vec<u32>,
    shade: Vec<u8>,
}

impl Layer {
    fn new(count: usize) -> Layer {
        Layer {
            depth: vec![f32::INFINITY; count],
            item: vec![NOTHING; count],
            shade: vec![0; count],
        }
    }

    fn clear(&mut self) {
        self.depth.fill(f32::INFINITY);
        self.item.fill(NOTHING);
    }
}

impl Picture<'_> {
    /// Draws onto the canvas and tells what is seen where.
    pub fn draw(&self, canvas: &mut Canvas) -> Seen {
        let rows = (BAND + 2 * MARGIN) * FINE;
        let columns = canvas.width * FINE;
        let mut band = Band {
            first: 0,
            columns,
            rows,
            solid: Layer::new(rows * columns),
            ghost: Layer::new(rows * columns),
        };
        let mut ink = vec![[0_u8; 2]; BAND * canvas.width];
        let cells = canvas.width.div_ceil(CELL);
        let mut seen = Seen {
            columns: cells,
            solid: Vec::new(),
            ghost: Vec::new(),
        };
        let mut top = 0;
        while top < canvas.height {
            let height = BAND.min(canvas.height - top);
            band.first = (top as i32 - MARGIN as i32) * FINE as i32;
            band.solid.clear();
            band.ghost.clear();
            for tri in self.tris {
                band.fill(tri, self.looks[tri.item as usize].ghost, self.near);
            }
            ink.fill([0; 2]);
            for line in self.lines {
                self.trace(&band, line, top, height, canvas.width, &mut ink);
            }
            self.resolve(&band, &ink, top, height, canvas);
            for y in (top..top + height).filter(|y| y % CELL == 0) {
                for x in (0..canvas.width).step_by(CELL) {
                    let at = (y + MARGIN - top) * FINE * columns + x * FINE;
                    let front = band.ghost.depth[at] < band.solid.depth[at];
                    // a cut face is the part too
                    let item = band.solid.item[at];
                    seen.solid
                        .push(if item == NOTHING { item } else { item & !CUT });
                    seen.ghost
                        .push(if front { band.ghost.item[at] } else { NOTHING });
                }
            }
            top += height;
        }
        seen
    }

    /// Adds the seen stretches of a line to the ink of the band's pixels.
    fn trace(
        &self,
        band: &Band,
        line: &Line,
        top: usize,
        height: usize,
        width: usize,
        ink: &mut [[u8; 2]],
    ) {
        let [a, b] = line.ends;
        let reach = line.pen.width();
        let (low, high) = (a.y.min(b.y) - reach, a.y.max(b.y) + reach);
        if high < top as f32 || low > (top + height) as f32 {
            return;
        }
        let along = (b - a).truncate().abs().max_element();
        let steps = (along * FINE as f32).ceil().clamp(1.0, 20_000.0) as u32;
        // Surfaces that slope by 45 degrees towards the viewer rise by a sample's width from one sample to the next.
        let slack = 1.5 * self.pixel / FINE as f32;
        let channel = usize::from(line.pen == Pen::Ghost);
        // the strength of the stretch that is under way, and where it began
        let mut run: Option<(f32, f32)> = None;
        for k in 0..=steps + 1 {
            let t = (k as f32 / steps as f32).min(1.0);
            let strength = if k > steps {
                None
            } else {
                self.strength(band, line.pen, a.lerp(b, t), slack)
            };
            if run.map(|r| r.0) == strength {
                continue;
            }
            if let Some((strength, start)) = run {
                let end = if k > steps {
                    1.0
                } else {
                    (k - 1) as f32 / steps as f32
                };
                let (p, q) = (a.lerp(b, start), a.lerp(b, end));
                let rows = [top as i32, (top + height) as i32];
                stroke(
                    [p.x, p.y],
                    [q.x, q.y],
                    line.pen.width(),
                    rows,
                    width as i32,
                    |x, y, cover| {
                        let slot = &mut ink[(y - top) * width + x][channel];
                        *slot = (*slot).max((cover * strength * 255.0) as u8);
                    },
                );
            }
            run = strength.map(|s| (s, t));
        }
    }

    /// How strongly a line is drawn at a point; not at all where it is hidden.
    fn strength(&self, band: &Band, pen: Pen, p: Vec3, slack: f32) -> Option<f32> {
        match pen {
            Pen::Cut => Some(0.9),
            _ if !band.sees(&band.solid, p, slack) => None,
            Pen::Ghost => Some(if band.sees(&band.ghost, p, slack) {
                0.5
            } else {
                0.22
            }),
            Pen::Edge | Pen::Outline => Some(0.9),
        }
    }

    /// Mixes samples and ink to pixels.
    fn resolve(
        &self,
        band: &Band,
        ink: &[[u8; 2]],
        top: usize,
        height: usize,
        canvas: &mut Canvas,
    ) {
        for y in 0..height {
            for x in 0..canvas.width {
                let mut sum = [0_u32; 3];
                for dy in 0..FINE {
                    for dx in 0..FINE {
                        let at = ((y + MARGIN) * FINE + dy) * band.columns + x * FINE + dx;
                        let c = self.sample(band, at, x * FINE + dx, (y + top) * FINE + dy);
                        for k in 0..3 {
                            sum[k] += u32::from(c[k]);
                        }
                    }
                }
                let mut c = sum.map(|v| (v / (FINE * FINE) as u32) as u8);
                let [line, ghost] = ink[y * canvas.width + x];
                if ghost > 0 {
                    c = mix(c, self.ink, f32::from(ghost) / 255.0);
                }
                if line > 0 {
                    c = mix(c, self.ink, f32::from(line) / 255.0);
                }
                canvas.pixels[(y + top) * canvas.width + x] = c;
            }
        }
    }

    fn sample(&self, band: &Band, at: usize, x: usize, y: usize) -> Rgb {
        let item = band.solid.item[at];
        let mut c = if item == NOTHING {
            self.paper
        } else {
            let look = &self.looks[(item & !CUT) as usize];
            if item & CUT != 0 {
                stripes(look, x, y, self.ink)
            } else {
                mix([0; 3], look.colour, f32::from(band.solid.shade[at]) / 255.0)
            }
        };
        if band.ghost.depth[at] < band.solid.depth[at] {
            let look = &self.looks[band.ghost.item[at] as usize];
            c = mix(
                c,
                mix([0; 3], look.colour, f32::from(band.ghost.shade[at]) / 255.0),
                look.veil,
            );
        }
        c
    }
}

/// The face of a cut: pale, with slanting stripes as in a workshop drawing.
fn stripes(look: &Look, x: usize, y: usize, ink: Rgb) -> Rgb {
    const PERIOD: usize = 9 * FINE;
    let phase = if look.slant {
        x + y
    } else {
        x + PERIOD * 4096 - y % (PERIOD * 4096)
    };
    let pale = mix(look.colour, [255; 3], 0.45);
    if phase % PERIOD < FINE {
        mix(pale, ink, 0.45)
    } else {
        pale
    }
}

impl Band {
    fn fill(&mut self, tri: &Tri, ghost: bool, near: Option<f32>) {
        let scale = FINE as f32;
        let [a, b, c] = tri.at.map(|p| Vec3::new(p.x * scale, p.y * scale, p.z));
        let first = self.first as f32;
        let (low, high) = (a.y.min(b.y).min(c.y), a.y.max(b.y).max(c.y));
        let from = (low - 0.5 - first).ceil().max(0.0) as usize;
        let last = (high - 0.5 - first).floor().min(self.rows as f32 - 1.0);
        if last < 0.0 || from > last as usize {
            return;
        }
        let layer = if ghost {
            &mut self.ghost
        } else {
            &mut self.solid
        };
        // depth and shade change linearly over the picture
        let (u, v) = (b - a, c - a);
        let area = u.x * v.y - u.y * v.x;
        let slope = |du: f32, dv: f32| {
            if area.abs() > 1e-6 {
                [(du * v.y - dv * u.y) / area, (dv * u.x - du * v.x) / area]
            } else {
                [0.0; 2]
            }
        };
        let (dz, ds) = (
            slope(u.z, v.z),
            slope(tri.shade[1] - tri.shade[0], tri.shade[2] - tri.shade[0]),
        );
        let (z_low, z_high) = (a.z.min(b.z).min(c.z), a.z.max(b.z).max(c.z));
        let [s_low, s_high] = [
            tri.shade.iter().copied().fold(1.0, f32::min),
            tri.shade.iter().copied().fold(0.0, f32::max),
        ];
        for row in from..=last as usize {
            let y = row as f32 + first + 0.5;
            let (mut left, mut right) = (f32::INFINITY, f32::NEG_INFINITY);
            for (p, q) in [(a, b), (b, c), (c, a)] {
                if (p.y <= y) == (q.y <= y) {
                    continue;
                }
                let x = p.x + (q.x - p.x) * ((y - p.y) / (q.y - p.y));
                left = left.min(x);
                right = right.max(x);
            }
            let (start, end) = (
                (left - 0.5).ceil().max(0.0),
                (right - 0.5).floor().min(self.columns as f32 - 1.0),
            );
            if start > end || !start.is_finite() || !end.is_finite() {
                continue;
            }
            for column in start as usize..=end as usize {
                let (rx, ry) = (column as f32 + 0.5 - a.x, y - a.y);
                let mut z = (a.z + rx * dz[0] + ry * dz[1]).clamp(z_low, z_high);
                let mut item = tri.item;
                if let Some(near) = near {
                    if z < near {
                        continue;
                    }
                    if tri.away {
                        // Where the first thing behind the cut is the far side of a solid, the cut went through it. The far side
                        // lies on the near side of a neighbour that touches it, so it is drawn a little nearer.
                        z -= 0.01;
                        item |= CUT;
                    }
                }
                let at = row * self.columns + column;
                if z < layer.depth[at] {
                    layer.depth[at] = z;
                    layer.item[at] = item;
                    let s = (tri.shade[0] + rx * ds[0] + ry * ds[1]).clamp(s_low, s_high);
                    layer.shade[at] = (s * 255.0) as u8;
                }
            }
        }
    }

    /// Whether a point of a line is seen before a layer.
    fn sees(&self, layer: &Layer, p: Vec3, slack: f32) -> bool {
        let x = (p.x * FINE as f32).floor() as i32;
        let y = (p.y * FINE as f32).floor() as i32 - self.first;
        // outside the band it does not matter, outside the picture nothing hides it
        if y < 1 || y + 1 >= self.rows as i32 || x < 1 || x + 1 >= self.columns as i32 {
            return true;
        }
        let depth = |dx: i32, dy: i32| {
            let at = (y + dy) as usize * self.columns + (x + dx) as usize;
            // a cut face lies before everything that is left
            if layer.item[at] != NOTHING && layer.item[at] & CUT != 0 {
                f32::NEG_INFINITY
            } else {
                layer.depth[at]
            }
        };
        let mut far = f32::NEG_INFINITY;
        for dy in -1..=1 {
            for dx in -1..=1 {
                far = far.max(depth(dx, dy));
            }
        }
        p.z <= far + slack
    }
}
