//! Binary glTF 2.0: what a browser, a phone or a slide show opens.
//!
//! The format wants metres and +Y up, so corners are in metres and one root node turns the amp frame: right stays right (+X), up
//! becomes +Y, and the front, which is what the format calls the side a thing faces with, looks along +Z.

use super::step::group_name;
use crate::assembly::{Assembly, Group};
use crate::mesh::Mesh;
use glam::{DMat3, DQuat};
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Half the square root of two: sine and cosine of an eighth of a turn.
const EIGHTH: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// Component type of 16-bit and 32-bit indices and of 32-bit floats, and the two kinds of buffer view, as the format numbers them.
const UNSIGNED_SHORT: u32 = 5123;
const UNSIGNED_INT: u32 = 5125;
const FLOAT: u32 = 5126;
const ARRAY_BUFFER: u32 = 34962;
const ELEMENT_ARRAY_BUFFER: u32 = 34963;

/// The assembly as a GLB file. `meshes` are the export meshes, one per shape.
///
/// One node per part, named by its id, under the node of its group, under a root named `design_name`. Parts of equal shape, material
/// and colour share one mesh. Corners are shared between triangles, so that each mesh is closed; normals are left out, and the format
/// then has every viewer shade flat. The same assembly gives the same bytes.
#[must_use]
pub fn glb(assembly: &Assembly, meshes: &[Mesh], design_name: &str) -> Vec<u8> {
    let mut out = Out::default();
    let mut mesh_of: BTreeMap<(usize, &str, [u8; 3]), usize> = BTreeMap::new();
    // what lies where, before the nodes are known: shape and material of each mesh
    let mut groups: BTreeMap<Group, Vec<usize>> = BTreeMap::new();
    for (i, part) in assembly.parts.iter().enumerate() {
        groups.entry(part.group).or_default().push(i);
        let key = (part.shape, part.material.as_str(), part.colour);
        if mesh_of.contains_key(&key) {
            continue;
        }
        let material = out.material(&part.material, part.colour);
        if let Some(index) = out.mesh(part.shape, &meshes[part.shape], &part.id, material) {
            mesh_of.insert(key, index);
        }
    }

    let mut nodes = vec![Value::Null];
    let mut group_nodes = Vec::new();
    for (group, members) in groups {
        let first = nodes.len() + 1;
        group_nodes.push(nodes.len());
        nodes.push(json!({ "name": group_name(group), "children": (first..first + members.len()).collect::<Vec<_>>() }));
        for part in members.iter().map(|&i| &assembly.parts[i]) {
            let mut node = json!({ "name": part.id, "extras": { "material": part.material, "moves": part.moves } });
            if let Some(mesh) = mesh_of.get(&(part.shape, part.material.as_str(), part.colour)) {
                node["mesh"] = json!(mesh);
            }
            let at = part.pose.at / 1000.0 + 0.0;
            if at != glam::DVec3::ZERO {
                node["translation"] = json!(at.to_array());
            }
            if part.pose.rot != DMat3::IDENTITY {
                node["rotation"] = json!(DQuat::from_mat3(&part.pose.rot).normalize().to_array());
            }
            nodes.push(node);
        }
    }
    let mut root = json!({ "name": design_name, "rotation": [-EIGHTH, 0.0, 0.0, EIGHTH] });
    if !group_nodes.is_empty() {
        root["children"] = json!(group_nodes);
    }
    nodes[0] = root;
    out.finish(&nodes, design_name)
}

/// What has been put so far.
#[derive(Default)]
struct Out {
    bytes: Vec<u8>,
    views: Vec<Value>,
    accessors: Vec<Value>,
    meshes: Vec<Value>,
    materials: Vec<Value>,
    known_materials: BTreeMap<(String, [u8; 3]), usize>,
    /// Accessors of corners and indices by shape; none for a shape without triangles.
    known_shapes: BTreeMap<usize, Option<[usize; 2]>>,
}

impl Out {
    fn material(&mut self, name: &str, colour: [u8; 3]) -> usize {
        let materials = &mut self.materials;
        *self.known_materials.entry((name.into(), colour)).or_insert_with(|| {
            let [r, g, b] = colour.map(linear);
            // A metal without surroundings to mirror looks black, so nothing here is metallic.
            materials.push(json!({
                "name": name,
                "pbrMetallicRoughness": { "baseColorFactor": [r, g, b, 1.0], "metallicFactor": 0.0, "roughnessFactor": 0.7 },
            }));
            materials.len() - 1
        })
    }

    fn mesh(&mut self, shape: usize, mesh: &Mesh, name: &str, material: usize) -> Option<usize> {
        if !self.known_shapes.contains_key(&shape) {
            let put = self.put_shape(mesh);
            self.known_shapes.insert(shape, put);
        }
        let [points, indices] = self.known_shapes[&shape]?;
        self.meshes.push(json!({
            "name": name,
            "primitives": [{ "attributes": { "POSITION": points }, "indices": indices, "material": material }],
        }));
        Some(self.meshes.len() - 1)
    }

