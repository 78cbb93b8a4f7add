"""Makes the pictures of docs/img from the demo fleet: report.png, one printed sheet of each page side by side, and coach_drawing.png.

PYTHONPATH=build/tests/python:tests/support python docs/img/make_report_pictures.py; needs chromium, poppler-utils, pillow.
"""

import datetime
import io
import pathlib
import subprocess
import tempfile

import browser
from PIL import Image

import libseal

ROOT = pathlib.Path(__file__).resolve().parents[2]
AS_OF = datetime.date(2026, 11, 25)


def main() -> None:
    data = ROOT / "examples" / "data"
    fleet, shop = libseal.read_fleet(data / "fleet.json"), libseal.read_shop(data / "shop.json")
    session = libseal.Session()
    common = {"findings": libseal.read_findings(data / "findings.csv"), "work_done": libseal.read_work_done(data / "work_done.csv")}
    calendar = libseal.year_calendar(fleet, 2027, shop, AS_OF, session=session, **common)
    forecast = libseal.forecast(fleet, AS_OF, 5, session=session, **common)
    coach = next(c for c in fleet.coaches if c.id == "FW-01")
    packet = libseal.owner_packet(coach, forecast, calendar, shop, **common)
    texts = [(libseal.page_text(fleet, forecast, calendar, shop), 1), (libseal.week_sheet(calendar, fleet, shop, calendar.visits[2].first, forecast=forecast, **common), 1),
             (packet, 2), (packet, 3)]
    path = browser.program()
    assert path, "needs chromium"
    chromium, sheets = browser.Browser(path), []
    with tempfile.TemporaryDirectory() as folder:
        for i, (text, number) in enumerate(texts):
            page, pdf = pathlib.Path(folder, f"{i}.html"), pathlib.Path(folder, f"{i}.pdf")
            page.write_text(text, encoding="utf-8")
            with chromium.page(page) as opened:
                pdf.write_bytes(opened.pdf("letter"))
            subprocess.run(["pdftoppm", "-r", "64", "-gray", "-png", "-f", str(number), "-l", str(number), "-singlefile", pdf, pdf.with_suffix("")], check=True)
            sheets.append(Image.open(pdf.with_suffix(".png")).convert("L"))
        trailer = next(c for c in fleet.coaches if c.id == "TT-03")
        drawing = pathlib.Path(folder, "drawing.html")
        drawing.write_text(f"<!doctype html><body style='margin:4px'>{libseal.draw_coach(trailer, forecast)}", encoding="utf-8")
        with chromium.page(drawing, width=900, height=1365) as opened:
            picture = Image.open(io.BytesIO(opened.screenshot())).convert("L")
        picture.quantize(32).save(ROOT / "docs" / "img" / "coach_drawing.png", optimize=True)
        chromium.close()
    gap = 8
    out = Image.new("L", (sum(s.width + gap for s in sheets) - gap, sheets[0].height), 120)
    for i, sheet in enumerate(sheets):
        out.paste(sheet, (i * (sheet.width + gap), 0))
    out.quantize(16).save(ROOT / "docs" / "img" / "report.png", optimize=True)


if __name__ == "__main__":
    main()
