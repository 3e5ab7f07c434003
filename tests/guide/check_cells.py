#!/usr/bin/python3
"""Rasters, the card of `isosow site` and the card of the guide's page at 200 random cells.

check_cells.py ISOSOW TMIN TMAX SCRATCH-FOLDER [option...]

The cells are drawn from the whole grid and stand again as a small grid of their own, in degrees, so
that a guide of them is quickly made. What the rasters hold must be said by the text card, sentence by
sentence, and the page must say the card's sentences and show the rasters' windows in its table of
types. Exit 0 the same, 1 not, 77 skipped where there is no chromium, or Python lacks GDAL or NumPy."""

import csv
import html
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile

try:
    import numpy
    from osgeo import gdal, osr
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

gdal.UseExceptions()
BROWSER = next((path for path in map(shutil.which, ("chromium", "chromium-browser")) if path), None)
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update", "--disable-sync",
         "--virtual-time-budget=200000"]
WIDTH, HEIGHT = 20, 10
WEST, NORTH = 10, 50  # of the small grid, 1 degree a cell
CROP = "napa-cabbage"
MONTHS = ("January February March April May June July August September October November "
          "December").split()
MONTH_STARTS = numpy.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])
(SCORE, BEST, FROM, TO, DAYS, TRANSPLANT, HARVEST, GROWING, LIMIT, FROST, BOLT, YEARS, EDGE, CUT_FROM,
 CUT_TO) = range(15)

DRIVE = """<script>
(async function () {
  const byId = (id) => document.getElementById(id), found = [];
  const wait = () => new Promise((done) => setTimeout(done, 5));
  for (let i = 0; i < 400 && !document.documentElement.dataset.ready; i++) await wait();
  for (const at of PLACES) {
    const turned = new Promise((done) => window.addEventListener("hashchange", done, {once: true}));
    location.hash = "#at=" + at;
    await turned;
    await wait();
    found.push([at, byId("card").innerText,
      [...byId("card").querySelectorAll(":scope > section p:not(.type)")].map((x) => x.textContent)]);
  }
  const out = document.createElement("pre");
  out.id = "found";
  out.textContent = JSON.stringify(found);
  document.body.append(out);
})();
</script>"""


def run(*words):
    return subprocess.run(words, capture_output=True, check=True).stdout.decode("utf-8")


def date(day):
    """217 to "5 August"."""
    month = int(numpy.searchsorted(MONTH_STARTS, day - 1, side="right"))
    return f"{day - MONTH_STARTS[month - 1]} {MONTHS[month - 1]}"


def short(day):
    words = date(day).split()
    return f"{words[0]} {words[1][:3]}"


def small_grid(tmin, tmax, scratch):
    """The grid of drawn cells, and the same as a table of stations; returns their values."""
    planes = []
    for path in (tmin, tmax):
        source = gdal.Open(path)
        band = source.GetRasterBand(1)
        values = source.ReadAsArray().astype(float)
        values[values == band.GetNoDataValue()] = numpy.nan
        planes.append(values * (band.GetScale() or 1.0))
    valid = numpy.argwhere(numpy.isfinite(planes[0]).all(axis=0) & numpy.isfinite(planes[1]).all(axis=0))
    drawn = valid[numpy.random.default_rng(11).permutation(len(valid))[:WIDTH * HEIGHT]]
    assert len(drawn) == WIDTH * HEIGHT
    degrees = osr.SpatialReference()
    degrees.ImportFromEPSG(4326)
    cells = []
    for name, values in zip(("tmin", "tmax"), planes):
        picked = values[:, drawn[:, 0], drawn[:, 1]].astype(numpy.float32)
        made = gdal.GetDriverByName("GTiff").Create(os.path.join(scratch, name + ".tif"), WIDTH, HEIGHT,
                                                    12, gdal.GDT_Float32)
        made.SetGeoTransform([WEST, 1, 0, NORTH, 0, -1])
        made.SetProjection(degrees.ExportToWkt())
        for month in range(12):
            made.GetRasterBand(month + 1).WriteArray(picked[month].reshape(HEIGHT, WIDTH))
        made = None
        cells.append(picked)
    months = range(1, 13)
    with open(os.path.join(scratch, "cells.csv"), "w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["name", "lat", "lon"] + [f"tmin_{m}" for m in months]
                        + [f"tmax_{m}" for m in months])
        for n in range(WIDTH * HEIGHT):
            lat, lon = place(n)
            writer.writerow([f"cell {n}", lat, lon]
                            + [repr(float(v)) for plane in cells for v in plane[:, n]])


def place(n):
    return NORTH - n // WIDTH - 0.5, WEST + n % WIDTH + 0.5


def districts(path):
    """Two halves."""
    halves = []
    for name, west, east in (("West", WEST, WEST + WIDTH / 2), ("East", WEST + WIDTH / 2, WEST + WIDTH)):
        south = NORTH - HEIGHT
        ring = [[west, south], [east, south], [east, NORTH], [west, NORTH], [west, south]]
        halves.append({"type": "Feature", "properties": {"name": name},
                       "geometry": {"type": "Polygon", "coordinates": [ring]}})
    with open(path, "w", encoding="utf-8") as file:
        json.dump({"type": "FeatureCollection", "features": halves}, file)


