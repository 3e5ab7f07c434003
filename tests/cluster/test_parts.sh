#!/bin/sh
# Parts on one machine: any number of them, in any order, run again or killed in between, join to
# what one run makes; what does not belong together is refused by name.
#   test_parts.sh ISOSOW PYTHON DATA-FOLDER SCRATCH-FOLDER NUMBERS-OF-PARTS
# 2 and 3 must be among the numbers; with 7 a task is killed.
set -eu
isosow=$1 python=$2 data=$3 scratch=$4 numbers=$5
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)

rm -rf "$scratch"
mkdir -p "$scratch"
cd "$scratch"
# 4 x 2 blocks, those at two edges cut.
"$python" "$here/repeat_grid.py" "$data/tmin.tif" tmin.vrt 4 4
"$python" "$here/repeat_grid.py" "$data/tmax.tif" tmax.vrt 4 4

cat >districts.geojson <<'END'
{"type": "FeatureCollection", "features": [
 {"type": "Feature", "properties": {"name": "West"}, "geometry": {"type": "Polygon",
  "coordinates": [[[-109, 37], [-105.5, 37], [-105.5, 41], [-109, 41], [-109, 37]]]}},
 {"type": "Feature", "properties": {"name": "East"}, "geometry": {"type": "Polygon",
  "coordinates": [[[-105.5, 37], [-102, 37], [-102, 41], [-105.5, 41], [-105.5, 37]]]}}]}
END

run='' # exec: in place of the shell that calls, so that a signal to that shell is one to isosow
map() {
  $run "$isosow" map --tmin tmin.vrt --tmax tmax.vrt --crop napa-cabbage --variety standard \
    --variety early-heat-tolerant --season autumn --spread 2.7 --title "Four by four" --maps all \
    --dpi 50 --districts districts.geojson --district-name name --cog --quiet "$@"
}
fail() { echo "FAILED: $*"; exit 1; }
# refused STATUS WORDS COMMAND...
refused() {
  wanted=$1 words=$2
  shift 2
  got=0
  "$@" 2>errors.txt || got=$?
  [ "$got" = "$wanted" ] || fail "exit $got instead of $wanted: $*"
  grep -q -e "$words" errors.txt || { cat errors.txt; fail "\"$words\" is not said by: $*"; }
}

map --out single --threads 2

for parts in $numbers; do
  k=$parts
  while [ "$k" -ge 1 ]; do
    map --out "joined-$parts" --part "$k/$parts" --threads 2 >/dev/null
    k=$((k - 1))
  done
  if [ "$parts" = 3 ]; then
    map --out joined-3 --part 2/3 --overwrite >/dev/null   # computed again
    map --out joined-3 --part 2/3                          # left as it is
  fi
  if [ "$parts" = 7 ]; then
    # A task that is killed while it computes; one that was done before the signal came is no such.
    tries=0
    while [ -e joined-7/parts/part-5-of-7.isosow ]; do
      tries=$((tries + 1))
      [ $tries -le 20 ] || fail "no task could be killed before it was done"
      rm joined-7/parts/part-5-of-7.isosow
      (run='exec' && map --out joined-7 --part 5/7 >/dev/null) &
      victim=$!
      until [ -n "$(find joined-7/parts -name '*part-5-of-7*')" ]; do sleep 0.01; done
      kill -KILL "$victim" 2>/dev/null || true
      wait "$victim" 2>/dev/null || true
    done
    [ -n "$(find joined-7/parts -name '.part-5-of-7*')" ] || fail "the killed task left nothing"
    refused 3 "not there: 5" "$isosow" join joined-7 --quiet
    [ ! -e joined-7/run.json ] || fail "a refused join left results"
    map --out joined-7 --part 5/7 >/dev/null
    [ -z "$(find joined-7/parts -name '.part-*')" ] || fail "what the killed task left is still there"
  fi
  "$isosow" join "joined-$parts" --quiet --threads 1
  "$here/same_results.sh" single "joined-$parts" || fail "$parts parts"
  echo "$parts parts: the same results"
done

