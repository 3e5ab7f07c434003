#!/usr/bin/python3
"""districts.csv of `isosow guide`, and the table of `isosow compare`, against plain arithmetic on
the rasters, with GDAL's own rasteriser and areas from an equal-area projection (EPSG:6933).

check_districts.py ISOSOW TMIN TMAX DISTRICTS COLUMN SCRATCH-FOLDER [option...]

DISTRICTS "made": overlapping rectangles in UTM zone 13 north over Colorado, one with a name that
needs quotes, in a GeoPackage, are written first.

Exit 0 the same, 1 not, 77 skipped where Python lacks GDAL, NumPy or PyYAML."""

import csv
import os
import shutil
import subprocess
import sys

try:
    import numpy
    import yaml
    from osgeo import gdal, ogr, osr
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

gdal.UseExceptions()
ogr.UseExceptions()
osr.UseExceptions()
MONTH_LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
# Sowing dates of the built-in sheet (docs/crop-sheet.md), northern hemisphere, day 0 is 1 January.
SEASON_STARTS = {"spring": 0, "summer": 135, "autumn": 181}
HALF_YEAR = 182
wrong = []


def month_day(day):
    day %= 365
    for month, length in enumerate(MONTH_LENGTHS, 1):
        if day < length:
            return "%02d-%02d" % (month, day + 1)
        day -= length
    raise AssertionError


def expect(what, got, wanted):
    if got != wanted:
        wrong.append("%s: %s, but %s by plain arithmetic" % (what, got, wanted))


def near(what, got, wanted, tolerance):
    if abs(float(got) - wanted) > tolerance:
        wrong.append("%s: %s, but %.3f by plain arithmetic" % (what, got, wanted))


def traditional(wkt=None, code=None):
    crs = osr.SpatialReference()
    if wkt:
        crs.ImportFromWkt(wkt)
    else:
        crs.ImportFromEPSG(code)
    crs.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    return crs


def cell_areas(dataset):
    """Every cell's corners to an equal-area plane, and the shoelace formula."""
    t, wide, high = dataset.GetGeoTransform(), dataset.RasterXSize, dataset.RasterYSize
    cols, rows = numpy.meshgrid(numpy.arange(wide + 1), numpy.arange(high + 1))
    x = t[0] + cols * t[1] + rows * t[2]
    y = t[3] + cols * t[4] + rows * t[5]
    way = osr.CoordinateTransformation(traditional(dataset.GetProjection()), traditional(code=6933))
    points = numpy.array(way.TransformPoints(numpy.column_stack([x.ravel(), y.ravel()])))
    x, y = points[:, 0].reshape(x.shape), points[:, 1].reshape(y.shape)
    corners = [(x[:-1, :-1], y[:-1, :-1]), (x[:-1, 1:], y[:-1, 1:]), (x[1:, 1:], y[1:, 1:]),
               (x[1:, :-1], y[1:, :-1])]
    twice = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, corners[1:] + corners[:1]))
    return abs(twice) / 2


MADE = [("West, \"high\"", (200000, 4150000, 420000, 4480000)),
        ("Middle", (400000, 4120000, 560000, 4500000)),
        ("Sliver", (600000, 4200000, 601000, 4201000))]


def make_districts(path):
    source = ogr.GetDriverByName("GPKG").CreateDataSource(path)
    layer = source.CreateLayer("made", traditional(code=32613), ogr.wkbPolygon)
    layer.CreateField(ogr.FieldDefn("place", ogr.OFTString))
    for name, (west, south, east, north) in MADE:
        feature = ogr.Feature(layer.GetLayerDefn())
        feature.SetField("place", name)
        feature.SetGeometry(ogr.CreateGeometryFromWkt(
            "POLYGON((%d %d,%d %d,%d %d,%d %d,%d %d))"
            % (west, south, east, south, east, north, west, north, west, south)))
        layer.CreateFeature(feature)
    source = None


def district_masks(path, column, dataset):
    source = ogr.Open(path)
    layer = source.GetLayer(0)
    to = traditional(dataset.GetProjection())
    way = osr.CoordinateTransformation(traditional(layer.GetSpatialRef().ExportToWkt()), to)
    masks = {}
    for feature in layer:
        shape = feature.GetGeometryRef().Clone()
        if shape.GetEnvelope()[1] > 1000:  # metres: straight edges there bend in degrees
            shape.Segmentize(500)
        shape.Transform(way)
        memory = ogr.GetDriverByName("Memory").CreateDataSource("")
        alone = memory.CreateLayer("alone", to, ogr.wkbUnknown)
        made = ogr.Feature(alone.GetLayerDefn())
        made.SetGeometry(shape)
        alone.CreateFeature(made)
        burnt = gdal.GetDriverByName("MEM").Create("", dataset.RasterXSize, dataset.RasterYSize, 1)
        burnt.SetGeoTransform(dataset.GetGeoTransform())
        burnt.SetProjection(dataset.GetProjection())
        gdal.RasterizeLayer(burnt, [1], alone, burn_values=[1])
        name = feature.GetField(column)
        mask = burnt.ReadAsArray() == 1
        masks[name] = masks.get(name, False) | mask
    return masks


