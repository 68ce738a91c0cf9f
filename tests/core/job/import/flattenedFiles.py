"""Prints the lines of DXF files, flattened by ezdxf, as JSON by file: the independent reading of the survey."""
import json
import sys

import ezdxf
from ezdxf import disassemble
from ezdxf.path import make_path


def points(entity):
    # Path objects hold arcs and ellipses as approximated cubics; the entities' own tools evaluate the curve itself.
    kind = entity.dxftype()
    if kind == "ELLIPSE":
        return entity.flattening(0.0005, segments=64)
    if kind in ("ARC", "CIRCLE"):
        return entity.flattening(0.0005)
    return make_path(entity).flattening(0.0005, segments=64)


lines = {}
for file in sys.argv[1:]:
    space = ezdxf.readfile(file).modelspace()
    drawn = [e for e in disassemble.recursive_decompose(space) if e.dxftype() in ("LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "ELLIPSE")]
    lines[file] = [[[p.x, p.y] for p in points(e)] for e in drawn]
print(json.dumps(lines))
