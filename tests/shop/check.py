"""Reads what a build writes for the bench with independent readers: pypdf for PDF, ezdxf for DXF, and an independent B-rep kernel for the
STEP file that the DXF circles must agree with. Tolerances: 0.05 mm on paper, 0.001 mm in a cutting file."""

import argparse
import csv
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

import ezdxf
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_SurfaceType as Kind
from pypdf import PdfReader
from pypdf.generic import ContentStream

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "crosscheck"))
import kernel  # noqa: E402

PAPER = 0.05
CUT = 0.001
POINT = 25.4 / 72
# Sheets held upright, mm: ISO 216, ANSI/ASME Y14.1. A long sheet has no size of its own.
SHEETS = {"A4": (210.0, 297.0), "A3": (297.0, 420.0), "Letter": (215.9, 279.4), "long": None}
# Radius of the ring of a registration cross, and length of a story stick's ticks, mm: as src/shop/tile.rs and stick.rs draw them
RING = 3.2
TICK = 14.0


def near(a, b, most):
    return all(abs(x - y) <= most for x, y in zip(a, b))


def strokes(page):
    """Circles (centre and radius) and straight lines of a page, mm from its lower left corner."""
    circles, lines = [], []
    stack, m = [], (POINT, 0.0, 0.0, POINT, 0.0, 0.0)
    path = []

    def at(x, y):
        x, y = float(x), float(y)
        return (m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5])

    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        if operator == b"cm":
            a, b, c, d, e, f = (float(v) for v in operands)
            m = (
                a * m[0] + b * m[2], a * m[1] + b * m[3], c * m[0] + d * m[2], c * m[1] + d * m[3],
                e * m[0] + f * m[2] + m[4], e * m[1] + f * m[3] + m[5],
            )
        elif operator == b"q":
            stack.append(m)
        elif operator == b"Q":
            m = stack.pop()
        elif operator == b"m":
            path = [("m", at(*operands))]
        elif operator == b"l":
            path.append(("l", at(*operands)))
        elif operator == b"c":
            path.append(("c", at(*operands[4:])))
        elif operator in (b"s", b"S", b"f"):
            kinds = "".join(k for k, _ in path)
            points = [p for _, p in path]
            if kinds == "mcccc" and near(points[0], points[-1], 1e-3):
                xs, ys = [p[0] for p in points], [p[1] for p in points]
                centre = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
                circles.append((*centre, (max(xs) - min(xs)) / 2))
            elif kinds == "ml":
                lines.append(tuple(points))
            path = []
    return circles, lines


def cutting_file(path, faults):
    """Circles by layer with their places, and the centres of all arcs of outlines; mm from the datum corner."""
    document = ezdxf.readfile(path)
    audit = document.audit()
    faults += [f"{path.name}: {e.message}" for e in audit.errors + audit.fixes]
    if document.header.get("$INSUNITS") != 4:
        faults.append(f"{path.name}: not in mm")
    circles, arcs, box = [], [], None
    for entity in document.modelspace():
        layer = entity.dxf.layer
        if entity.dxftype() == "CIRCLE":
            circles.append((layer, entity.dxf.center.x, entity.dxf.center.y, entity.dxf.radius))
        elif entity.dxftype() == "POLYLINE":
            if not entity.is_closed:
                faults.append(f"{path.name}: an open outline on {layer}")
            pieces = list(entity.virtual_entities())
            arcs += [(p.dxf.center.x, p.dxf.center.y, p.dxf.radius) for p in pieces if p.dxftype() == "ARC"]
            if layer == "OUTLINE":
                points = [v.dxf.location for v in entity.vertices]
                box = [min(p.x for p in points), min(p.y for p in points), max(p.x for p in points), max(p.y for p in points)]
    if box is None:
        faults.append(f"{path.name}: no outline")
    return circles, arcs, box