def weighted(values, areas, share):
    order = numpy.argsort(values, kind="stable")
    reached = numpy.cumsum(areas[order])
    return int(values[order][numpy.searchsorted(reached, share * reached[-1] * (1 - 1e-9))])


def bands(path):
    dataset = gdal.Open(path)
    return {dataset.GetRasterBand(b + 1).GetDescription(): dataset.GetRasterBand(b + 1).ReadAsArray().astype(int)
            for b in range(dataset.RasterCount)}, dataset


def check_row(row, folder, masks, areas, south):
    what = "%(district)s, %(variety)s, %(season)s" % row
    values, dataset = bands(os.path.join(folder, row["variety"] + "-" + row["season"] + ".tif"))
    inside = masks[row["district"]] & (values["score"] != -32768)
    area = areas[inside]
    start = SEASON_STARTS[row["season"]] + (HALF_YEAR if south else 0)
    near(what + ": area_km2", row["area_km2"], area.sum() / 1e6, 0.06 + area.sum() / 1e6 * 2e-5)
    has = values["window_days"][inside] > 0
    near(what + ": window_percent", row["window_percent"], 100 * area[has].sum() / area.sum(), 0.051)
    expect(what + ": score_median", row["score_median"], str(weighted(values["score"][inside], area, 0.5)))
    limits = values["limit"][inside]
    sums = {code: area[limits == code].sum() for code in set(limits.tolist())}
    band = dataset.GetRasterBand([dataset.GetRasterBand(b + 1).GetDescription() for b in range(dataset.RasterCount)].index("limit") + 1)
    name = band.GetMetadataItem("LIMIT_%d" % max(sums, key=lambda code: (sums[code], -code)))
    expect(what + ": main_limit", row["main_limit"], name)
    best = (values["best_sow"][inside] - 1 - start) % 365
    before = (values["best_sow"][inside] - values["sow_from"][inside]) % 365
    after = (values["sow_to"][inside] - values["best_sow"][inside]) % 365
    days = {"sow_from": best - before, "best_sow": best, "sow_to": best + after,
            "harvest": best + values["growing_days"][inside]}
    for date, value in days.items():
        for quartile, share in (("q1", 0.25), ("median", 0.5), ("q3", 0.75)):
            wanted = month_day(start + weighted(value[has], area[has], share)) if has.any() else ""
            expect("%s: %s_%s" % (what, date, quartile), row["%s_%s" % (date, quartile)], wanted)
    cut_from = days["sow_from"] + (values["cut_from"][inside] - values["sow_from"][inside]) % 365
    cuts = {"cut_from": cut_from, "cut_to": cut_from + (values["cut_to"][inside] - values["cut_from"][inside]) % 365}
    for date, value in cuts.items():
        for quartile, share in (("q1", 0.25), ("median", 0.5), ("q3", 0.75)):
            wanted = month_day(start + weighted(value[has], area[has], share)) if has.any() else ""
            expect("%s: %s_%s" % (what, date, quartile), row["%s_%s" % (date, quartile)], wanted)
    for column, band in (("years_median", "years"), ("frost_risk_median", "frost_risk"), ("bolt_risk_median", "bolt_risk")):
        wanted = weighted(values[band][inside][has], area[has], 0.5) if has.any() else -1
        expect("%s: %s" % (what, column), row[column], "" if wanted < 0 else str(wanted))
    check_pick(what, row, folder, inside, area)


def check_types(rows, folder, sheet, masks, areas, south):
    """A district's season as it is planted: on each of its dates the type of the largest area, where types
    that hold the date in their windows have half of the area."""
    district, name = rows[0]["district"], rows[0]["season"]
    season = next(s for s in sheet["seasons"] if s["season"] == name)
    first, last = (sum(MONTH_LENGTHS[:int(text[:2]) - 1]) + int(text[3:]) - 1 for text in season["sow"])
    start, length = first + (HALF_YEAR if south else 0), (last - first) % 365 + 1
    names = [v["variety"] for v in sheet["varieties"]]
    order = season.get("prefer", []) + [v for v in names if v not in season.get("prefer", [])]
    types = None
    for index, variety in enumerate(order):
        values, _ = bands(os.path.join(folder, variety + "-" + name + ".tif"))
        inside = masks[district] & (values["score"] != -32768)
        if types is None:
            area = areas[inside]
            types = numpy.full((inside.sum(), length), -1)
        from_start = (values["sow_from"][inside] - 1 - start) % 365
        for day in range(length):
            holds = (values["window_days"][inside] > 0) & ((day - from_start) % 365 < values["window_days"][inside])
            types[holds & (types[:, day] < 0), day] = index
    sums = numpy.array([[area[types[:, day] == i].sum() for i in range(len(order))] for day in range(length)])
    largest = numpy.where(sums.sum(axis=1) >= area.sum() / 2 * (1 - 1e-9), sums.argmax(axis=1), -1)
    for row in rows:
        what = "%(district)s, %(variety)s, %(season)s" % row
        days = numpy.flatnonzero(largest == order.index(row["variety"]))
        expect(what + ": type_from", row["type_from"], month_day(start + days[0]) if len(days) else "")
        expect(what + ": type_to", row["type_to"], month_day(start + days[-1]) if len(days) else "")
        near(what + ": span_percent", row["span_percent"], 100 * area[(types >= 0).any(axis=1)].sum() / area.sum(), 0.051)


