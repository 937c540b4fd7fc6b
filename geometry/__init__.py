"""What was measured and what will be cut. Lengths in mm at 20 °C; z along the axis, 0 at the left face."""

from geometry.land import Land
from geometry.shell import Shell
from geometry.sleeve import BoreZone, Sleeve
from geometry.thread import Thread

__all__ = ["BoreZone", "Land", "Shell", "Sleeve", "Thread"]
