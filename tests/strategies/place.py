"""Where a sleeve comes to lie: in the shell, proud of it, with a flange on a face, against a shoulder."""

from __future__ import annotations

from dataclasses import dataclass, field

from hypothesis import strategies as st

from strategies.toml_writer import Document
from strategies.values import Draw, length, maybe, number


@dataclass(frozen=True)
class Place:
    """start, end: z of the whole sleeve, mm. keys: what [sleeve] says of it. neck: z of what its outside
    covers. shoulder: z and diameter of a shoulder in the bore at one end of it, mm, else None."""

    start: float
    end: float
    keys: Document = field(default_factory=dict)
    shoulder: tuple[float, float] | None = None
    flange: str = ""
    thickness: float = 0.0

    @property
    def neck(self) -> tuple[float, float]:
        left = self.thickness if self.flange == "left" else 0.0
        right = self.thickness if self.flange == "right" else 0.0
        return round(self.start + left, 4), round(self.end - right, 4)

    def covers_left_face(self) -> bool:
        """Whether a cup at the left meets the sleeve before the shell."""
        return self.start < 0.0


def place(draw: Draw, width: float, bore: float, sleeve_bore: float) -> Place:
    start = draw(st.sampled_from((0.0, 0.0, round(0.1 * width, 4))))
    end = round(start + (width - start if maybe(draw) else 0.8 * (width - start)), 4)
    how = draw(st.sampled_from(("inside", "inside", "proud", "flange", "shoulder")))
    if how == "proud":
        return _proud(draw, width, draw(st.sampled_from(("left", "right", "both"))), start, end)
    if how == "flange":
        return _flanged(draw, width, bore, start, end)
    if how == "shoulder":
        return _against_shoulder(draw, width, bore, sleeve_bore)
    return Place(start, end)


def _proud(draw: Draw, width: float, at: str, start: float, end: float) -> Place:
    reach = number(draw, 0.02, 0.2) * width
    if at in ("left", "both"):
        start = round(-reach, 4)
    if at in ("right", "both"):
        end = round(width + reach, 4)
    return Place(start, end, {"proud": "stays"})


def _flanged(draw: Draw, width: float, bore: float, start: float, end: float) -> Place:
    side = draw(st.sampled_from(("left", "right")))
    thickness = round(number(draw, 0.05, 0.2) * width, 4)
    keys: Document = {
        "stop": f"{side} flange",
        "flange_diameter": length(draw, bore * number(draw, 1.05, 1.4)),
        "flange_thickness": f"{thickness} mm",
    }
    if side == "left":
        start = -thickness
    else:
        end = round(width + thickness, 4)
    if maybe(draw):  # beyond the other face
        keys["proud"] = "stays"
        reach = round(0.1 * width, 4)
        start, end = (start, width + reach) if side == "left" else (-reach, end)
    return Place(start, round(end, 4), keys, flange=side, thickness=thickness)


def _against_shoulder(draw: Draw, width: float, bore: float, sleeve_bore: float) -> Place:
    """A shoulder over the last part of the bore, that covers more than half of the sleeve's end."""
    side = draw(st.sampled_from(("left", "right")))
    depth = round(number(draw, 0.05, 0.2) * width, 4)
    z = depth if side == "left" else round(width - depth, 4)
    inner = round(sleeve_bore + number(draw, 0.1, 0.4) * (bore - sleeve_bore), 4)
    keys: Document = {"stop": f"{side} shoulder"} if maybe(draw) else {}
    start, end = (z, width) if side == "left" else (0.0, z)
    if maybe(draw):  # beyond the other face
        keys["proud"] = "stays"
        start, end = (start, round(1.1 * width, 4)) if side == "left" else (round(-0.1 * width, 4), end)
    return Place(start, end, keys, shoulder=(z, inner))
