"""Memory of isosow normals does not grow with the years: flat_memory.py ISOSOW FOLDER

Peak resident memory (ru_maxrss) for 10 and for 40 years of one made-up grid may differ by a tenth: a
netCDF series with a layer for each time, and files by year whose bands are interleaved by pixel."""

import os
import shutil
import sys

import numpy as np
from osgeo import gdal, osr

gdal.UseExceptions()
program, folder = sys.argv[1:3]
SIZE, YEARS, FIRST, MONTHS, MOST = 600, (10, 40), 1951, 12, 1.1
shutil.rmtree(folder, ignore_errors=True)
os.makedirs(folder)
noise = np.random.default_rng(1).integers(-9, 10, size=(5, SIZE, SIZE)).astype(np.int16)


def layer(k):
    return noise[k % 5] + np.int16(100 - 150 * np.cos(2 * np.pi * k / MONTHS))


def write_netcdf(path):
    root = gdal.GetDriverByName("netCDF").CreateMultiDimensional(path).GetRootGroup()
    number, text = gdal.ExtendedDataType.Create(gdal.GDT_Float64), gdal.ExtendedDataType.CreateString()
    times = max(YEARS) * MONTHS
    dimensions = [root.CreateDimension(name, "", "", n) for name, n in (("time", times), ("lat", SIZE), ("lon", SIZE))]
    axes = ((np.arange(times) * 30.0 + 15, {"units": f"days since {FIRST}-01-01", "calendar": "360_day"}),
            (50 - np.arange(SIZE) * 0.01, {"units": "degrees_north"}), (np.arange(SIZE) * 0.01, {"units": "degrees_east"}))
    for dimension, (values, words) in zip(dimensions, axes):
        axis = root.CreateMDArray(dimension.GetName(), [dimension], number)
        for name, value in words.items():
            axis.CreateAttribute(name, [], text).Write(value)
        axis.WriteArray(values)
    array = root.CreateMDArray("t", dimensions, gdal.ExtendedDataType.Create(gdal.GDT_Int16),
                               [f"BLOCKSIZE=1,{SIZE},{SIZE}", "COMPRESS=DEFLATE", "ZLEVEL=1"])
    array.CreateAttribute("units", [], text).Write("degC")
    array.CreateAttribute("scale_factor", [], number).Write(0.1)
    for k in range(times):
        array.WriteArray(layer(k)[None], array_start_idx=[k, 0, 0])


def write_years(path):
    """One year's file, under the name of every year."""
    raster = gdal.GetDriverByName("GTiff").Create(path(FIRST), SIZE, SIZE, MONTHS, gdal.GDT_Int16,
                                                  ["COMPRESS=DEFLATE", "INTERLEAVE=PIXEL"])
    crs = osr.SpatialReference()
    crs.ImportFromEPSG(4326)
    raster.SetProjection(crs.ExportToWkt())
    raster.SetGeoTransform([0, 0.01, 0, 50, 0, -0.01])
    for month in range(MONTHS):
        band = raster.GetRasterBand(month + 1)
        band.SetUnitType("degC")
        band.SetScale(0.1)
        band.WriteArray(layer(month))
    raster = None
    for year in range(FIRST + 1, FIRST + max(YEARS)):
        os.link(path(FIRST), path(year))


def peak_MB(source, years):
    words = [program, "normals", "--quiet", "--threads", "2", "--tmin", source, "--tmax", source, "--to",
             str(FIRST + years - 1), "--overwrite", "--out", os.path.join(folder, "out")]
    pid = os.posix_spawn(program, words, os.environ, file_actions=[(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)])
    _, status, used = os.wait4(pid, 0)
    if status != 0:
        sys.exit(f"{source}, {years} years: status {status}")
    return used.ru_maxrss / 1024


write_netcdf(os.path.join(folder, "series.nc"))
write_years(lambda year: os.path.join(folder, f"year_{year}.tif"))
grown = 0
for name in ("series.nc", "year_{year}.tif"):
    few, many = (peak_MB(os.path.join(folder, name), years) for years in YEARS)
    print(f"{name}: {few:.0f} MB for {YEARS[0]} years, {many:.0f} MB for {YEARS[1]}")
    grown += many > few * MOST
shutil.rmtree(folder)
sys.exit(1 if grown else 0)
