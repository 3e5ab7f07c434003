"""Normals and year spread of a netCDF series by the netCDF Operators, an independent program:
normals(path, variable, folder) and spread(low, high, folder, months). Files by years of twelve months,
each year's from January on."""

import os
import shutil
import subprocess

import numpy as np
from osgeo import gdal

THERE = shutil.which("ncks") is not None and shutil.which("ncwa") is not None
MONTHS = 12


def run(*words):
    subprocess.run(words, check=True, capture_output=True)


def read(path, variable):
    dataset = gdal.OpenEx(path, gdal.OF_MULTIDIM_RASTER)
    array = dataset.GetRootGroup().OpenMDArray(variable)
    values = array.ReadAsArray().astype(float)
    missing = array.GetNoDataValueAsDouble()
    return np.where(np.isclose(values, missing, rtol=1e-6), np.nan, values)


def of_month(path, variable, time, month, out):
    """The years of one month (1..12)."""
    run("ncks", "-O", "-F", "-v", variable, "-d", f"{time},{month},,{MONTHS}", path, out)


def normals(path, variable, folder, time="time", months=range(1, MONTHS + 1)):
    """[month][row][col] as the file has its rows"""
    years, mean = os.path.join(folder, "nco_years.nc"), os.path.join(folder, "nco_mean.nc")
    out = []
    for month in months:
        of_month(path, variable, time, month, years)
        run("ncwa", "-O", "-a", time, years, mean)
        out.append(read(mean, variable))
    return np.array(out)


def spread(low, high, folder, months, time="time"):
    """low, high: (path, variable). Mean over the months of the standard deviation between years (n - 1)
    of the middle of both."""
    names = [os.path.join(folder, f"nco_{name}.nc") for name in ("low", "high", "sum", "mean", "off", "deviation")]
    low_years, high_years, both, mean, off, deviation = names
    out = []
    for month in months:
        of_month(*low, time, month, low_years)
        of_month(*high, time, month, high_years)
        for path, (_, variable) in ((low_years, low), (high_years, high)):
            run("ncrename", "-O", "-v", f"{variable},t", path)
        run("ncbo", "-O", "--op_typ=add", low_years, high_years, both)
        run("ncwa", "-O", "-a", time, both, mean)
        run("ncdiff", "-O", both, mean, off)
        run("ncwa", "-O", "-y", "rmssdn", "-a", time, off, deviation)
        out.append(read(deviation, "t") / 2)
    return np.mean(out, axis=0)
