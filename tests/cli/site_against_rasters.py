#!/usr/bin/python3
"""`isosow site` at cell centres against the rasters of `isosow map`, every variety and season.

site_against_rasters.py ISOSOW TMIN TMAX SCRATCH-FOLDER [option...]

The centres' coordinates come from GDAL's own transformation, so the way from coordinates to a cell
is checked too. Exit 0 the same, 1 not, 77 skipped where Python lacks GDAL or NumPy."""

import csv
import io
import json
import os
import shutil
import subprocess
import sys

try:
    import numpy
    from osgeo import gdal, osr
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

gdal.UseExceptions()
THIN = 6
POINTS = 14
CELLS = 200
MONTH_STARTS = numpy.cumsum([0, 31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30])


def run(*words):
    done = subprocess.run(words, capture_output=True, check=True)
    return done.stdout.decode("utf-8")


def day_of_year(text):
    """"08-05" to 217, nothing to 0."""
    return int(MONTH_STARTS[int(text[:2]) - 1]) + int(text[3:]) if text else 0


def half_up(text):
    return int(float(text) + 0.5)


def centres(path):
    dataset = gdal.Open(path)
    values = dataset.ReadAsArray()
    nodata = dataset.GetRasterBand(1).GetNoDataValue()
    valid = numpy.argwhere((values != nodata).all(axis=0))
    picked = valid[numpy.linspace(0, len(valid) - 1, POINTS).astype(int)]
    source = osr.SpatialReference(wkt=dataset.GetProjection())
    degrees = osr.SpatialReference()
    degrees.ImportFromEPSG(4326)
    for crs in (source, degrees):
        crs.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    way = osr.CoordinateTransformation(source, degrees)
    t = dataset.GetGeoTransform()
    for row, col in picked:
        x, y = t[0] + (col + 0.5) * t[1], t[3] + (row + 0.5) * t[5]
        lon, lat, _ = way.TransformPoint(x, y)
        yield int(row), int(col), lat, lon


def compare_row(answer, held, limits):
    """A row of the CSV against the bands of its cell: what differs."""
    said = [half_up(answer["score"])]
    said += [day_of_year(answer[key]) for key in ("best_sow", "sow_from", "sow_to")]
    said += [int(answer["window_days"])]
    said += [day_of_year(answer[key]) for key in ("transplant", "harvest")]
    said += [int(answer["growing_days"]), limits[answer["limit"]]]
    if said != held[:9]:
        yield said, held[:9]
    # Risks have one decimal here and none there: 2.46 is 2.5 here and 2 there.
    for key, band in (("frost_risk", 9), ("bolt_risk", 10)):
        if abs(float(answer[key]) - held[band]) > 0.55:
            yield key, answer[key]
    said = [int(answer["years"]), int(answer["edge"])]
    said += [day_of_year(answer[key]) for key in ("cut_from", "cut_to")]
    if said != held[11:15]:
        yield said, held[11:15]


def many_cells(isosow, thin, scratch, rasters, options):
    """Random cells' normals as stations of a table, in one run, against the same rasters."""
    values = [gdal.Open(thin[name]) for name in ("tmin", "tmax")]
    nodata = values[0].GetRasterBand(1).GetNoDataValue()
    scales = [source.GetRasterBand(1).GetScale() or 1.0 for source in values]
    planes = [source.ReadAsArray().astype(float) for source in values]
    valid = numpy.argwhere((planes[0] != nodata).all(axis=0) & (planes[1] != nodata).all(axis=0))
    dice = numpy.random.default_rng(200)
    cells = valid[dice.permutation(len(valid))[:CELLS]]
    table, months = os.path.join(scratch, "cells.csv"), range(1, 13)
    with open(table, "w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["name", "lat", "lon"] + [f"tmin_{m}" for m in months]
                        + [f"tmax_{m}" for m in months])
        for row, col in cells:
            months_C = [repr(float(v)) for plane, scale in zip(planes, scales)
                        for v in plane[:, row, col] * scale]
            writer.writerow([f"{row} {col}", 40, 0] + months_C)
    rows = csv.DictReader(io.StringIO(run(isosow, "site", "--format", "csv", "--stations", table,
                                          "--quiet", "--crop", "napa-cabbage", *options)))
    compared, differences = 0, []
    for answer in rows:
        row, col = (int(text) for text in answer["name"].split())
        name = f"{answer['variety']}-{answer['season']}.tif"
        bands, limits = rasters[name]
        differences += [(row, col, name) + found
                        for found in compare_row(answer, bands[:, row, col].tolist(), limits)]
        compared += 1
    return compared, differences


