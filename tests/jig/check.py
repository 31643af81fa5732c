"""Reads the printed jigs of every demo back with an independent mesh library and fits their bores again.

For each piece: closed, oriented, inside the bed, letters no finer than they print and whole, inside their face. For each guide: a circle is fitted by least squares to
the corners of its bore in the STL, taken into the amp frame, and compared with the axis of the part's hole, fitted the same way to the
part's own mesh and read from the drill schedule of `fit`. For tiles: their volumes add up to the uncut jig less the stated play.
"""

import argparse
import csv
import json
import pathlib
import subprocess
import sys
import zipfile

import numpy as np
import trimesh

COAXIAL = 0.01  # mm, of the issue
STROKE = 0.6  # mm, least stroke that prints (three print-bureau design guides)
SUNK = 0.6  # mm, how deep letters are sunk unless a file says so
FAULTS = []


def fault(text):
    FAULTS.append(text)
    print("FAULT", text)


def loaded(path):
    mesh = trimesh.load(path, process=True)
    mesh.merge_vertices()
    return mesh


def fit_circle(points):
    """Centre and radius of least squares (Kasa): x2 + y2 = 2ax + 2by + c."""
    a = np.column_stack([2 * points, np.ones(len(points))])
    b = (points**2).sum(axis=1)
    (x, y, c), *_ = np.linalg.lstsq(a, b, rcond=None)
    return np.array([x, y]), np.sqrt(c + x * x + y * y)


def bore_axis(mesh, at, axis, low, high):
    """Fits the bore round `at`: corners whose distance from the axis lies between low and high. Returns centre, radius, count."""
    axis = axis / np.linalg.norm(axis)
    u = np.cross(axis, [0.0, 0.0, 1.0] if abs(axis[2]) < 0.9 else [1.0, 0.0, 0.0])
    u /= np.linalg.norm(u)
    v = np.cross(axis, u)
    d = mesh.vertices - at
    flat = np.column_stack([d @ u, d @ v])
    r = np.linalg.norm(flat, axis=1)
    near = flat[(r > low) & (r < high)]
    # the rims of both faces may have the same corners in plan; a half-turn's ends weigh no more than the rest
    near = np.unique(near.round(5), axis=0)
    if len(near) < 6:
        return None
    centre, radius = fit_circle(near)
    return at + u * centre[0] + v * centre[1], radius, len(near)


