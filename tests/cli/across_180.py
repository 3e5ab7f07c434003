#!/usr/bin/python3
"""Grids across 180 degrees, and across Greenwich in 0..360: `isosow site` at cell centres, spelled in
every way, gives what the raster of `isosow map` holds there, and both end at the same edge.

across_180.py ISOSOW TMIN TMAX SCRATCH-FOLDER

Exit 0 the same, 1 not, 77 skipped where Python lacks GDAL."""

import csv
import io
import os
import shutil
import subprocess
import sys

try:
    from osgeo import gdal, osr
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

gdal.UseExceptions()
COLUMNS, ROWS, STEP, NORTH = 6, 4, 1.0, 44.0
# CRS, west edge, cell size, north edge: degrees; metres in the Mercator about 150 E, and in polar
# stereographic about 180, both of the Pacific.
GRIDS = [("EPSG:4326", 177.0, STEP, NORTH), ("EPSG:4326", -183.0, STEP, NORTH),
         ("EPSG:4326", -180.0, STEP, NORTH), ("EPSG:4326", 174.0, STEP, NORTH),
         ("EPSG:4326", 357.0, STEP, NORTH),
         ("EPSG:3832", 3.0e6, 1.2e5, 5.6e6), ("EPSG:3571", -3.0e5, 1.0e5, -4.6e6)]
DRAWN = (0, 1)  # the same place, spelled in two ways
NAMES = ("tmin.tif", "tmax.tif")
# On both sides of the middle, where the line runs, and beyond both edges.
TRIED = (-1, 2, 3, COLUMNS)
OUTSIDE = 2  # the exit code
DAYS_BEFORE = (0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334)
wrong = []


def run(*words):
    return subprocess.run(words, capture_output=True, check=False)


def make(source, target, grid):
    crs, west, step, north = grid
    gdal.Translate(target, source, srcWin=[20, 20, COLUMNS, ROWS], outputSRS=crs,
                   outputBounds=[west, north, west + COLUMNS * step, north - ROWS * step])


def spellings(lon):
    """Of a longitude, as -180..180 and as 0..360."""
    wrapped = (lon + 180.0) % 360.0 - 180.0
    return {round(wrapped, 9), round(wrapped % 360.0, 9)}


def way_to_degrees(crs):
    from_crs, degrees = osr.SpatialReference(), osr.SpatialReference()
    from_crs.SetFromUserInput(crs)
    degrees.ImportFromEPSG(4326)
    for reference in (from_crs, degrees):
        reference.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    return osr.CoordinateTransformation(from_crs, degrees)


def centre(grid, row, col):
    crs, west, step, north = grid
    x, y = west + (col + 0.5) * step, north - (row + 0.5) * step
    if crs == "EPSG:4326":
        return y, x
    lon, lat, _ = way_to_degrees(crs).TransformPoint(x, y)
    return lat, lon


def site(words, lat, lon):
    done = run(*words[:1], "site", "--format", "csv", "--at", f"{lat!r},{lon!r}", *words[1:])
    if done.returncode != 0:
        return done.returncode
    row = next(csv.DictReader(io.StringIO(done.stdout.decode("utf-8"))))
    best = row["best_sow"]
    day = DAYS_BEFORE[int(best[:2]) - 1] + int(best[3:]) if best else 0
    return day, int(row["window_days"]), int(row["growing_days"])


def check_grid(isosow, sources, scratch, number, grid):
    os.makedirs(os.path.join(scratch, str(number)))
    files = [os.path.join(scratch, str(number), name) for name in NAMES]
    for source, target in zip(sources, files):
        make(source, target, grid)
    words = ["--quiet", "--crop", "napa-cabbage", "--variety", "standard", "--season", "autumn",
             "--unit", "C", "--tmin", files[0], "--tmax", files[1]]
    out = os.path.join(scratch, str(number), "out")
    done = run(isosow, "map", *words, "--maps", "main" if number in DRAWN else "none", "--dpi", "50",
               "--out", out)
    if done.returncode != 0:
        wrong.append(f"{grid}: map: {done.stderr.decode('utf-8')}")
        return 0, set()
    bands = gdal.Open(os.path.join(out, "standard-autumn.tif")).ReadAsArray()
    asked, answers = 0, set()
    for col in TRIED:
        row = max(col, 0) % ROWS
        lat, lon = centre(grid, row, col)
        inside = 0 <= col < COLUMNS
        held = tuple(int(bands[band, row, col]) for band in (1, 4, 7)) if inside else OUTSIDE
        for spelt in spellings(lon):
            said = site([isosow, *words], lat, spelt)
            asked += 1
            answers.add(said)
            if said != held:
                wrong.append(f"{grid}, cell {row} {col} at {lat},{spelt}: site {said}, map {held}")
    return asked, answers


def check_line(isosow, scratch, number, grid):
    """180 and -180 are one meridian."""
    words = [isosow, "--quiet", "--crop", "napa-cabbage", "--variety", "standard", "--season",
             "autumn", "--unit", "C", "--tmin", os.path.join(scratch, str(number), NAMES[0]),
             "--tmax", os.path.join(scratch, str(number), NAMES[1])]
    east, west = (site(words, grid[3] - 1.5 * STEP, lon) for lon in (180, -180))
    if east != west or east == OUTSIDE:
        wrong.append(f"{grid}: at 180 {east}, at -180 {west}")


def check_maps(scratch):
    """One place has one map, however its grid is spelled: but for the edge of a cell that lies on a
    pixel's edge (247 pixels of 241,605), which may be rounded to either side."""
    maps = []
    for number in DRAWN:
        path = os.path.join(scratch, str(number), "out", "standard-autumn-sowing.png")
        maps.append(gdal.Open(path).ReadAsArray() if os.path.exists(path) else None)
    if (maps[0] is None or maps[1] is None
            or (maps[0] != maps[1]).any(axis=0).mean() > 1 / 500):
        wrong.append("the maps of the grids from 177 and from -183 are not the same")


def main():
    isosow, tmin, tmax, scratch = sys.argv[1:5]
    shutil.rmtree(scratch, ignore_errors=True)
    os.makedirs(scratch)
    total = 0
    for number, grid in enumerate(GRIDS):
        asked, answers = check_grid(isosow, (tmin, tmax), scratch, number, grid)
        total += asked
        if len(answers) < 3:
            wrong.append(f"{grid}: cells are too alike to tell one from another: {answers}")
        if grid[0] == "EPSG:4326" and grid[1] < 180.0:
            check_line(isosow, scratch, number, grid)
    check_maps(scratch)
    print(f"{total} places of {len(GRIDS)} grids")
    print("\n".join(wrong))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
