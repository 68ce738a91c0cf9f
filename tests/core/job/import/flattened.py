"""Draws a DXF file to the path given and prints its lines, flattened by ezdxf, as JSON: the independent reading of the import tests."""
import json
import sys

import ezdxf
from ezdxf import disassemble
from ezdxf.path import make_path

doc = ezdxf.new("R2010")
doc.units = 4
space = doc.modelspace()
cut = {"layer": "CUT"}
space.add_line((10, 10), (110, 10), dxfattribs=cut)
space.add_arc((200, 100), 50, 350, 80, dxfattribs=cut)
space.add_circle((300, 100), 33, dxfattribs=cut)
space.add_arc((-200, 100), 50, 10, 80, dxfattribs={"layer": "CUT", "extrusion": (0, 0, -1)})
space.add_ellipse((200, 300), (60, 20), 0.4, 0.5, 5.2, dxfattribs={"layer": "FOLD"})
space.add_lwpolyline([(400, 100, 0, 0, 0.5), (450, 100, 0, 0, -1.3), (450, 150, 0, 0, 0), (400, 150, 0, 0, 0.2)], close=True, dxfattribs=cut)
space.add_open_spline([(0, 400), (50, 480), (120, 300), (200, 420), (260, 380)], degree=3, dxfattribs=cut)
space.add_rational_spline([(300, 400), (350, 480), (420, 300), (500, 420)], weights=[1, 3, 0.5, 1], degree=3, dxfattribs=cut)
space.add_spline([(0, 600), (50, 680), (120, 500), (200, 620), (210, 580)], dxfattribs=cut)
space.add_spline([(300, 600), (390, 640), (400, 560)], dxfattribs={"layer": "CUT", "start_tangent": (0, 1, 0), "end_tangent": (-1, -1, 0)})
space.add_spline([(500, 600), (510, 680), (560, 690), (600, 620), (500, 600)], dxfattribs=cut)
space.add_spline([(300, 700), (390, 740)], dxfattribs={"layer": "CUT", "start_tangent": (0, 1, 0), "end_tangent": (1, 0, 0)})
space.add_polyline2d([(400, 200, 0.5), (450, 200, -0.3), (450, 250, 0)], format="xyb", dxfattribs=cut)
tray = doc.blocks.new("TRAY", base_point=(5, 5))
tray.add_line((5, 5), (30, 5))
tray.add_arc((30, 15), 10, 270, 90)
tray.add_ellipse((20, 30), (10, 0), 0.5)
space.add_blockref("TRAY", (500, 300), dxfattribs={"xscale": 2, "yscale": -2, "rotation": 30, "layer": "CUT"})
space.add_blockref("TRAY", (600, 300), dxfattribs={"xscale": 1.5, "yscale": 1.5, "rotation": -70, "layer": "CUT"})
doc.saveas(sys.argv[1])

lines = []
for entity in disassemble.recursive_decompose(space):
    # Path objects hold arcs, ellipses and splines as approximated cubics; the entities' own tools evaluate the curve itself.
    kind = entity.dxftype()
    if kind == "SPLINE":
        points = entity.construction_tool().flattening(0.0005, segments=64)
    elif kind == "ELLIPSE":
        points = entity.flattening(0.0005, segments=64)
    elif kind in ("ARC", "CIRCLE"):
        points = entity.flattening(0.0005)
    else:
        points = make_path(entity).flattening(0.0005, segments=64)
    lines.append([[p.x, p.y] for p in points])
print(json.dumps(lines))
