use glam::{DVec3, Vec3};

/// A parallel projection to a picture of given size. Depth runs away from the viewer.
#[derive(Clone, Copy, Debug)]
pub(super) struct Camera {
    /// Unit vector to the right of the picture, amp frame.
    pub right: DVec3,
    /// Unit vector up.
    pub up: DVec3,
    /// Unit vector towards the viewer.
    pub back: DVec3,
    /// Pixels per mm.
    pub scale: f64,
    /// Where the amp frame's origin lands, pixels from the top left.
    pub origin: [f64; 2],
}

impl Camera {
    /// Looking from `from`; `up` need not be square to it.
    pub fn looking_from(from: DVec3, up: DVec3) -> Camera {
        let back = from.normalize();
        let right = up.cross(back).normalize();
        Camera {
            right,
            up: back.cross(right),
            back,
            scale: 1.0,
            origin: [0.0; 2],
        }
    }

    /// The same with scale and place such that all `points` fill the rectangle (x0, y0, x1, y1).
    pub fn fitted(
        mut self,
        points: impl Iterator<Item = DVec3>,
        [x0, y0, x1, y1]: [f64; 4],
    ) -> Camera {
        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        for p in points {
            for (k, v) in [p.dot(self.right), -p.dot(self.up)].into_iter().enumerate() {
                low[k] = low[k].min(v);
                high[k] = high[k].max(v);
            }
        }
        if low[0] > high[0] {
            return self;
        }
        let size = [(high[0] - low[0]).max(1.0), (high[1] - low[1]).max(1.0)];
        self.scale = ((x1 - x0) / size[0]).min((y1 - y0) / size[1]);
        let middle = [f64::midpoint(x0, x1), f64::midpoint(y0, y1)];
        for k in 0..2 {
            self.origin[k] = middle[k] - self.scale * f64::midpoint(low[k], high[k]);
        }
        self
    }

    /// Pixel and depth in mm.
    pub fn project(&self, p: DVec3) -> Vec3 {
        DVec3::new(
            self.origin[0] + self.scale * p.dot(self.right),
            self.origin[1] - self.scale * p.dot(self.up),
            -p.dot(self.back),
        )
        .as_vec3()
    }

    /// A unit normal as the viewer sees it: right, up, towards the viewer.
    pub fn facing(&self, n: DVec3) -> Vec3 {
        DVec3::new(n.dot(self.right), n.dot(self.up), n.dot(self.back)).as_vec3()
    }
}
