"""What the independent B-rep kernel says of a STEP file: parts by name, and what lies between two of them."""

import time
from dataclasses import dataclass

from OCP.Bnd import Bnd_Box
from OCP.BRep import BRep_Builder
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_SurfaceType as Kind
from OCP.gp import gp_Trsf, gp_Vec
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Quantity import Quantity_Color
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_ShapeEnum as Topo, TopAbs_State
from OCP.TopExp import TopExp_Explorer
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Compound
from OCP.BRep import BRep_Tool
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool, XCAFDoc_ShapeTool
from OCP.collections import Sequence_TDF_Label

FIVE = {
    Kind.GeomAbs_Plane,
    Kind.GeomAbs_Cylinder,
    Kind.GeomAbs_Cone,
    Kind.GeomAbs_Sphere,
    Kind.GeomAbs_Torus,
}


@dataclass
class Product:
    """A shape that parts share, in its own frame."""

    solids: int
    valid: bool
    kinds: set
    volume: float
    centre: object
    colour: tuple | None


@dataclass
class Part:
    """A placed instance."""

    group: str
    product: Product
    shape: object
    centre: tuple


def name_of(label):
    attribute = TDataStd_Name()
    if label.FindAttribute(TDataStd_Name.GetID_s(), attribute):
        return attribute.Get().ToExtString()
    return ""


def components(label):
    found = Sequence_TDF_Label()
    XCAFDoc_ShapeTool.GetComponents_s(label, found, False)
    return [found.Value(i) for i in range(1, found.Length() + 1)]


def referred(label):
    target = TDF_Label()
    XCAFDoc_ShapeTool.GetReferredShape_s(label, target)
    return target


def faces_of(shape):
    explorer = TopExp_Explorer(shape, Topo.TopAbs_FACE)
    faces = []
    while explorer.More():
        faces.append(TopoDS.Face(explorer.Current()))
        explorer.Next()
    return faces


def count(shape, kind):
    explorer = TopExp_Explorer(shape, kind)
    n = 0
    while explorer.More():
        n += 1
        explorer.Next()
    return n


def box_of(shape, exact=False):
    box = Bnd_Box()
    if exact:
        BRepBndLib.AddOptimal_s(shape, box, False, False)
    else:
        BRepBndLib.Add_s(shape, box, False)
    if box.IsVoid():
        return None
    gap = box.GetGap()
    low, high = box.CornerMin(), box.CornerMax()
    return (
        (low.X() + gap, low.Y() + gap, low.Z() + gap),
        (high.X() - gap, high.Y() - gap, high.Z() - gap),
    )


def boxes_apart(a, b):
    """Distance of two boxes."""
    return sum(max(a[0][k] - b[1][k], b[0][k] - a[1][k], 0.0) ** 2 for k in range(3)) ** 0.5


def colour_of(tool, shape):
    colour = Quantity_Color()
    for kind in (XCAFDoc_ColorType.XCAFDoc_ColorSurf, XCAFDoc_ColorType.XCAFDoc_ColorGen):
        if tool.GetColor(shape, kind, colour):
            return (colour.Red(), colour.Green(), colour.Blue())
    return None


def product_of(label, colours):
    shape = XCAFDoc_ShapeTool.GetShape_s(label)
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props, 1e-9, False, True)
    return Product(
        solids=count(shape, Topo.TopAbs_SOLID),
        valid=BRepCheck_Analyzer(shape).IsValid() and count(shape, Topo.TopAbs_SHELL) == 1,
        kinds={BRepAdaptor_Surface(f).GetType() for f in faces_of(shape)},
        volume=props.Mass(),
        centre=props.CentreOfMass(),
        colour=colour_of(colours, shape),
    )


