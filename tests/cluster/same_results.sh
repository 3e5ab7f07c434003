#!/bin/sh
# Are two results folders the same, byte for byte? run.json may differ in its command, threads and
# wall time, the parts folder and logs do not count.
#   same_results.sh DIR DIR
set -eu
a=$1 b=$2
list() { (cd "$1" && find . -maxdepth 1 -type f | sort); }
record() { sed -e '/"command" *: *\[/,/\]/d' -e '/"threads"/d' -e '/"wall_seconds"/d' "$1/run.json"; }

if [ "$(list "$a")" != "$(list "$b")" ]; then
  echo "$a and $b hold different files"
  exit 1
fi
status=0
for name in $(list "$a"); do
  if [ "$name" = ./run.json ]; then
    if [ "$(record "$a")" != "$(record "$b")" ]; then
      echo "$name differs"
      status=1
    fi
  else
    cmp "$a/$name" "$b/$name" || status=1
  fi
done
exit $status
