"""60° threads: shear areas, stripping force, and torque against preload."""

from __future__ import annotations

import numpy as np

from hoopwright.closed_form._check import Real, require_increasing, require_not_negative, require_positive

TAN_30 = 1.0 / np.sqrt(3.0)  # 0.57735 in the standards


def internal_shear_area(
    *,
    engagement: Real,
    pitch: Real,
    external_major_min: Real,
    internal_pitch_max: Real,
) -> Real:
    """Least shear area of an internal 60° thread.

        AS_n = π (L_E/P) d_min [P/2 + tan 30° (d_min - D2_max)]

    The thread shears at the major diameter of the external one. engagement L_E, pitch P: mm;
    external_major_min d_min: least major diameter of the external thread, mm; internal_pitch_max
    D2_max: greatest pitch diameter of the internal thread, mm. Any consistent length unit will do.
    Returns mm². Raises ValueError for sizes that leave no overlap.
    Source: ASME B1.1 Appendix B and FED-STD-H28, from memory; the form seen again on an
    engineering reference page (engineersedge.com, thread shear area per ASME B1.1).

    >>> round(float(internal_shear_area(engagement=8.0, pitch=1.25, external_major_min=7.760,
    ...                                 internal_pitch_max=7.348)), 2)
    134.63
    """
    require_positive(
        pitch=pitch, external_major_min=external_major_min, internal_pitch_max=internal_pitch_max
    )
    require_not_negative(engagement=engagement)
    width = pitch / 2.0 + TAN_30 * (external_major_min - internal_pitch_max)
    _require_tooth(width, pitch)
    return np.pi * engagement / pitch * external_major_min * width


def external_shear_area(
    *,
    engagement: Real,
    pitch: Real,
    internal_minor_max: Real,
    external_pitch_min: Real,
) -> Real:
    """Least shear area of an external 60° thread.

        AS_s = π (L_E/P) D1_max [P/2 + tan 30° (d2_min - D1_max)]

    The thread shears at the minor diameter of the internal one. internal_minor_max
    D1_max: greatest minor diameter of the internal thread, mm; external_pitch_min d2_min: least
    pitch diameter of the external thread, mm. Other arguments, return, errors and source
    as in `internal_shear_area`.

    >>> round(float(external_shear_area(engagement=8.0, pitch=1.25, internal_minor_max=6.912,
    ...                                 external_pitch_min=7.042)), 2)
    97.29
    """
    require_positive(
        pitch=pitch, internal_minor_max=internal_minor_max, external_pitch_min=external_pitch_min
    )
    require_not_negative(engagement=engagement)
    width = pitch / 2.0 + TAN_30 * (external_pitch_min - internal_minor_max)
    _require_tooth(width, pitch)
    return np.pi * engagement / pitch * internal_minor_max * width


def _require_tooth(width: Real, pitch: Real) -> None:
    if np.any(np.less_equal(width, 0.0)) or np.any(np.greater(width, pitch)):
        raise ValueError("the thread diameters do not overlap as one 60° thread of this pitch")


def stripping_force(*, shear_area: Real, shear_strength: Real) -> Real:
    """Axial force that strips a thread.

        F = A τ

    shear_area: mm²; shear_strength: MPa. Returns N. Raises ValueError for negative input.
    The load is taken as uniform along the engagement, which holds once the threads yield.
    Source: ASME B1.1 Appendix B, from memory.

    >>> stripping_force(shear_area=100.0, shear_strength=120.0)
    12000.0
    """
    require_not_negative(shear_area=shear_area, shear_strength=shear_strength)
    return shear_area * shear_strength