def browse(page, places, scratch):
    with open(page, encoding="utf-8") as file:
        text = file.read()
    assert text.count("</body>") == 1
    copy = os.path.join(scratch, "driven.html")
    with open(copy, "w", encoding="utf-8") as file:
        file.write(text.replace("</body>", DRIVE.replace("PLACES", json.dumps(places)) + "</body>"))
    with tempfile.TemporaryDirectory() as profile:
        dumped = run(BROWSER, *FLAGS, "--user-data-dir=" + profile, "--window-size=1280,900", "--dump-dom",
                     "file://" + os.path.abspath(copy))
    match = re.search(r'<pre id="found">(.*?)</pre>', dumped, re.S)
    assert match, "the page never came to its end"
    return json.loads(html.unescape(match.group(1)))


def sentences_of(bands):
    """What a card must say of a pick whose window these bands hold."""
    if bands[DAYS] > 1:
        yield (f"Sow {date(bands[FROM])} to {date(bands[TO])} ({bands[DAYS]} days), best "
               f"{date(bands[BEST])}.")
    else:
        yield f"Sow on {date(bands[BEST])} (1 day)."
    yield f"Good in {bands[YEARS]} of 10 years."
    if bands[CUT_FROM] != bands[CUT_TO]:
        yield f"Cut between {date(bands[CUT_FROM])} and {date(bands[CUT_TO])}."
    yield f"Score {bands[SCORE]} of 100"


def season_sections(card, seasons):
    """The part of the text card under "SEASON BY SEASON", split by season, blanks joined."""
    body = card.split("SEASON BY SEASON", 1)[1].split("EVERY VARIETY", 1)[0]
    parts = re.split(r"^(%s)\b" % "|".join(s.capitalize() for s in seasons), body, flags=re.M)
    return {parts[i].lower(): re.sub(r"\s+", " ", parts[i + 1]) for i in range(1, len(parts), 2)}


def main():
    if BROWSER is None:
        print("skipped: no chromium")
        return 77
    isosow, tmin, tmax, scratch = sys.argv[1:5]
    options = sys.argv[5:]
    shutil.rmtree(scratch, ignore_errors=True)
    os.makedirs(scratch)
    small_grid(tmin, tmax, scratch)
    districts(os.path.join(scratch, "districts.geojson"))
    out = os.path.join(scratch, "out")
    run(isosow, "guide", "--quiet", "--crop", CROP, "--tmin", os.path.join(scratch, "tmin.tif"), "--tmax",
        os.path.join(scratch, "tmax.tif"), "--unit", "C", "--maps", "none", "--out", out, "--districts",
        os.path.join(scratch, "districts.geojson"), "--district-name", "name", *options)
    names = [f"cell {n}" for n in range(WIDTH * HEIGHT)]
    stations = ["--quiet", "--crop", CROP, "--stations", os.path.join(scratch, "cells.csv"), *options]
    cards = re.split(r"^(?=cell \d+ )", run(isosow, "site", *stations), flags=re.M)[1:]
    answers = json.loads(run(isosow, "site", "--format", "json", *stations))["places"]
    assert [card.split("  ")[0] for card in cards] == names == [answer["name"] for answer in answers]
    seasons = [pick["season"] for pick in answers[0]["picks"]]
    varieties = list(dict.fromkeys(result["variety"] for result in answers[0]["results"]))
    rasters = {(v, s): gdal.Open(os.path.join(out, f"{v}-{s}.tif")).ReadAsArray()
               for v in varieties for s in seasons}
    picks = {s: gdal.Open(os.path.join(out, f"pick-{s}.tif")).ReadAsArray() for s in seasons}
    found = browse(os.path.join(out, "index.html"), ["%.1f,%.1f" % place(n) for n in range(WIDTH * HEIGHT)],
                   scratch)
    wrong, said, shown = [], 0, 0
    for n, (card, (at, page, sentences)) in enumerate(zip(cards, found)):
        row, col = divmod(n, WIDTH)
        sections = season_sections(card, seasons)
        whole = re.sub(r"\s+", " ", card)
        for season in seasons:
            code = int(picks[season][row, col])
            section = sections[season]
            if not 1 <= code <= 100:
                # Without a window nothing is planned, but for what some shelter or start would open.
                if re.search(r"\bSow \d", section.split(" there is a window: ")[0]):
                    wrong.append((n, season, "sows without a window", section))
                continue
            bands = rasters[varieties[code - 1], season][:, row, col].tolist()
            for sentence in sentences_of(bands):
                said += 1
                if sentence not in section:
                    wrong.append((n, season, "the card does not say", sentence, section))
        for sentence in sentences:
            if re.sub(r"\s+", " ", sentence) not in whole:
                wrong.append((n, at, "the page says, and the card does not", sentence))
        text = re.sub(r"\s+", " ", page)
        for variety in varieties:
            cells = []
            for season in seasons:
                bands = rasters[variety, season][:, row, col].tolist()
                window = ("no window" if bands[DAYS] == 0 else "all year" if bands[DAYS] == 365
                          else short(bands[FROM]) if bands[DAYS] == 1
                          else short(bands[FROM]) + " to " + short(bands[TO]))
                cells.append(f"{window} ({bands[SCORE]})")
                shown += 1
            if " ".join(cells) not in text:
                wrong.append((n, at, "the page's table lacks", variety, cells))
        if len(sentences) < 3:
            wrong.append((n, at, "the page says little", sentences))
    print(f"{WIDTH * HEIGHT} cells, {said} sentences of cards, {shown} windows on pages, "
          f"{len(wrong)} differences")
    for difference in wrong[:20]:
        print(difference)
    return 1 if wrong or said < WIDTH * HEIGHT else 0


sys.exit(main())