def cylinders(shape):
    """Axis points and radii of the shape's cylinders, each once."""
    found = {}
    for face in kernel.faces_of(shape):
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() == Kind.GeomAbs_Cylinder:
            c = surface.Cylinder()
            p, d = c.Axis().Location(), c.Axis().Direction()
            direction = (d.X(), d.Y(), d.Z())
            k = max(range(3), key=lambda j: abs(direction[j]))
            point = [p.X(), p.Y(), p.Z()]
            point[k] = 0.0
            found[tuple(round(v, 5) for v in point) + (round(c.Radius(), 5),)] = (k, tuple(point), c.Radius())
    return list(found.values())


def views(part, seen):
    """How the drawing's x and y lie in the amp frame: axis and sign each. The plate and the panels are known; a board may lie any way."""
    if part == "plate":
        return [((0, 1), (1, 1))] if "top" in seen else [((0, -1), (1, 1))]
    if part.startswith("panel"):
        right = 1 if part == "panel-front" else -1
        return [((0, right), (2, 1))]
    axes = [(a, b) for a in range(3) for b in range(3) if a != b]
    return [((a, s), (b, t)) for a, b in axes for s in (1, -1) for t in (1, -1)]


def agree(part, shape, circles, arcs, box, seen, whole, faults):
    """The circles of the cutting file are the cylinders of the solid; where the file shows the `whole` part, no cylinder is missing."""
    low, high = kernel.box_of(shape, exact=True)
    found = cylinders(shape)
    best = None
    for (a, s), (b, t) in views(part, seen):
        if not near((high[a] - low[a], high[b] - low[b]), (box[2] - box[0], box[3] - box[1]), 0.01):
            continue

        def flat(p):
            x = p[a] - low[a] if s > 0 else high[a] - p[a]
            y = p[b] - low[b] if t > 0 else high[b] - p[b]
            return (x + box[0], y + box[1])

        holes = [(*flat(p), r) for k, p, r in found if k not in (a, b)]
        missing = []
        for layer, x, y, r in circles:
            if layer == "COUNTERSINK":
                continue
            # a pilot's drill is thinner than the thread that the solid shows
            same = [h for h in holes if near(h[:2], (x, y), CUT) and (layer == "BLIND" or abs(h[2] - r) < CUT)]
            if not same:
                missing.append(f"{layer} circle at {x:.3f}, {y:.3f} is no hole of the solid")
        known = [c[1:] for c in circles] + arcs
        for h in holes if whole else []:
            if not any(near(h[:2], c[:2], CUT) for c in known):
                missing.append(f"hole of the solid at {h[0]:.3f}, {h[1]:.3f} is not in the file")
        if best is None or len(missing) < len(best):
            best = missing
    if best is None:
        best = ["no view of the solid has the outline's size"]
    faults += [f"{part}.dxf: {text}" for text in best]
    return len(circles)


def sizes(paper):
    """The page sizes of a paper; none for the long sheet."""
    sheet = SHEETS[paper]
    return sheet and (sheet, sheet[::-1])


def pages(path, wanted, faults):
    """The pages of a file, each of a wanted size and with its fonts embedded."""
    reader = PdfReader(path)
    for number, page in enumerate(reader.pages, 1):
        where = f"{path.name} page {number}"
        low = [float(v) for v in page.mediabox[:2]]
        size = tuple(float(v) * POINT for v in page.mediabox[2:])
        if low != [0.0, 0.0] or wanted and not any(near(size, s, PAPER) for s in wanted):
            faults.append(f"{where}: a page of {size[0]:.2f} x {size[1]:.2f} mm")
        for font in page["/Resources"]["/Font"].values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()
            if "/FontFile2" not in inner["/FontDescriptor"].get_object():
                faults.append(f"{where}: a font is not embedded")
    return reader.pages


