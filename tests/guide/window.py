"""A window of the sample island with a few named places: small enough for a quick guide."""

import os

from osgeo import gdal

gdal.UseExceptions()


def climate_options(tmin, tmax, window, scratch):
    """Options for the normals of a window (column, row, columns, rows), cut into the folder."""
    options = ["--unit", "C"]
    for name, path in (("tmin", tmin), ("tmax", tmax)):
        cut = os.path.join(scratch, name + ".tif")
        gdal.Translate(cut, path, srcWin=window)
        options += ["--" + name, cut]
    return options


def places_file(places, scratch):
    """A table of (name, lat, lon): its path."""
    path = os.path.join(scratch, "places.csv")
    with open(path, "w", encoding="utf-8") as file:
        file.write("name,lat,lon\n" + "".join('"%s",%s,%s\n' % place for place in places))
    return path
