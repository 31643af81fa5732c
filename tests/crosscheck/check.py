"""Holds what `groovewright build` writes to what independent kernels and readers say of it (design bars: see DEVELOPERS.md).

    check.py --binary PATH --examples DIR --work DIR [--only WORD]

Builds every demo (params), every failing design (tests/designs) and the seeded random designs, and checks each design's files in a
process of its own, two at a time. Prints a table and every fault; exits 1 with any fault, 2 if something could not run.
"""

import argparse
import hashlib
import json
import multiprocessing
import subprocess
import sys
import time
import traceback
from pathlib import Path

import lib3mf
import numpy
import trimesh

from kernel import FIVE, Judge, box_of, boxes_apart, read

ROOT = Path(__file__).resolve().parents[2]

# How many random designs of each kind, beside those of seeds.txt.
SEEDS = {"plain": 5, "overlap": 10, "buried": 5, "tilted": 5, "down": 5}
# Most pairs measured of a random design: half of them of `pairs`, tightest first, half of `joined`.
MOST_PAIRS = 150
# Most pairs of a random design that fit.json is silent about.
MOST_SILENT = 40

REACH = 40.0
BOX = 0.02
VOLUME = 1e-6
# A centre of mass may be this far off, mm.
CENTRE = 0.01
# A reported clearance may be this far below and above the true one, mm.
BELOW, ABOVE = 0.03, 0.002
# An overlap volume may be this far off: a share, or mm3.
OVERLAP_SHARE, OVERLAP_MM3 = 0.01, 0.05
JOINED_MM3 = 0.01
# Pairs of the way in that are stepped, the length of a step, and how closely the place of the least is then found, mm.
SLIDE_PAIRS, STEP, FINE = 5, 2.0, 0.05
MESH_VOLUME = 0.003
# Equal-area polygons stand out of the exact circle by less than this, mm.
MESH_BOX = 0.03
# Colours are bytes in our files and linear floats in the reader's.
COLOUR = 0.004


def order(design, row):
    """A fixed shuffle: which joints of a random design are measured."""
    return hashlib.sha256(f"{design} {row['a']} {row['b']}".encode()).digest()


def linear(byte):
    share = byte / 255.0
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