    fn put_shape(&mut self, mesh: &Mesh) -> Option<[usize; 2]> {
        let metres = Mesh {
            points: mesh.points.iter().map(|&p| p / 1000.0).collect(),
            triangles: mesh.triangles.clone(),
        };
        let rounded = metres.rounded();
        let first = *rounded.points.first()?;
        let (low, high) = rounded.points.iter().fold((first, first), |(l, h), p| {
            (
                std::array::from_fn(|k| f32::min(l[k], p[k])),
                std::array::from_fn(|k| f32::max(h[k], p[k])),
            )
        });
        let start = self.bytes.len();
        self.bytes.extend(
            rounded
                .points
                .iter()
                .flatten()
                .flat_map(|x| x.to_le_bytes()),
        );
        self.view(start, ARRAY_BUFFER);
        let [low, high] = [low, high].map(|c| c.map(f64::from));
        self.accessors.push(json!({
            "bufferView": self.views.len() - 1, "componentType": FLOAT, "count": rounded.points.len(), "type": "VEC3", "min": low, "max": high,
        }));

        let start = self.bytes.len();
        let corners = rounded.triangles.iter().flatten();
        // 65535 itself is kept free by the format, to restart a strip
        let component = if rounded.points.len() < 65_535 {
            self.bytes
                .extend(corners.flat_map(|&i| (i as u16).to_le_bytes()));
            UNSIGNED_SHORT
        } else {
            self.bytes.extend(corners.flat_map(|i| i.to_le_bytes()));
            UNSIGNED_INT
        };
        self.view(start, ELEMENT_ARRAY_BUFFER);
        self.accessors.push(json!({
            "bufferView": self.views.len() - 1, "componentType": component, "count": 3 * rounded.triangles.len(), "type": "SCALAR",
        }));
        Some([self.accessors.len() - 2, self.accessors.len() - 1])
    }

    /// What has been put since `start` becomes a view; then fills up to four bytes.
    fn view(&mut self, start: usize, target: u32) {
        self.views.push(json!({ "buffer": 0, "byteOffset": start, "byteLength": self.bytes.len() - start, "target": target }));
        self.bytes.resize(self.bytes.len().next_multiple_of(4), 0);
    }

    fn finish(self, nodes: &[Value], design_name: &str) -> Vec<u8> {
        let mut doc = json!({
            "asset": { "version": "2.0", "generator": concat!("groovewright ", env!("CARGO_PKG_VERSION")) },
            "scene": 0,
            "scenes": [{ "name": design_name, "nodes": [0] }],
            "nodes": nodes,
        });
        // the format allows no empty arrays
        for (name, list) in [
            ("meshes", self.meshes),
            ("materials", self.materials),
            ("accessors", self.accessors),
            ("bufferViews", self.views),
        ] {
            if !list.is_empty() {
                doc[name] = Value::Array(list);
            }
        }
        if !self.bytes.is_empty() {
            doc["buffers"] = json!([{ "byteLength": self.bytes.len() }]);
        }
        let mut text = doc.to_string().into_bytes();
        text.resize(text.len().next_multiple_of(4), b' ');

        let mut file = Vec::with_capacity(28 + text.len() + self.bytes.len());
        let mut put = |kind: &[u8; 4], chunk: &[u8]| {
            file.extend((chunk.len() as u32).to_le_bytes());
            file.extend(kind);
            file.extend(chunk);
        };
        put(b"JSON", &text);
        if !self.bytes.is_empty() {
            put(b"BIN\0", &self.bytes);
        }
        let mut whole = Vec::with_capacity(12 + file.len());
        whole.extend(b"glTF");
        whole.extend(2_u32.to_le_bytes());
        whole.extend((12 + file.len() as u32).to_le_bytes());
        whole.append(&mut file);
        whole
    }
}

