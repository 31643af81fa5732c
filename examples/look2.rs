use groovewright::solid::*;
use groovewright::{design, mesh, model, params};
use std::collections::BTreeMap;
fn main() {
    let text = std::fs::read_to_string(std::env::args().nth(1).unwrap()).unwrap();
    let want = std::env::args().nth(2).unwrap();
    let p = params::parse(&text).unwrap();
    let d = design::resolve(&p, &Default::default(), &design::Limits::STANDARD).unwrap();
    let a = model::assemble(&d).unwrap();
    let mut all: BTreeMap<String, usize> = BTreeMap::new();
    for (i, s) in a.shapes.iter().enumerate() {
        let id = &a.parts.iter().find(|p| p.shape == i).unwrap().id;
        let f = mesh::faced_mesh(&s.body, mesh::Division::Outward { deviation: 0.012 });
        let mut by: BTreeMap<String, usize> = BTreeMap::new();
        for &x in &f.face_of {
            let face = &s.body.faces[x as usize];
            let k = match face.surface {
                Surface::Plane { .. } => "plane".to_string(),
                Surface::Cylinder { radius, .. } => format!("cyl {radius:.2} {}", face.sense),
                Surface::Cone { radius, slope, .. } => {
                    format!("cone {radius:.2} {slope:.2} {}", face.sense)
                }
                Surface::Sphere { radius, .. } => format!("sphere {radius:.2} {}", face.sense),
                Surface::Torus { major, minor, .. } => {
                    format!("torus {major:.2} {minor:.2} {}", face.sense)
                }
            };
            *all.entry(k.split(' ').next().unwrap().into()).or_default() += 1;
            *by.entry(k).or_default() += 1;
        }
        if id == &want || want == "all" {
            let n: BTreeMap<String, usize> =
                s.body.faces.iter().fold(BTreeMap::new(), |mut m, f| {
                    *m.entry(
                        match f.surface {
                            Surface::Plane { .. } => "plane",
                            Surface::Cylinder { .. } => "cyl",
                            Surface::Cone { .. } => "cone",
                            Surface::Sphere { .. } => "sphere",
                            _ => "torus",
                        }
                        .to_string(),
                    )
                    .or_default() += 1;
                    m
                });
            println!("{id} {} {by:?} faces {n:?}", f.mesh.triangles.len());
        }
    }
    println!("{all:?}");
}
