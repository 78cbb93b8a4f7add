"""Lengths, volumes, temperatures and speeds in metric or US customary units; a paper shows one kind alone."""

from __future__ import annotations

import math
import re

from . import _libseal as core

__all__ = ["UNITS", "Units", "label_of", "units_of"]

UNITS = ("metric", "us")
INCH, FOOT, POUND, FLUID_OUNCE, MILE_PER_HOUR = 0.0254, 0.3048, 0.45359237, 29.5735295625, 0.44704  # m, m, kg, mL, m/s: exact by definition

# A number or a range with its unit, as the library writes them in sentences.
MEASURE = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?)(?:( to )(-?\d+(?:\.\d+)?))? ?(mm2|mm|cm|mL|m/s|m|kg|degC|°C|K|km)(?![\w/²^])")


SPOKEN = re.compile(r"(?<=[a-z0-9])_(?=[a-z0-9])")  # between words of the word list


def plain(value: float, digits: int = 1) -> str:
    """A number without zeros at its end."""
    text = f"{value:.{digits}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


class Metric:
    """Metres, millimetres, millilitres, degrees Celsius."""

    name = "metric"

    def length(self, metres: float) -> str:
        return f"{metres:.2f} m"

    def small(self, mm: float) -> str:
        return f"{plain(mm)} mm"

    def volume(self, ml: float) -> str:
        return f"{ml:.0f} mL"

    def prose(self, text: str) -> str:
        """A sentence of the library; texts that people typed are left as they are."""
        return SPOKEN.sub(" ", text).replace(" degC", " °C")


class Us:
    """Feet and inches, fluid ounces, degrees Fahrenheit."""

    name = "us"

    def length(self, metres: float) -> str:
        inches = math.floor(metres / INCH + 0.5)
        return f"{inches // 12} ft {inches % 12} in"

    def small(self, mm: float) -> str:
        return f"{plain(mm / 25.4, 2 if mm >= 2 else 3)} in"

    def volume(self, ml: float) -> str:
        return f"{plain(ml / FLUID_OUNCE)} fl oz"

    def prose(self, text: str) -> str:
        """A sentence of the library with its measures turned; texts that people typed are left as they are."""
        return MEASURE.sub(self._turned, SPOKEN.sub(" ", text))

    def _turned(self, match: re.Match[str]) -> str:
        first, to, last, unit = match.groups()
        factor, offset, digits, name = {
            "mm": (1 / 25.4, 0, 2, "in"), "cm": (1 / 2.54, 0, 1, "in"), "mm2": (1 / 25.4**2, 0, 2, "sq in"), "m": (1 / FOOT, 0, 1, "ft"),
            "km": (1 / 1.609344, 0, 1, "mi"), "mL": (1 / FLUID_OUNCE, 0, 1, "fl oz"), "m/s": (1 / MILE_PER_HOUR, 0, 0, "mph"),
            "kg": (1 / POUND, 0, 0, "lb"), "degC": (1.8, 32, 0, "°F"), "°C": (1.8, 32, 0, "°F"), "K": (1.8, 0, 0, "°F")}[unit]

        def turned(text: str) -> str:
            value = float(text) * factor + offset
            return plain(value, digits + 1 if unit == "mm" and abs(float(text)) < 2 else digits)

        return turned(first) + (to + turned(last) if to else "") + f" {name}"


Units = Metric | Us


def units_of(name: str) -> Units:
    """The units of a name. Raises ValueError for any other than those of `UNITS`."""
    if name not in UNITS:
        raise ValueError(f'units: expected "metric" or "us", got "{name}"')
    return Us() if name == "us" else Metric()


def label_of(coach: core.Coach, units: Units) -> str:
    """A coach's label, else its id. One that a layout has made up tells the length, here in the units of choice."""
    made_up = re.fullmatch(rf"([a-z ]+ )({coach.length:.1f} m)(, [a-z -]+)?", coach.label)
    if made_up:
        return made_up[1] + units.prose(made_up[2]) + (made_up[3] or "")
    return coach.label or coach.id
