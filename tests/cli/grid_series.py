"""A real monthly series on a grid, made of the Colorado record: grid_series.py COLORADO FOLDER

COLORADO/tmin.tif, tmax.tif: normals 1961-1990 on a grid; COLORADO/station_years.csv: single years of
stations (tests/data/colorado/README.md). Every month of every year is the grid's normal plus the
stations' departures from their own means, weighted by the inverse square of their distance. Writes
FOLDER/tmin.nc and FOLDER/tmax.nc (time axis over years, CF); the functions are for tests."""

import csv
import os
import sys

import numpy as np
from osgeo import gdal, osr

gdal.UseExceptions()
MONTHS = 12
NODATA = -9999.0


def read_record(path, first, last):
    """[(lat, lon, {year: (tmin[12], tmax[12])})]"""
    stations = {}
    with open(path, encoding="utf-8") as file:
        for row in csv.DictReader(file):
            if first <= int(row["year"]) <= last:
                values = [[float(row[f"{kind}_{m}"]) for m in range(1, 13)] for kind in ("tmin", "tmax")]
                stations.setdefault((row["id"], float(row["lat"]), float(row["lon"])), {})[
                    int(row["year"])] = values
    return [(lat, lon, years) for (_, lat, lon), years in stations.items()]


class Series:
    """tmin, tmax: [year][month][row][col], NaN where there is none."""

    def __init__(self, colorado, first=1961, last=1990, window=(60, 30, 20, 16)):
        self.years = list(range(first, last + 1))
        col, row, width, height = window
        self.width, self.height = width, height
        self.values = []
        stations = read_record(os.path.join(colorado, "station_years.csv"), first, last)
        for k, kind in enumerate(("tmin", "tmax")):
            raster = gdal.Open(os.path.join(colorado, f"{kind}.tif"))
            normals = raster.ReadAsArray(col, row, width, height).astype(float)
            normals[normals == NODATA] = np.nan
            transform = list(raster.GetGeoTransform())
            transform[0] += col * transform[1]
            transform[3] += row * transform[5]
            self.transform, self.wkt = transform, raster.GetProjection()
            lon = transform[0] + (np.arange(width) + 0.5) * transform[1]
            lat = transform[3] + (np.arange(height) + 0.5) * transform[5]
            self.values.append(self.spread(normals, k, stations, lat, lon))
        self.tmin, self.tmax = self.values
        self.lat, self.lon = lat, lon

    def spread(self, normals, k, stations, lat, lon):
        out = np.empty((len(self.years), MONTHS, self.height, self.width))
        means = [np.mean([values[k] for values in years.values()], axis=0) for _, _, years in stations]
        for y, year in enumerate(self.years):
            total = np.zeros((MONTHS, self.height, self.width))
            weights = np.zeros((self.height, self.width))
            for (at_lat, at_lon, years), mean in zip(stations, means):
                if year not in years:
                    continue
                east = (lon - at_lon) * np.cos(np.radians(at_lat))
                weight = 1.0 / (0.01 + (lat[:, None] - at_lat) ** 2 + east[None, :] ** 2)
                total += weight * (np.array(years[year][k]) - mean)[:, None, None]
                weights += weight
            out[y] = normals + total / weights
        return np.round(out, 2)

    def layers(self, k):
        """[time][row][col], years after one another."""
        return self.values[k].reshape(-1, self.height, self.width)


def month_lengths(calendar, year):
    if calendar == "360_day":
        return [30] * 12
    leap = calendar != "noleap" and year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return [31, 29 if leap else 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]


def month_edges(calendar, years):
    """Days since the first year's 1 January at which each month begins and ends."""
    edges, at = [], 0
    for year in years:
        for length in month_lengths(calendar, year):
            edges.append((at, at + length))
            at += length
    return np.array(edges, float)


def write_netcdf(path, series, k, calendar="standard", stamp="middle", unit="K", bounds=True,
                 units=None, times=None, drop=()):
    """stamp: where in its month the time lies: first, middle, end. units, times: instead of these.
    drop: indexes of times left out."""
    edges = month_edges(calendar, series.years)
    if times is None:
        times = {"first": edges[:, 0], "middle": edges.mean(axis=1), "end": edges[:, 1]}[stamp]
    keep = [i for i in range(len(times)) if i not in drop]
    layers = series.layers(k)[keep] + (273.15 if unit == "K" else 0.0)
    layers = np.where(np.isnan(layers), 1e20, layers).astype(np.float32)
    if os.path.exists(path):
        os.remove(path)
    root = gdal.GetDriverByName("netCDF").CreateMultiDimensional(path).GetRootGroup()
    double = gdal.ExtendedDataType.Create(gdal.GDT_Float64)
    text = gdal.ExtendedDataType.CreateString()

    def attribute(array, name, value):
        if isinstance(value, str):
            array.CreateAttribute(name, [], text).Write(value)
        else:
            array.CreateAttribute(name, [], double).Write(value)

    dimensions = [root.CreateDimension("time", "", "", len(keep)),
                  root.CreateDimension("lat", "", "", series.height),
                  root.CreateDimension("lon", "", "", series.width)]
    time = root.CreateMDArray("time", [dimensions[0]], double)
    attribute(time, "units", units or f"days since {series.years[0]}-01-01")
    attribute(time, "calendar", calendar)
    attribute(time, "standard_name", "time")
    if bounds:
        attribute(time, "bounds", "time_bnds")
        ends = root.CreateMDArray("time_bnds", [dimensions[0], root.CreateDimension("nv", "", "", 2)], double)
        ends.WriteArray(np.ascontiguousarray(edges[keep]))
    time.WriteArray(np.ascontiguousarray(np.asarray(times, float)[keep]))
    for name, values, words in (("lat", series.lat, "degrees_north"), ("lon", series.lon, "degrees_east")):
        axis = root.CreateMDArray(name, [dimensions[1 if name == "lat" else 2]], double)
        attribute(axis, "units", words)
        attribute(axis, "standard_name", "latitude" if name == "lat" else "longitude")
        axis.WriteArray(np.ascontiguousarray(values))
    name = ("tasmin", "tasmax")[k]
    array = root.CreateMDArray(name, dimensions, gdal.ExtendedDataType.Create(gdal.GDT_Float32))
    array.SetNoDataValueDouble(1e20)
    attribute(array, "units", unit)
    attribute(array, "standard_name", "air_temperature")
    array.WriteArray(layers)


def write_geotiff(path, series, layers, descriptions=None, unit="degC", scale=1.0, options=()):
    """layers: [band][row][col]; bands pixel by pixel unless options say otherwise"""
    raster = gdal.GetDriverByName("GTiff").Create(path, series.width, series.height, len(layers),
                                                  gdal.GDT_Float32, ["COMPRESS=DEFLATE", *options])
    raster.SetGeoTransform(series.transform)
    crs = osr.SpatialReference()
    crs.ImportFromWkt(series.wkt)
    raster.SetProjection(crs.ExportToWkt())
    for b, layer in enumerate(layers):
        band = raster.GetRasterBand(b + 1)
        band.SetNoDataValue(NODATA)
        band.SetUnitType(unit)
        if descriptions:
            band.SetDescription(descriptions[b])
        band.WriteArray(np.where(np.isnan(layer), NODATA, layer * scale).astype(np.float32))
    raster = None


if __name__ == "__main__":
    whole = Series(sys.argv[1], window=(0, 0, 205, 119))
    os.makedirs(sys.argv[2], exist_ok=True)
    for which, file_name in enumerate(("tmin.nc", "tmax.nc")):
        write_netcdf(os.path.join(sys.argv[2], file_name), whole, which)
