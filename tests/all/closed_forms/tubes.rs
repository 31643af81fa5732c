//! Tubes at their largest outline, sockets, clamps and shields.

use super::*;

/// Two retainers with typed outlines, two without, one base of each kind; 18 mm or more of room between them.
fn design() -> String {
    on_plate(
        r#"
[[tube]]
id = "V1"
type = "12AX7"
diameter = 22
seated = 50
at = { left = 60, front = 70 }
[[tube]]
id = "V2"
type = "12AX7"
retainer = "shield"
turn = 90
at = { left = 120, front = 70 }
[[tube]]
id = "V3"
type = "6AQ5"
retainer = "clamp"
at = { left = 180, front = 70 }
[[tube]]
id = "V4"
type = "6L6GC"
retainer = "clamp"
at = { left = 250, front = 70 }
[[tube]]
id = "V5"
type = "6V6GT"
diameter = 33
seated = 75
at = { left = 330, front = 70 }
"#,
    )
}

/// A cylinder whose upper edge is a quarter of a ring of radius `s`: by Pappus, its quarter disc's centre of area lies 4 s / 3 pi, its arc's
/// centre 2 s / pi outside the ring's centre circle.
fn round_topped(r: f64, high: f64, s: f64) -> Form {
    let inner = r - s;
    form(
        PI * r * r * (high - s)
            + PI * inner * inner * s
            + 2.0 * PI * (inner + 4.0 * s / (3.0 * PI)) * (PI * s * s / 4.0),
        PI * r * r
            + 2.0 * PI * r * (high - s)
            + 2.0 * PI * (inner + 2.0 * s / PI) * (PI * s / 2.0)
            + PI * inner * inner,
    )
}

/// What two circles of radius `a` and `b` share when their centres stand `c` apart, and the angles it takes of each, seen from the centres.
struct Lens {
    area: f64,
    from_a: f64,
    from_b: f64,
}

fn lens(a: f64, b: f64, c: f64) -> Lens {
    assert!((a - b).abs() < c && c < a + b, "the circles cross");
    let from_a = 2.0 * ((c * c + a * a - b * b) / (2.0 * c * a)).acos();
    let from_b = 2.0 * ((c * c + b * b - a * a) / (2.0 * c * b)).acos();
    Lens {
        area: (a * a * (from_a - from_a.sin()) + b * b * (from_b - from_b.sin())) / 2.0,
        from_a,
        from_b,
    }
}

/// A strip of half width `q` with round ends about two screws `2 a` apart, joined with a disc of radius `r` between them.
fn saddle(a: f64, q: f64, r: f64) -> Section {
    if (r * r - q * q).sqrt() < a {
        // the disc crosses the straight edges: beyond it remain a rectangle less a piece of the disc, and half a disc
        let half = (q / r).asin();
        let chord = (r * r - q * q).sqrt();
        section(
            PI * r * r + 2.0 * (2.0 * q * a + PI * q * q / 2.0 - (q * chord + r * r * half)),
            2.0 * PI * r - 4.0 * r * half + 2.0 * (2.0 * (a - chord) + PI * q),
        )
    } else {
        // the disc crosses the round ends: three discs
        let both = lens(r, q, a);
        section(
            PI * r * r + 2.0 * (PI * q * q - both.area),
            r * (2.0 * PI - 2.0 * both.from_a) + 2.0 * q * (2.0 * PI - both.from_b),
        )
    }
}

struct Socket {
    body: f64,
    /// Body under the flange.
    under: f64,
    spacing: f64,
    strip: f64,
    screw_hole: f64,
    flange: f64,
    below: f64,
    /// Over the plate.
    top: f64,
}

/// The catalogue's usual sockets. Spacing 7/8, 1 1/8 and 1 1/2 in; holes for M3 and M4 (ISO 273). Below its flange the miniature's body of
/// 15 mm is drawn in to stay 4.5 mm from the screws' axes.
const MINIATURE: Socket = Socket {
    body: 15.0,
    under: 0.875 * 25.4 - 9.0,
    spacing: 0.875 * 25.4,
    strip: 8.0,
    screw_hole: 3.4,
    flange: 1.0,
    below: 20.0,
    top: 3.5,
};
const NOVAL: Socket = Socket {
    body: 18.0,
    under: 18.0,
    spacing: 1.125 * 25.4,
    strip: 8.5,
    screw_hole: 3.4,
    flange: 1.0,
    below: 20.0,
    top: 3.5,
};
const OCTAL: Socket = Socket {
    body: 27.5,
    under: 27.5,
    spacing: 38.1,
    strip: 11.0,
    screw_hole: 4.5,
    flange: 1.2,
    below: 25.0,
    top: 4.5,
};

