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
if [ "$every" -gt 1 ]; then
  for pair in "$tmin:tmin" "$tmax:tmax"; do
    "$python" - "${pair%:*}" "$scratch/${pair##*:}.tif" "$every" <<'END'
import sys
from osgeo import gdal
gdal.UseExceptions()
source = gdal.Open(sys.argv[1])
gdal.Translate(sys.argv[2], source, width=source.RasterXSize // int(sys.argv[3]),
               height=source.RasterYSize // int(sys.argv[3]), resampleAlg="nearest")
END
  done
  tmin=$scratch/tmin.tif tmax=$scratch/tmax.tif
fi
"$isosow" crop show napa-cabbage >"$scratch/sheet.yaml"

status=0
compare() {
  sheet=$1
  shift
  echo "$(basename "$sheet"), conditions: ${*:-as the sheet says}"
  "$isosow" map --quiet --maps none --overwrite --unit C --tmin "$tmin" --tmax "$tmax" \
    --crop "$sheet" --out "$scratch/maps" "$@"
  "$python" "$here/oracle.py" --tmin "$tmin" --tmax "$tmax" --crop "$sheet" \
    --compare "$scratch/maps" "$@" || status=1
}

cabbage=$scratch/sheet.yaml
compare "$cabbage"
compare "$cabbage" --start direct --grown-under row-cover --warmer 1.5
compare "$cabbage" --good 62.5 --spread 4 --warmer -3 --hemisphere south
compare "$cabbage" --grown-under row-cover --variety standard --variety early-heat-tolerant \
  --season spring
compare "$here/unusual.yaml"
compare "$here/unusual.yaml" --start nursery --grown-under tunnel --hemisphere south
exit $status