class Check:
    """The checks of one design's folder."""

    def __init__(self, folder, source, wish, times):
        self.folder, self.source, self.wish, self.times = folder, source, wish, times
        self.random = wish != "design"
        self.faults = []
        self.worst_low = self.worst_high = 0.0
        self.worst_overlap = 0.0
        self.pairs = 0
        self.fit = json.loads((folder / "fit.json").read_text())
        self.solids = {s["id"]: s for s in self.fit["solids"]}

    def fault(self, text):
        self.faults.append(text)

    def run(self):
        if self.random and len(self.solids) < 25:
            self.fault(f"a random design of only {len(self.solids)} solids")
        self.step()
        self.masses()
        self.stls()
        self.glb()
        self.three_mf()
        self.measures()
        self.wished()

    # -- what the file says of the parts ------------------------------------------------------------------------------------

    def step(self):
        name, parts, self.document = read(self.folder / "model/assembly.step")
        if name != self.fit["design"]:
            self.fault(f"the STEP's root is named {name!r}")
        named = {}
        for id, part in parts:
            if id in named:
                self.fault(f"{id}: more than once in the STEP")
            named[id] = part
        for id in self.solids.keys() - named.keys():
            self.fault(f"{id}: not in the STEP")
        for id in named.keys() - self.solids.keys():
            self.fault(f"{id}: in the STEP and not in fit.json")
        self.parts = {id: p for id, p in named.items() if id in self.solids}
        colours = {}
        for id, part in self.parts.items():
            row, product = self.solids[id], part.product
            if product.solids != 1 or not product.valid:
                self.fault(f"{id}: {product.solids} solids, valid: {product.valid}")
            if not product.kinds <= FIVE:
                self.fault(f"{id}: surfaces other than the five kinds: {product.kinds - FIVE}")
            if abs(product.volume - row["volume_mm3"]) > VOLUME * row["volume_mm3"]:
                self.fault(f"{id}: volume {row['volume_mm3']} in fit.json, {product.volume} by the kernel")
            if part.group.lower() != row["group"]:
                self.fault(f"{id}: in group {part.group}, fit.json says {row['group']}")
            if product.colour is None:
                self.fault(f"{id}: without a colour")
            else:
                same = colours.setdefault(row["material"], product.colour)
                if max(abs(a - b) for a, b in zip(same, product.colour)) > COLOUR:
                    self.fault(f"{id}: another colour than other parts of {row['material']}")
            box = box_of(part.shape, exact=True)
            off = max(abs(box[i][k] - row["box_mm"][i][k]) for i in range(2) for k in range(3))
            if off > BOX:
                self.fault(f"{id}: box {row['box_mm']} in fit.json, {box} by the kernel")
        self.colours = colours

    def masses(self):
        """Masses and centres added up from the kernel's own volumes and centres."""
        for row in self.fit["masses"]:
            ids = [id for id in self.parts if row["of"] == "amp" or self.solids[id]["moves"]]
            density = numpy.array([self.solids[id]["mass_g"] / self.solids[id]["volume_mm3"] for id in ids])
            each = density * numpy.array([self.parts[id].product.volume for id in ids]) / 1000.0
            kg = each.sum()
            centre = each @ numpy.array([self.parts[id].centre for id in ids]) / kg
            if abs(kg - row["mass_kg"]) > VOLUME * kg:
                self.fault(f"{row['of']}: {row['mass_kg']} kg in fit.json, {kg} by the kernel")
            off = numpy.linalg.norm(centre - numpy.array(row["centre_mm"]))
            if off > CENTRE:
                self.fault(f"{row['of']}: its centre of mass {off:.4f} mm from the kernel's")

    # -- meshes --------------------------------------------------------------------------------------------------------------

    def mesh(self, id, mesh, what):
        """Closed, oriented, of the right volume, where the part is."""
        row = self.solids[id]
        if not (mesh.is_watertight and mesh.is_winding_consistent):
            self.fault(f"{id}: its {what} is not closed and oriented")
            return
        if abs(mesh.volume - row["volume_mm3"]) > MESH_VOLUME * row["volume_mm3"]:
            self.fault(f"{id}: volume {row['volume_mm3']:.3f}, its {what} {mesh.volume:.3f}")
        off = numpy.abs(mesh.bounds - numpy.array(row["box_mm"])).max()
        if off > MESH_BOX:
            self.fault(f"{id}: its {what} is off its box by {off:.4f}")
        if id in self.parts:
            size = numpy.linalg.norm(mesh.extents)
            off = numpy.linalg.norm(mesh.center_mass - numpy.array(self.parts[id].centre))
            if off > 0.02 + 2e-4 * size:
                self.fault(f"{id}: centre of mass of {what} and STEP {off:.4f} apart")

    def stls(self):
        for id in self.solids:
            path = self.folder / f"model/parts/{id}.stl"
            if not path.is_file():
                self.fault(f"{id}: no STL")
                continue
            mesh = trimesh.load_mesh(path, file_type="stl")
            self.mesh(id, mesh, "STL")
            if len(mesh.faces) != self.solids[id]["triangles"]:
                # f32 may have dropped pairs of slivers
                if len(mesh.faces) > self.solids[id]["triangles"]:
                    self.fault(f"{id}: {len(mesh.faces)} triangles in its STL, {self.solids[id]['triangles']} in fit.json")
        whole = trimesh.load_mesh(self.folder / "model/assembly.stl", file_type="stl", process=False)
        volume = sum(s["volume_mm3"] for s in self.solids.values())
        if abs(whole.volume - volume) > MESH_VOLUME * volume:
            self.fault(f"assembly.stl holds {whole.volume:.1f} mm3 of {volume:.1f}")
        stray = {p.stem for p in (self.folder / "model/parts").glob("*.stl")} - self.solids.keys()
        if stray:
            self.fault(f"STLs of no part: {sorted(stray)}")

    def glb(self):
        scene = trimesh.load_scene(self.folder / "model/assembly.glb")
        # metres and Y up in the file, millimetres and Z up in the amp frame
        to_amp = numpy.diag([1000.0, 1000.0, 1000.0, 1.0]) @ numpy.array([[1, 0, 0, 0], [0, 0, -1, 0], [0, 1, 0, 0], [0, 0, 0, 1]])
        groups = {child: parent for parent, child in scene.graph.to_edgelist_pairs()} if hasattr(scene.graph, "to_edgelist_pairs") else {
            edge[1]: edge[0] for edge in scene.graph.to_edgelist()
        }
        seen = set()
        for node in scene.graph.nodes_geometry:
            placed, name = scene.graph[node]
            if node not in self.solids:
                self.fault(f"GLB node {node!r} is no part")
                continue
            seen.add(node)
            mesh = scene.geometry[name].copy()
            colour = mesh.visual.material.baseColorFactor
            mesh.apply_transform(to_amp @ placed)
            mesh.merge_vertices(merge_tex=True, merge_norm=True)
            self.mesh(node, mesh, "GLB mesh")
            row = self.solids[node]
            if str(groups.get(node, "")).lower() != row["group"]:
                self.fault(f"{node}: under {groups.get(node)} in the GLB, fit.json says {row['group']}")
            ours = self.colours.get(row["material"])
            if colour is None or ours is None:
                self.fault(f"{node}: without a colour in the GLB")
            else:
                # trimesh gives the file's linear factor as bytes
                share = [c / 255.0 for c in colour[:3]] if max(colour[:3]) > 1 else list(colour[:3])
                if max(abs(a - b) for a, b in zip(share, ours)) > COLOUR:
                    self.fault(f"{node}: colour {share} in the GLB, {ours} in the STEP")
        for id in self.solids.keys() - seen:
            self.fault(f"{id}: not in the GLB")

    def three_mf(self):
        model = lib3mf.Wrapper().CreateModel()
        reader = model.QueryReader("3mf")
        reader.SetStrictModeActive(True)
        reader.ReadFromFile(str(self.folder / "model/assembly.3mf"))
        for i in range(reader.GetWarningCount()):
            self.fault(f"3MF: {reader.GetWarning(i)}")
        meshes = model.GetMeshObjects()
        while meshes.MoveNext():
            mesh = meshes.GetCurrentMeshObject()
            if not mesh.IsManifoldAndOriented():
                self.fault(f"3MF object {mesh.GetName()!r} is not closed and oriented")
        items = model.GetBuildItems()
        found = []
        while items.MoveNext():
            item = items.GetCurrent()
            found.append(item.GetPartNumber() or item.GetObjectResource().GetName())
        if sorted(found) != sorted(self.solids):
            odd = sorted(set(found) ^ set(self.solids))
            self.fault(f"3MF: {len(found)} items for {len(self.solids)} parts, differing in {odd[:5]}")

    # -- what lies between the parts -------------------------------------------------------------------------------------------

    def measures(self):
        known = [r for r in self.fit["pairs"] + self.fit["joined"] if r["a"] in self.parts and r["b"] in self.parts]
        told = {frozenset((r["a"], r["b"])) for r in known}
        if len(told) != len(self.fit["pairs"]) + len(self.fit["joined"]):
            self.fault("fit.json speaks of a pair twice, or of parts that the STEP does not hold")
        pairs, joined = self.fit["pairs"], self.fit["joined"]
        for row in pairs:
            if row["clearance_mm"] >= REACH and row["wanted_mm"] == 0:
                self.fault(f"{row['a']}, {row['b']}: listed at {row['clearance_mm']} without a rule")
        if self.random:
            half = MOST_PAIRS // 2
            pairs = sorted(pairs, key=lambda r: (-r["overlap_mm3"], r["clearance_mm"]))[: MOST_PAIRS - min(half, len(joined))]
            joined = sorted(joined, key=lambda r: order(self.fit["design"], r))[: MOST_PAIRS - len(pairs)]
        boxes = {id: tuple(map(tuple, s["box_mm"])) for id, s in self.solids.items()}
        self.judge = Judge({id: p.shape for id, p in self.parts.items()}, boxes)
        for row in pairs:
            self.pair(row, joint=False)
        for row in joined:
            self.pair(row, joint=True)
        self.pairs = len(pairs) + len(joined)
        self.theirs = self.judge.seconds
        self.ours = self.time_ours(pairs + joined)
        self.silent(told, boxes)
        self.slide()
        if Path(self.source).parent.name == "params" and self.slid < SLIDE_PAIRS:
            self.fault(f"only {self.slid} pairs of the way in to step")

    def pair(self, row, joint):
        a, b = row["a"], row["b"]
        if a not in self.parts or b not in self.parts:
            return
        who = f"{a}, {b}"
        clearance, overlap = row["clearance_mm"], row["overlap_mm3"]
        if overlap > 0 and clearance != 0:
            self.fault(f"{who}: overlap {overlap} with clearance {clearance}")
        true = self.judge.distance(a, b, clearance + 0.2)
        touching = true is not None and true < 1e-6
        inside = not touching and self.judge.inside(a, b)
        if touching or inside or overlap > 0:
            common = self.judge.common(a, b)
            self.volume(who, overlap, common, joint)
            if common > JOINED_MM3 or overlap > 0:
                return
        if true is None:
            self.fault(f"{who}: clearance {clearance} in fit.json, over {clearance + 0.2} by the kernel")
            return
        off = clearance - true
        self.worst_low, self.worst_high = min(self.worst_low, off), max(self.worst_high, off)
        if not -BELOW <= off <= ABOVE:
            self.fault(f"{who}: clearance {clearance} in fit.json, {true} by the kernel")

    def volume(self, who, ours, theirs, joint):
        limit = max(OVERLAP_MM3, OVERLAP_SHARE * theirs)
        if abs(ours - theirs) > limit:
            self.fault(f"{who}: overlap {ours} mm3 in fit.json, {theirs} by the kernel")
        if theirs > OVERLAP_MM3:
            self.worst_overlap = max(self.worst_overlap, abs(ours - theirs) / theirs)
        if joint and max(ours, theirs) > JOINED_MM3 and not self.joint_told(who):
            self.fault(f"{who}: joined, and share {ours} mm3 in fit.json, {theirs} by the kernel")

    def joint_told(self, who):
        """A joint that overlaps is right if the findings say so: then the design is at fault and not the measuring."""
        ids = set(who.split(", "))
        # one finding tells a row of like screws
        stems = {i.rstrip("0123456789") for i in ids}
        for f in self.fit["findings"]:
            about = set(f["about"])
            row = f["id"] == "joint-overlap" and "more like it" in f["text"] and stems == {i.rstrip("0123456789") for i in about}
            if f["severity"] == "error" and (ids <= about or row):
                return True
        return False

    def silent(self, told, boxes):
        """No pair that fit.json does not speak of is closer than 40 mm."""
        ids = sorted(self.parts)
        near = []
        for i, a in enumerate(ids):
            for b in ids[i + 1 :]:
                if frozenset((a, b)) not in told:
                    apart = boxes_apart(boxes[a], boxes[b])
                    if apart < REACH:
                        near.append((apart, a, b))
        near.sort()
        for _, a, b in near[:MOST_SILENT] if self.random else near:
            true = self.judge.distance(a, b, REACH - ABOVE)
            if true is not None:
                self.fault(f"{a}, {b}: {true} apart and not in fit.json")
            elif self.judge.inside(a, b):
                self.fault(f"{a}, {b}: one inside the other and not in fit.json")

    # -- on the way in ---------------------------------------------------------------------------------------------------------

    def slide(self):
        """The tightest pairs of the way in, stepped by the kernel and refined where they are nearest."""
        out = {"rear": 1.0, "front": -1.0}.get(self.fit["slide_from"])
        # not the plate, whose every hole the kernel would try; what passes at a distance of its own before the ends of the panels; and each
        # with another moving part as far as they go, so that the four ends of a panel do not fill the five
        rows = [r for r in self.fit["slide"] if r["least_mm"] > 0 and r["a"] != "plate" and {r["a"], r["b"]} <= self.parts.keys()]
        rows.sort(key=lambda r: r["wanted_mm"] < 1.0)
        first = {r["a"]: r for r in reversed(rows)}
        rows.sort(key=lambda r: r is not first[r["a"]])
        self.slid = len(rows[:SLIDE_PAIRS])
        for row in rows[:SLIDE_PAIRS]:
            self.slide_pair(row, out)

    def slide_pair(self, row, out):
        a, b, least = row["a"], row["b"], row["least_mm"]
        reach = least + STEP
        known = {}

        def at(left):
            """Distance with so much of the way left."""
            if left not in known:
                found = self.judge.moved(a, b, (0.0, out * left, 0.0), reach)
                known[left] = reach if found is None else found
            return known[left]

        way = self.fit["slide_mm"]
        steps = [min(k * STEP, way) for k in range(int(way / STEP) + 2)]
        best = min(steps, key=at)
        low, high = max(best - STEP, 0.0), min(best + STEP, way)
        share = (5**0.5 - 1) / 2
        while high - low > FINE:
            x, y = high - share * (high - low), low + share * (high - low)
            if at(x) <= at(y):
                high = y
            else:
                low = x
        # what is thinner than a step may be nearest between two that are not the nearest ones: look where fit.json says, too
        there = at(row["before_seated_mm"])
        true = min(known.values())
        off = least - true
        self.worst_low, self.worst_high = min(self.worst_low, off), max(self.worst_high, off)
        # the refined minimum lies within half of FINE of a place where the distance changes by no more than that
        if not -BELOW - FINE / 2 <= off <= ABOVE:
            self.fault(f"{a} past {b}: {least} at the least in fit.json, {true} stepped by the kernel")
        if there > true + BELOW + FINE / 2:
            self.fault(f"{a} past {b}: {there} by the kernel where fit.json has the least, {true} elsewhere")

    def time_ours(self, rows):
        text = "".join(f"{r['a']} {r['b']}\n" for r in rows)
        done = subprocess.run([self.times, self.source], input=text, capture_output=True, text=True, check=True)
        return float(done.stdout)

    def wished(self):
        """A design that was made to overlap or to bury a part must show it."""
        overlaps = [r for r in self.fit["pairs"] if r["overlap_mm3"] > 0]
        if self.wish == "overlap" and not overlaps:
            self.fault("made to overlap, and no pair does")
        if self.wish == "buried" and not any(
            abs(r["overlap_mm3"] - self.solids[id]["volume_mm3"]) <= 1e-3 * self.solids[id]["volume_mm3"]
            for r in overlaps
            for id in (r["a"], r["b"])
        ):
            self.fault("made to bury a part, and none is")