impl Socket {
    fn saddle(&self, r: f64) -> Section {
        saddle(self.spacing / 2.0, self.strip / 2.0, r).less(2, disc(self.screw_hole))
    }

    fn form(&self) -> Form {
        let flange = self.saddle(self.body / 2.0 + 1.0);
        let (under, body) = (disc(self.under), disc(self.body));
        let through = 3.0 + self.top;
        form(
            under.area * (self.below - self.flange)
                + flange.area * self.flange
                + body.area * through,
            // both ends and both faces of the flange are together as large as the flange's two faces
            under.rim * (self.below - self.flange)
                + flange.rim * self.flange
                + body.rim * through
                + 2.0 * flange.area,
        )
    }

    fn place(&self, x: f64, y: f64, turned: bool) -> Box3 {
        let (long, across) = (self.spacing / 2.0 + self.strip / 2.0, self.body / 2.0 + 1.0);
        let half = if turned {
            [across, long]
        } else {
            [long, across]
        };
        about(x, y, half, [90.0 - self.below, 93.0 + self.top])
    }

    /// A saddle of 0.8 mm and a ring on it, which is notched where the heads of the socket's screws (with half a mm of room) stand in its wall.
    fn retainer(&self, inside: f64, wall: f64, high: f64, head: [f64; 2]) -> Form {
        let (a, b, c) = (inside + wall, inside, self.spacing / 2.0);
        let foot = self.saddle(a + 0.5).less(1, disc(self.body + 0.8));
        let whole = ring(2.0 * a, 2.0 * b);
        let notch = head[0] / 2.0 + 0.5;
        assert!(c - notch < b, "the heads reach through the wall");
        let (outer, inner) = (lens(a, notch, c), lens(b, notch, c));
        // of the ring remain two pieces; each notch takes an arc of both circles and adds two arcs of its own
        let cut = section(
            whole.area - 2.0 * (outer.area - inner.area),
            whole.rim - 2.0 * (a * outer.from_a + b * inner.from_a)
                + 2.0 * notch * (outer.from_b - inner.from_b),
        );
        let top = 0.8 + head[1] + 0.5;
        form(
            foot.area * 0.8 + cut.area * (top - 0.8) + whole.area * (high - top),
            // seen from below the foot and the ring over the notches, seen from above the ring and the foot beside it
            2.0 * foot.area
                + 2.0 * (whole.area - cut.area)
                + foot.rim * 0.8
                + cut.rim * (top - 0.8)
                + whole.rim * (high - top),
        )
    }
}

fn all_glass_tubes(b: &Built) {
    // the shoulder's radius is 0.6 of the tube's; V1 stands on its socket's top, 3.5 over the plate
    b.has(
        "V1",
        round_topped(11.0, 50.0, 6.6),
        about(60.0, 100.0, [11.0; 2], [96.5, 146.5]),
    );
    // 12AX7: 7/8 by 1 15/16 in seated; 6AQ5: 3/4 by 2 3/8 in
    let (r, h) = (0.4375 * 25.4, 1.9375 * 25.4);
    b.has(
        "V2",
        round_topped(r, h, 0.6 * r),
        about(120.0, 100.0, [r; 2], [96.5, 96.5 + h]),
    );
    let (r, h) = (0.375 * 25.4, 2.375 * 25.4);
    b.has(
        "V3",
        round_topped(r, h, 0.6 * r),
        about(180.0, 100.0, [r; 2], [96.5, 96.5 + h]),
    );
}

fn octal_tubes_with_and_without_a_step_over_the_base(b: &Built) {
    // 6L6GC: 1 7/16 by 3 11/16 in. Its base shell of 33.3 mm, 24 high, is slimmer than the bulb: a cone of 45 degrees joins them.
    let (r, h, base, shell) = (1.4375 * 12.7, 3.6875 * 25.4, 16.65, 24.0);
    let step = r - base;
    let bulb = round_topped(r, h - shell - step, 0.6 * r).plus(
        PI * base * base * shell + frustum(base, r, step),
        // the base's face is smaller than the bulb's
        PI * (base * base - r * r) + 2.0 * PI * base * shell + cone_wall(base, r, step),
    );
    b.has("V4", bulb, about(250.0, 100.0, [r; 2], [97.5, 97.5 + h]));
    // a bulb of 33 mm is no wider than its base
    b.has(
        "V5",
        round_topped(16.5, 75.0, 9.9),
        about(330.0, 100.0, [16.5; 2], [97.5, 172.5]),
    );
}

fn sockets(b: &Built) {
    b.has("V1-socket", NOVAL.form(), NOVAL.place(60.0, 100.0, false));
    b.has("V2-socket", NOVAL.form(), NOVAL.place(120.0, 100.0, true));
    b.has(
        "V3-socket",
        MINIATURE.form(),
        MINIATURE.place(180.0, 100.0, false),
    );
    b.has("V4-socket", OCTAL.form(), OCTAL.place(250.0, 100.0, false));
    b.has("V5-socket", OCTAL.form(), OCTAL.place(330.0, 100.0, false));
}