/// A channel of an sRGB colour as the linear light the format wants (IEC 61966-2-1), to four digits.
fn linear(channel: u8) -> f64 {
    let c = f64::from(channel) / 255.0;
    let l = if c <= 0.04045 {
        c / 12.92
    } else {
        ((c + 0.055) / 1.055).powf(2.4)
    };
    // powf may differ in its last digit from one platform to another
    (l * 10_000.0).round() / 10_000.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::test_assembly::two_cubes_and_a_tube;

    fn parse(bytes: &[u8]) -> (Value, &[u8]) {
        let word = |at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap()) as usize;
        assert_eq!(&bytes[..4], b"glTF");
        assert_eq!((word(4), word(8)), (2, bytes.len()));
        let json_len = word(12);
        assert_eq!((json_len % 4, &bytes[16..20]), (0, b"JSON".as_slice()));
        let rest = 20 + json_len;
        assert_eq!(&bytes[rest + 4..rest + 8], b"BIN\0");
        assert_eq!(word(rest) + rest + 8, bytes.len());
        (
            serde_json::from_slice(&bytes[20..rest]).unwrap(),
            &bytes[rest + 8..],
        )
    }

    /// glTF 2.0 specification, 3.4 (coordinates and units), 3.6.2 (accessors), 4.4 (binary file layout).
    #[test]
    fn parts_are_nodes_under_their_groups_and_accessors_tell_the_truth() {
        let (assembly, meshes) = two_cubes_and_a_tube();
        let bytes = glb(&assembly, &meshes, "bench test");
        let (doc, bin) = parse(&bytes);
        let nodes = doc["nodes"].as_array().unwrap();
        let name = |i: &Value| {
            nodes[i.as_u64().unwrap() as usize]["name"]
                .as_str()
                .unwrap()
                .to_owned()
        };
        assert_eq!(nodes[0]["name"], "bench test");
        let groups: Vec<String> = nodes[0]["children"]
            .as_array()
            .unwrap()
            .iter()
            .map(name)
            .collect();
        assert_eq!(groups, ["Cabinet", "Above"]);
        let below = |k: usize| -> Vec<String> {
            let group = &nodes[nodes[0]["children"][k].as_u64().unwrap() as usize];
            group["children"]
                .as_array()
                .unwrap()
                .iter()
                .map(name)
                .collect()
        };
        assert_eq!(
            (below(0), below(1)),
            (
                vec!["block-1".into(), "block-2".into()],
                vec!["V1".to_owned()]
            )
        );
        // equal blocks share a mesh
        assert_eq!(doc["meshes"].as_array().unwrap().len(), 2);

        for view in doc["bufferViews"].as_array().unwrap() {
            let end = view["byteOffset"].as_u64().unwrap() + view["byteLength"].as_u64().unwrap();
            assert!(end as usize <= bin.len());
        }
        // the block is 10 x 20 x 30 mm from its own corner: its corners are in metres
        let accessor = &doc["accessors"][0];
        assert_eq!(accessor["count"], 8);
        let max: Vec<f64> = accessor["max"]
            .as_array()
            .unwrap()
            .iter()
            .map(|v| v.as_f64().unwrap())
            .collect();
        for (m, want) in max.iter().zip([0.01, 0.02, 0.03]) {
            assert!((m - want).abs() < 1e-9, "{m}");
        }
        let floats: Vec<f32> = bin[..96]
            .chunks(4)
            .map(|c| f32::from_le_bytes(c.try_into().unwrap()))
            .collect();
        let x_max = floats.iter().step_by(3).copied().fold(0.0, f32::max);
        assert_eq!(f64::from(x_max), max[0]);
    }

    /// The tube stands 100 mm right, 50 mm back and 40 mm up; Y-up says right, up, towards the viewer.
    #[test]
    fn an_independent_reader_finds_places_colours_and_closed_meshes() {
        let (assembly, meshes) = two_cubes_and_a_tube();
        let bytes = glb(&assembly, &meshes, "bench test");
        let file = gltf::Gltf::from_slice(&bytes).expect("a reader that validates accepts it");
        let blob = file.blob.as_deref().unwrap();
        let root = file.nodes().next().unwrap();
        let tube = file.nodes().find(|n| n.name() == Some("V1")).unwrap();
        let place = glam::Mat4::from_cols_array_2d(&root.transform().matrix())
            * glam::Mat4::from_cols_array_2d(&tube.transform().matrix());
        let at = place.transform_point3(glam::Vec3::ZERO);
        assert!(
            (at - glam::Vec3::new(0.1, 0.04, -0.05)).length() < 1e-6,
            "{at}"
        );
        for mesh in file.meshes() {
            let primitive = mesh.primitives().next().unwrap();
            let reader = primitive.reader(|_| Some(blob));
            let points: Vec<glam::DVec3> = reader
                .read_positions()
                .unwrap()
                .map(|p| glam::DVec3::from_array(p.map(f64::from)))
                .collect();
            let indices: Vec<u32> = reader.read_indices().unwrap().into_u32().collect();
            let read = Mesh {
                points,
                triangles: indices.chunks(3).map(|t| [t[0], t[1], t[2]]).collect(),
            };
            assert!(
                read.check().is_sound(),
                "{:?}: {:?}",
                mesh.name(),
                read.check()
            );
        }
        // sRGB 188 is 0.5029 in linear light (IEC 61966-2-1)
        let colour = file
            .materials()
            .next()
            .unwrap()
            .pbr_metallic_roughness()
            .base_color_factor();
        assert!((colour[0] - 0.5029).abs() < 1e-4, "{colour:?}");
    }

    #[test]
    fn nothing_to_show_is_still_a_file_and_bytes_do_not_change() {
        let empty = glb(&Assembly::default(), &[], "empty \"\u{7}\"");
        assert!(gltf::Gltf::from_slice(&empty).is_ok());
        let (assembly, meshes) = two_cubes_and_a_tube();
        assert_eq!(glb(&assembly, &meshes, "x"), glb(&assembly, &meshes, "x"));
    }
}