def check_pick(what, row, folder, inside, area):
    dataset = gdal.Open(os.path.join(folder, "pick-" + row["season"] + ".tif"))
    codes = dataset.ReadAsArray()[inside]
    sums = {code: area[codes == code].sum() for code in set(codes.tolist())}
    code = max(sums, key=sums.get)
    name = dataset.GetRasterBand(1).GetMetadataItem("PICK_%d" % code).replace(", risky", " (risky)")
    expect(what + ": pick", row["pick"], name)
    near(what + ": pick_percent", row["pick_percent"], 100 * sums[code] / area.sum(), 0.051)


def check_compared(row, folder, labels, masks, areas):
    what = "compare, %(season)s, %(district)s" % row
    values, _ = bands(os.path.join(folder, labels + "-" + row["season"] + ".tif"))
    inside = values["verdict"] != -32768
    if row["district"]:
        inside &= masks[row["district"]]
    if not inside.any():
        expect(what + ": without data", row["none"] + row["median_score_gain"], "")
        return
    area = areas[inside]
    for code, column in enumerate(("none", "both", "only_a", "only_b")):
        share = 100 * area[values["verdict"][inside] == code].sum() / area.sum()
        near(what + ": " + column, row[column], share, 0.051)
    for band in ("score_gain", "window_days_gain", "years_gain"):
        expect(what + ": " + band, row["median_" + band], str(weighted(values[band][inside], area, 0.5)))
    both = values["verdict"][inside] == 1
    shifts, weight = values["best_sow_shift"][inside][both], area[both]
    if len(shifts):
        away = lambda value: (weight * numpy.minimum((shifts - value) % 365, (value - shifts) % 365)).sum()
        sums = {value: away(value) for value in set(shifts.tolist())}
        least = min(sums.values())
        wanted = {str(value) for value, total in sums.items() if total <= least * (1 + 1e-9)}
        if row["median_best_sow_shift"] not in wanted:
            wrong.append("%s: best_sow_shift %s, not %s" % (what, row["median_best_sow_shift"], wanted))
    else:
        expect(what + ": best_sow_shift", row["median_best_sow_shift"], "")


def main():
    isosow, tmin, tmax, districts, column, scratch = sys.argv[1:7]
    options = sys.argv[7:]
    shutil.rmtree(scratch, ignore_errors=True)
    if districts == "made":
        os.makedirs(scratch)
        districts = os.path.join(scratch, "made.gpkg")
        make_districts(districts)
    common = ["--tmin", tmin, "--tmax", tmax, "--crop", "napa-cabbage", "--districts", districts,
              "--district-name", column, "--maps", "none", "--quiet"] + options
    guide, compare = os.path.join(scratch, "guide"), os.path.join(scratch, "compare")
    subprocess.run([isosow, "guide", "--out", guide] + common, check=True)
    subprocess.run([isosow, "compare", "standard", "early-heat-tolerant", "--out", compare] + common,
                   check=True, stdout=subprocess.DEVNULL)
    dataset = gdal.Open(os.path.join(guide, "pick-spring.tif"))
    areas, masks = cell_areas(dataset), district_masks(districts, column, dataset)
    south = "south" in options
    sheet = yaml.safe_load(subprocess.run([isosow, "crop", "show", "napa-cabbage"], check=True, capture_output=True).stdout)
    with open(os.path.join(guide, "districts.csv"), newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    expect("rows", len(rows), len(masks) * 4 * 3)
    for row in rows:
        if (masks[row["district"]] & (gdal.Open(os.path.join(guide, "pick-spring.tif")).ReadAsArray() != 255)).any():
            check_row(row, guide, masks, areas, south)
        else:
            expect(row["district"] + ": without data", row["window_percent"] + row["pick"], "")
    for first in range(0, len(rows), 12): # a district's: each variety in each season
        for season in range(3):
            group = rows[first + season:first + 12:3]
            if group[0]["window_percent"]:
                check_types(group, guide, sheet, masks, areas, south)
    labels = "standard-vs-early-heat-tolerant"
    with open(os.path.join(compare, labels + ".csv"), newline="", encoding="utf-8") as file:
        compared = list(csv.DictReader(file))
    expect("compared rows", len(compared), 3 * (1 + len(masks)))
    for row in compared:
        check_compared(row, compare, labels, masks, areas)
    print("\n".join(wrong[:40]))
    print("%d rows of districts.csv, %d of the comparison: %d differ" % (len(rows), len(compared), len(wrong)))
    return 1 if wrong else 0


sys.exit(main())