fn retainers_with_notches_for_the_screw_heads(b: &Built) {
    // shield: 0.8 mm of air and 0.8 mm of wall, 4 mm over the tube
    let inside = 0.4375 * 25.4 + 0.8;
    let high = 3.5 + 1.9375 * 25.4 + 4.0;
    let shield = NOVAL.retainer(inside, 0.8, high, [5.6, 2.4]);
    let long = NOVAL.spacing / 2.0 + 4.25;
    // turned by 90 degrees its ears point along y
    b.has(
        "V2-retainer",
        shield,
        about(120.0, 100.0, [inside + 1.3, long], [93.0, 93.0 + high]),
    );
    // clamps: 0.3 mm of air and 1.5 mm of wall, 14 mm up the tube
    let inside = 0.375 * 25.4 + 0.3;
    let clamp = MINIATURE.retainer(inside, 1.5, 17.5, [5.6, 2.4]);
    let half = [MINIATURE.spacing / 2.0 + 4.0, inside + 2.0];
    b.has(
        "V3-retainer",
        clamp,
        about(180.0, 100.0, half, [93.0, 110.5]),
    );
    let inside = 1.4375 * 12.7 + 0.3;
    let clamp = OCTAL.retainer(inside, 1.5, 18.5, [8.0, 3.1]);
    let half = [OCTAL.spacing / 2.0 + 5.5, inside + 2.0];
    b.has(
        "V4-retainer",
        clamp,
        about(250.0, 100.0, half, [93.0, 111.5]),
    );
}

fn socket_screws_and_the_plate(b: &Built) {
    // M3 (ISO 7045 head 5.6 x 2.4, ISO 4032 nut 5.5 x 2.4): 3 + 1 and nut and 1 are 7.4, over a saddle 8.2
    let m3 = |l: f64| pan_screw(3.0, 5.6, 2.4, l);
    let x = 60.0 - 0.5625 * 25.4;
    b.has(
        "V1-socket-screw-1",
        m3(8.0),
        about(x, 100.0, [2.8; 2], [85.0, 95.4]),
    );
    b.has(
        "V1-socket-nut-1",
        nut(5.5, 3.0, 2.4),
        about(x, 100.0, [5.5 / 3f64.sqrt(), 2.75], [86.6, 89.0]),
    );
    b.is("V2-socket-screw-1", m3(10.0));
    b.is("V3-socket-screw-2", m3(10.0));
    // M4 (head 8.0 x 3.1, nut 7.0 x 3.2): 3 + 1.2 and nut and 1 are 8.4, over a saddle 9.2
    b.has(
        "V4-socket-screw-2",
        pan_screw(4.0, 8.0, 3.1, 10.0),
        about(269.05, 100.0, [4.0; 2], [83.8, 96.9]),
    );
    b.has(
        "V5-socket-nut-2",
        nut(7.0, 4.0, 3.2),
        about(349.05, 100.0, [7.0 / 3f64.sqrt(), 3.5], [85.6, 88.8]),
    );
    // chassis holes 5/8, 3/4 and 1 1/8 in
    let sheet = plate()
        .bored(1, 0.625 * 25.4, 3.0)
        .bored(2, 0.75 * 25.4, 3.0)
        .bored(2, 1.125 * 25.4, 3.0)
        .bored(6, 3.4, 3.0)
        .bored(4, 4.5, 3.0);
    b.has("plate", sheet, [[-7.2, 30.0, 90.0], [407.2, 210.0, 93.0]]);
}

#[test]
fn every_part_of_tubes_on_a_plate() {
    let b = Built::new(&design());
    all_glass_tubes(&b);
    octal_tubes_with_and_without_a_step_over_the_base(&b);
    sockets(&b);
    retainers_with_notches_for_the_screw_heads(&b);
    socket_screws_and_the_plate(&b);
    b.all_but(measured_in_cabinet);
}

#[test]
fn hanging_tubes_are_the_same_solids_upside_down() {
    let text = design()
        .replace("[chassis]", "[chassis]\nposition = \"roof\"")
        .replace("height = 90", "height = 150");
    let b = Built::new(&text);
    // the components' face is the lower one, at 150
    b.has(
        "V1",
        round_topped(11.0, 50.0, 6.6),
        about(60.0, 100.0, [11.0; 2], [96.5, 146.5]),
    );
    let socket = about(
        60.0,
        100.0,
        [NOVAL.spacing / 2.0 + 4.25, 10.0],
        [146.5, 173.0],
    );
    b.has("V1-socket", NOVAL.form(), socket);
}
