"""libseal: ageing, forecast and maintenance planning of the exterior seals of recreational vehicles.

Weather and a coach go in at the top, a calendar comes out at the bottom. The compiled part has the same names as the
C++ library; `frames`, `plot`, `order_plot`, `drawing`, `report`, `week`, `packet`, `packets`, `sheet`, `work_paper`, `cli` are
Python's own.

A name is loaded when it is first used, so that a program which needs little starts quickly. Readers of types see plain
imports; a new name goes into both lists (a test compares them).
"""

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from . import canvas as canvas
    from . import cells as cells
    from . import cli as cli
    from . import columns as columns
    from . import distributed as distributed
    from . import drawing as drawing
    from . import frames as frames
    from . import looks as looks
    from . import marks as marks
    from . import order_plot as order_plot
    from . import packet as packet
    from . import packets as packets
    from . import plot as plot
    from . import report as report
    from . import sheet as sheet
    from . import store as store
    from . import tables as tables
    from . import units as units
    from . import water as water
    from . import week as week
    from . import work_paper as work_paper
    from ._libseal import *  # noqa: F403  the compiled names, all public
    from ._libseal import __version__ as __version__
    from .drawing import draw_coach as draw_coach
    from .packet import owner_packet as owner_packet
    from .packets import write_packets as write_packets
    from .report import page_text as page_text
    from .report import write_page as write_page
    from .sheet import survey_sheet as survey_sheet
    from .week import week_sheet as week_sheet
    from .week import write_week_sheet as write_week_sheet
    from .work_paper import work_order_markdown as work_order_markdown
    from .work_paper import work_order_page as work_order_page

_MODULES = {"canvas", "cells", "cli", "columns", "distributed", "drawing", "frames", "looks", "marks", "order_plot", "packet", "packets", "plot",
            "report", "sheet", "store", "tables", "units", "water", "week", "work_paper"}
_HOMES = {
    "draw_coach": "drawing",
    "owner_packet": "packet",
    "write_packets": "packets",
    "page_text": "report",
    "write_page": "report",
    "survey_sheet": "sheet",
    "week_sheet": "week",
    "write_week_sheet": "week",
    "work_order_markdown": "work_paper",
    "work_order_page": "work_paper",
}


def _compiled() -> Any:
    return importlib.import_module("._libseal", __name__)


def __dir__() -> list[str]:
    public = [name for name in dir(_compiled()) if not name.startswith("_")]
    return sorted({*public, *_MODULES, *_HOMES, "__version__"})


def __getattr__(name: str) -> Any:
    if name == "__all__":
        return [entry for entry in __dir__() if not entry.startswith("_")]
    if name in _MODULES:
        return importlib.import_module(f".{name}", __name__)
    if name in _HOMES:
        value = getattr(importlib.import_module(f".{_HOMES[name]}", __name__), name)
    elif name.startswith("_") and name != "__version__":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    else:
        try:
            value = getattr(_compiled(), name)
        except AttributeError as error:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}") from error
    globals()[name] = value
    return value