def full_size(path, paper, faults):
    """Circles and lines of each page of a file that is printed at full size; all have both rulers. One page on a long sheet."""
    out = []
    for number, page in enumerate(pages(path, sizes(paper), faults), 1):
        circles, lines = strokes(page)
        lengths = [abs(b[0] - a[0]) for a, b in lines if abs(a[1] - b[1]) < 1e-6]
        for ruler in (100.0, 101.6):
            if not any(abs(length - ruler) <= PAPER for length in lengths):
                faults.append(f"{path.name} page {number}: no ruler of {ruler} mm")
        out.append((circles, lines, page.extract_text()))
    return out


def template(path, circles, paper, faults):
    """Every hole of the cutting file is on a tile where it belongs; all tiles are true to size."""
    wanted = [(x, y, r) for layer, x, y, r in circles]
    seen = Counter()
    tiles = full_size(path, paper, faults)
    if paper == "long" and len(tiles) != 1:
        faults.append(f"{path.name}: {len(tiles)} long sheets")
    for number, (drawn, _, _) in enumerate(tiles, 1):
        where = f"{path.name} tile {number}"
        # the tile's place on the part: the shift under which most circles are holes
        best, shift = -1, (0.0, 0.0)
        for d in drawn[:6]:
            for w in wanted:
                if abs(d[2] - w[2]) < PAPER:
                    s = (d[0] - w[0], d[1] - w[1])
                    hits = sum(any(near(e, (v[0] + s[0], v[1] + s[1], v[2]), PAPER) for v in wanted) for e in drawn)
                    if hits > best:
                        best, shift = hits, s
        for e in drawn:
            hit = [v for v in wanted if near(e, (v[0] + shift[0], v[1] + shift[1], v[2]), PAPER)]
            if hit:
                seen[hit[0]] += 1
            elif abs(e[2] - RING) > 1e-3:
                faults.append(f"{where}: a circle of {2 * e[2]:.2f} mm that is no hole")
    for w in wanted:
        if not seen[w]:
            faults.append(f"{path.name}: no circle of {2 * w[2]:.2f} mm for the hole at {w[0]:.2f}, {w[1]:.2f}")
    return " ".join(text for _, _, text in tiles)


def outline_ends(path, layer):
    """Every y of the corners on a layer of a cutting file."""
    polylines = ezdxf.readfile(path).modelspace().query("POLYLINE")
    return {round(v.dxf.location.y, 6) for p in polylines if p.dxf.layer == layer for v in p.vertices}


def story_stick(shop, shapes, faults):
    """The ticks of the long sheets stand where the STEP has the plate and the cutting file the groove; returns how many."""
    side, plate = (kernel.box_of(shapes[name], exact=True) for name in ("side-left", "plate"))
    count = 0
    for circles, lines, text in full_size(shop / "story-stick.pdf", "long", faults):
        axis = 2 if "heights" in text else 1
        ticks = sorted(a[0] for a, b in lines if abs(a[0] - b[0]) < 1e-6 and abs(abs(a[1] - b[1]) - TICK) < 1e-3)
        ticks = [x - ticks[0] for x in ticks]
        count += len(ticks)
        # its first mark is the end of the side
        wanted = [plate[0][axis] - side[0][axis], plate[1][axis] - side[0][axis], side[1][axis] - side[0][axis]]
        if axis == 2 and "right side" not in text:
            wanted += [y for y in outline_ends(shop / "side-left.dxf", "POCKET")]
        for w in wanted:
            if not any(abs(t - w) <= PAPER for t in ticks):
                faults.append(f"story-stick.pdf: no tick at {w:.2f} mm along axis {axis}")
        said = [float(v) for v in re.findall(r"(\d+\.\d) +\(", text)]
        for t in ticks:
            if not any(abs(t - v) <= 0.05 + PAPER for v in said):
                faults.append(f"story-stick.pdf: the tick at {t:.2f} mm has no words")
    return count


