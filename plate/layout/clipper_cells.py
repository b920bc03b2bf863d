"""Cells by the C++ polygon clipper (pyclipper), for plate/layout/clipper_bench_test.go.

Reads a plate as JSON from standard input: inside (points of the ground), caps and
fat (points of ribs and bosses, as they are and grown by the cutter's radius),
shrunk (the ground less the radius), radius, sagitta and repeat; all in mm.
Writes the best time of the Execute calls alone, in ms, for three ways to the same
cells, and how many cells of what area they gave:

  steps   union of the caps, difference, offset in, offset out
  direct  difference with the caps as they overlap, offset in, offset out
  fat     difference of what is grown and shrunk already, offset out
"""
import json
import sys
from time import perf_counter

import pyclipper as pc

S = 1e6  # the clipper counts in whole numbers: nanometres
plate = json.load(sys.stdin)


def whole(paths):
    return [[(round(x * S), round(y * S)) for x, y in p] for p in paths]


class Clock:
    def __init__(self):
        self.s = 0.0

    def time(self, f, *args):
        t = perf_counter()
        r = f(*args)
        self.s += perf_counter() - t
        return r


def union(clock, caps):
    c = pc.Pyclipper()
    c.AddPaths(caps, pc.PT_SUBJECT, True)
    return clock.time(c.Execute, pc.CT_UNION, pc.PFT_NONZERO, pc.PFT_NONZERO)


def difference(clock, ground, caps):
    c = pc.Pyclipper()
    c.AddPaths(ground, pc.PT_SUBJECT, True)
    c.AddPaths(caps, pc.PT_CLIP, True)
    return clock.time(c.Execute, pc.CT_DIFFERENCE, pc.PFT_NONZERO, pc.PFT_NONZERO)


def offset(clock, paths, d):
    o = pc.PyclipperOffset(2.0, plate["sagitta"] * S)
    o.AddPaths(paths, pc.JT_ROUND, pc.ET_CLOSEDPOLYGON)
    return clock.time(o.Execute, d * S)


ground, shrunk, caps, fat = (whole(plate[k]) for k in ("inside", "shrunk", "caps", "fat"))
r = plate["radius"]


def opened(clock, paths):
    return offset(clock, offset(clock, paths, -r), r)


ways = {
    "steps": lambda c: opened(c, difference(c, ground, union(c, caps))),
    "direct": lambda c: opened(c, difference(c, ground, caps)),
    "fat": lambda c: offset(c, difference(c, shrunk, fat), r),
}
out = {}
for name, way in ways.items():
    best = 1e9
    for _ in range(plate["repeat"]):
        clock = Clock()
        cells = way(clock)
        best = min(best, clock.s)
    out[name] = {
        "ms": best * 1e3,
        "cells": sum(pc.Orientation(p) for p in cells),
        "area": sum(pc.Area(p) for p in cells) / S / S,
    }
json.dump(out, sys.stdout)
