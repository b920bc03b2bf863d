"""Checks what cutters sweep with the C++ polygon clipper: reads cells and passes as polygons and open polylines (JSON on standard
input, mm), writes for each cell the area of what is left standing and of what is cut outside, both after opening by a few times the
chord error, which the polygons themselves have."""
import json
import sys

import pyclipper

SCALE = 1e5  # units per mm


def ints(ring):
    return [(round(x * SCALE), round(y * SCALE)) for x, y in ring]


def shrink(paths, d):
    if not paths:
        return []
    o = pyclipper.PyclipperOffset(2, 0.05 * d * SCALE)
    o.AddPaths(paths, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
    return o.Execute(-d * SCALE)


def combine(kind, a, b):
    if not a:
        return []
    c = pyclipper.Pyclipper()
    c.AddPaths(a, pyclipper.PT_SUBJECT, True)
    if b:
        c.AddPaths(b, pyclipper.PT_CLIP, True)
    return c.Execute(kind, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)


def area(paths):
    return sum(pyclipper.Area(p) for p in paths) / SCALE**2


def main():
    job = json.load(sys.stdin)
    tol = job["tolerance"]
    out = []
    for cell in job["cells"]:
        region = [ints(r) for r in cell["rings"]]
        swept = []
        for m in cell["moves"]:
            o = pyclipper.PyclipperOffset(2, tol * SCALE / 4)
            for p in m["paths"]:
                o.AddPath(ints(p), pyclipper.JT_ROUND, pyclipper.ET_OPENROUND)
            swept = combine(pyclipper.CT_UNION, swept + list(o.Execute(m["radius"] * SCALE)), [])
        left = shrink(combine(pyclipper.CT_DIFFERENCE, region, swept), 3 * tol)
        excess = shrink(combine(pyclipper.CT_DIFFERENCE, swept, region), 3 * tol)
        out.append({"left": area(left), "excess": area(excess)})
    json.dump(out, sys.stdout)


main()
