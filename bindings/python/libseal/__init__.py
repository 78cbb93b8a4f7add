"""libseal: ageing, forecast and maintenance planning of the exterior seals of recreational vehicles.

Weather and a coach go in at the top, a calendar comes out at the bottom. The compiled part has the same names as the
C++ library; `frames`, `plot`, `order_plot`, `drawing`, `report`, `sheet`
and `work_paper` are Python's own.
"""

from . import canvas as canvas
from . import drawing as drawing
from . import frames as frames
from . import looks as looks
from . import marks as marks
from . import order_plot as order_plot
from . import plot as plot
from . import report as report
from . import sheet as sheet
from . import water as water
from . import work_paper as work_paper
from ._libseal import *  # noqa: F403  the compiled names, all public
from ._libseal import __version__ as __version__
from .drawing import draw_coach as draw_coach
from .report import page_text as page_text
from .report import write_page as write_page
from .sheet import survey_sheet as survey_sheet
from .work_paper import work_order_markdown as work_order_markdown
from .work_paper import work_order_page as work_order_page