def cut_outs(path, paper, schedule, circles, faults):
    """Two holes of one item are as far apart on its loose piece as in the plate; returns how many pairs were compared."""
    sheets = full_size(path, paper, faults)
    words = " ".join(text for _, _, text in sheets).split()
    items = {}
    for row in schedule:
        if row["part"] == "plate" and row["hole"].count("-") and "opening" not in row["finished size mm"]:
            at = (float(row["x mm"]), float(row["y mm"]))
            true = [c for c in circles if c[0] == "HOLES" and near(at, (abs(c[1]), abs(c[2])), 0.006)]
            items.setdefault(row["hole"].split("-")[0], []).extend(true)
    count = 0
    for item, holes in items.items():
        if item not in words:
            continue
        for k, a in enumerate(holes):
            for b in holes[:k]:
                apart = ((a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2) ** 0.5
                count += 1
                alike = any(
                    abs(p[2] - a[3]) <= PAPER and abs(q[2] - b[3]) <= PAPER
                    and abs(((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2) ** 0.5 - apart) <= PAPER
                    for drawn, _, _ in sheets for p in drawn for q in drawn if p is not q
                )
                if not alike:
                    faults.append(f"{path.name}: {item} has no two holes {apart:.2f} mm apart")
    return count


def legends(path, cutting, paper, faults):
    """The texts of a panel are as far apart on paper as on the ENGRAVE layer of its cutting file."""
    texts = [t for t in ezdxf.readfile(cutting).modelspace().query("TEXT") if t.dxf.layer == "ENGRAVE"]
    if not texts:
        faults.append(f"{cutting.name}: nothing to engrave")
    for page in pages(path, sizes(paper), faults) if paper == "long" else []:
        found = {}

        def visit(text, cm, tm, font, size):
            if text.strip():
                x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
                y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
                found.setdefault(text.strip(), (x * POINT, y * POINT))

        page.extract_text(visitor_text=visit)
        first = None
        for t in texts:
            at = found.get(t.dxf.text)
            if at is None:
                faults.append(f"{path.name}: `{t.dxf.text}` cannot be read")
                continue
            shift = (at[0] - t.dxf.insert.x, at[1] - t.dxf.insert.y)
            first = first or shift
            if not near(shift, first, PAPER):
                faults.append(f"{path.name}: `{t.dxf.text}` is {shift[0] - first[0]:.3f}, {shift[1] - first[1]:.3f} off")


def other_papers(shop, paper, usual, drawn, shapes, schedule, faults):
    """The full-size sheets on any paper; `usual` is the one that the design gets unless it says so."""
    for name, circles in drawn.items():
        template(shop / name, circles, paper, faults)
    for path in shop.glob("*.legends.pdf"):
        legends(path, shop / path.name.replace(".legends.pdf", ".dxf"), paper, faults)
    pairs = cut_outs(shop / "cut-outs.pdf", paper, schedule, drawn["plate.template.pdf"], faults)
    ticks = story_stick(shop, shapes, faults) if paper == "long" else 0
    pages(shop / "drawings.pdf", sizes(usual if paper == "long" else paper), faults)
    for path in shop.glob("*.pdf"):
        pages(path, path.name != "drawings.pdf" and sizes(paper), faults)
    return pairs, ticks


def check(folder, usual):
    faults = []
    shop = folder / "shop"
    _, parts, document = kernel.read(folder / "model" / "assembly.step")
    shapes = {name: part.shape for name, part in parts}
    with open(shop / "drill-schedule.csv", newline="", encoding="utf-8") as file:
        schedule = list(csv.DictReader(file))
    circles_read = 0
    drawn = {}
    drawings = " ".join(page.extract_text() for page in pages(shop / "drawings.pdf", sizes(usual), faults)).split()
    for path in sorted(shop.glob("*.dxf")):
        name = path.stem
        circles, arcs, box = cutting_file(path, faults)
        if box is None:
            continue
        seen = path.read_text(encoding="ascii").splitlines()[1]
        part = name.removesuffix(".other-face")
        other = part != name
        whole = not other and not (shop / f"{name}.other-face.dxf").exists()
        if part in shapes:
            circles_read += agree(part, shapes[part], circles, arcs, box, seen, whole, faults)
        paper = f"{part}.template-mirrored.pdf" if other else f"{name}.template.pdf"
        drawn[paper] = circles
        text = template(shop / paper, circles, usual, faults).split()
        # what is routed or sawn is drawn as lines, and has no circle to find
        rows = [r for r in schedule if r["part"] == name and not r["mark"].startswith("rout-")]
        for row in rows if whole else []:
            if row["mark"] not in text:
                faults.append(f"{name}: mark {row['mark']} cannot be read in the template")
            if row["mark"] not in drawings:
                faults.append(f"{name}: mark {row['mark']} cannot be read in the drawings")
        if name == "plate":
            if len(rows) != len({(r["x mm"], r["y mm"], r["mark"]) for r in rows}):
                faults.append("plate: two rows of the schedule are one hole")
            round_rows = [r for r in rows if "opening" not in r["finished size mm"]]
            holes = [c for c in circles if c[0] == "HOLES"]
            if len(round_rows) != len(holes):
                faults.append(f"plate: {len(round_rows)} round holes in the schedule, {len(holes)} in the cutting file")
            for row in round_rows:
                place = (float(row["x mm"]), float(row["y mm"]))
                if not any(near(place, (abs(c[1]), abs(c[2])), 0.006) for c in holes):
                    faults.append(f"plate: {row['hole']} of the schedule is not in the cutting file")
    return faults, circles_read, (drawn, shapes, schedule, document)


def build(options, source, out, only):
    """Builds a design into a folder of its own; where its files are."""
    done = subprocess.run(
        [options.binary, "build", source, "--out", out, "--only", only], capture_output=True, text=True
    )
    if done.returncode not in (0, 1):
        sys.exit(f"{source}: build ends with {done.returncode}\n{done.stderr}")
    return out / source.stem


def on_paper(options, source, paper):
    """The design with another paper, built."""
    text = source.read_text(encoding="utf-8")
    folder = options.work / paper
    folder.mkdir(exist_ok=True)
    copy = folder / source.name
    copy.write_text(text.replace("[design]\n", f'[design]\npaper = "{paper}"\n', 1), encoding="utf-8")
    return build(options, copy, folder, "shop") / "shop"


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--binary", type=Path, required=True)
    options.add_argument("--work", type=Path, required=True)
    options = options.parse_args()
    faults = []
    for source in sorted((ROOT / "params").glob("*.toml")):
        usual = "Letter" if 'unit = "in"' in source.read_text(encoding="utf-8") else "A4"
        outs = [build(options, source, options.work / run, "step,shop") for run in ("a", "b")]
        files = sorted(p.name for p in (outs[0] / "shop").iterdir())
        for name in files:
            if (outs[0] / "shop" / name).read_bytes() != (outs[1] / "shop" / name).read_bytes():
                faults.append(f"{source.stem}: {name} differs between two runs")
        found, circles, (drawn, shapes, schedule, document) = check(outs[0], usual)
        told = []
        for paper in SHEETS:
            pairs, ticks = other_papers(on_paper(options, source, paper), paper, usual, drawn, shapes, schedule, found)
            told.append(f"{paper} {pairs} pairs of holes on cut-outs" + (f", {ticks} ticks of story sticks" if ticks else ""))
            if pairs < 10:
                found.append(f"{paper}: too few holes on cut-outs to mean anything")
        del document
        print(f"{source.stem}: {len(files)} files for the bench, {circles} circles compared with the solids, {len(found)} faults", flush=True)
        print(f"  on {'; '.join(told)}", flush=True)
        if circles < 40:
            found.append("too few circles to mean anything")
        faults += [f"{source.stem}: {text}" for text in found]
    for text in faults:
        print(f"fault: {text}")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