def tightening_torque(
    *,
    preload: Real,
    pitch: Real,
    pitch_diameter: Real,
    thread_friction: Real,
    face_friction: Real = 0.0,
    face_mean_diameter: Real = 0.0,
    flank_angle_deg: Real = 30.0,
) -> Real:
    """Tightening torque that produces a preload in a screw thread, including flange friction.

        T = F (d2/2) (tan λ + μ/cos α)/(1 - μ tan λ/cos α) + F μ_f d_f/2,   tan λ = P/(π d2)

    preload F: N; pitch P, pitch_diameter d2, face_mean_diameter d_f (mean diameter of the
    bearing ring under the flange): mm; frictions: coefficients; flank_angle_deg α: half the thread
    angle, 30 for a 60° thread, 0 for a square one. Single start. Returns N·mm.
    Raises ValueError for input out of range, or where friction is so high that no torque turns the screw.
    Source: statics of the inclined plane, as in any machine-design book; the form seen in
    R. L. Mott, Machine Elements in Mechanical Design, 4th ed., Eq. 17-10.

    >>> round(float(tightening_torque(preload=1000.0, pitch=1.0, pitch_diameter=34.35,
    ...       thread_friction=0.15)))
    3139
    """
    require_positive(pitch=pitch, pitch_diameter=pitch_diameter)
    require_not_negative(
        preload=preload,
        thread_friction=thread_friction,
        face_friction=face_friction,
        face_mean_diameter=face_mean_diameter,
    )
    tan_lead, flank_friction = _lead_and_flank_friction(
        pitch, pitch_diameter, thread_friction, flank_angle_deg
    )
    if np.any(np.greater_equal(flank_friction * tan_lead, 1.0)):
        raise ValueError("thread_friction is so high that no torque turns the screw")
    thread = (
        preload * pitch_diameter / 2.0 * (tan_lead + flank_friction) / (1.0 - flank_friction * tan_lead)
    )
    return thread + preload * face_friction * face_mean_diameter / 2.0


def loosening_torque(
    *,
    preload: Real,
    pitch: Real,
    pitch_diameter: Real,
    thread_friction: Real,
    face_friction: Real = 0.0,
    face_mean_diameter: Real = 0.0,
    flank_angle_deg: Real = 30.0,
) -> Real:
    """Torque that undoes a preloaded screw thread.

        T = F (d2/2) (μ/cos α - tan λ)/(1 + μ tan λ/cos α) + F μ_f d_f/2

    Arguments, units and errors as in `tightening_torque`. A negative value means the thread undoes itself.
    Source: as there, Eq. 17-11.

    >>> round(float(loosening_torque(preload=1000.0, pitch=1.0, pitch_diameter=34.35,
    ...       thread_friction=0.15)))
    2811
    """
    require_positive(pitch=pitch, pitch_diameter=pitch_diameter)
    require_not_negative(preload=preload, thread_friction=thread_friction)
    tan_lead, flank_friction = _lead_and_flank_friction(
        pitch, pitch_diameter, thread_friction, flank_angle_deg
    )
    thread = (
        preload * pitch_diameter / 2.0 * (flank_friction - tan_lead) / (1.0 + flank_friction * tan_lead)
    )
    return thread + preload * face_friction * face_mean_diameter / 2.0


def preload_from_torque(
    *,
    torque: Real,
    pitch: Real,
    pitch_diameter: Real,
    thread_friction: Real,
    face_friction: Real = 0.0,
    face_mean_diameter: Real = 0.0,
    flank_angle_deg: Real = 30.0,
) -> Real:
    """Preload that a tightening torque produces: the inverse of `tightening_torque`.

    torque: N·mm, at least 0; others as there. Returns N. Source: as there.

    >>> round(float(preload_from_torque(torque=40e3, pitch=1.0, pitch_diameter=34.35,
    ...       thread_friction=0.15, face_friction=0.15, face_mean_diameter=39.0)))
    6596
    """
    require_not_negative(torque=torque)
    torque_per_newton = tightening_torque(
        preload=1.0,
        pitch=pitch,
        pitch_diameter=pitch_diameter,
        thread_friction=thread_friction,
        face_friction=face_friction,
        face_mean_diameter=face_mean_diameter,
        flank_angle_deg=flank_angle_deg,
    )
    return torque / torque_per_newton


def _lead_and_flank_friction(
    pitch: Real, pitch_diameter: Real, friction: Real, flank_angle_deg: Real
) -> tuple[Real, Real]:
    if not np.all(np.greater_equal(flank_angle_deg, 0.0) & np.less(flank_angle_deg, 80.0)):
        raise ValueError("flank_angle_deg must be in [0, 80) degrees")
    return pitch / (np.pi * pitch_diameter), friction / np.cos(np.radians(flank_angle_deg))


def basic_pitch_diameter(*, major: Real, pitch: Real) -> Real:
    """Basic pitch diameter of a 60° thread.

        d2 = d - (3√3/8) P

    major, pitch: mm. Returns mm. Raises ValueError unless the pitch is below the major diameter.
    Source: ISO 68-1 basic profile, from memory.

    >>> round(float(basic_pitch_diameter(major=8.0, pitch=1.25)), 3)
    7.188
    """
    require_increasing(pitch=pitch, major=major)
    return major - 3.0 * np.sqrt(3.0) / 8.0 * pitch
