//! The truck solid of a body, built one to one: no boolean, no sweep.

use super::maker::Frame;
use super::{Body, Curve, Face as OurFace, SolidError, Surface as OurSurface};
use glam::DVec3;
use std::f64::consts::PI;
use truck_meshalgo::prelude::*;
use truck_modeling::{
    Edge, EuclideanSpace, Face, Plane, Point3, Processor, RevolutedCurve, Shell, Solid, Surface,
    Vertex, Wire, builder,
};

fn point(p: DVec3) -> Point3 {
    Point3::new(p.x, p.y, p.z)
}

fn vector(p: DVec3) -> Vector3 {
    Vector3::new(p.x, p.y, p.z)
}

fn refused(why: impl std::fmt::Display) -> SolidError {
    SolidError::Kernel {
        why: why.to_string(),
    }
}

/// Builds the truck solid; its faces are in the body's order.
///
/// # Errors
/// When truck does not take a face, or does not see a closed shell.
pub fn to_truck(body: &Body) -> Result<Solid, SolidError> {
    let shell = to_shell(body)?;
    Solid::try_new(vec![shell]).map_err(refused)
}

fn to_shell(body: &Body) -> Result<Shell, SolidError> {
    let vertices: Vec<Vertex> = body
        .vertices
        .iter()
        .map(|p| builder::vertex(point(*p)))
        .collect();
    let edges: Vec<Edge> = body
        .edges
        .iter()
        .enumerate()
        .map(|(i, e)| {
            let [a, b] = e.ends.map(|v| &vertices[v as usize]);
            match e.curve {
                Curve::Line => builder::line(a, b),
                Curve::Arc { .. } => {
                    builder::circle_arc(a, b, point(body.edge_point(i as u32, 0.5)))
                }
            }
        })
        .collect();
    let mut shell = Shell::new();
    for face in &body.faces {
        let wire = |l: &Vec<(u32, bool)>| -> Wire {
            l.iter()
                .map(|&(e, forward)| {
                    if forward {
                        edges[e as usize].clone()
                    } else {
                        edges[e as usize].inverse()
                    }
                })
                .collect()
        };
        let wires: Vec<Wire> = face.loops.iter().map(wire).collect();
        let made = match face.surface {
            // From the record, not from the edges: a plane through three corners that are close together is off by their rounding.
            OurSurface::Plane { origin, normal } => {
                let f = Frame::about(origin, if face.sense { normal } else { -normal });
                let plane = Plane::new(point(f.o), point(f.o + f.u), point(f.o + f.v));
                Face::try_new(wires, Surface::Plane(plane)).map_err(refused)?
            }
            _ => Face::try_new(wires, turned(body, face, &edges)?).map_err(refused)?,
        };
        shell.push(made);
    }
    Ok(shell)
}

/// The meridian at which the face begins, revolved about the axis.
fn turned(body: &Body, face: &OurFace, edges: &[Edge]) -> Result<Surface, SolidError> {
    let patch = body.patch(face).ok_or_else(|| {
        SolidError::unsound("a turned face is not bounded by rings and meridians")
    })?;
    let (from, to) = (patch.point(0.0, 0.0), patch.point(0.0, 1.0));
    let middle = patch.point(0.0, 0.5);
    let meridian = face.loops[0]
        .iter()
        .map(|h| h.0)
        .min_by(|&a, &b| {
            // The one whose ends and middle lie on the beginning of the face.
            let off = |e: u32| {
                let [p, q] = body.edges[e as usize]
                    .ends
                    .map(|v| body.vertices[v as usize]);
                let ends =
                    (p.distance(from) + q.distance(to)).min(p.distance(to) + q.distance(from));
                ends + body.edge_point(e, 0.5).distance(middle)
            };
            off(a).total_cmp(&off(b))
        })
        .ok_or_else(|| SolidError::unsound("a face has no edges"))?;
    let curve = edges[meridian as usize].curve();
    let revolved = RevolutedCurve::by_revolution(curve, point(patch.origin), vector(patch.axis));
    let mut surface = Surface::RevolutedCurve(Processor::new(revolved));
    let (u, v) = match &surface {
        Surface::RevolutedCurve(p) => {
            let (a, b) = p.entity().entity_curve().range_tuple();
            ((a + b) / 2.0, patch.sweep / 2.0)
        }
        _ => (0.5, PI / 2.0),
    };
    let at = surface.subs(u, v).to_vec();
    let at = DVec3::new(at.x, at.y, at.z);
    let outward = face.surface.normal(at) * if face.sense { 1.0 } else { -1.0 };
    if surface.normal(u, v).dot(vector(outward)) < 0.0 {
        surface.invert();
    }
    Ok(surface)
}
