use groovewright::{design, mesh, model, params};
use groovewright::solid::*;
use std::f64::consts::PI;
fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let p = params::parse(&text).unwrap();
    let d = design::resolve(&p, &Default::default(), &design::Limits::STANDARD).unwrap();
    let a = model::assemble(&d).unwrap();
    let dev = 0.012;
    let (mut cur, mut ideal) = ([0f64; 4], [0f64; 4]);
    let (mut partial, mut total) = (0usize, 0usize);
    for s in &a.shapes {
        let f = mesh::faced_mesh(&s.body, mesh::Division::Outward { deviation: dev });
        let mut n = vec![0usize; s.body.faces.len()];
        for &x in &f.face_of { n[x as usize] += 1; }
        for (i, face) in s.body.faces.iter().enumerate() {
            total += n[i];
            let Some(q) = s.body.patch(face) else { continue };
            if q.side.arc.is_some() { continue }
            let full = (q.sweep - PI).abs() < 1e-9;
            if !full { partial += n[i]; continue }
            let k = usize::from(face.sense) * 2 + usize::from(q.side.from.x != q.side.to.x);
            cur[k] += n[i] as f64;
            let need = |r: f64| if r > 1e-6 { (PI * (r / (2.0 * dev)).sqrt()).max(6.0).ceil() / 2.0 } else { 0.0 };
            ideal[k] += need(q.side.from.x) + need(q.side.to.x);
        }
    }
    println!("concave cyl, concave cone, convex cyl, convex cone: now {cur:?} ideal {ideal:?}; partial arcs {partial}; all {total}");
}
