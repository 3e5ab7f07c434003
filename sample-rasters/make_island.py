#!/usr/bin/python3
"""Make the sample island: monthly temperature normals of a place that does not exist.

Everything here is invented: the island, its weather, its names. It lies in the open North
Pacific, far from any land, so that nobody mistakes it for a real region. Run it in any folder to
make the files anew beside this script; the same numbers come out every time (fixed seed).

    /usr/bin/python3 sample-rasters/make_island.py      needs python3-numpy and python3-gdal

How the climate is made: sea-level temperature falls northward; the year's swing and its lag come
from the distance to the sea along the wind; every month has its own fall with height, weaker in
winter and for minima; the lee of the mountains is warm and dry by day; cold air gathers by night in
inland hollows; a little smooth noise stands for all the rest.
"""

import csv
import json
import os

import numpy as np
from osgeo import gdal, osr

gdal.UseExceptions()

HERE = os.path.dirname(os.path.abspath(__file__))
SEED = 20440150
WIDTH, HEIGHT, CELL_M = 240, 180, 1000
EPSG = 32606  # UTM zone 6 north
CENTRE_LON, CENTRE_LAT = -149.1, 43.9
NODATA = -9999.0
PERIOD = "1991-2020"
NOTE = "Invented data of an island that does not exist, for trying isosow only"
MONTHS = ["January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December"]

# Invented places: name, column, row. Moved to the nearest land cell where they fall in the sea.
PLACES = [("Northport", None, None), ("Gullhaven", 22, 108), ("Millmeadow", 78, 84),
          ("Tallowmere", 92, 122), ("Cloudgate", 118, 62), ("Cinderwell", 172, 92),
          ("Dustwell", 176, 116), ("Eastlight", 216, 84)]
NORTHPORT = (44.2, -150.1)  # lat, lon


def crs():
    out = osr.SpatialReference()
    out.ImportFromEPSG(EPSG)
    out.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    return out


def lonlat():
    out = osr.SpatialReference()
    out.ImportFromEPSG(4326)
    out.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
    return out


def smooth(field, sigma):
    """Gaussian blur in cells (sigma: one number, or rows and columns), edges mirrored."""
    pad = 60
    wide = np.pad(field, pad, mode="symmetric")
    fy = np.fft.fftfreq(wide.shape[0])[:, None]
    fx = np.fft.rfftfreq(wide.shape[1])[None, :]
    sy, sx = np.broadcast_to(sigma, 2)
    kernel = np.exp(-2 * np.pi ** 2 * ((fy * sy) ** 2 + (fx * sx) ** 2))
    return np.fft.irfft2(np.fft.rfft2(wide) * kernel, wide.shape)[pad:-pad, pad:-pad]


def noise(rng, sigma):
    """Smooth noise of mean 0 and standard deviation 1; the length scale in cells."""
    field = smooth(rng.standard_normal((HEIGHT, WIDTH)), sigma)
    return (field - field.mean()) / field.std()


def ramp(x, low, high):
    """0 below low, 1 above high, smooth between."""
    t = np.clip((x - low) / (high - low), 0, 1)
    return t * t * (3 - 2 * t)


def biggest_parts(land, least_cells):
    """Land without islets below a size: flood fill by repeated growth from each seed cell."""
    left, keep = land.copy(), np.zeros_like(land)
    while left.any():
        part = np.zeros_like(land)
        part[tuple(np.argwhere(left)[0])] = True
        while True:
            grown = part.copy()
            grown[1:] |= part[:-1]
            grown[:-1] |= part[1:]
            grown[:, 1:] |= part[:, :-1]
            grown[:, :-1] |= part[:, 1:]
            grown &= left
            if (grown == part).all():
                break
            part = grown
        left &= ~part
        if part.sum() >= least_cells:
            keep |= part
    return keep


def distance_to_sea(land):
    """km, by GDAL's proximity."""
    memory = gdal.GetDriverByName("MEM")
    sea = memory.Create("", WIDTH, HEIGHT, 1, gdal.GDT_Byte)
    sea.GetRasterBand(1).WriteArray((~land).astype(np.uint8))
    out = memory.Create("", WIDTH, HEIGHT, 1, gdal.GDT_Float32)
    gdal.ComputeProximity(sea.GetRasterBand(1), out.GetRasterBand(1), ["VALUES=1"])
    return out.ReadAsArray().astype(float) * CELL_M / 1000


