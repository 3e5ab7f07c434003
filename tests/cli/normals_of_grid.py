"""Normals of a grid's series against NumPy, in every form a series comes in: normals_of_grid.py
ISOSOW COLORADO FOLDER FIRST LAST

The series is real: the Colorado record spread onto a grid (grid_series.py). Normals and year spread
are NumPy's (nanmean; nanstd with n - 1), and once more those of the netCDF Operators where they are
there. Calendars and bounds after the CF Conventions 1.10, sections
4.4 and 7.1."""

import hashlib
import json
import os
import shutil
import subprocess
import sys
import warnings

import numpy as np
from osgeo import gdal

import grid_series
import nco_normals

program, colorado, folder = sys.argv[1:4]
FIRST, LAST = (int(year) for year in sys.argv[4:6])
STEP_C, STEP_K = 0.01, 0.001  # of what is stored; half of it is rounding
failures = []
shutil.rmtree(folder, ignore_errors=True)
os.makedirs(folder)
series = grid_series.Series(colorado, FIRST, LAST, (60, 30, 12, 9))
N = len(series.years)


def at(name):
    return os.path.join(folder, name)


def run(command, *words):
    return subprocess.run([program, command, *words], capture_output=True, text=True, check=False)


def make(out, tmin, tmax, *words):
    done = run("normals", "--quiet", "--tmin", at(tmin), "--tmax", at(tmax), "--out", at(out), *words)
    if done.returncode != 0:
        failures.append(f"{out}: exit {done.returncode}: {done.stderr.strip()}")
        return None
    return done.stdout


def sources(tmin, tmax):
    return ["--tmin", at(tmin), "--tmax", at(tmax)]


def read(out, name):
    raster = gdal.Open(at(f"{out}/{name}"))
    band = raster.GetRasterBand(1)
    values = raster.ReadAsArray().astype(float)
    return np.where(values == band.GetNoDataValue(), np.nan, values * band.GetScale()), raster


def compare(out, years=slice(None), least=0.8, growing=range(3, 10)):
    lower, upper = series.tmin[years], series.tmax[years]
    both = (lower + upper) / 2
    for name, values in (("tmin.tif", lower), ("tmax.tif", upper)):
        found, raster = read(out, name)
        there = np.isfinite(values).sum(axis=0)
        with np.errstate(invalid="ignore"):
            expected = np.where(there >= least * len(values), np.nansum(values, axis=0) / there, np.nan)
        close(f"{out}/{name}", found, expected, STEP_C)
        if raster.GetMetadataItem("period") != f"{series.years[years][0]}-{series.years[years][-1]}":
            failures.append(f"{out}/{name}: period {raster.GetMetadataItem('period')}")
    if len(lower) < 10:
        if os.path.exists(at(f"{out}/year_spread.tif")):
            failures.append(f"{out}: a year spread of {len(lower)} years")
        return
    with warnings.catch_warnings():  # of cells without any year
        warnings.simplefilter("ignore")
        deviation = np.nanstd(both, axis=0, ddof=1)
    deviation[np.isfinite(both).sum(axis=0) < 10] = np.nan
    close(f"{out}/year_spread.tif", read(out, "year_spread.tif")[0], deviation[list(growing)].mean(axis=0), STEP_K)


def close(what, found, expected, step):
    if found.shape != expected.shape or (np.isnan(found) != np.isnan(expected)).any():
        failures.append(f"{what}: another shape, or other cells without data")
        return
    off = np.nanmax(np.abs(found - expected))
    if not off <= step / 2 + 1e-4:  # floats of the file: 1e-5 at 300 K
        failures.append(f"{what}: off by {off}")


def digests(out, names=("tmin.tif", "tmax.tif", "year_spread.tif", "normals.json")):
    return [os.path.exists(at(f"{out}/{name}")) and hashlib.sha256(open(at(f"{out}/{name}"), "rb").read()).hexdigest() for name in names]


# ---- netCDF: calendars, stamps, bounds, units of time ----
months = np.arange(len(series.years) * 12)
forms = {"standard": {}, "noleap": {"calendar": "noleap"}, "360": {"calendar": "360_day"},
         "first": {"stamp": "first", "bounds": False}, "end": {"stamp": "end", "calendar": "noleap"},
         "months": {"units": f"months since {FIRST}-01-01", "times": months, "bounds": False},
         "hours": {"units": f"hours since {FIRST}-01-01", "bounds": False, "unit": "degC",
                   "times": grid_series.month_edges("standard", series.years).mean(axis=1) * 24}}
for name, form in forms.items():
    for k, kind in enumerate(("tmin", "tmax")):
        grid_series.write_netcdf(at(f"{kind}_{name}.nc"), series, k, **form)
    if make(f"out_{name}", f"tmin_{name}.nc", f"tmax_{name}.nc") is not None:
        compare(f"out_{name}")

