#!/usr/bin/python3
"""A grid repeated to a larger one, as a VRT: repeat_grid.py SOURCE TARGET.vrt ACROSS DOWN [WIDTH HEIGHT]

The place stays: the cells become smaller. With WIDTH and HEIGHT the rest, to the right and below,
is nodata. Exit 77 where Python lacks GDAL."""

import os
import sys

try:
    from osgeo import gdal
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

gdal.UseExceptions()
SOURCE = """<SimpleSource><SourceFilename relativeToVRT="0">{path}</SourceFilename>
<SourceBand>{band}</SourceBand><SrcRect xOff="0" yOff="0" xSize="{width}" ySize="{height}"/>
<DstRect xOff="{left}" yOff="{top}" xSize="{width}" ySize="{height}"/></SimpleSource>"""


def main():
    source, target, across, down = sys.argv[1], sys.argv[2], int(sys.argv[3]), int(sys.argv[4])
    small = gdal.Open(source)
    width, height = small.RasterXSize, small.RasterYSize
    total = [int(word) for word in sys.argv[5:7]] or [width * across, height * down]
    large = gdal.GetDriverByName("VRT").Create(target, total[0], total[1], 0)
    large.SetProjection(small.GetProjection())
    place = list(small.GetGeoTransform())
    place[1] *= width / total[0]
    place[5] *= height / total[1]
    large.SetGeoTransform(place)
    for number in range(1, small.RasterCount + 1):
        band = small.GetRasterBand(number)
        large.AddBand(band.DataType)
        copy = large.GetRasterBand(number)
        copy.SetDescription(band.GetDescription())
        copy.SetMetadata(band.GetMetadata())
        copy.SetUnitType(band.GetUnitType())
        copy.SetNoDataValue(band.GetNoDataValue())
        for i in range(across * down):
            text = SOURCE.format(path=os.path.abspath(source), band=number, width=width,
                                 height=height, left=i % across * width, top=i // across * height)
            copy.SetMetadataItem(f"source_{i}", text, "new_vrt_sources")
    large = None


main()