def narrowest_letter(mesh, normal, offset):
    """Width of the narrowest stroke among the connected floors in that plane, from area and edge."""
    off = mesh.triangles @ normal - offset
    floor = np.nonzero((np.abs(off) < 2e-4).all(axis=1) & (mesh.face_normals @ normal > 0.9))[0]
    if len(floor) == 0:
        return None
    inside = np.isin(mesh.face_adjacency, floor).all(axis=1)
    groups = trimesh.graph.connected_components(mesh.face_adjacency[inside], nodes=floor, min_len=1, engine="networkx")
    least = np.inf
    for group in groups:
        area = mesh.area_faces[group].sum()
        edges = np.sort(mesh.faces[group][:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
        unique, count = np.unique(edges, axis=0, return_counts=True)
        rim = unique[count == 1]
        length = np.linalg.norm(mesh.vertices[rim[:, 0]] - mesh.vertices[rim[:, 1]], axis=1).sum()
        # of a stroke with octagon ends: area = length w + 0.828 w2, edge = 2 length + 3.314 w; solved for w
        root = max(length * length / 4 - 3.314 * area, 0.0)
        width = (length / 2 - np.sqrt(root)) / 1.657
        least = min(least, width)
    return least


def letter_floor(mesh, normal, offset):
    """Area of the faces in that plane that look along the normal."""
    off = mesh.triangles @ normal - offset
    return mesh.area_faces[(np.abs(off) < 2e-4).all(axis=1) & (mesh.face_normals @ normal > 0.9)].sum()


def off_axis(p, q, axis):
    axis = axis / np.linalg.norm(axis)
    d = p - q
    return np.linalg.norm(d - axis * (d @ axis))


def fences(folder, jigs, meshes, parts, tally):
    """A fence touches the part's box from outside, and nothing of the jig reaches into the part."""
    done = set()
    for g in jigs["guides"]:
        if g["file"] in done or not g["file"].startswith(("jig/row-", "jig/whole-")):
            continue
        done.add(g["file"])
        m = np.array(g["amp_from_stl"]).reshape(3, 4)
        axis = m[:, :3] @ np.array(g["axis"])
        axis /= np.linalg.norm(axis)
        part = parts[g["part"]]
        v = meshes[g["file"]].vertices @ m[:, :3].T + m[:, 3]
        face = (part.vertices @ axis).max()
        hanging = v[v @ axis < face - 0.01]
        if len(hanging) == 0:
            continue
        plane = np.abs(axis) < 0.5
        low, high = part.bounds
        out = np.maximum(low - hanging, hanging - high)[:, plane].max(axis=1)
        # plastic on the inside of the edge would keep the jig from lying flat
        if out.min() < -0.002 or out.min() > 0.002:
            fault(f"{folder.name} {g['file']}: its fence stands {out.min():.4f} mm from the edge")
        tally["fences"] += 1


def check(folder, bed, growth, tally):
    jigs = json.loads((folder / "jig/jigs.json").read_text())
    by_jig = {}
    meshes = {}
    for piece in jigs["pieces"]:
        mesh = loaded(folder / piece["file"])
        meshes[piece["file"]] = mesh
        name = f"{folder.name} {piece['file']}"
        tally["pieces"] += 1
        if not (mesh.is_watertight and mesh.is_winding_consistent and mesh.volume > 0):
            fault(f"{name} is not closed and oriented")
        if len(mesh.split(only_watertight=False)) != 1:
            fault(f"{name} is in several pieces")
        size = mesh.extents
        if np.any(mesh.bounds[0] < -1e-4):
            fault(f"{name} does not lie at the bed's corner")
        fits = size[2] <= bed[2] and (
            (size[0] <= bed[0] + 1e-3 and size[1] <= bed[1] + 1e-3)
        )
        turned = size[2] <= bed[2] and (size[1] <= bed[0] + 1e-3 and size[0] <= bed[1] + 1e-3)
        if not (fits or turned):
            fault(f"{name} is {size}, bed {bed}")
        drawn = mesh.volume / piece["scale"] ** 3
        if abs(drawn - piece["volume_mm3"]) > 3e-4 * drawn:
            fault(f"{name} volume {drawn} told {piece['volume_mm3']}")
        if piece["letter_stroke_mm"] and piece["letter_stroke_mm"] < STROKE:
            fault(f"{name} letters of stroke {piece['letter_stroke_mm']}")
        if piece["letter_stroke_mm"]:
            if not piece["letter_floors"]:
                fault(f"{name} tells of letters, and of no floor")
            floor = 0.0
            for *normal, offset in piece["letter_floors"]:
                floor += letter_floor(mesh, np.array(normal), offset)
                narrow = narrowest_letter(mesh, np.array(normal), offset)
                tally["letters"] += narrow is not None
                tally["side letters"] += narrow is not None and abs(normal[2]) < 0.5
                if narrow is None or narrow < 0.9 * piece["letter_stroke_mm"] * piece["scale"]:
                    fault(f"{name} has a letter {narrow} mm wide, told {piece['letter_stroke_mm']}")
            # a letter that ran over an edge, a window or another letter would have less floor than its strokes
            told = piece["letters_mm3"] / SUNK * piece["scale"] ** 2
            if abs(floor - told) > 2e-3 * told:
                fault(f"{name}: its letters have a floor of {floor:.2f} mm2, their strokes {told:.2f}")
        if piece["widest_bridge_mm"] > 5.0:
            fault(f"{name} overhangs {piece['widest_bridge_mm']}")
        # downward faces over the bed, from the file itself
        down = (mesh.face_normals[:, 2] < -0.7072) & (mesh.triangles[:, :, 2].max(axis=1) > 1e-3)
        over = mesh.area_faces[down].sum()
        if abs(over - piece["overhang_mm2"]) > 0.01 * over + 0.5:
            fault(f"{name} overhang {over} told {piece['overhang_mm2']}")
        by_jig.setdefault(piece["jig"], []).append((piece, drawn))
        with zipfile.ZipFile(folder / piece["file"].replace(".stl", ".3mf")) as z:
            model = z.read("3D/3dmodel.model").decode()
        if 'unit="millimeter"' not in model or f'name="{piece["label"]}"' not in model:
            fault(f"{name}: its 3MF names no unit or not `{piece['label']}`")
    for jig, pieces in by_jig.items():
        told = pieces[0][0]
        whole = told["uncut_mm3"]
        total = sum(v + p["letters_mm3"] for p, v in pieces)
        left = whole - told["joint_play_mm3"]
        if abs(total - left) > 3e-4 * left:
            fault(f"{folder.name} {jig}: tiles have {total:.1f} mm3, the uncut jig less play {left:.1f}")
        if len(pieces) > 1:
            tally["tiled"] += 1
            print(f"  {jig}: {len(pieces)} tiles {total:.1f} mm3, uncut {whole:.1f} less play {told['joint_play_mm3']:.1f}")

    rows = {}
    with open(folder / "shop/drill-schedule.csv", newline="") as f:
        for row in csv.DictReader(f):
            rows[(row["part"], row["hole"])] = row
    parts = {}
    worst = 0.0
    seen = {}
    for g in jigs["guides"]:
        mesh = meshes[g["file"]]
        scale = next(p["scale"] for p in jigs["pieces"] if p["file"] == g["file"])
        at, axis = np.array(g["at_mm"]), np.array(g["axis"])
        r = g["bore_mm"] / 2 * scale
        key = (g["file"], tuple(g["at_mm"]))
        if key not in seen:
            seen[key] = bore_axis(mesh, at, axis, r * 0.97, r * 1.06 + 0.05)
        found = seen[key]
        name = f"{folder.name} {g['file']} {g['hole']}"
        if found is None:
            fault(f"{name}: no bore")
            continue
        centre, radius, _ = found
        # the polygon lies outside the circle, but not by much
        if radius < r - 1e-3 or radius > r + 0.08:
            fault(f"{name}: bore {2 * radius:.3f}, wanted {2 * r:.3f}")
        if abs(g["bore_mm"] - g["drill_mm"] - growth) > 1e-6:
            fault(f"{name}: bore {g['bore_mm']} for a drill of {g['drill_mm']}")
        m = np.array(g["amp_from_stl"]).reshape(3, 4)
        in_amp = m[:, :3] @ centre + m[:, 3]
        axis_amp = m[:, :3] @ axis
        part = g["part"]
        if part not in parts:
            parts[part] = loaded(folder / f"model/parts/{part}.stl")
        # the part's own hole: corners of its rim; a countersink has wider ones, a blind hole the screw's size
        d = g["finished_mm"]
        hole = bore_axis(parts[part], in_amp, axis_amp, d / 2 * 0.9 - 0.05, d / 2 * 1.1 + 0.05)
        if hole is None:
            fault(f"{name}: the part has no hole there")
            continue
        miss = off_axis(in_amp, hole[0], axis_amp)
        worst = max(worst, miss)
        tally["guides"] += 1
        if miss > COAXIAL:
            fault(f"{name}: {miss:.4f} mm off the part's hole")
        row = rows.get((part, g["hole"]))
        if row is None:
            fault(f"{name}: not in the schedule")
            continue
        if not row["finished size mm"].startswith(f"{d:.2f}"):
            fault(f"{name}: finished {d}, schedule {row['finished size mm']}")
    tally["worst"] = max(tally["worst"], worst)
    fences(folder, jigs, meshes, parts, tally)
    # holes of one part, from the datum corner: distances in the schedule are those of the fitted guides of one piece
    by_piece = {}
    for g in jigs["guides"]:
        found = seen.get((g["file"], tuple(g["at_mm"])))
        row = rows.get((g["part"], g["hole"]))
        if found and row and abs(abs(np.array(g["axis"])[2]) - 1) < 1e-9:
            scale = next(p["scale"] for p in jigs["pieces"] if p["file"] == g["file"])
            place = tuple(np.round(g["amp_from_stl"], 6))
            by_piece.setdefault((g["file"], place), []).append(
                (found[0][:2] / scale, np.array([float(row["x mm"]), float(row["y mm"])]))
            )
    for (file, _), pairs in by_piece.items():
        for i in range(len(pairs)):
            for j in range(i):
                a = np.linalg.norm(pairs[i][0] - pairs[j][0])
                b = np.linalg.norm(pairs[i][1] - pairs[j][1])
                # the schedule is printed to 0.01 mm
                if abs(a - b) > COAXIAL + 0.012:
                    fault(f"{folder.name} {file}: guides {a:.3f} apart, schedule {b:.3f}")
                tally["distances"] += 1


def main():
    p = argparse.ArgumentParser()
    p.add_argument("--binary", required=True)
    p.add_argument("--work", required=True)
    a = p.parse_args()
    work = pathlib.Path(a.work)
    work.mkdir(parents=True, exist_ok=True)
    tally = {"pieces": 0, "guides": 0, "tiled": 0, "distances": 0, "fences": 0, "letters": 0, "side letters": 0, "worst": 0.0}
    cases = [
        ("", (210, 210, 220), 0.2),
        ('\n[print]\nwhole = ["plate", "panel-rear"]\nshrink = 0.4\nhole-growth = "0.3 mm"\nscribe-ring = true\nthickness = "4 mm"\n', (210, 210, 220), 0.3),
        ('\n[print]\nwhole = ["plate", "panel-rear"]\nbed-width = "128 mm"\nbed-depth = "150 mm"\nbed-margin = "4 mm"\nnozzle = "0.3 mm"\n', (120, 142, 220), 0.2),
    ]
    demos = sorted(pathlib.Path("params").glob("*.toml"))
    if len(demos) < 3:
        fault("the demos are missing")
    for demo in demos:
        for k, (extra, bed, growth) in enumerate(cases):
            text = demo.read_text()
            name = f"{demo.stem}-jig-{k}"
            text = text.replace(f'name = "{demo.stem}"', f'name = "{name}"') + extra
            file = work / f"{name}.toml"
            file.write_text(text)
            run = subprocess.run([a.binary, "build", str(file), "--out", str(work), "--only", "jig,stl,shop"], capture_output=True, text=True)
            if run.returncode != 0:
                fault(f"{name}: {run.stderr[-2000:]}")
                continue
            check(work / name, bed, growth, tally)
    print(
        f"{tally['pieces']} pieces closed and in the bed, {tally['guides']} guides within {tally['worst']:.6f} mm of their holes, "
        f"{tally['distances']} distances as scheduled, {tally['fences']} fences on their edges, {tally['tiled']} jigs in tiles"
    )
    if tally["guides"] < 100 or tally["tiled"] < 5 or tally["fences"] < 10 or tally["side letters"] < 6:
        fault(f"too little was checked: {tally}")
    sys.exit(1 if FAULTS else 0)


main()
