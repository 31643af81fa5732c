//! 3MF, core specification: what a slicer opens, in mm, with names and colours.

use crate::assembly::{Assembly, Part};
use crate::mesh::Mesh;
use crate::pose::Pose;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::{Cursor, Write as _};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

const CONTENT_TYPES: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
"#;

const RELATIONSHIPS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Id="model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" Target="/3D/3dmodel.model"/>
</Relationships>
"#;

/// Resource id of the list of materials; objects follow.
const MATERIALS: usize = 1;

/// A coloured closed mesh under a name.
pub struct Named<'a> {
    /// What a slicer lists it as.
    pub name: &'a str,
    /// Name of the material.
    pub material: &'a str,
    /// sRGB.
    pub colour: [u8; 3],
    /// In its own frame, mm.
    pub mesh: &'a Mesh,
    /// Where it is put.
    pub pose: Pose,
}

/// The assembly as a 3MF file: mm, amp frame. `meshes` are the export meshes, one per shape.
///
/// Every part is an object named by its id and an item of the build; parts of equal shape, material and colour share one mesh. The
/// same assembly gives the same bytes.
///
/// # Limitations
/// The origin is the inside left corner of the floor, so boards and feet have negative coordinates: a slicer moves them to its bed.
#[must_use]
pub fn assembly_3mf(assembly: &Assembly, meshes: &[Mesh], design_name: &str) -> Vec<u8> {
    let named: Vec<Named> = assembly.parts.iter().map(|p| of_part(p, meshes)).collect();
    three_mf(&named, design_name)
}

fn of_part<'a>(part: &'a Part, meshes: &'a [Mesh]) -> Named<'a> {
    Named {
        name: &part.id,
        material: &part.material,
        colour: part.colour,
        mesh: &meshes[part.shape],
        pose: part.pose,
    }
}

/// Named meshes as a 3MF file. Those that share one mesh (the same reference), material and colour share one object.
#[must_use]
pub fn three_mf(parts: &[Named], title: &str) -> Vec<u8> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let model = model(parts, title);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, text) in [
        ("[Content_Types].xml", CONTENT_TYPES),
        ("_rels/.rels", RELATIONSHIPS),
        ("3D/3dmodel.model", &model),
    ] {
        zip.start_file(name, options)
            .and_then(|()| Ok(zip.write_all(text.as_bytes())?))
            .expect("writing to memory does not fail");
    }
    zip.finish()
        .expect("writing to memory does not fail")
        .into_inner()
}

