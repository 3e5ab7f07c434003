#!/bin/sh
# The Debian package in full: made with cpack, free of lintian's errors, installed into a fresh minimal
# system, where what it depends on has to come from the package itself, and run there.
#   test_package.sh SOURCE SCRATCH
# Needs root, apt's sources, and the packages below; exit 77 where they are not there.
set -eu
source=$1 scratch=$2

skip() {
  echo "skipped: $1"
  exit 77
}
[ "$(id -u)" = 0 ] || skip "making a minimal system needs root"
for tool in cpack dpkg-shlibdeps lintian mmdebstrap; do
  command -v "$tool" >/dev/null || skip "there is no $tool (packages cmake, dpkg-dev, lintian, mmdebstrap)"
done

rm -rf "$scratch"
mkdir -p "$scratch"
cmake -S "$source" -B "$scratch/build" -G Ninja -DCMAKE_BUILD_TYPE=Release -DISOSOW_TESTS=OFF \
  >"$scratch/build.log"
cmake --build "$scratch/build" >>"$scratch/build.log"
(cd "$scratch/build" && cpack -G DEB >>"$scratch/build.log")
package=$(find "$scratch/build" -maxdepth 1 -name 'isosow_*.deb')

dpkg-deb --field "$package" Depends | grep -q 'libgdal.*libproj' ||
  { echo "the package does not depend on the libraries it uses"; exit 1; }
lintian --allow-root --fail-on error,warning "$package"

# The sources apt has here; the variant "apt" is Debian's essential packages and apt.
# shellcheck source=/dev/null
suite=$(. /etc/os-release && echo "$VERSION_CODENAME")
root=$scratch/root
sources=$(find /etc/apt/sources.list /etc/apt/sources.list.d -type f 2>/dev/null | sort)
cat >"$scratch/install" <<'END'
#!/bin/sh
set -e
cp "$package" "$1/isosow.deb"
DEBIAN_FRONTEND=noninteractive chroot "$1" apt-get -q install -y --no-install-recommends /isosow.deb ||
  { echo "the package cannot be installed"; exit 1; }
END
chmod +x "$scratch/install"
export package
# While the hook runs, the new system has apt's lists and the network.
# shellcheck disable=SC2086 # a list of files
if ! mmdebstrap --variant=apt --customize-hook="$scratch/install" "$suite" "$root" $sources \
  >"$scratch/root.log" 2>&1; then
  tail -n 20 "$scratch/root.log"
  grep -q "the package cannot be installed" "$scratch/root.log" && exit 1
  skip "a minimal system could not be made (above)"
fi
trap 'rm -rf "$root"' EXIT
cp -r "$source/sample-rasters" "$root/sample-rasters"
inside() { chroot "$root" env LC_ALL=C.UTF-8 "$@"; }

inside isosow --version | grep -q '^isosow '
inside isosow map --quiet --tmin /sample-rasters/tmin.tif --tmax /sample-rasters/tmax.tif \
  --crop napa-cabbage --variety standard --season autumn --dpi 60 --out /made >/dev/null
for made in standard-autumn.tif standard-autumn-sowing.png pick-autumn.tif run.json; do
  [ -s "$root/made/$made" ] || { echo "no $made was made"; exit 1; }
done
inside dpkg --purge isosow >/dev/null
for left in "$root/usr/bin/isosow" "$root/usr/share/doc/isosow"; do
  [ ! -e "$left" ] || { echo "removing the package leaves $left behind"; exit 1; }
done
echo "installed, run and removed: $(basename "$package")"
