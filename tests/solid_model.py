"""A sleeve bonded into a shell in three dimensions, for the independent finite-element library NGSolve."""

from __future__ import annotations

import netgen.occ as occ
import ngsolve as ng
import numpy as np
from fem_models import MATERIALS

from hoopwright.loads.traction import FourierTraction

BORE, MIDDLE, OUTSIDE = 17.45, 19.5, 22.0


def solid(breaks, *, half=False, size=4.0, fine_at=(), fine=0.5, order=3):
    """Mesh sleeve and shell bonded together and divided at the breaks along z. half: only y > 0; the
    symmetry plane is named cut. Faces of the stretch that starts at z are named bore@z and outside@z.
    size: element size, mm; fine: the same along the outside circles at the z of fine_at."""
    axis = occ.gp_Dir(0, 0, 1)
    parts = []
    for a, b in zip(breaks[:-1], breaks[1:], strict=True):
        for name, inner, outer in (("sleeve", BORE, MIDDLE), ("shell", MIDDLE, OUTSIDE)):
            base = occ.gp_Pnt(0, 0, a)
            part = occ.Cylinder(base, axis, r=outer, h=b - a) - occ.Cylinder(base, axis, r=inner, h=b - a)
            if half:
                part = part * occ.Box(occ.Pnt(-99, 0, a - 1), occ.Pnt(99, 99, b + 1))
            part.mat(name)
            parts.append(part)
    glued = occ.Glue(parts)
    for edge in glued.edges:
        low, high = edge.bounding_box
        across = high.x - low.x > 2 * OUTSIDE - 0.1
        if across and any(abs(high.z - z) + abs(low.z - z) < 1e-3 for z in fine_at):
            edge.maxh = fine
    for face in glued.faces:
        low, high = face.bounding_box
        face.name = "inside"
        if half and high.y < 1e-3:
            face.name = "cut"
        elif high.z - low.z > 0.5:
            for name, radius in (("bore", BORE), ("outside", OUTSIDE)):
                if abs(high.x - radius) < 1e-2:
                    face.name = f"{name}@{round(low.z)}"
    mesh = ng.Mesh(occ.OCCGeometry(glued).GenerateMesh(maxh=size, grading=0.5))
    mesh.Curve(order)
    return mesh


class Solid:
    """Linear elasticity on the three-dimensional mesh; loads are added face by face."""

    def __init__(self, mesh, order=3, **dirichlet):
        self.mesh = mesh
        self.space = ng.VectorH1(mesh, order=order, **dirichlet)
        self.u, self.v = self.space.TnT()
        pairs = {name: (m.young_modulus, m.poisson_ratio) for name, m in MATERIALS.items()}
        self.E = mesh.MaterialCF({k: v[0] for k, v in pairs.items()})
        self.nu = mesh.MaterialCF({k: v[1] for k, v in pairs.items()})
        self.load = ng.LinearForm(self.space)
        self.form = ng.BilinearForm(self.space, symmetric=True)
        self.form += ng.InnerProduct(self.stress(ng.Sym(ng.Grad(self.u))), ng.Sym(ng.Grad(self.v))) * ng.dx

    def stress(self, strain):
        lam = self.E * self.nu / ((1 + self.nu) * (1 - 2 * self.nu))
        return self.E / (1 + self.nu) * strain + lam * ng.Trace(strain) * ng.Id(3)

    def add_traction(self, t: FourierTraction, face: str):
        """Add a Fourier traction on the named faces, evaluated point by point from its series."""
        angle = ng.atan2(ng.y, ng.x)
        place = (ng.z - t.start) / (t.end - t.start)
        factor = t.factor_start + place * (t.factor_end - t.factor_start)

        def wave(series):
            return sum(
                c * ng.cos(n * angle) + s * ng.sin(n * angle)
                for n, (c, s) in enumerate(zip(series.cos, series.sin, strict=True))
            )

        radial, hoop, axial = wave(t.radial), wave(t.hoop), wave(t.axial)
        c, s = ng.cos(angle), ng.sin(angle)
        vector = ng.CF((radial * c - hoop * s, radial * s + hoop * c, axial)) * factor
        self.load += vector * self.v * ng.ds(face, bonus_intorder=10)

    def add_soft_springs(self):
        """Add springs far too weak to matter, so that a balanced body has a unique position."""
        self.form += 1e-5 * self.u * self.v * ng.dx

    def solve(self):
        self.form.Assemble()
        self.load.Assemble()
        field = ng.GridFunction(self.space)
        inverse = self.form.mat.Inverse(self.space.FreeDofs(), inverse="sparsecholesky")
        field.vec.data = inverse * self.load.vec
        return field

    def cylindrical(self, tensor, r, theta, z):
        """(rr, θθ, zz, rz, rθ, θz) of a tensor field at a point."""
        c, s = np.cos(theta), np.sin(theta)
        value = np.array(tensor(self.mesh(r * c, r * s, z))).reshape(3, 3)
        turn = np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
        q = turn @ value @ turn.T
        return np.array([q[0, 0], q[1, 1], q[2, 2], q[0, 2], q[0, 1], q[1, 2]])

    def strain_move(self, shift):
        """Impose the displacement `shift` on the shell as an initial strain: adds −a(shift, v) over the
        shell."""
        strain = ng.Sym(ng.Grad(shift))
        self.load += -ng.InnerProduct(self.stress(strain), ng.Sym(ng.Grad(self.v))) * ng.dx("shell")