def terrain(rng):
    """Where land is, and its height in m."""
    row, col = np.mgrid[0:HEIGHT, 0:WIDTH].astype(float)
    x, y = (col - 120) / 108, (row - 92) / 76
    shape = (1 - (np.abs(x) ** 2.3 + np.abs(y + 0.10 * x) ** 2.2)
             + 0.20 * noise(rng, 14) + 0.10 * noise(rng, 6) + 0.055 * noise(rng, 2.5))
    # A bay in the west and a sound in the south-east.
    shape -= 0.75 * np.exp(-((col - 8) / 22) ** 2 - ((row - 92) / 11) ** 2)
    shape -= 0.85 * np.exp(-((col - 196) / 20) ** 2 - ((row - 158) / 22) ** 2)
    land = biggest_parts(shape > 0, 25)
    sea_km = distance_to_sea(land)
    # The main range runs north to south, bent westward in the south; a low one in the north-west.
    axis = 134 + 9 * np.sin((row - 60) / 34) - 0.10 * (row - 90)
    crest = (0.62 + 0.38 * np.exp(-((row - 78) / 26) ** 2) - 0.28 * np.exp(-((row - 122) / 7) ** 2))
    crest *= ramp(row, 8, 48) * ramp(-row, -172, -128)
    main = crest * np.exp(-np.abs((col - axis) / np.where(col < axis, 25, 12)) ** 1.7)
    peak = np.exp(-((col - 139) / 9) ** 2 - ((row - 78) / 9) ** 2)
    low = np.exp(-((col - 58 - 0.25 * (row - 40)) / 9) ** 2)
    low *= ramp(-row, -62, -40) * ramp(row, 14, 34)
    rough = (noise(rng, 9) + 0.9 * noise(rng, 4) + 0.7 * noise(rng, 1.8)) / 1.5
    # Sharp ridges and open valleys: where smooth noise crosses zero, a crest stands.
    ridges = 1.1 - 1.6 * np.abs(noise(rng, 5)) + 0.5 * (0.6 - np.abs(noise(rng, 2.5)))
    hills = np.clip(main + 0.35 * low, 0, 1)
    height = (1330 * main + 590 * peak + 520 * low
              + (rough * (16 + 110 * np.sqrt(hills)) + ridges * 300 * np.sqrt(hills))
              * ramp(sea_km, 1, 14)
              + 3.0 * np.minimum(sea_km, 40) + 70 * ramp(sea_km, 8, 30))
    # The lee basin lies low between the range and the eastern hills.
    basin = np.exp(-((col - 176) / 17) ** 2 - ((row - 100) / 30) ** 2)
    east = np.exp(-((col - 206) / 7) ** 2 - ((row - 88) / 34) ** 2) * ramp(sea_km, 2, 10)
    height = height * (1 - 0.55 * basin) + 330 * east
    height = np.maximum(height, 2 + 2.5 * np.minimum(sea_km, 4) + 2 * np.abs(rough))
    height = height * ramp(sea_km, -2, 3)
    return land, sea_km, np.where(land, np.maximum(height, 1), 0)


