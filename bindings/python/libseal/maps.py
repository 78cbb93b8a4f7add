"""Where stations lie on the paper: regions of the map, an equal-area projection, lines of latitude and longitude.

@source  Albers' projection of the sphere: Snyder 1987, Map Projections: A Working Manual, equations 14-1 to 14-6 (from memory). The standard
parallels lie a sixth of the region's height from its edges, as is usual.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Region:
    """A piece of the globe between two meridians and two parallels. [deg east, deg north]"""

    name: str
    west: float
    east: float
    south: float
    north: float
    step: float  # between the lines of its graticule [deg]

    def wrapped(self, longitude: ArrayLike) -> Floats:
        """Longitudes on the turn of the globe that the region lies on. [deg]"""
        middle = (self.west + self.east) / 2
        return np.asarray((np.asarray(longitude, dtype=float) - middle + 180) % 360 - 180 + middle, dtype=float)

    def holds(self, longitude: ArrayLike, latitude: ArrayLike) -> NDArray[np.bool_]:
        east, north = self.wrapped(longitude), np.asarray(latitude, dtype=float)
        return np.asarray((east >= self.west) & (east <= self.east) & (north >= self.south) & (north <= self.north))

    def project(self, longitude: ArrayLike, latitude: ArrayLike) -> tuple[Floats, Floats]:
        """Places on the paper, in radii of the globe from the region's middle. [-]"""
        sixth = (self.north - self.south) / 6
        return albers(self.wrapped(longitude), np.asarray(latitude, dtype=float), (self.west + self.east) / 2, (self.south + self.north) / 2,
                      self.south + sixth, self.north - sixth)

    def edge(self) -> tuple[Floats, Floats]:
        """The frame of the region on the paper, closed."""
        along, up = np.linspace(self.west, self.east, 40), np.linspace(self.south, self.north, 20)
        return self.project(np.concatenate([along, np.full(20, self.east), along[::-1], np.full(20, self.west)]),
                            np.concatenate([np.full(40, self.south), up, np.full(40, self.north), up[::-1]]))

    def meridians(self) -> list[float]:
        return [float(x) for x in np.arange(math.ceil(self.west / self.step) * self.step, self.east, self.step)]

    def parallels(self) -> list[float]:
        return [float(y) for y in np.arange(math.ceil(self.south / self.step) * self.step, self.north, self.step)]


# What the station table covers. The first has most of it, the others stand below at scales of their own.
REGIONS = (Region("", -125.5, -66.5, 24.0, 50.0, 10.0), Region("Alaska", -188.0, -129.0, 51.0, 72.0, 30.0),
           Region("Hawaii", -160.8, -154.2, 18.4, 22.6, 5.0), Region("Puerto Rico,\nVirgin Is.", -67.7, -64.3, 17.4, 19.1, 2.0),
           Region("Guam", 144.2, 145.4, 13.0, 14.0, 2.0))


def albers(longitude: ArrayLike, latitude: ArrayLike, middle: float, origin: float, first: float, second: float) -> tuple[Floats, Floats]:
    """Albers' equal-area conic projection of a sphere of radius 1: places by longitude and latitude [deg], the meridian and the
    parallel of the origin and the two standard parallels, whose sines do not cancel. [-]"""
    sines = math.sin(math.radians(first)), math.sin(math.radians(second))
    cone = sum(sines) / 2
    constant = math.cos(math.radians(first))**2 + 2 * cone * sines[0]
    radius = np.sqrt(constant - 2 * cone * np.sin(np.radians(latitude))) / cone
    turn = cone * np.radians(np.asarray(longitude, dtype=float) - middle)
    return radius * np.sin(turn), math.sqrt(constant - 2 * cone * math.sin(math.radians(origin))) / cone - radius * np.cos(turn)
