"""Pages in a real browser: silent console, nothing loaded, no accessibility violation, phone width, paper of both sizes."""

import datetime
import importlib.util
import json
import pathlib
import re
import shutil
import subprocess

import browser
import pytest

import libseal

pytest.importorskip("jinja2")
# Rules of WCAG 2.0 and 2.1, levels A and AA, and what axe calls good practice.
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"]}
MARGIN = 24 / 25.4  # in, left and right of the page together


@pytest.fixture(scope="module")
def chromium():
    path = browser.program()
    if path is None:
        pytest.skip("needs chromium")
    running = browser.Browser(path)
    yield running
    running.close()


@pytest.fixture(scope="module")
def axe():
    """Text of the axe-core script, from the newest package that brings one."""
    for name in ("axe_playwright_python", "axe_core_python"):
        found = importlib.util.find_spec(name)
        for folder in (found.submodule_search_locations or []) if found else []:
            script = pathlib.Path(folder) / "axe.min.js"
            if script.exists():
                return script.read_text(encoding="utf-8")
    pytest.skip("needs axe-core-python")


@pytest.fixture(scope="module")
def files(yard, tmp_path_factory):
    """Every kind of page, as files."""
    folder = tmp_path_factory.mktemp("pages")
    first = yard.fleet.coaches[0]
    mondays = [v.first - datetime.timedelta(days=v.first.weekday()) for v in yard.calendar.visits if v.tasks]
    day = max(mondays, key=mondays.count)  # the fullest week
    common = {"findings": yard.findings, "work_done": yard.work_done}
    plan = libseal.plan_work(first, [f for f in yard.findings if f.coach == first.id], yard.forecast, yard.shop, yard.as_of)
    texts = {
        "fleet": libseal.page_text(yard.fleet, yard.forecast, yard.calendar, yard.shop),
        "week": libseal.week_sheet(yard.calendar, yard.fleet, yard.shop, day, forecast=yard.forecast, **common),
        "packet": libseal.owner_packet(first, yard.forecast, yard.calendar, yard.shop, **common),
        "packet_us": libseal.owner_packet([yard.fleet.coaches[2], first], yard.forecast, yard.calendar, yard.shop, units="us", **common),
        "sheet": libseal.survey_sheet(first, yard.as_of, yard.forecast, [f for f in yard.findings if f.coach == first.id]),
        "work_order": libseal.work_order_page(libseal.work_order(plan, yard.shop)),
    }
    for name, text in texts.items():
        (folder / f"{name}.html").write_text(text, encoding="utf-8")
    return {name: folder / f"{name}.html" for name in texts}


NAMES = ["fleet", "week", "packet", "packet_us", "sheet", "work_order"]


@pytest.mark.parametrize("name", NAMES)
def test_the_console_is_silent_and_nothing_is_loaded(chromium, files, name):
    with chromium.page(files[name]) as page:
        assert page.complaints() == []
        assert page.loads() == [files[name].resolve().as_uri()]


def test_a_script_or_a_foreign_picture_would_be_refused(chromium, files, tmp_path):
    text = files["week"].read_text(encoding="utf-8")
    bad = tmp_path / "bad.html"
    bad.write_text(text.replace("</main>", '<script>document.title = "ran"</script><img src="file:///tmp/x.png" alt=""></main>'), encoding="utf-8")
    with chromium.page(bad) as page:
        assert page.evaluate("document.title") != "ran"
        assert len([c for c in page.complaints() if "Content Security Policy" in c]) >= 2


@pytest.mark.parametrize("name", NAMES)
def test_axe_finds_no_violation(chromium, axe, files, name):
    with chromium.page(files[name]) as page:
        page.evaluate(axe)
        found = json.loads(page.evaluate(f"axe.run(document, {json.dumps(RULES)}).then(r => JSON.stringify(r))", wait=True))
        wrong = [(v["id"], v["help"], [n["html"][:200] for n in v["nodes"]][:3]) for v in found["violations"]]
        assert wrong == []
        assert len(found["passes"]) > 15 and any(rule["id"] == "color-contrast" for rule in found["passes"])


def test_axe_would_find_a_violation(chromium, axe, files, tmp_path):
    bad = tmp_path / "bad.html"
    bad.write_text(files["week"].read_text(encoding="utf-8").replace("<h1>", '<h1 style="color:#ddd">').replace('lang="en"', ""), encoding="utf-8")
    with chromium.page(bad) as page:
        page.evaluate(axe)
        found = json.loads(page.evaluate(f"axe.run(document, {json.dumps(RULES)}).then(r => JSON.stringify(r.violations))", wait=True))
        assert {"html-has-lang", "color-contrast"} <= {v["id"] for v in found}


@pytest.mark.parametrize("name", ["fleet", "week", "packet", "packet_us"])
def test_pages_fit_a_phone_and_their_wide_tables_can_be_reached_by_key(chromium, files, name):
    with chromium.page(files[name], 360, 740) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= 360
        scrolled = page.evaluate("[...document.querySelectorAll('*')].filter(e => e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).overflowX == 'auto')"
                                 ".every(e => e.tabIndex == 0 && e.getAttribute('role') == 'region')")
        assert scrolled
        page.evaluate("document.querySelector('a.skip').focus()")
        box = page.evaluate("(r => [r.left, r.top, r.width])(document.querySelector('a.skip').getBoundingClientRect())")
        assert box[0] >= 0 and box[1] >= 0 and box[2] > 20


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("name", NAMES)
def test_pages_print_on_both_papers_with_nothing_cut(chromium, files, tmp_path, name, paper):
    if shutil.which("pdfinfo") is None or shutil.which("pdftotext") is None:
        pytest.skip("needs poppler-utils")
    with chromium.page(files[name]) as page:
        pdf = tmp_path / "page.pdf"
        pdf.write_bytes(page.pdf(paper))
        inches = browser.PAPERS[paper][0]
        page.browser.call("Emulation.setEmulatedMedia", page.session, media="print")
        page.resize(round((inches - MARGIN) * 96), 1000)
        wide = page.evaluate("Math.max(...[...document.querySelectorAll('body *')].map(e => e.getBoundingClientRect().right))")
        if name in ("fleet", "week", "packet", "packet_us"):
            assert wide <= (inches - MARGIN) * 96 + 1
    told = subprocess.run(["pdfinfo", pdf], capture_output=True, text=True, check=True).stdout
    pages = int(re.search(r"Pages: +(\d+)", told)[1])
    size = [float(x) for x in re.search(r"Page size: +([\d.]+) x ([\d.]+)", told).groups()]
    assert size == pytest.approx([72 * side for side in browser.PAPERS[paper]], abs=1.0)
    each = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout.split("\f")[:-1]
    assert len(each) == pages and all(len(text.strip()) > 120 for text in each), [len(text.strip()) for text in each]
    most = {"fleet": 4, "week": 8, "packet": 18, "packet_us": 28, "sheet": 8, "work_order": 45}
    assert pages <= most[name]