# ---- the same by the netCDF Operators ----
if nco_normals.THERE:
    pair = [(at(f"{kind}_standard.nc"), f"tas{kind[1:]}") for kind in ("tmin", "tmax")]
    for (path, variable), kind in zip(pair, ("tmin", "tmax")):
        some = (1, 6, 12)
        by_nco = nco_normals.normals(path, variable, folder, months=some) - 273.15
        found = read("out_standard", f"{kind}.tif")[0]
        close(f"{kind} by NCO", found[[month - 1 for month in some]], by_nco, STEP_C)
    close("year spread by NCO", read("out_standard", "year_spread.tif")[0],
          nco_normals.spread(*pair, folder, range(4, 11)), STEP_K)
else:
    print("the netCDF Operators are not here (package nco): not compared with them")

# ---- rasters: dated bands, a file a year, a file a month ----
labels = [f"{year}-{month:02d}" for year in series.years for month in range(1, 13)]
for k, kind in enumerate(("tmin", "tmax")):
    grid_series.write_geotiff(at(f"{kind}_dated.tif"), series, series.layers(k), labels)
    for y, year in enumerate(series.years):
        grid_series.write_geotiff(at(f"{kind}_of_{year}.tif"), series, series.values[k][y])
        for m in range(12):
            grid_series.write_geotiff(at(f"{kind}_{year}_{m + 1:02d}.tif"), series, series.values[k][y, m:m + 1])
for name, tail in (("dated", "_dated.tif"), ("years", "_of_{year}.tif"), ("all", "_{year}_{month}.tif")):
    if make(f"out_{name}", f"tmin{tail}", f"tmax{tail}") is not None:
        compare(f"out_{name}")
if digests("out_years")[:3] != digests("out_all")[:3] or digests("out_dated")[:3] != digests("out_years")[:3]:
    failures.append("dated bands, files by year and files by month make other rasters")

back = [i for y in reversed(range(N)) for i in range(12 * y, 12 * y + 12)]
for k, kind in enumerate(("tmin", "tmax")):
    grid_series.write_geotiff(at(f"{kind}_back.tif"), series, series.layers(k)[back], [labels[i] for i in back])
make("out_back", "tmin_back.tif", "tmax_back.tif")
if digests("out_back")[:3] != digests("out_dated")[:3]:
    failures.append("years in another order make other rasters")

# ---- a choice of years, the south, few years ----
make("out_part", "tmin_dated.tif", "tmax_dated.tif", "--from", str(FIRST + 1), "--to", str(LAST - 1))
compare("out_part", slice(1, N - 1))
make("out_south", "tmin_dated.tif", "tmax_dated.tif", "--hemisphere", "south")
compare("out_south", growing=(9, 10, 11, 0, 1, 2, 3))
few = run("normals", "--quiet", *sources("tmin_dated.tif", "tmax_dated.tif"), "--to", str(FIRST + 7), "--out", at("out_few"))
if few.returncode != 0 or "warning: fewer than 10 years: normals, but no year_spread.tif" not in few.stderr:
    failures.append(f"few years: exit {few.returncode}: {few.stderr}")
compare("out_few", slice(0, 8))

# ---- the same bytes for any number of threads and any memory ----
first = digests("out_years")
for threads, memory in ((1, 160), (3, 1), (16, 1)):
    make("out_same", "tmin_of_{year}.tif", "tmax_of_{year}.tif", "--threads", str(threads), "--memory",
         str(memory), "--overwrite")
    if digests("out_same") != first:
        failures.append(f"other bytes with {threads} threads and {memory} MB")

# ---- and for any layout of the files ----
for layout in ("BLOCKYSIZE=1", "TILED=YES BLOCKXSIZE=16 BLOCKYSIZE=16", "INTERLEAVE=BAND"):
    for k, kind in enumerate(("tmin", "tmax")):
        for y, year in enumerate(series.years):
            grid_series.write_geotiff(at(f"{kind}_as_{year}.tif"), series, series.values[k][y], options=layout.split())
    make("out_same", "tmin_as_{year}.tif", "tmax_as_{year}.tif", "--threads", "16", "--memory", "1", "--overwrite")
    if digests("out_same")[:3] != first[:3]:
        failures.append(f"other bytes with {layout}")

# ---- what may be missing: cells in some years ----
whole = [values.copy() for values in series.values]
may_lack = N // 5  # of the years that 80 % leave
series.values[0][:may_lack, 2, 3, 4] = np.nan
series.values[0][:may_lack + 1, 3, 5, 6] = np.nan
series.values[1][:, :, 0, 0] = np.nan
for k, kind in enumerate(("tmin", "tmax")):
    grid_series.write_geotiff(at(f"{kind}_holes.tif"), series, series.layers(k), labels)