def one(job):
    """Checks one design in a worker process."""
    name = job[1].stem
    start = time.perf_counter()
    try:
        check = Check(*job)
        check.run()
    except Exception:
        return {"name": name, "broken": traceback.format_exc()}
    return {
        "name": name,
        "solids": len(check.solids),
        "pairs": check.pairs,
        "low": check.worst_low,
        "high": check.worst_high,
        "overlap": check.worst_overlap,
        "theirs": check.theirs,
        "ours": check.ours,
        "seconds": time.perf_counter() - start,
        "faults": check.faults,
    }


def seeds(path):
    chosen = [(wish, seed) for wish, n in SEEDS.items() for seed in range(1, n + 1)]
    for number, line in enumerate(path.read_text().splitlines(), 1):
        line = line.split("#")[0].split()
        if not line:
            continue
        if len(line) < 2 or line[0] not in SEEDS or not line[1].isdigit():
            sys.exit(f"{path}:{number}: expected `WISH SEED`, with a wish of {', '.join(SEEDS)}")
        if (line[0], int(line[1])) not in chosen:
            chosen.append((line[0], int(line[1])))
    return chosen


def build(binary, source, out):
    """Builds one design and returns its folder. Exit 1 only says that a finding is an error."""
    only = "fit,stl,step,glb,3mf"
    done = subprocess.run([binary, "build", source, "--out", out, "--only", only], capture_output=True, text=True)
    if done.returncode not in (0, 1):
        raise RuntimeError(f"{source}: build ends with {done.returncode}\n{done.stderr}")
    folders = list(Path(out).iterdir())
    if len(folders) != 1:
        raise RuntimeError(f"{source}: {len(folders)} folders in {out}")
    return folders[0]


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--binary", type=Path, required=True)
    options.add_argument("--examples", type=Path, required=True)
    options.add_argument("--work", type=Path, required=True)
    options.add_argument("--only", default="", help="designs whose file name holds this word")
    options = options.parse_args()

    sources = [(path, "design") for folder in ("params", "tests/designs") for path in sorted((ROOT / folder).glob("*.toml"))]
    if not sources:
        sys.exit("no designs in params and tests/designs")
    for wish, seed in seeds(Path(__file__).with_name("seeds.txt")):
        made = subprocess.run(
            [options.examples / "random_designs", options.work / "random", wish, str(seed)], capture_output=True, text=True, check=True
        )
        sources.append((Path(made.stdout.strip()), wish))
    sources = [s for s in sources if options.only in s[0].stem]

    jobs, broken = [], []
    start = time.perf_counter()
    for source, wish in sources:
        try:
            folder = build(options.binary, source, options.work / "out" / f"{wish}-{source.stem}")
            jobs.append((folder, source, wish, options.examples / "pair_times"))
        except RuntimeError as error:
            broken.append(str(error))
    print(f"built {len(jobs)} designs in {time.perf_counter() - start:.0f} s", flush=True)

    # the demos have the most pairs: they go first, so that neither process idles at the end
    print(f"{'design':32} {'solids':>6} {'pairs':>6} {'low mm':>8} {'high mm':>8} {'overlap':>8} {'kernel s':>9} {'ours s':>8} {'ratio':>7}  faults")
    theirs = ours = 0.0
    faults = []
    context = multiprocessing.get_context("spawn")
    with context.Pool(2, maxtasksperchild=4) as pool:
        for row in pool.imap_unordered(one, jobs):
            if "broken" in row:
                broken.append(f"{row['name']}: {row['broken']}")
                continue
            theirs, ours = theirs + row["theirs"], ours + row["ours"]
            print(
                f"{row['name']:32} {row['solids']:6} {row['pairs']:6} {row['low']:8.4f} {row['high']:8.4f} {row['overlap']:8.2%} "
                f"{row['theirs']:9.2f} {row['ours']:8.3f} {row['theirs'] / row['ours']:7.0f}  {len(row['faults']) or ''}",
                flush=True,
            )
            faults += [f"{row['name']}: {text}" for text in row["faults"]]
    if ours > 0:
        print(f"the independent kernel took {theirs:.1f} s for pairs that we measure in {ours:.2f} s: {theirs / ours:.0f} times as long")
    print(f"{len(jobs)} designs, {len(faults)} faults, {time.perf_counter() - start:.0f} s")
    for text in faults:
        print(f"fault: {text}")
    for text in broken:
        print(f"could not run: {text}")
    sys.exit(2 if broken else 1 if faults else 0)


if __name__ == "__main__":
    main()
