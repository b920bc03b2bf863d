"""Solves a model of prisms with getfem (https://getfem.org, Debian's python3-getfem).

Reads JSON from standard input: points (mm), elements (18 points each: six of the
triangle, corners then the middles of the sides opposite corner 0, 1, 2, at the bottom,
at middle height, at the top), held points, body force (N/mm3), E (MPa), nu. Writes the
displacement of every point and load times displacement, on the last line: the library
prints lines of its own.
"""
import json
import sys

import getfem as gf
import numpy as np

gf.util_trace_level(0)
gf.util_warning_level(0)
job = json.load(sys.stdin)
points = np.array(job["points"])
trans = gf.GeoTrans("GT_PRODUCT(GT_PK(2,2),GT_PK(1,2))")
# Where getfem wants its reference points, and which of ours those are.
plane = [(0, 0), (1, 0), (0, 1), (0.5, 0.5), (0, 0.5), (0.5, 0)]
ours = {(r, s, k / 2): 6 * k + i for k in range(3) for i, (r, s) in enumerate(plane)}
order = [ours[tuple(np.round(p, 9))] for p in trans.pts().T]
mesh = gf.Mesh("empty", 3)
for element in job["elements"]:
    mesh.add_convex(trans, points[np.array(element)[order]].T)
fem = gf.MeshFem(mesh, 3)
fem.set_fem(gf.Fem("FEM_PRODUCT(FEM_PK(2,2),FEM_PK(1,2))"))
data = gf.MeshFem(mesh, 1)
data.set_fem(gf.Fem("FEM_PRODUCT(FEM_PK(2,1),FEM_PK(1,1))"))
rule = gf.MeshIm(mesh, gf.Integ("IM_PRODUCT(IM_TRIANGLE(8),IM_GAUSS1D(6))"))
n, e, nu = data.nbdof(), job["E"], job["nu"]
ones = np.ones(n)
k = gf.asm_linear_elasticity(rule, fem, data, ones * e * nu / (1 + nu) / (1 - 2 * nu), ones * e / 2 / (1 + nu))
f = gf.asm_volumic_source(rule, fem, data, np.outer(job["body"], ones))
at = {tuple(np.round(p, 6) + 0.0): i for i, p in enumerate(fem.basic_dof_nodes().T[::3])}
node = np.array([at[tuple(np.round(p, 6) + 0.0)] for p in points])
held = np.array([3 * node[i] + c for i in job["held"] for c in range(3)])
stiff = 1e6 * max(k.diag().ravel())
springs = np.zeros(fem.nbdof())
springs[held] = stiff
grounds = gf.Spmat("empty", len(springs), len(springs))
grounds.set_diag(springs)
k = gf.Spmat("add", k, grounds)
u = gf.linsolve_mumps(k, f).ravel()
print()
json.dump({"u": [u[3 * i:3 * i + 3].tolist() for i in node], "work": float(f.ravel() @ u)}, sys.stdout)
