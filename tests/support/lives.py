"""Records of lives for comparisons between programs: the published ones of life_data.cpp, and invented ones marked synthetic."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

import numpy as np

NEVER = np.inf


@dataclasses.dataclass(frozen=True)
class Lives:
    name: str
    source: str  # "synthetic" for invented ones
    lower: np.ndarray
    upper: np.ndarray
    weights: np.ndarray
    covariates: np.ndarray  # a row per record, no column if there are none
    names: tuple[str, ...] = ()
    entry: np.ndarray | None = None  # age since when a record is watched

    @property
    def exact(self) -> np.ndarray:
        return self.lower == self.upper

    @property
    def sound(self) -> np.ndarray:
        return np.isinf(self.upper)

    @property
    def left(self) -> np.ndarray:
        return (self.lower == 0) & ~self.sound

    @property
    def between(self) -> np.ndarray:
        return ~(self.exact | self.sound | self.left)

    @property
    def kinds(self) -> str:
        found = [word for word in ("exact", "sound", "left", "between") if getattr(self, word).any()]
        words = {"sound": "right", "between": "interval"}
        return ", ".join([words.get(word, word) for word in found] + ["late entry"] * (self.entry is not None))


def of_rows(name: str, source: str, rows: Iterable[tuple[float, ...]], names: tuple[str, ...] = ()) -> Lives:
    """Rows of lower, upper, count and the covariates."""
    table = np.array(list(rows), float)
    return Lives(name, source, table[:, 0], table[:, 1], table[:, 2], table[:, 3:], names)


def failed(times: Iterable[float], *x: float) -> list[tuple[float, ...]]:
    return [(t, t, 1, *x) for t in times]


def sound(times: Iterable[float], *x: float, count: int = 1) -> list[tuple[float, ...]]:
    return [(t, NEVER, count, *x) for t in times]


def shock_absorbers() -> Lives:
    return of_rows("shock absorbers", "Meeker & Escobar 1998, appendix C", [
        *failed([6700, 9120, 12200, 13150, 14300, 17520, 20100, 20900, 22700, 26510, 27490]),
        *sound([6950, 7820, 8790, 9660, 9820, 11310, 11690, 11850, 11880, 12140, 12870, 13330, 13470, 14040, 17540, 17890, 18450, 18960,
                18980, 19410, 20100, 20150, 20320, 23490, 27410, 27890, 28100])])


def part_cracks() -> Lives:
    ends = [0, 6.12, 19.92, 29.64, 35.40, 39.72, 45.24, 52.32, 63.48, NEVER]
    return of_rows("part cracking", "Nelson 1982, p. 415", zip(ends, ends[1:], [5, 16, 12, 18, 18, 2, 6, 17, 73]))


def exchanger_tubes() -> Lives:
    return of_rows("exchanger tubes", "Meeker & Escobar 1998, chapters 1 and 3",
                   [(0, 1, 4), (1, 2, 5), (2, 3, 2), (3, NEVER, 95), (2, NEVER, 95), (1, NEVER, 99)])


def diesel_fans() -> Lives:
    many = {1850: 5, 2030: 3, 3000: 4, 3750: 2, 4150: 4, 4300: 4, 4850: 4, 5000: 3, 6100: 3, 6450: 2, 7800: 2, 8100: 2, 8500: 3, 8750: 2, 10100: 3}
    return of_rows("diesel fans", "Nelson 1982", [
        *failed([450, 1150, 1150, 1600, 2070, 2070, 2080, 3100, 3450, 4600, 6100, 8750]),
        *sound([460, 1560, 1660, 2200, 3200, 6300, 6700, 7450, 8200, 9400, 9900, 11500]),
        *((t, NEVER, count) for t, count in many.items())])


def leukaemia() -> Lives:
    return of_rows("leukaemia", "Freireich et al. 1963", [
        *failed([6, 6, 6, 7, 10, 13, 16, 22, 23], 1), *sound([6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35], 1),
        *failed([1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23], 0)], ("drug",))


def inverse_temperature(degrees: float) -> float:
    """Of degrees C; its coefficient is an energy of activation in eV."""
    return 11605 / (degrees + 273.15)


def motor_insulation() -> Lives:
    at = {degrees: inverse_temperature(degrees) for degrees in (150, 170, 190, 220)}
    return of_rows("motor insulation", "Nelson & Hahn 1972", [
        *sound([8064], at[150], count=10), *failed([1764, 2772, 3444, 3542, 3780, 4860, 5196], at[170]), *sound([5448], at[170], count=3),
        *failed([408, 408, 1344, 1344, 1440], at[190]), *sound([1680], at[190], count=5),
        *failed([408, 408, 504, 504, 504], at[220]), *sound([528], at[220], count=5)], ("inverse_temperature",))


def glass_capacitors() -> Lives:
    cells = [(170, 200, [439, 904, 1092, 1105]), (170, 250, [572, 690, 904, 1090]), (170, 300, [315, 315, 439, 628]),
             (170, 350, [258, 258, 347, 588]), (180, 200, [959, 1065, 1065, 1087]), (180, 250, [216, 315, 455, 473]),
             (180, 300, [241, 315, 332, 380]), (180, 350, [241, 241, 435, 455])]
    rows: list[tuple[float, ...]] = []
    for degrees, volts, times in cells:
        x = inverse_temperature(degrees), np.log(volts)
        rows += failed(times, *x) + sound(times[-1:], *x, count=4)
    return of_rows("glass capacitors", "Zelen 1959", rows, ("inverse_temperature", "log_volts"))


def cosmesis() -> Lives:
    radiation = [
        (45,), (6, 10), (0, 7), (46,), (46,), (7, 16), (17,), (7, 14), (37, 44), (0, 8), (4, 11), (15,), (11, 15), (22,), (46,), (46,),
        (25, 37), (46,), (26, 40), (46,), (27, 34), (36, 44), (46,), (36, 48), (37,), (40,), (17, 25), (46,), (11, 18), (38,), (5, 12),
        (37,), (0, 5), (18,), (24,), (36,), (5, 11), (19, 35), (17, 25), (24,), (32,), (33,), (19, 26), (37,), (34,), (36,)]
    both = [
        (8, 12), (0, 22), (24, 31), (17, 27), (17, 23), (24, 30), (16, 24), (13,), (11, 13), (16, 20), (18, 25), (17, 26), (32,), (23,),
        (44, 48), (14, 17), (0, 5), (5, 8), (12, 20), (11,), (33, 40), (31,), (13, 39), (19, 32), (34,), (13,), (16, 24), (35,), (15, 22),
        (11, 17), (22, 32), (10, 35), (30, 34), (13,), (10, 17), (8, 21), (4, 9), (11,), (14, 19), (4, 8), (34,), (30, 36), (18, 24),
        (16, 60), (35, 39), (21,), (11, 20), (48,)]
    return of_rows("breast cosmesis", "Finkelstein & Wolfe 1985",
                   [(*(*look, NEVER)[:2], 1, arm) for arm, looks in enumerate((radiation, both)) for look in looks], ("chemotherapy",))


def ovarian() -> Lives:
    died = [(59, 1, 1), (115, 1, 1), (156, 2, 1), (431, 1, 1), (464, 2, 2), (475, 2, 2), (563, 2, 2), (638, 2, 1), (268, 2, 1), (329, 1, 1),
            (353, 2, 2), (365, 1, 2)]
    alive = [(421, 1, 2), (448, 2, 1), (477, 1, 1), (744, 1, 2), (769, 2, 2), (770, 1, 2), (803, 1, 1), (855, 2, 1), (1040, 2, 1),
             (1106, 1, 1), (1129, 1, 2), (1206, 1, 2), (1227, 2, 2), (377, 1, 2)]
    return of_rows("ovarian cancer", "Edmunson et al. 1979", [(t, t, 1, *x) for t, *x in died] + [(t, NEVER, 1, *x) for t, *x in alive],
                   ("status", "treatment"))


def complete_sample() -> Lives:
    return of_rows("complete sample", "synthetic", failed(8 * np.random.default_rng(21).weibull(2.5, 60)))


def four_kinds() -> Lives:
    return of_rows("four kinds", "synthetic", [*failed([3.2, 5.1]), *sound([4]), *sound([6], count=2), (0, 2.5, 1), (3, 5, 1), (5, 7, 1)])


def yearly_looks() -> Lives:
    """Weibull lives seen at yearly looks, three covariates, of which the last has no effect."""
    random = np.random.default_rng(22)
    x = random.standard_normal((250, 3))
    life = 10 * np.exp(x @ [0.3, -0.2, 0.0]) * random.weibull(2.0, 250)
    seen = life < 15
    lower, upper = np.where(seen, np.floor(life), 15.0), np.where(seen, np.floor(life) + 1, NEVER)
    return Lives("yearly looks", "synthetic", lower, upper, np.ones(250), x, ("a", "b", "c"))


def late_entry(looks: bool) -> Lives:
    """Lives watched for four years from an age at which they were sound; with `looks`, seen at yearly looks, and a covariate."""
    random = np.random.default_rng(24 if looks else 23)
    rows: list[tuple[float, ...]] = []
    while len(rows) < 200:
        x = random.integers(0, 2)
        life, entry = 8 * np.exp(0.3 * x) * random.weibull(2.5), 10 * random.random()
        if life <= entry:
            continue
        passed = np.floor(life - entry)
        span = (entry + passed, entry + passed + 1) if looks else (life, life)
        rows.append((*(span if life < entry + 4 else (entry + 4, NEVER)), entry, x))
    table = np.array(rows)
    name = "late entry, looks" if looks else "late entry, exact"
    return Lives(name, "synthetic", table[:, 0], table[:, 1], np.ones(200), table[:, 3:] if looks else np.zeros((200, 0)),
                 ("covered",) if looks else (), table[:, 2])


def all_lives() -> list[Lives]:
    return [shock_absorbers(), part_cracks(), exchanger_tubes(), diesel_fans(), leukaemia(), motor_insulation(), glass_capacitors(), cosmesis(),
            ovarian(), complete_sample(), four_kinds(), yearly_looks(), late_entry(False), late_entry(True)]
