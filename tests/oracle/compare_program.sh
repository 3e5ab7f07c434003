#!/bin/sh
# The program against the oracle, cell by cell, under several conditions.
#   compare_program.sh ISOSOW PYTHON TMIN TMAX SCRATCH-FOLDER EVERY
# Both see the grid thinned to every EVERYth row and column. Exit 77 (skipped) where Python lacks
# NumPy, GDAL or PyYAML.
set -eu
isosow=$1 python=$2 tmin=$3 tmax=$4 scratch=$5 every=$6
here=$(dirname -- "$0")

if ! "$python" -c 'import numpy, yaml, osgeo.gdal' 2>/dev/null; then
  echo "skipped: $python has not all of numpy, osgeo.gdal, yaml"
  exit 77
fi

rm -rf "$scratch"
mkdir -p "$scratch"
"$python" - "$tmin" "$tmax" "$scratch" "$every" <<'END'
import sys
import numpy as np
from osgeo import gdal
gdal.UseExceptions()
tmin, tmax, scratch, every = *sys.argv[1:4], int(sys.argv[4])
for path, name in ((tmin, "tmin"), (tmax, "tmax")):
    source = gdal.Open(path)
    thin = gdal.Translate(f"{scratch}/{name}.tif", source, width=source.RasterXSize // every,
                          height=source.RasterYSize // every, resampleAlg="nearest")
# A year spread that rises from west to east, with a hole.
width, height = thin.RasterXSize, thin.RasterYSize
made = gdal.GetDriverByName("GTiff").Create(f"{scratch}/spread.tif", width, height, 1,
                                            gdal.GDT_Float32)
made.SetProjection(thin.GetProjection())
made.SetGeoTransform(thin.GetGeoTransform())
band = made.GetRasterBand(1)
band.SetNoDataValue(-1)
spread = np.tile(np.linspace(0, 2.5, width), (height, 1))
spread[height // 2, width // 2 - 3:width // 2 + 3] = -1
band.WriteArray(spread)
END
for crop in napa-cabbage broccoli crisphead-lettuce; do
  "$isosow" crop show "$crop" >"$scratch/$crop.yaml"
done
# The sheet that docs/crop-sheet.md works out.
# shellcheck disable=SC2016 # backquotes are the document's
sed -n '/^crop: cauliflower/,/^```/{/^```/!p;}' "$here/../../docs/crop-sheet.md" \
  >"$scratch/cauliflower.yaml"

status=0
look_every=1
compare() {
  sheet=$1
  shift
  echo "$(basename "$sheet"), conditions: ${*:-as the sheet says}"
  "$isosow" map --quiet --maps none --overwrite --unit C --tmin "$scratch/tmin.tif" \
    --tmax "$scratch/tmax.tif" --crop "$sheet" --out "$scratch/maps" "$@"
  "$python" "$here/oracle.py" --tmin "$scratch/tmin.tif" --tmax "$scratch/tmax.tif" \
    --crop "$sheet" --compare "$scratch/maps" --every "$look_every" "$@" || status=1
}

cabbage=$scratch/napa-cabbage.yaml
compare "$cabbage"
compare "$cabbage" --start direct --grown-under row-cover --warmer 1.5 --years 5
compare "$cabbage" --good 62.5 --spread 4 --warmer -3 --hemisphere south --years 0
compare "$cabbage" --grown-under row-cover --variety standard --variety early-heat-tolerant \
  --season spring --cut 06-01..07-15 --year-spread 0.8
compare "$here/unusual.yaml" --cut 12-15..05-20
compare "$here/unusual.yaml" --start nursery --grown-under tunnel --hemisphere south \
  --year-spread "$scratch/spread.tif" --years 10
# The other sheets, on every third row and column of these.
look_every=3
compare "$scratch/broccoli.yaml" --warmer 2
compare "$scratch/crisphead-lettuce.yaml" --start direct --years 6
compare "$scratch/cauliflower.yaml"
exit $status