fn model(parts: &[Named], title: &str) -> String {
    let mut materials: BTreeMap<(&str, [u8; 3]), usize> = BTreeMap::new();
    let mut bases = String::new();
    // by address: the caller shares what is equal
    let mut alike: BTreeMap<(*const Mesh, usize), Vec<usize>> = BTreeMap::new();
    let mut first_of = Vec::new();
    for (i, part) in parts.iter().enumerate() {
        let next = materials.len();
        let material = *materials
            .entry((part.material, part.colour))
            .or_insert(next);
        if material == next {
            let [r, g, b] = part.colour;
            let _ = writeln!(
                bases,
                r##"<base name="{}" displaycolor="#{r:02X}{g:02X}{b:02X}"/>"##,
                escaped(part.material)
            );
        }
        let key = (std::ptr::from_ref(part.mesh), material);
        let same = alike.entry(key).or_default();
        if same.is_empty() {
            // the order of addresses must not show in the file
            first_of.push(key);
        }
        same.push(i);
    }

    let mut objects = String::new();
    let mut items: Vec<Option<usize>> = vec![None; parts.len()];
    let mut next = MATERIALS + 1;
    for key in first_of {
        let same = &alike[&key];
        let rounded = parts[same[0]].mesh.rounded();
        if rounded.triangles.is_empty() {
            continue;
        }
        let mesh_id = next;
        next += 1;
        let name = if let [only] = same[..] {
            escaped(parts[only].name)
        } else {
            format!(
                "{} and {} more",
                escaped(parts[same[0]].name),
                same.len() - 1
            )
        };
        let _ = writeln!(
            objects,
            r#"<object id="{mesh_id}" type="model" name="{name}" pid="{MATERIALS}" pindex="{}"><mesh><vertices>"#,
            key.1
        );
        for [x, y, z] in &rounded.points {
            let _ = writeln!(objects, r#"<vertex x="{x}" y="{y}" z="{z}"/>"#);
        }
        objects.push_str("</vertices><triangles>\n");
        for [a, b, c] in &rounded.triangles {
            let _ = writeln!(objects, r#"<triangle v1="{a}" v2="{b}" v3="{c}"/>"#);
        }
        objects.push_str("</triangles></mesh></object>\n");
        if let [only] = same[..] {
            items[only] = Some(mesh_id);
            continue;
        }
        for &i in same {
            let name = escaped(parts[i].name);
            let _ = writeln!(
                objects,
                r#"<object id="{next}" type="model" name="{name}"><components><component objectid="{mesh_id}"/></components></object>"#
            );
            items[i] = Some(next);
            next += 1;
        }
    }

    let mut out = String::with_capacity(objects.len() + 4096);
    out.push_str("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    out.push_str("<model unit=\"millimeter\" xml:lang=\"en-US\" xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n");
    let _ = writeln!(
        out,
        r#"<metadata name="Title">{}</metadata>"#,
        escaped(title)
    );
    out.push_str(concat!(
        r#"<metadata name="Application">groovewright "#,
        env!("CARGO_PKG_VERSION"),
        "</metadata>\n<resources>\n"
    ));
    if !bases.is_empty() {
        let _ = writeln!(
            out,
            "<basematerials id=\"{MATERIALS}\">\n{bases}</basematerials>"
        );
    }
    out.push_str(&objects);
    out.push_str("</resources>\n<build>\n");
    for (part, item) in parts.iter().zip(&items) {
        if let Some(id) = item {
            let _ = writeln!(
                out,
                r#"<item objectid="{id}" partnumber="{}"{}/>"#,
                escaped(part.name),
                transform(&part.pose)
            );
        }
    }
    out.push_str("</build>\n</model>\n");
    out
}

/// The format multiplies a row by the matrix, so our columns are its rows.
fn transform(pose: &Pose) -> String {
    if *pose == Pose::IDENTITY {
        return String::new();
    }
    let mut out = String::from(" transform=\"");
    let rows = [pose.rot.x_axis, pose.rot.y_axis, pose.rot.z_axis, pose.at];
    for (i, v) in rows.iter().flat_map(|r| r.to_array()).enumerate() {
        let _ = write!(out, "{}{}", if i == 0 { "" } else { " " }, v + 0.0);
    }
    out.push('"');
    out
}

/// Text for an XML attribute or element. What XML 1.0 has no place for is left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c < ' ' || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::test_assembly::two_cubes_and_a_tube;
    use std::io::Read as _;

    fn read(bytes: &[u8], name: &str) -> String {
        let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
        let mut text = String::new();
        zip.by_name(name)
            .unwrap()
            .read_to_string(&mut text)
            .unwrap();
        text
    }

    /// 3MF core specification 1.3: 3.4 (unit), 4.1 (objects and components), 3.4.3 (build items).
    #[test]
    fn every_part_is_a_named_object_and_an_item() {
        let (assembly, meshes) = two_cubes_and_a_tube();
        let bytes = assembly_3mf(&assembly, &meshes, "a <bench> & \"test\"\u{1}");
        assert!(read(&bytes, "[Content_Types].xml").contains("3dmanufacturing-3dmodel+xml"));
        assert!(read(&bytes, "_rels/.rels").contains("/3D/3dmodel.model"));
        let model = read(&bytes, "3D/3dmodel.model");
        assert!(model.contains("unit=\"millimeter\""));
        assert!(model.contains(
            "<metadata name=\"Title\">a &lt;bench&gt; &amp; &quot;test&quot;</metadata>"
        ));
        for id in ["block-1", "block-2", "V1"] {
            assert_eq!(model.matches(&format!("name=\"{id}\"")).count(), 1, "{id}");
            assert_eq!(
                model.matches(&format!("partnumber=\"{id}\"")).count(),
                1,
                "{id}"
            );
        }
        // two equal blocks are one mesh and two components
        assert_eq!(
            (
                model.matches("<mesh>").count(),
                model.matches("<component ").count()
            ),
            (2, 2)
        );
        assert_eq!(model.matches("<base ").count(), 2);
        assert!(model.contains("displaycolor=\"#BC6432\""));
        assert!(model.contains("transform=\"1 0 0 0 1 0 0 0 1 100 50 40\""));
        // turned by 30 degrees: the part's x axis, as seen in the amp frame, comes first
        assert!(model.contains(&format!(
            "transform=\"{} {} 0 ",
            30_f64.to_radians().cos(),
            30_f64.to_radians().sin()
        )));
    }

    #[test]
    fn bytes_do_not_change_and_carry_no_clock() {
        let (assembly, meshes) = two_cubes_and_a_tube();
        let bytes = assembly_3mf(&assembly, &meshes, "x");
        let copy = meshes.clone();
        assert_eq!(bytes, assembly_3mf(&assembly, &copy, "x"));
        let mut zip = zip::ZipArchive::new(Cursor::new(&bytes[..])).unwrap();
        for i in 0..zip.len() {
            assert_eq!(
                zip.by_index(i).unwrap().last_modified(),
                Some(DateTime::default())
            );
        }
    }

    #[test]
    fn nothing_to_show_is_still_a_file() {
        let model = read(&three_mf(&[], "empty"), "3D/3dmodel.model");
        assert!(model.contains("<resources>\n</resources>") && !model.contains("basematerials"));
    }
}
