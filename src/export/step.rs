//! STEP: an assembly of groups, each holding its parts as placed, named, coloured instances of shared products.
//!
//! ISO 10303-21 text of application protocol 214. Every surface is written as what it is (plane, cylinder, cone, sphere, torus) and
//! every edge as a line or a circle, so that a receiving program finds holes as holes.

use super::part21::{Arg, Part21};
use super::step_body::put_body;
use crate::assembly::{Assembly, Group, Part};
use crate::pose::Pose;
use std::collections::BTreeMap;

/// The schema's name and object identifier, as files of this protocol carry it.
const SCHEMA: &str = "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }";

/// Points closer than this are one point, in mm. Sums of a few hundred mm in f64 are good to 1e-12.
const UNCERTAINTY: &str = "UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(1.E-6),";

/// The name of a group in files.
#[must_use]
pub const fn group_name(group: Group) -> &'static str {
    match group {
        Group::Cabinet => "Cabinet",
        Group::Speaker => "Speaker",
        Group::Chassis => "Chassis",
        Group::Above => "Above",
        Group::Below => "Below",
        Group::Panel => "Panel",
    }
}

/// The assembly as a STEP file: mm, amp frame.
///
/// The root product carries `design_name`; below it stands one product per group that has parts, placed at the origin, and below
/// that one instance per part, named by the part's id. Parts of equal shape, material and colour share one product, whichever
/// groups they are in. The same assembly gives the same bytes.
#[must_use]
pub fn step(assembly: &Assembly, design_name: &str) -> Vec<u8> {
    let edges: usize = assembly.shapes.iter().map(|s| s.body.edges.len()).sum();
    let mut file = Part21::with_capacity(4096 + 400 * edges + 1000 * assembly.parts.len());
    let context = Context::put(&mut file);

    let products = part_products(&mut file, &context, assembly);

    let mut groups: BTreeMap<Group, Vec<usize>> = BTreeMap::new();
    for (i, part) in assembly.parts.iter().enumerate() {
        groups.entry(part.group).or_default().push(i);
    }
    let mut nodes = Vec::new();
    for (&group, members) in &groups {
        let children: Vec<Child> = members
            .iter()
            .map(|&i| Child {
                name: &assembly.parts[i].id,
                pose: &assembly.parts[i].pose,
                product: products[i],
            })
            .collect();
        let name = group_name(group);
        nodes.push((name, put_assembly(&mut file, &context, name, &children)));
    }
    let children: Vec<Child> = nodes
        .iter()
        .map(|&(name, product)| Child {
            name,
            pose: &Pose::IDENTITY,
            product,
        })
        .collect();
    put_assembly(&mut file, &context, design_name, &children);

    file.finish(design_name, "tube amplifier assembly, mm", SCHEMA)
}

/// Entities that all products share.
struct Context {
    product: u32,
    definition: u32,
    geometry: u32,
    /// The placement that moves nothing.
    origin: u32,
}

impl Context {
    fn put(file: &mut Part21) -> Context {
        let application = file.put("APPLICATION_CONTEXT", &[Arg::Text("automotive design")]);
        file.put(
            "APPLICATION_PROTOCOL_DEFINITION",
            &[
                Arg::Text("international standard"),
                Arg::Text("automotive_design"),
                Arg::Int(2000),
                Arg::Id(application),
            ],
        );
        let product = file.put(
            "PRODUCT_CONTEXT",
            &[Arg::Text(""), Arg::Id(application), Arg::Text("mechanical")],
        );
        let definition = file.put(
            "PRODUCT_DEFINITION_CONTEXT",
            &[
                Arg::Text("part definition"),
                Arg::Id(application),
                Arg::Text("design"),
            ],
        );
        let length = file.put_complex(&[
            ("LENGTH_UNIT", &[]),
            ("NAMED_UNIT", &[Arg::Derived]),
            ("SI_UNIT", &[Arg::Enum("MILLI"), Arg::Enum("METRE")]),
        ]);
        let angle = file.put_complex(&[
            ("NAMED_UNIT", &[Arg::Derived]),
            ("PLANE_ANGLE_UNIT", &[]),
            ("SI_UNIT", &[Arg::Unset, Arg::Enum("RADIAN")]),
        ]);
        let solid_angle = file.put_complex(&[
            ("NAMED_UNIT", &[Arg::Derived]),
            ("SI_UNIT", &[Arg::Unset, Arg::Enum("STERADIAN")]),
            ("SOLID_ANGLE_UNIT", &[]),
        ]);
        let uncertainty = file.put_raw(&format!(
            "{UNCERTAINTY}#{length},'distance_accuracy_value','two points closer than this are one')"
        ));
        let geometry = file.put_complex(&[
            ("GEOMETRIC_REPRESENTATION_CONTEXT", &[Arg::Int(3)]),
            (
                "GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT",
                &[Arg::Ids(&[uncertainty])],
            ),
            (
                "GLOBAL_UNIT_ASSIGNED_CONTEXT",
                &[Arg::Ids(&[length, angle, solid_angle])],
            ),
            (
                "REPRESENTATION_CONTEXT",
                &[Arg::Text("amp"), Arg::Text("3D")],
            ),
        ]);
        let origin = put_placement(file, &Pose::IDENTITY);
        Context {
            product,
            definition,
            geometry,
            origin,
        }
    }
}

