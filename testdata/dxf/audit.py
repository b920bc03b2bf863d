"""Read DXF files with ezdxf, audit them, and print what is in them as one JSON object, by file name.

    /usr/bin/python3 audit.py FILE.dxf ...

A file that is not as it should be has its faults listed under "faults"; the exit code is then 1. Areas are measured from
the files' numbers alone: from vertices and bulges, and from radii. Contours of one layer that lie inside one another count
in turn as metal and island.
"""
import json
import math
import os
import sys

import ezdxf
from ezdxf import recover


def polyline(entity):
    """Signed area, and points on the contour for finding out what lies inside what."""
    vertices = [(v[0], v[1], v[2]) for v in entity.get_points("xyb")]
    area, points = [], []
    for i, (x0, y0, bulge) in enumerate(vertices):
        x1, y1, _ = vertices[(i + 1) % len(vertices)]
        # About the first vertex, so that no large products cancel.
        ax, ay = x0 - vertices[0][0], y0 - vertices[0][1]
        bx, by = x1 - vertices[0][0], y1 - vertices[0][1]
        area.append((ax * by - bx * ay) / 2)
        points.append((x0, y0))
        if bulge:
            chord = math.hypot(x1 - x0, y1 - y0)
            angle = 4 * math.atan(abs(bulge))
            radius = chord / 2 / math.sin(angle / 2)
            area.append(math.copysign(radius * radius * (angle - math.sin(angle)) / 2, bulge))
            # The arc bulges to the right of the chord when it runs counter-clockwise.
            for k in range(1, 8):
                t = k / 8 * angle - angle / 2
                along = radius * math.sin(t) / chord
                out = (radius * math.cos(t) - radius * math.cos(angle / 2)) / chord * math.copysign(1, bulge)
                mx, my = (x0 + x1) / 2, (y0 + y1) / 2
                points.append((mx + (x1 - x0) * along + (y1 - y0) * out, my + (y1 - y0) * along - (x1 - x0) * out))
    return math.fsum(area), points


def circle(entity):
    c, r = entity.dxf.center, entity.dxf.radius
    points = [(c.x + r * math.cos(k * math.pi / 24), c.y + r * math.sin(k * math.pi / 24)) for k in range(48)]
    return math.pi * r * r, points


def inside(p, points):
    """Whether p lies in the polygon, by crossings of a ray."""
    x, y = p
    odd = False
    for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1]):
        if (y0 > y) != (y1 > y) and x < x0 + (x1 - x0) * (y - y0) / (y1 - y0):
            odd = not odd
    return odd


def box(points):
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def within(a, b):
    return a[0] >= b[0] and a[1] >= b[1] and a[2] <= b[2] and a[3] <= b[3]


def layer_area(contours):
    """Area of the layer, with every second level of nesting taken off."""
    boxes = [box(points) for _, points in contours]
    parts = []
    for i, (area, points) in enumerate(contours):
        level = sum(
            1 for j, (other, ring) in enumerate(contours)
            if j != i and abs(other) > abs(area) and within(boxes[i], boxes[j]) and inside(points[0], ring))
        parts.append(abs(area) if level % 2 == 0 else -abs(area))
    return math.fsum(parts)


def read(path):
    faults = []
    doc = ezdxf.readfile(path)
    auditor = doc.audit()
    _, recovered = recover.readfile(path)
    for kind, found in (("audit", auditor), ("recover", recovered)):
        faults += [f"{kind} error: {e.message}" for e in found.errors]
        faults += [f"{kind} fix: {e.message}" for e in found.fixes]
    if doc.dxfversion != "AC1015":
        faults.append(f"version {doc.dxfversion}, want AC1015")
    if doc.header.get("$INSUNITS") != 4 or doc.units != 4:
        faults.append("units are not millimetres")
    if doc.header.get("$MEASUREMENT") != 1:
        faults.append("not metric")
    layers, orient = {}, {}
    for e in doc.modelspace():
        kind, name = e.dxftype(), e.dxf.layer
        if not doc.layers.has_entry(name):
            faults.append(f"layer {name} is not in the table")
        if kind == "LWPOLYLINE":
            if not e.closed:
                faults.append(f"{name}: open contour #{e.dxf.handle}")
            layers.setdefault(name, []).append(polyline(e))
        elif kind == "CIRCLE":
            layers.setdefault(name, []).append(circle(e))
        else:
            faults.append(f"{name}: {kind} is neither contour nor circle")
    low, high = doc.header.get("$EXTMIN"), doc.header.get("$EXTMAX")
    return {
        "errors": len(auditor.errors) + len(recovered.errors),
        "fixes": len(auditor.fixes) + len(recovered.fixes),
        "version": doc.dxfversion,
        "units": doc.units,
        "faults": faults,
        "extent_mm": [low[0], low[1], high[0], high[1]],
        "layers": {n: {"contours": len(c), "area_mm2": layer_area(c)} for n, c in sorted(layers.items())},
    }


def main(paths):
    out = {os.path.basename(p): read(p) for p in paths}
    json.dump(out, sys.stdout, indent=1)
    print()
    return 1 if any(f["faults"] for f in out.values()) else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
