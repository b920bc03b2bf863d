#!/usr/bin/python3
"""Areas of pocket fields by an outside polygon library (Debian's python3-pyclipper), for the tests of plate/layout.

Reads one JSON object a line: polygons "outline" and "bounds" (or null), "rim_mm", "radius_mm", "discs" [[x, y, r]], "ribs"
[[ax, ay, bx, by, half width]], "solid" polygons of what is neither, "filleted" grids of "ribs" and "solid" with their "fillet_mm",
and "tol_mm", the largest distance of a chord from its arc. Writes for each the areas of what a cutter of the radius reaches
inside the outline less the rim, inside the bounds, outside discs and ribs: erode, then dilate.
"""
import json
import math
import sys

import pyclipper as pc

SCALE = 1e7


def up(points):
    return [(round(x * SCALE), round(y * SCALE)) for x, y in points]


def offset(paths, d, tol):
    if d == 0 or not paths:
        return paths
    o = pc.PyclipperOffset(2.0, tol * SCALE)
    o.AddPaths(paths, pc.JT_ROUND, pc.ET_CLOSEDPOLYGON)
    return o.Execute(d * SCALE)


def arc(x, y, r, a0, a1, tol):
    n = max(4, math.ceil(abs(a1 - a0) / (2 * math.acos(1 - min(tol / r, 0.5)))))
    return [(x + r * math.cos(a0 + (a1 - a0) * k / n), y + r * math.sin(a0 + (a1 - a0) * k / n)) for k in range(n + 1)]


def capsule(ax, ay, bx, by, h, tol):
    a = math.atan2(by - ay, bx - ax)
    return arc(bx, by, h, a - math.pi / 2, a + math.pi / 2, tol) + arc(ax, ay, h, a + math.pi / 2, a + 3 * math.pi / 2, tol)


def clip(kind, subject, other):
    if not subject:
        return []
    c = pc.Pyclipper()
    c.AddPaths(subject, pc.PT_SUBJECT, True)
    if other:
        c.AddPaths(other, pc.PT_CLIP, True)
    return c.Execute(kind, pc.PFT_NONZERO, pc.PFT_NONZERO)


def reached(job):
    tol, r = job["tol_mm"], job["radius_mm"]
    field = offset([up(job["outline"])], -job["rim_mm"], tol)
    if job["bounds"]:
        field = clip(pc.CT_INTERSECTION, field, [up(job["bounds"])])
    solid = [up(arc(x, y, d, 0, 2 * math.pi, tol)) for x, y, d in job["discs"] or []]
    solid += [up(capsule(*rib, tol)) for rib in job["ribs"] or []]
    solid += [up(polygon) for polygon in job["solid"] or []]
    for grid in job["filleted"] or []:
        ribs = [up(capsule(*rib, tol)) for rib in grid["ribs"] or []] + [up(polygon) for polygon in grid["solid"] or []]
        c = pc.Pyclipper()
        c.AddPaths(ribs, pc.PT_SUBJECT, True)
        ribs = c.Execute(pc.CT_UNION, pc.PFT_NONZERO, pc.PFT_NONZERO)
        closed = offset(offset(ribs, grid["fillet_mm"], tol), -grid["fillet_mm"], tol)
        field = clip(pc.CT_DIFFERENCE, field, closed)
    field = clip(pc.CT_DIFFERENCE, field, solid)
    field = offset(offset(field, -r, tol), r, tol)
    tree = pc.Pyclipper()
    if not field:
        return []
    tree.AddPaths(field, pc.PT_SUBJECT, True)
    out = []
    stack = list(tree.Execute2(pc.CT_UNION, pc.PFT_NONZERO, pc.PFT_NONZERO).Childs)
    while stack:
        node = stack.pop()
        a = abs(pc.Area(node.Contour))
        for hole in node.Childs:
            a -= abs(pc.Area(hole.Contour))
            stack += hole.Childs
        out.append(a / SCALE**2)
    return sorted(out)


for line in sys.stdin:
    print(json.dumps(reached(json.loads(line))), flush=True)