/// A product that can be placed.
#[derive(Clone, Copy)]
struct Product {
    definition: u32,
    representation: u32,
}

/// One placed occurrence of a product.
struct Child<'a> {
    name: &'a str,
    pose: &'a Pose,
    product: Product,
}

fn put_placement(file: &mut Part21, pose: &Pose) -> u32 {
    let at = file.put(
        "CARTESIAN_POINT",
        &[Arg::Text(""), Arg::Triple(pose.at.to_array())],
    );
    let [z, x] = [pose.rot.z_axis, pose.rot.x_axis]
        .map(|d| file.put("DIRECTION", &[Arg::Text(""), Arg::Triple(d.to_array())]));
    file.put(
        "AXIS2_PLACEMENT_3D",
        &[Arg::Text(""), Arg::Id(at), Arg::Id(z), Arg::Id(x)],
    )
}

/// Writes a product without its shape and returns the numbers of its definition and of the definition's shape.
fn put_product(file: &mut Part21, context: &Context, name: &str, description: &str) -> (u32, u32) {
    let product = file.put(
        "PRODUCT",
        &[
            Arg::Text(name),
            Arg::Text(name),
            Arg::Text(description),
            Arg::Ids(&[context.product]),
        ],
    );
    file.put(
        "PRODUCT_RELATED_PRODUCT_CATEGORY",
        &[Arg::Text("part"), Arg::Unset, Arg::Ids(&[product])],
    );
    let formation = file.put(
        "PRODUCT_DEFINITION_FORMATION",
        &[Arg::Text(""), Arg::Text(""), Arg::Id(product)],
    );
    let definition = file.put(
        "PRODUCT_DEFINITION",
        &[
            Arg::Text("design"),
            Arg::Text(""),
            Arg::Id(formation),
            Arg::Id(context.definition),
        ],
    );
    let shape = file.put(
        "PRODUCT_DEFINITION_SHAPE",
        &[Arg::Text(""), Arg::Text(""), Arg::Id(definition)],
    );
    (definition, shape)
}

/// Writes the products of all parts and their colours; returns each part's product, in the order of the parts.
fn part_products(file: &mut Part21, context: &Context, assembly: &Assembly) -> Vec<Product> {
    // A colour belongs to the shape in the file, and not every reader heeds one given to an instance: two colours, two products.
    let mut alike: BTreeMap<(usize, &str, [u8; 3]), usize> = BTreeMap::new();
    let mut members: Vec<Vec<usize>> = Vec::new();
    for (i, part) in assembly.parts.iter().enumerate() {
        let k = (part.shape, part.material.as_str(), part.colour);
        let at = *alike.entry(k).or_insert(members.len());
        if at == members.len() {
            members.push(Vec::new());
        }
        members[at].push(i);
    }

    let mut colours: BTreeMap<[u8; 3], u32> = BTreeMap::new();
    let mut styled = Vec::new();
    let mut products: Vec<Option<Product>> = vec![None; assembly.parts.len()];
    for same in &members {
        let part = &assembly.parts[same[0]];
        let name = product_name(part, same.len());
        let (definition, shape) = put_product(file, context, &name, &part.material);
        let brep = put_body(file, &assembly.shapes[part.shape].body, &name);
        let representation = file.put(
            "ADVANCED_BREP_SHAPE_REPRESENTATION",
            &[
                Arg::Text(&name),
                Arg::Ids(&[context.origin, brep]),
                Arg::Id(context.geometry),
            ],
        );
        file.put(
            "SHAPE_DEFINITION_REPRESENTATION",
            &[Arg::Id(shape), Arg::Id(representation)],
        );
        let style = *colours
            .entry(part.colour)
            .or_insert_with(|| put_colour(file, part.colour));
        styled.push(file.put(
            "STYLED_ITEM",
            &[Arg::Text("colour"), Arg::Ids(&[style]), Arg::Id(brep)],
        ));
        for &i in same {
            products[i] = Some(Product {
                definition,
                representation,
            });
        }
    }
    if !styled.is_empty() {
        file.put(
            "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION",
            &[Arg::Text(""), Arg::Ids(&styled), Arg::Id(context.geometry)],
        );
    }
    products.into_iter().flatten().collect()
}