# The inputs need not be there any more when the parts are joined, and any folder will do.
mkdir moved
mv tmin.vrt tmax.vrt moved/
"$isosow" join joined-2 --quiet --overwrite
"$here/same_results.sh" single joined-2 || fail "without the inputs"
(cd moved && "$isosow" join ../joined-3 --quiet --overwrite)
cmp single/standard-autumn-sowing.png joined-3/standard-autumn-sowing.png ||
  fail "joined from another folder"
mv moved/* .

refused 2 "already" "$isosow" join joined-2 --quiet
refused 2 "already" map --out joined-2 --part 1/2
refused 3 "holds no parts" "$isosow" join single --overwrite --quiet

# Cut, damaged in the middle, doubled, of another division, of another run.
new_parts() {
  rm -rf wrong
  mkdir -p wrong
  cp -r joined-2/parts wrong/parts
}
new_parts
part=wrong/parts/part-2-of-2.isosow
size=$(wc -c <$part)
dd if=joined-2/parts/part-2-of-2.isosow of=$part bs=1 count=0 seek=$((size - 5)) 2>/dev/null
head -c $((size - 5)) joined-2/parts/part-2-of-2.isosow >$part
refused 3 "part-2-of-2.isosow: is cut" "$isosow" join wrong --quiet
map --out wrong --part 2/2 >/dev/null                      # a cut part is computed again
"$isosow" join wrong --quiet
"$here/same_results.sh" single wrong || fail "after a cut part"

new_parts
printf 'x' | dd of=$part bs=1 seek=$((size / 2)) conv=notrunc 2>/dev/null
refused 3 "part-2-of-2.isosow: is cut or damaged" "$isosow" join wrong --quiet
[ ! -e wrong/run.json ] || fail "damaged parts made results"

new_parts
cp $part "wrong/parts/part-2-of-2 copy.isosow"
refused 3 "and so is" "$isosow" join wrong --quiet

new_parts
cp joined-3/parts/part-1-of-3.isosow wrong/parts/
refused 3 "part-1-of-3.isosow: is part 1 of 3, but" "$isosow" join wrong --quiet

new_parts
map --out wrong --part 2/2 --overwrite --good 71 >/dev/null
refused 3 "part-2-of-2.isosow: is a part of another run than .*: its option good" \
  "$isosow" join wrong --quiet
refused 2 "is a part of another run (its option good differs)" map --out wrong --part 2/2

refused 2 "9 parts: a grid of 820 x 476 cells has only 8 blocks" map --out none --part 1/9
for wrong in 0/3 4/3 1 x/y 1/2/3; do
  refused 2 "is neither K/N" map --out none --part $wrong
done
refused 2 "no task of a Slurm job array" env -u SLURM_ARRAY_TASK_ID "$isosow" map --tmin tmin.vrt \
  --tmax tmax.vrt --crop napa-cabbage --out none --part auto
[ ! -e none ] || fail "a refused part made its folder"

# isosow parts: the shares follow each other and hold every cell once (8 blocks, 820 x 476 cells).
"$isosow" parts --tmin tmin.vrt --tmax tmax.vrt --crop napa-cabbage --parts 3 --quiet >parts.json
"$python" - <<'END'
import json
parts = json.load(open("parts.json"))["parts"]
assert [p["part"] for p in parts] == ["1/3", "2/3", "3/3"]
assert [p["first_block"] for p in parts] == [0, 3, 6] and [p["blocks"] for p in parts] == [3, 3, 2]
assert sum(p["cells"] for p in parts) == 820 * 476
assert all(p["memory_MB"] > 50 for p in parts)
END
# What is expected is enough, and not far too much.
"$python" - "$isosow" <<'END'
import json, os, sys
expected = json.load(open("parts.json"))["parts"][0]["memory_MB"]
words = ["map", "--tmin", "tmin.vrt", "--tmax", "tmax.vrt", "--crop", "napa-cabbage", "--quiet"]
pid = os.spawnv(os.P_NOWAIT, sys.argv[1], [sys.argv[1], *words, "--out", "memory", "--part", "1/1"])
_, status, usage = os.wait4(pid, 0)
peak = usage.ru_maxrss / 1024
print(f"peak {peak:.0f} MB, expected {expected} MB")
assert status == 0 and 0.3 * expected < peak < expected
END
echo "refusals as expected"