def climate(rng, land, sea_km, height, lat):
    """tmin and tmax, 12 x rows x columns, degC."""
    # Westerly wind: how far over land the air has come, and the wall it has crossed.
    fetch, wall = np.zeros_like(height), np.zeros_like(height)
    run, crossed = np.zeros(HEIGHT), np.zeros(HEIGHT)
    for col in range(WIDTH):
        run = np.where(land[:, col], run + 1, np.maximum(run - 9, 0))
        crossed = np.maximum(height[:, col], crossed * 0.988)
        fetch[:, col], wall[:, col] = run, crossed
    fetch, wall = smooth(fetch, (5, 3)), smooth(wall, (5, 2))
    lee = ramp(wall - height, 120, 900)
    lee = smooth(lee, 2.5) * ramp(sea_km, 0, 9)
    inland = 1 - np.exp(-np.minimum(sea_km, 0.55 * fetch + 0.35 * sea_km) / 15)
    inland = smooth(inland, 1.5)
    x_km = np.broadcast_to(np.arange(WIDTH) - WIDTH / 2, height.shape)
    hollow = ramp(smooth(height, 7) - height, -8, 110) * ramp(sea_km, 4, 18)
    hollow = smooth(hollow, 1.5)

    # A cold current along the north-west, a warm one along the south-east.
    sea_level = 10.9 - 2.1 * (lat - CENTRE_LAT) + 0.8 * (x_km / 100) + 1.8 * inland + 1.0 * lee
    swing = 4.0 + 6.6 * inland + 2.9 * lee          # half the year's range of the mean
    lag = 0.30 + 0.75 * (1 - inland) * (1 - 0.5 * lee)  # months after mid-July
    daily = 6.0 + 4.0 * inland + 1.6 * lee          # range within a day
    daily_summer = 1.0 + 2.6 * inland + 1.8 * lee   # its half-range over the year
    warm_noise, wide_noise = 0.25 * noise(rng, 7) + 0.12 * noise(rng, 2), 0.35 * noise(rng, 6)

    tmin, tmax = [], []
    for month in range(12):
        summer = np.cos(2 * np.pi * (month - 6) / 12)
        warmth = np.cos(2 * np.pi * (month - 6 - lag) / 12)
        mean = sea_level + swing * warmth + warm_noise
        span = daily + daily_summer * summer + wide_noise
        fall_min, fall_max = 5.0 + 0.7 * summer, 5.6 + 1.1 * summer  # K/km
        low = mean - span / 2 - fall_min * height / 1000
        high = mean + span / 2 - fall_max * height / 1000
        low = low - hollow * (2.2 - 0.5 * summer)
        high = high + lee * (0.6 + 0.5 * summer)
        tmin.append(low)
        tmax.append(np.maximum(high, low + 2.5))
    return np.array(tmin), np.array(tmax)


def write_raster(name, planes, transform, descriptions, unit, metadata):
    path = os.path.join(HERE, name)
    options = ["TILED=YES", "BLOCKXSIZE=128", "BLOCKYSIZE=128", "COMPRESS=DEFLATE", "PREDICTOR=3",
               "ZLEVEL=9"]
    out = gdal.GetDriverByName("GTiff").Create(path, WIDTH, HEIGHT, len(planes), gdal.GDT_Float32,
                                               options)
    out.SetProjection(crs().ExportToWkt())
    out.SetGeoTransform(transform)
    out.SetMetadata({"TIFFTAG_IMAGEDESCRIPTION": NOTE, **metadata})
    for i, plane in enumerate(planes):
        band = out.GetRasterBand(i + 1)
        band.SetDescription(descriptions[i])
        band.SetUnitType(unit)
        band.SetNoDataValue(NODATA)
        band.WriteArray(plane.astype(np.float32))
    out.FlushCache()


def districts(land, height):
    """District number per cell, 1.. on land, and the names."""
    row, col = np.mgrid[0:HEIGHT, 0:WIDTH]
    names = ["Gullmarsh", "Galereach", "Middle Furrows", "Cloudback", "Leeward Basin"]
    axis = 134 + 9 * np.sin((row - 60) / 34) - 0.10 * (row - 90)
    code = np.full(land.shape, 3)
    code[col < 62 + 6 * np.sin(row / 13)] = 1
    code[row < 58 + 5 * np.sin(col / 17)] = 2
    code[(col > axis - 17 + 4 * np.sin(row / 7))] = 4
    code[(col > axis + 17 + 4 * np.sin(row / 9))] = 5
    return np.where(land, code, 0), names


