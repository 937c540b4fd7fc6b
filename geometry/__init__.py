"""Geometry of shell and sleeve, as measured and as planned.

Lengths in mm at 20 °C; z runs along the shell axis, 0 at the left face.
"""

from hoopwright.geometry.joint import Joint, joint
from hoopwright.geometry.land import Land, cylinder
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.sleeve import BoreZone, Sleeve
from hoopwright.geometry.thread import Thread

__all__ = ["BoreZone", "Joint", "Land", "Shell", "Sleeve", "Thread", "cylinder", "joint"]
