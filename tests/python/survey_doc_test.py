"""The tables of docs/survey.md are those of the library."""

from __future__ import annotations

import pathlib

import libseal

PURPOSE = "judgement of this project: chance that the check finds what it looks for; "


def sign_table() -> str:
    catalogue = libseal.Catalogue.built_in()
    rows = ["| group | signs | graded as |", "|---|---|---|"]
    for group in libseal.sign_groups():
        signs = libseal.signs_of_group(group, catalogue)
        lines = list(dict.fromkeys(catalogue.word(f"grade/sign/{sign}/line") for sign in signs))
        label = catalogue.word(f"grade/group/{group}/label")
        rows.append(f"| {label} | {', '.join(f'`{sign}`' for sign in signs)} | {', '.join(lines)} |")
    return "\n".join(rows)


def rule_table() -> str:
    catalogue = libseal.Catalogue.built_in()
    rows = ["| rule | signs | chance (range) | why |", "|---|---|---|---|"]
    for rule in libseal.meaning_rules():
        value = catalogue.at(f"meaning/{rule}/likelihood")
        assert value.source.startswith(PURPOSE)
        signs = ", ".join(f"`{sign}`" for sign in libseal.signs_of_rule(rule))
        rows.append(f"| `{rule}` | {signs} | {value.value:g} ({value.low:g} to {value.high:g}) | {value.source[len(PURPOSE):]} |")
    return "\n".join(rows)


def water_table() -> str:
    catalogue = libseal.Catalogue.built_in()
    rows = ["| sign | seen if open (range) | seen if closed (range) | odds |", "|---|---|---|---|"]
    for sign in libseal.sign_names():
        base = f"meaning/water/{sign}/seen_if_"
        if not catalogue.has(base + "open"):
            continue
        opened, closed = catalogue.at(base + "open"), catalogue.at(base + "closed")
        rows.append(f"| `{sign}` | {opened.value:g} ({opened.low:g} to {opened.high:g}) | "
                    f"{closed.value:g} ({closed.low:g} to {closed.high:g}) | {opened.value / closed.value:.1f} |")
    return "\n".join(rows)


def test_the_tables_are_those_of_the_library(root: pathlib.Path) -> None:
    text = (root / "docs" / "survey.md").read_text(encoding="utf-8")
    for table in (sign_table(), rule_table(), water_table()):
        assert table in text
