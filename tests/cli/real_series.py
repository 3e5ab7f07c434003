"""A real monthly netCDF series through normals, inspect and map: real_series.py ISOSOW FOLDER [FILE]

FILE: monthly_navy_winds.cdf of Debian package ferret-datasets, eleven real years of months (1982-1992)
on a global grid of 2.5 degrees, as written in 1997: hours since the middle of a month, longitudes to
378.75, rows to the poles and half a cell beyond, no CRS, no CF attributes. It holds winds: no package
of Debian 12 that was looked into carries monthly temperatures of several years on a grid. Here the
zonal wind in m/s is taken for a minimum in degC, and the same raised by 20 for a maximum, which is
right for axis, grid, months and arithmetic, and says nothing about plants. Held against NumPy and,
where it is there, against the netCDF Operators. Skips where the file is not there."""

import os
import shutil
import subprocess
import sys

import numpy as np
from osgeo import gdal

import nco_normals

gdal.UseExceptions()
program, folder = sys.argv[1:3]
path = sys.argv[3] if len(sys.argv) > 3 else "/usr/share/ferret-vis/data/monthly_navy_winds.cdf"
if not os.path.exists(path):
    print(f"skipped: no {path} (package ferret-datasets)")
    sys.exit(77)
RAISED, YEARS, GROWING = 20.0, 11, range(3, 10)
SOURCE = f'NETCDF:"{path}":UWND'
failures = []
shutil.rmtree(folder, ignore_errors=True)
os.makedirs(folder)


def at(name):
    return os.path.join(folder, name)


def run(*words):
    done = subprocess.run([program, *words], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"{words}: exit {done.returncode}: {done.stderr}")
    return done.stdout


def close(what, found, expected, step):
    if found.shape != expected.shape:
        failures.append(f"{what}: {found.shape}, expected {expected.shape}")
        return
    off = np.abs(found - expected).max()
    if not off <= step / 2 + 1e-4:
        failures.append(f"{what}: off by {off}")


def read(name):
    raster = gdal.Open(at(name))
    return raster.ReadAsArray() * raster.GetRasterBand(1).GetScale()


gdal.Translate(at("raised.vrt"), SOURCE, format="VRT")
raised = gdal.Open(at("raised.vrt"), gdal.GA_Update)
for band in range(1, raised.RasterCount + 1):
    raised.GetRasterBand(band).SetOffset(RAISED)
raised = None
run("normals", "--quiet", "--unit", "C", "--tmin", SOURCE, "--tmax", at("raised.vrt"), "--out", at("normals"))
values = gdal.Open(SOURCE).ReadAsArray().astype(float).reshape(YEARS, 12, 73, 144)
close("tmin against NumPy", read("normals/tmin.tif"), values.mean(axis=0), 0.01)
close("tmax against NumPy", read("normals/tmax.tif"), values.mean(axis=0) + RAISED, 0.01)
deviation = values.std(axis=0, ddof=1)
months = np.array([[(m + 6) % 12 if row > 36 else m for m in GROWING] for row in range(73)])  # 36: the equator
expected = np.array([deviation[months[row], row].mean(axis=0) for row in range(73)])
close("year spread against NumPy", read("normals/year_spread.tif"), expected, 0.001)
if nco_normals.THERE:  # rows of the file run from south to north
    by_nco = nco_normals.normals(path, "UWND", folder, "TIME")[:, ::-1]
    close("tmin against NCO", read("normals/tmin.tif"), by_nco, 0.01)
told = run("inspect", at("normals/tmin.tif"), at("normals/tmax.tif"))
for text in ("144 x 73", "1982-1992", "isosow map"):
    if text not in told:
        failures.append(f"inspect does not say {text}: {told}")
run("map", "--quiet", "--maps", "none", "--tmin", at("normals/tmin.tif"), "--tmax", at("normals/tmax.tif"),
    "--year-spread", at("normals/year_spread.tif"), "--crop", "napa-cabbage", "--variety", "standard", "--season",
    "autumn", "--out", at("map"))
result = gdal.Open(at("map/standard-autumn.tif"))
if (result.RasterXSize, result.RasterYSize) != (144, 73) or result.GetMetadataItem("period") not in (None, "1982-1992"):
    failures.append("map: another grid or period")
print("\n".join(failures) if failures else f"eleven years of months agree{', by NCO too' if nco_normals.THERE else ''}")
sys.exit(1 if failures else 0)
