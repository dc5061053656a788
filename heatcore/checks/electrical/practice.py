"""How circuits are rated, in North American and in IEC practice."""

from __future__ import annotations

from math import sqrt

from heatcore.scene.model import Practice

CONTINUOUS = 1.25
"""Fixed electric space heating counts as a continuous load: NEC 424.4(B) (424.3(B) up to the 2017
edition), with 210.20(A)."""

RATINGS: dict[Practice, tuple[float, ...]] = {
    # NEC Table 240.6(A); what lies above 600 A from memory.
    "north_american": (
        15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300,
        350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000,
    ),
    # IEC 60898-1, preferred rated currents, from memory.
    "iec": (6, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125),
}  # fmt: skip

# What findings name as their source.
RULES: dict[Practice, str] = {
    "north_american": (
        "fixed electric space heating is a continuous load, so its protection is rated for 125 % "
        "of its current: NEC 424.4(B) (424.3(B) up to 2017), 210.20(A); standard ratings of "
        "Table 240.6(A), those above 600 A from memory"
    ),
    "iec": (
        "the protection's rated current is at least the design current: IEC 60364-4-43, 433.1; "
        "preferred ratings of IEC 60898-1; both from memory"
    ),
}

SHARED = 30.0  # A
"""A circuit that feeds several fixed heaters is rated for no more, or in other than a dwelling, of
infrared heaters, for `SHARED_ELSEWHERE`: NEC 424.4(A) (424.3(A) up to 2017), second-hand."""
SHARED_ELSEWHERE = 50.0  # A

OFF = 0.1  # share by which a voltage may be off the rated one: IEC 60038, from memory
NOISE = 1e-9  # share of a figure that floating point leaves on it


def current(power_w: float, voltage_v: float) -> float:
    """Current of a resistive load on a single phase [A]."""
    return power_w / voltage_v


def three_phase_current(power_w: float, line_voltage_v: float) -> float:
    """Line current of a balanced resistive load on three phases [A].

    Parameters
    ----------
    power_w : of all three phases
    line_voltage_v : between two lines
    """
    return power_w / (sqrt(3.0) * line_voltage_v)


def design_current(current_a: float, practice: Practice) -> float:
    """What the protection has to be rated for at least [A].

    North American practice adds a quarter to a continuous load; in IEC practice the rated current
    is at least the design current (IEC 60364-4-43, from memory).
    """
    return current_a * CONTINUOUS if practice == "north_american" else current_a


def next_rating(design_a: float, practice: Practice) -> float | None:
    """The smallest standard rating that is enough [A]; None where none is."""
    return next((r for r in RATINGS[practice] if is_enough(r, design_a)), None)


def is_enough(rating_a: float, design_a: float) -> bool:
    """Whether a protection of this rating [A] may carry a design current [A]."""
    return rating_a >= design_a * (1.0 - NOISE)