/// The id of the only part, or of the first of several that are alike and how many there are.
fn product_name(part: &Part, count: usize) -> String {
    if count == 1 {
        part.id.clone()
    } else {
        format!("{} x{count}", part.id)
    }
}

/// Writes a surface colour and returns its PRESENTATION_STYLE_ASSIGNMENT.
fn put_colour(file: &mut Part21, colour: [u8; 3]) -> u32 {
    let [r, g, b] = colour.map(|c| Arg::Real(f64::from(c) / 255.0));
    let rgb = file.put("COLOUR_RGB", &[Arg::Text(""), r, g, b]);
    let area = file.put("FILL_AREA_STYLE_COLOUR", &[Arg::Text(""), Arg::Id(rgb)]);
    let fill = file.put("FILL_AREA_STYLE", &[Arg::Text(""), Arg::Ids(&[area])]);
    let surface = file.put("SURFACE_STYLE_FILL_AREA", &[Arg::Id(fill)]);
    let side = file.put("SURFACE_SIDE_STYLE", &[Arg::Text(""), Arg::Ids(&[surface])]);
    let usage = file.put("SURFACE_STYLE_USAGE", &[Arg::Enum("BOTH"), Arg::Id(side)]);
    file.put("PRESENTATION_STYLE_ASSIGNMENT", &[Arg::Ids(&[usage])])
}

/// Writes a product that consists of `children`.
fn put_assembly(file: &mut Part21, context: &Context, name: &str, children: &[Child]) -> Product {
    let (definition, shape) = put_product(file, context, name, "");
    let placements: Vec<u32> = children
        .iter()
        .map(|c| put_placement(file, c.pose))
        .collect();
    let mut items = vec![context.origin];
    items.extend(&placements);
    let representation = file.put(
        "SHAPE_REPRESENTATION",
        &[Arg::Text(name), Arg::Ids(&items), Arg::Id(context.geometry)],
    );
    file.put(
        "SHAPE_DEFINITION_REPRESENTATION",
        &[Arg::Id(shape), Arg::Id(representation)],
    );
    for (child, placement) in children.iter().zip(placements) {
        let usage = file.put(
            "NEXT_ASSEMBLY_USAGE_OCCURRENCE",
            &[
                Arg::Text(child.name),
                Arg::Text(child.name),
                Arg::Text(""),
                Arg::Id(definition),
                Arg::Id(child.product.definition),
                Arg::Text(child.name),
            ],
        );
        let placed = file.put(
            "PRODUCT_DEFINITION_SHAPE",
            &[Arg::Text(""), Arg::Text(""), Arg::Id(usage)],
        );
        let transform = file.put(
            "ITEM_DEFINED_TRANSFORMATION",
            &[
                Arg::Text(""),
                Arg::Text(""),
                Arg::Id(context.origin),
                Arg::Id(placement),
            ],
        );
        let relation = file.put_complex(&[
            (
                "REPRESENTATION_RELATIONSHIP",
                &[
                    Arg::Text(""),
                    Arg::Text(""),
                    Arg::Id(child.product.representation),
                    Arg::Id(representation),
                ],
            ),
            (
                "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION",
                &[Arg::Id(transform)],
            ),
            ("SHAPE_REPRESENTATION_RELATIONSHIP", &[]),
        ]);
        file.put(
            "CONTEXT_DEPENDENT_SHAPE_REPRESENTATION",
            &[Arg::Id(relation), Arg::Id(placed)],
        );
    }
    Product {
        definition,
        representation,
    }
}