def many_openings(isosow, scratch, maps, options):
    """What opens each season of the same cells (of many_cells), against its raster."""
    text = run(isosow, "site", "--format", "json", "--stations", os.path.join(scratch, "cells.csv"),
               "--quiet", "--crop", "napa-cabbage", *options)
    rasters, differences, kinds = {}, [], {}
    for place in json.loads(text)["places"]:
        row, col = (int(text) for text in place["name"].split())
        for pick in place["picks"]:
            season, said = pick["season"], pick["opening"]
            if season not in rasters:
                dataset = gdal.Open(os.path.join(maps, f"opens-{season}.tif"))
                band = dataset.GetRasterBand(1)
                names = {int(key[6:]): value for key, value in band.GetMetadata().items() if key.startswith("OPENS_")}
                assert band.GetNoDataValue() == 255 and band.GetColorTable() is not None
                rasters[season] = band.ReadAsArray(), names
            values, names = rasters[season]
            held = names[int(values[row, col])]
            kinds[held] = kinds.get(held, 0) + 1
            wanted = "open already" if said is None else said["shelter"] if said["by"] == "shelter" else "nothing"
            if wanted != held:
                differences.append((row, col, "opens", season, wanted, held))
    print("what opens the seasons of these cells:", kinds)
    return differences + ([] if len(kinds) >= 2 else [("only one kind of", kinds)])


def main():
    isosow, tmin, tmax, scratch = sys.argv[1:5]
    options = sys.argv[5:]
    shutil.rmtree(scratch, ignore_errors=True)
    os.makedirs(scratch)
    thin = {}
    for name, path in (("tmin", tmin), ("tmax", tmax)):
        thin[name] = os.path.join(scratch, name + ".tif")
        source = gdal.Open(path)
        gdal.Translate(thin[name], source, width=source.RasterXSize // THIN,
                       height=source.RasterYSize // THIN, resampleAlg="nearest")
    climate = ["--quiet", "--unit", "C", "--crop", "napa-cabbage", "--tmin", thin["tmin"], "--tmax",
               thin["tmax"]] + options
    maps = os.path.join(scratch, "maps")
    run(isosow, "map", "--what-opens", "--maps", "none", "--out", maps, *climate)
    rasters, compared, differences, windows = {}, 0, [], 0
    for row, col, lat, lon in centres(thin["tmin"]):
        at = f"--at={lat:.9f},{lon:.9f}"
        rows = list(csv.DictReader(io.StringIO(run(isosow, "site", "--format", "csv", at, *climate))))
        place = json.loads(run(isosow, "site", "--format", "json", at, *climate))["places"][0]
        assert len(rows) == len(place["results"]) > 0
        for answer, full in zip(rows, place["results"]):
            name = f"{answer['variety']}-{answer['season']}.tif"
            if name not in rasters:
                dataset = gdal.Open(os.path.join(maps, name))
                limits = {value: int(key[6:]) for band in [dataset.GetRasterBand(9)]
                          for key, value in band.GetMetadata().items() if key.startswith("LIMIT_")}
                rasters[name] = dataset.ReadAsArray(), limits
                assert dataset.RasterCount == 15
            values, limits = rasters[name]
            held = values[:, row, col].tolist()
            differences += [(row, col, name) + found for found in compare_row(answer, held, limits)]
            for key, value in answer.items():
                if key in ("name", "lat", "lon"):
                    continue
                other = full[key]
                other = "" if other is None else f"{other:.1f}" if isinstance(other, float) else str(other)
                if other != value:
                    differences.append((row, col, name, key, value, other))
            compared += 1
            windows += held[4] > 0
        for pick in place["picks"]:
            values = gdal.Open(os.path.join(maps, f"pick-{pick['season']}.tif"))
            code = int(values.ReadAsArray()[row, col])
            names = values.GetRasterBand(1).GetMetadata()
            order = list(dict.fromkeys(answer["variety"] for answer in rows))
            said = 0 if pick["variety"] is None else \
                order.index(pick["variety"]) + 1 + (100 if pick["risky"] else 0)
            if said != code:
                differences.append((row, col, pick, code, names))
            values = gdal.Open(os.path.join(maps, f"span-{pick['season']}.tif")).ReadAsArray()
            held, span = values[:, row, col].tolist(), pick["span"]
            said = [0] * 6
            if span is not None:
                types = [order.index(run["variety"]) + 1 for run in span["types"]]
                first, last = day_of_year(span["sow_from"]), day_of_year(span["sow_to"])
                said = [first, last, (last - first) % 365 + 1, types[0], types[-1], len(set(types))]
            if said != held:
                differences.append((row, col, "span", pick["season"], said, held))
    found, more = many_cells(isosow, thin, scratch, rasters, options)
    compared += found
    differences += more + many_openings(isosow, scratch, maps, options)
    print(f"{compared} results compared, {windows} with a window, {len(differences)} differences")
    for difference in differences[:20]:
        print(difference)
    return 1 if differences or windows == 0 else 0


sys.exit(main())
