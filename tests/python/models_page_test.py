"""docs/models.md: its values are those of the catalogue, its equations those of the library, its block runs."""

import json
import math
import re

import pytest

import libseal
from page_figures import checked_lines, close

ROW = re.compile(r"^\| ([^|]+) \| `([\w{},]+(?:/[\w{},]+)+)` \|.*\|$", re.MULTILINE)
CLOCK = ("weight_light", "weight_heat", "weight_moisture", "energy_light", "energy_heat", "energy_moisture", "light_exponent", "humidity_exponent")


@pytest.fixture(scope="module")
def page(root):
    return (root / "docs" / "models.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def catalogue():
    return libseal.Catalogue.built_in()


def words(mark):
    return mark.replace("_", " ")


def names_of(text):
    """Entries that a cell names: `model/sd_{coach,joint}` names two."""
    part = re.fullmatch(r"(.*)\{(.+)\}(.*)", text)
    return [part[1] + piece + part[3] for piece in part[2].split(",")] if part else [text]


def value_row(catalogue, symbol, cell):
    """Symbol, entries, their values with unit, ranges and marks."""
    entries = [catalogue.at(name) for name in names_of(cell)]
    units = list(dict.fromkeys(entry.unit for entry in entries))
    values, spans = [], []
    for entry in entries:
        shown = entry.text if entry.unit == "word" else f"{entry.value:g}"
        values.append(shown if len(units) == 1 else f"{shown} [{entry.unit}]")
        spans.append("-" if entry.unit == "word" else "fixed" if entry.low == entry.high else f"{entry.low:g} to {entry.high:g}")
    unit = f" [{units[0]}]" if len(units) == 1 and units[0] != "word" else ""
    marks = [words(entry.mark) for entry in entries]
    spans, marks = (kind[:1] if len(set(kind)) == 1 else kind for kind in (spans, marks))
    return f"| {symbol} | `{cell}` | {', '.join(values)}{unit} | {', '.join(spans)} | {', '.join(marks)} |"


def marks_of(catalogue, names):
    return ", ".join(dict.fromkeys(words(catalogue.at(name).mark) for name in names))


def families_of(catalogue):
    """Those that can be applied, and old material."""
    return [name.split("/")[1] for name in catalogue.ids("sealant/") if name.endswith("/median_life")]


def family_table(catalogue):
    """What each family takes into its clock."""
    alike = {}
    for family in families_of(catalogue):
        names = [f"sealant/{family}/{name}" for name in CLOCK]
        numbers = [f"{catalogue.at(name).value:g}" for name in names]
        life = catalogue.at(f"sealant/{family}/median_life")
        row = (f"{catalogue.at(f'sealant/{family}/home').text} | {life.value:g} ({life.low:g} to {life.high:g}) | {', '.join(numbers[:3])} | {', '.join(numbers[3:6])} | "
               f"{', '.join(numbers[6:])} | {marks_of(catalogue, [*names, f'sealant/{family}/median_life'])} |")
        alike.setdefault(row, []).append(f"`{family}`")
    head = ["| family | home | median life [yr] (range) | w_uv, w_th, w_hy [-] | E_uv, E_th, E_hy [kJ/mol] | p, n [-] | mark |", "|---|---|---|---|---|---|---|"]
    return "\n".join(head + [f"| {', '.join(families)} | {row}" for row, families in alike.items()])


def product_table(catalogue):
    """Crack laws that stand for a family."""
    rows = ["| crack law | a [1/yr^b] | b [-] | c [1/percent^d] | d [-] | stands for | mark |", "|---|---|---|---|---|---|---|"]
    for product in libseal.crack_law_names(catalogue):
        names = [f"crack_law/{product}/{name}" for name in "abcd"]
        families = [family for family in families_of(catalogue) if catalogue.at(f"sealant/{family}/crack_law").text == product]
        if families:
            rows.append(f"| `{product}` | {' | '.join(f'{catalogue.at(name).value:g}' for name in names)} | {', '.join(families)} | {marks_of(catalogue, names)} |")
    return "\n".join(rows)


def wrong_rows(catalogue, text):
    return [f"{row[0]}\n  should be {value_row(catalogue, row[1], row[2])}" for row in ROW.finditer(text) if row[0] != value_row(catalogue, row[1], row[2])]


def test_every_value_is_that_of_the_catalogue(page, catalogue):
    assert wrong_rows(catalogue, page) == []
    shown = {name for row in ROW.finditer(page) for name in names_of(row[2])}
    assert len(shown) >= 80
    # All of the model's own values, save the spans of screws, the bedding of families without a thickness and the like.
    elsewhere = re.compile(r"span_|warm_year|bed_thickness|floating_share")
    assert [name for name in catalogue.ids("model/") if name not in shown and not elsewhere.search(name)] == []


def test_the_tables_of_families_and_crack_laws(page, catalogue):
    assert family_table(catalogue) in page
    assert product_table(catalogue) in page


def test_a_changed_value_is_noticed(page, catalogue):
    overlay = {"schema": "libseal/catalogue/1", "values": {name: {"value": value, "source": "invented", "mark": "judgement"} for name, value in
                                                           {"model/shape": 2.7, "sealant/polyurethane/energy_heat": 51, "crack_law/two_part_polysulfide/b": 0.61}.items()}}
    other = catalogue.with_overlay(json.dumps(overlay), "other.json")
    wrong = wrong_rows(other, page)
    assert len(wrong) == 1 and "| β | `model/shape` | 2.75 [-]" in wrong[0] and "| β | `model/shape` | 2.7 [-]" in wrong[0]
    assert family_table(other) not in page and product_table(other) not in page
    assert len(wrong_rows(catalogue, page.replace("1.9 to 3.5", "1.9 to 3.6"))) == 1


def numbers(page, pattern):
    """Numbers that an equation of the page holds where the pattern has #."""
    shape = re.escape(pattern).replace(r"\#", r"([−-]?\d+\.?\d*)").replace(r"\ ", r"\s+")
    found = re.search(shape, page)
    assert found, pattern
    return [float(text.replace("−", "-")) for text in found.groups()]


def test_the_share_of_ultraviolet(page):
    at_1, power, gain, cloud = numbers(page, "UV/global = # m^# [1 + # (1 − k)^#]")
    for mass, clearness in ((1, 1), (1.5, 0.7), (5, 0.2)):
        assert libseal.ultraviolet_share(mass, clearness) == pytest.approx(at_1 * mass**power * (1 + gain * (1 - clearness) ** cloud), rel=1e-12)


def test_the_sky_and_the_film(page, south_bend_year):
    base, slope, zero, one, two, three = numbers(page, "ε_sky = (# + # ln(Td/#)) (1 + # N − # N² + # N³), at most 1")
    for dew_point, cover in ((-10, 0), (5, 4), (15, 10)):
        clear = base + slope * math.log((dew_point + 273.15) / zero)
        assert libseal.sky_emissivity(dew_point, cover) == pytest.approx(clear * (1 + one * cover - two * cover**2 + three * cover**3), rel=1e-12)
    floor, still, slope, factor = numbers(page, "h = max(#, # + # · # · v)")
    film = libseal.site_hours(south_bend_year).panel.film
    assert list(film) == pytest.approx([max(floor, still + slope * factor * v) for v in south_bend_year.wind_speed], rel=1e-12)
    assert min(film) == floor


def test_the_panel_balances_as_printed(page):
    assert "absorptance · G = ε σ (Ts⁴ − F Tsky⁴ − (1 − F) Ta⁴) + h (Ts − Ta)" in page
    surface = libseal.panel_balance(500, 0.9, 270, 300, 15)
    assert 0.9 * 5.670374419e-8 * (surface**4 - 270**4) + 15 * (surface - 300) == pytest.approx(500, abs=1e-6)


def test_what_a_carport_lets_through(page):
    wall_light, wall_rain = numbers(page, "wall gets # of the light and # of the rain")
    cover = libseal.cover_factors("carport")
    assert (cover.roof, cover.wall, cover.rain) == (0, wall_light, wall_rain)


def test_the_block_gives_what_it_prints(page):
    lines = list(checked_lines(page))
    assert len(lines) == 4
    wrong = [f"{source}: got {value}, printed {figure}" for source, value, figure in lines if not close(value, figure)]
    assert not wrong, "\n".join(wrong)