def read(path):
    """The root's name and the parts by name; a name that comes twice is listed twice."""
    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.SetColorMode(True)
    if reader.ReadFile(str(path)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise RuntimeError(f"{path}: the kernel cannot read it")
    if not reader.Transfer(document):
        raise RuntimeError(f"{path}: the kernel cannot transfer it")
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    free = Sequence_TDF_Label()
    shapes.GetFreeShapes(free)
    if free.Length() != 1:
        raise RuntimeError(f"{path}: {free.Length()} root products")
    root = free.Value(1)
    products, parts = {}, []
    for group in components(root):
        at_group = XCAFDoc_ShapeTool.GetLocation_s(group)
        for child in components(referred(group)):
            target = referred(child)
            entry = target.Tag()
            if entry not in products:
                products[entry] = product_of(target, colours)
            product = products[entry]
            location = at_group.Multiplied(XCAFDoc_ShapeTool.GetLocation_s(child))
            shape = XCAFDoc_ShapeTool.GetShape_s(target).Moved(location)
            centre = product.centre.Transformed(location.Transformation())
            parts.append((name_of(child), Part(name_of(group), product, shape, (centre.X(), centre.Y(), centre.Z()))))
    return name_of(root), parts, document


class Judge:
    """Distances and common volumes, with the time they took."""

    def __init__(self, shapes, boxes):
        self.shapes, self.boxes = shapes, boxes
        self.faces = {}
        self.seconds = 0.0

    def near_faces(self, name, box, reach):
        """The faces of a part that come within `reach` of a box, as one compound; None without any."""
        if name not in self.faces:
            self.faces[name] = [(f, box_of(f)) for f in faces_of(self.shapes[name])]
        near = [f for f, b in self.faces[name] if boxes_apart(b, box) <= reach]
        if not near:
            return None
        compound = TopoDS_Compound()
        builder = BRep_Builder()
        builder.MakeCompound(compound)
        for face in near:
            builder.Add(compound, face)
        return compound

    def distance(self, a, b, reach):
        """Least distance of two surfaces if it is less than `reach`, else None. Faces out of reach cannot be the nearest ones, so
        only those within it are given to the kernel, which would otherwise try every hole of a plate."""
        start = time.perf_counter()
        try:
            one = self.near_faces(a, self.boxes[b], reach)
            other = self.near_faces(b, self.boxes[a], reach)
            if one is None or other is None:
                return None
            found = BRepExtrema_DistShapeShape(one, other)
            if not found.IsDone():
                raise RuntimeError(f"the kernel finds no distance of {a} and {b}")
            return found.Value() if found.Value() < reach else None
        finally:
            self.seconds += time.perf_counter() - start

    def moved(self, a, b, shift, reach):
        """Least distance of two surfaces with `a` carried by `shift`, if it is less than `reach`, else None."""
        start = time.perf_counter()
        try:
            back = tuple(tuple(c - s for c, s in zip(corner, shift)) for corner in self.boxes[b])
            there = tuple(tuple(c + s for c, s in zip(corner, shift)) for corner in self.boxes[a])
            one = self.near_faces(a, back, reach)
            other = self.near_faces(b, there, reach)
            if one is None or other is None:
                return None
            way = gp_Trsf()
            way.SetTranslation(gp_Vec(*shift))
            found = BRepExtrema_DistShapeShape(one.Moved(TopLoc_Location(way)), other)
            if not found.IsDone():
                raise RuntimeError(f"the kernel finds no distance of {a} and {b}")
            return found.Value() if found.Value() < reach else None
        finally:
            self.seconds += time.perf_counter() - start

    def inside(self, a, b):
        """Whether a corner of one lies in the other, where boxes allow it: with surfaces apart, then one holds the other."""
        start = time.perf_counter()
        try:
            for inner, outer in ((a, b), (b, a)):
                i, o = self.boxes[inner], self.boxes[outer]
                if all(o[0][k] <= i[0][k] and i[1][k] <= o[1][k] for k in range(3)):
                    explorer = TopExp_Explorer(self.shapes[inner], Topo.TopAbs_VERTEX)
                    point = BRep_Tool.Pnt_s(TopoDS.Vertex(explorer.Current()))
                    state = BRepClass3d_SolidClassifier(self.shapes[outer], point, 1e-7).State()
                    if state == TopAbs_State.TopAbs_IN:
                        return True
            return False
        finally:
            self.seconds += time.perf_counter() - start

    def common(self, a, b):
        """Common volume."""
        start = time.perf_counter()
        try:
            operation = BRepAlgoAPI_Common(self.shapes[a], self.shapes[b])
            if not operation.IsDone():
                raise RuntimeError(f"the kernel finds no common volume of {a} and {b}")
            props = GProp_GProps()
            BRepGProp.VolumeProperties_s(operation.Shape(), props)
            return props.Mass()
        finally:
            self.seconds += time.perf_counter() - start
