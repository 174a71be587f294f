"""The sums behind the expected numbers of the jobs, written out once, apart from the program.

Air bend of thickness t, inside radius R, neutral axis K t from the inner face, turned angle a (radians where it multiplies):

* allowance BA = a (R + K t); set-back (R + t) tan(a/2); deduction BD = 2 set-back - BA.
* A half-made bend keeps its allowance, so its radius is R(a) = BA/a - K t.
* Under the punch both legs rise by a/2. The virtual sharp inner corner lies on the centre line, R(a)(1/cos(a/2) - 1) below
  the punch tip. A corner of the part at b along the leg and h above it (both from that virtual corner) then stands
  b cos(a/2) - h sin(a/2) off the centre line and b sin(a/2) + h cos(a/2) above the virtual corner.
* b is drawn at the finished angle; its straight part keeps, its share in the arc is R(a) tan(a/2) instead of R tan(a0/2).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, degrees, pi, radians, sin, tan


def deduction(*, t: float, radius: float, k: float = 0.42, turned_deg: float = 90.0) -> float:
    """BD to the mould line [mm]."""
    a = radians(turned_deg)
    return 2.0 * (radius + t) * tan(a / 2.0) - a * (radius + k * t)


def line_load(*, t: float, v: float, rm: float) -> tuple[float, float]:
    """1.33 Rm t2/V and (1 + 4t/V) Rm t2/V [kN/m], the smaller first."""
    low, high = sorted((1.33 * rm * t * t / v, (1.0 + 4.0 * t / v) * rm * t * t / v))
    return low, high


def shortest_leg(*, v: float, included_deg: float) -> float:
    """V / (2 sin(included/2)) [mm]."""
    return v / (2.0 * sin(radians(included_deg) / 2.0))


@dataclass(frozen=True)
class UnderPunch:
    """One bend in its die: t, R, V between tangent points, shoulder radius [mm], finished and loaded turned angle [deg]."""

    t: float
    radius: float
    opening: float
    shoulder: float
    springback_deg: float
    turned_deg: float = 90.0
    k: float = 0.42

    @property
    def loaded(self) -> float:
        """Turned angle under load [rad]."""
        return radians(self.turned_deg + self.springback_deg)

    @property
    def allowance(self) -> float:
        """BA [mm]."""
        return radians(self.turned_deg) * (self.radius + self.k * self.t)

    def radius_at(self, a: float) -> float:
        """R(a) [mm], a in rad."""
        return self.allowance / a - self.k * self.t

    @property
    def depth(self) -> float:
        """Ram travel from first touch [mm]: V/2 tan(a/2) - (R + t + shoulder)(1/cos(a/2) - 1) with the bend's own R."""
        half = self.loaded / 2.0
        return self.opening / 2.0 * tan(half) - (self.radius + self.t + self.shoulder) * (1.0 / cos(half) - 1.0)

    def corner(self, b: float, h: float) -> tuple[float, float]:
        """Where the corner (b, h) of a finished neighbour stands under load: off the centre line, above the tip [mm]."""
        a = self.loaded
        now = self.radius_at(a)
        b += now * tan(a / 2.0) - self.radius * tan(radians(self.turned_deg) / 2.0)
        sunk = now * (1.0 / cos(a / 2.0) - 1.0)
        c, s = cos(a / 2.0), sin(a / 2.0)
        return b * c - h * s, b * s + h * c - sunk

    def tallest(self, b: float, half_width: float) -> float:
        """The h at which the corner just touches a body ``half_width`` beside the centre line [mm]."""
        beside, _ = self.corner(b, 0.0)
        return (beside - half_width) / sin(self.loaded / 2.0)

    def room_under_ram(self, h: float, *, punch_height: float, half_depth: float) -> float:
        """Distance of the ram's lower edge from a wall ``h`` high beside the bend (its top edge runs with the leg) [mm]."""
        half = self.loaded / 2.0
        sunk = self.radius_at(self.loaded) * (1.0 / cos(half) - 1.0)
        return (punch_height + sunk) * cos(half) - half_depth * sin(half) - h


def sharp_margin(b: float, h: float, half_width: float) -> float:
    """The same at 90 degrees with sharp corners: (b - h)/sqrt 2 less the half width [mm]."""
    return (b - h) / 2.0**0.5 - half_width


def per_degree(height: float) -> float:
    """What one degree more of turned angle takes from a margin at ``height`` above the corner: height x pi/360 [mm]."""
    return height * pi / 360.0


def included(a: float) -> float:
    """Included angle [deg] of a turned angle [rad]."""
    return 180.0 - degrees(a)