make("out_holes", "tmin_holes.tif", "tmax_holes.tif")
compare("out_holes")
counts = json.load(open(at("out_holes/normals.json"), encoding="utf-8"))["counts"]
if (counts["some_months_only"], counts["no_data"]) != (2, 0):
    failures.append(f"counts of holes: {counts}")
series.values[0][:], series.values[1][:] = whole

OTHER = FIRST + 6
# ---- refusals: exit 3, naming file, year and month ----


def refused(what, words, *needed):
    done = run("normals", "--quiet", "--out", at("refused"), *words)
    if done.returncode != 3 or not all(text in done.stderr for text in needed):
        failures.append(f"{what}: exit {done.returncode}: {done.stderr.strip()}")
    if os.path.exists(at("refused")):
        failures.append(f"{what}: left a folder")


grid_series.write_netcdf(at("tmin_short.nc"), series, 0, drop=(12 * 5 + 4,))
refused("eleven months", sources("tmin_short.nc", "tmax_standard.nc"), "tmin_short.nc", f"May {FIRST + 5} is missing")
daily = np.arange(len(series.years) * 12) * 1.0
grid_series.write_netcdf(at("tmin_daily.nc"), series, 0, bounds=False, times=daily)
refused("a daily axis", sources("tmin_daily.nc", "tmax_standard.nc"), "tmin_daily.nc", f"January {FIRST}", "31 times")
os.rename(at(f"tmin_of_{OTHER}.tif"), at("kept.tif"))
grid_series.write_geotiff(at(f"tmin_of_{OTHER}.tif"), series, series.tmin[6] * 1.8 + 32, unit="degF")
refused("another unit", sources("tmin_of_{year}.tif", "tmax_of_{year}.tif"), f"tmin_of_{OTHER}.tif", str(OTHER), "F")
os.remove(at(f"tmin_of_{OTHER}.tif"))
refused("a year that tmin lacks", sources("tmin_of_{year}.tif", "tmax_of_{year}.tif"), "tmin_of_{year}.tif", str(OTHER))
os.rename(at("kept.tif"), at(f"tmin_of_{OTHER}.tif"))
os.rename(at(f"tmin_{OTHER}_07.tif"), at("kept.tif"))
refused("a file missing", sources("tmin_{year}_{month}.tif", "tmax_{year}_{month}.tif"), f"tmin_{OTHER}_{{month}}.tif", "month 7")
os.rename(at("kept.tif"), at(f"tmin_{OTHER}_07.tif"))
labels_later = [f"{int(label[:4]) + 1}{label[4:]}" for label in labels]
grid_series.write_geotiff(at("tmax_later.tif"), series, series.layers(1), labels_later)
refused("tmin and tmax of different years", sources("tmin_dated.tif", "tmax_later.tif"), "tmin_dated.tif",
        f"has January {FIRST}", "tmax_later.tif")
twice = labels[:-12] + labels[-24:-12]
grid_series.write_geotiff(at("tmin_twice.tif"), series, series.layers(0), twice)
refused("a year twice", sources("tmin_twice.tif", "tmax_dated.tif"), "tmin_twice.tif", f"January {LAST - 1}", "2 times")
refused("no dates", sources(f"tmin_of_{OTHER}.tif", f"tmax_of_{OTHER}.tif"), f"tmin_of_{OTHER}.tif", "{year}")
refused("no such file", sources("none_{year}.tif", "tmax_of_{year}.tif"), "none_{year}.tif")

# ---- end to end: map takes what normals made, and knows the period ----
done = run("map", "--quiet", "--tmin", at("out_years/tmin.tif"), "--tmax", at("out_years/tmax.tif"),
           "--year-spread", at("out_years/year_spread.tif"), "--crop", "napa-cabbage", "--variety", "standard",
           "--season", "autumn", "--maps", "none", "--out", at("map"))
if done.returncode != 0:
    failures.append(f"map: exit {done.returncode}: {done.stderr.strip()}")
else:
    record = json.load(open(at("map/run.json"), encoding="utf-8"))
    if record["period"] != f"{FIRST}-{LAST}" or record["counts"]["computed"] != series.width * series.height:
        failures.append(f"map: period {record['period']}, counts {record['counts']}")
# ---- a series is not normals, and who gives it for them is shown the way ----
done = run("map", "--quiet", *sources("tmin_dated.tif", "tmax_dated.tif"), "--crop", "napa-cabbage", "--out", at("none"))
if done.returncode != 3 or "isosow normals" not in done.stderr:
    failures.append(f"map of a series: exit {done.returncode}: {done.stderr}")
print("\n".join(failures) if failures else f"{len(forms) + 3} forms of a series agree with NumPy")
sys.exit(1 if failures else 0)