def write_districts(code, names, transform):
    """Polygons along cell edges, turned into lon/lat with GDAL's own tools."""
    from osgeo import ogr
    memory = gdal.GetDriverByName("MEM")
    raster = memory.Create("", WIDTH, HEIGHT, 1, gdal.GDT_Byte)
    raster.SetProjection(crs().ExportToWkt())
    raster.SetGeoTransform(transform)
    raster.GetRasterBand(1).WriteArray(code.astype(np.uint8))
    store = ogr.GetDriverByName("Memory").CreateDataSource("")
    layer = store.CreateLayer("parts", crs(), ogr.wkbPolygon)
    layer.CreateField(ogr.FieldDefn("code", ogr.OFTInteger))
    gdal.Polygonize(raster.GetRasterBand(1), raster.GetRasterBand(1), layer, 0)
    parts = {}
    for feature in layer:
        parts.setdefault(feature.GetField(0), []).append(feature.GetGeometryRef().Clone())
    turn = osr.CoordinateTransformation(crs(), lonlat())
    features = []
    for number in sorted(parts):
        shape = ogr.Geometry(ogr.wkbMultiPolygon)
        for part in parts[number]:
            shape.AddGeometry(part)
        shape = shape.UnionCascaded()
        shape.Transform(turn)
        geometry = json.loads(shape.ExportToJson(["COORDINATE_PRECISION=5", "RFC7946=YES"]))
        features.append(wound({"type": "Feature", "properties": {"name": names[number - 1]},
                               "geometry": geometry}))
    text = ",\n".join(json.dumps(f, separators=(",", ":")) for f in features)
    with open(os.path.join(HERE, "districts.geojson"), "w", encoding="utf-8", newline="\n") as file:
        file.write('{"type":"FeatureCollection","name":"districts","features":[\n')
        file.write(text + "\n]}\n")


def wound(feature):
    """Outer rings counterclockwise, holes clockwise, as RFC 7946 asks; 5 decimals (1 m)."""
    geometry = feature["geometry"]
    if geometry["type"] == "Polygon":
        geometry["type"], geometry["coordinates"] = "MultiPolygon", [geometry["coordinates"]]
    for polygon in geometry["coordinates"]:
        for i, ring in enumerate(polygon):
            ring[:] = [[round(x, 5), round(y, 5)] for x, y in (point[:2] for point in ring)]
            area = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:]))
            if (area > 0) != (i == 0):
                ring.reverse()
    return feature


def write_stations(land, tmin, tmax, height, transform, to_grid, to_lonlat):
    header = ["name", "lat", "lon", "elev"]
    header += [f"{key}_{m}" for key in ("tmin", "tmax") for m in range(1, 13)]
    cells = np.argwhere(land)
    with open(os.path.join(HERE, "stations.csv"), "w", encoding="utf-8", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(header)
        for name, col, row in PLACES:
            if col is None:
                x, y, _ = to_grid.TransformPoint(NORTHPORT[1], NORTHPORT[0])
                col = int((x - transform[0]) / CELL_M)
                row = int((transform[3] - y) / CELL_M)
            row, col = cells[((cells - [row, col]) ** 2).sum(axis=1).argmin()]
            lon, lat, _ = to_lonlat.TransformPoint(transform[0] + (col + 0.5) * CELL_M,
                                                   transform[3] - (row + 0.5) * CELL_M)
            values = [f"{v:.2f}" for v in [*tmin[:, row, col], *tmax[:, row, col]]]
            out.writerow([name, f"{lat:.4f}", f"{lon:.4f}", f"{height[row, col]:.0f}", *values])


def main():
    rng = np.random.default_rng(SEED)
    to_grid = osr.CoordinateTransformation(lonlat(), crs())
    to_lonlat = osr.CoordinateTransformation(crs(), lonlat())
    x, y, _ = to_grid.TransformPoint(CENTRE_LON, CENTRE_LAT)
    west, north = round(x, -3) - WIDTH * CELL_M / 2, round(y, -3) + HEIGHT * CELL_M / 2
    transform = (west, CELL_M, 0, north, 0, -CELL_M)
    row, col = np.mgrid[0:HEIGHT, 0:WIDTH]
    points = np.column_stack([(west + (col + 0.5) * CELL_M).ravel(),
                              (north - (row + 0.5) * CELL_M).ravel()])
    lat = np.array(to_lonlat.TransformPoints(points))[:, 1].reshape(row.shape)

    land, sea_km, height = terrain(rng)
    tmin, tmax = (np.round(t, 2) for t in climate(rng, land, sea_km, height, lat))
    height = np.round(height)
    for name, planes in (("tmin", tmin), ("tmax", tmax)):
        write_raster(f"{name}.tif", np.where(land, planes, NODATA), transform,
                     [f"{name} {month}" for month in MONTHS], "degC", {"PERIOD": PERIOD})
    write_raster("elevation.tif", [np.where(land, height, NODATA)], transform, ["elevation"], "m",
                 {})
    code, names = districts(land, height)
    write_districts(code, names, transform)
    write_stations(land, tmin, tmax, height, transform, to_grid, to_lonlat)


if __name__ == "__main__":
    main()
