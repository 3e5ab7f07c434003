"""TIFFs of 65536 x 32768 cells in 12 bands by their headers (TIFF 6.0 and the GeoTIFF keys), with
nothing behind them: tiled, with a tile of 256 x 256 far past the end; and one strip that is all."""
import struct
import sys


def tiff(name, tiled):
    tags, tail = [], b""
    entries = 15 if tiled else 14
    base = 8 + 2 + 12 * entries + 4

    def add(tag, kind, values, pack):
        nonlocal tail
        data = struct.pack("<%d%s" % (len(values), pack), *values)
        if len(data) > 4:
            while (base + len(tail)) % 8:
                tail += b"\0"
            field = struct.pack("<I", base + len(tail))
            tail += data
        else:
            field = data.ljust(4, b"\0")
        tags.append(struct.pack("<HHI", tag, kind, len(values)) + field)

    n_tiles = 256 * 128
    add(256, 4, [65536], "I")
    add(257, 4, [32768], "I")
    add(258, 3, [32] * 12, "H")
    add(259, 3, [1], "H")
    add(262, 3, [1], "H")
    if not tiled:
        add(273, 4, [4000000000], "I")
    add(277, 3, [12], "H")
    if not tiled:
        add(278, 4, [32768], "I")
        add(279, 4, [4000000000], "I")
    add(284, 3, [1], "H")
    if tiled:
        add(322, 3, [256], "H")
        add(323, 3, [256], "H")
        add(324, 4, [4000000000] * n_tiles, "I")
        add(325, 4, [256 * 256 * 12 * 4] * n_tiles, "I")
    add(338, 3, [0] * 11, "H")
    add(339, 3, [3] * 12, "H")
    add(33550, 12, [0.001, 0.001, 0.0], "d")
    add(33922, 12, [0.0, 0.0, 0.0, -150.0, 44.0, 0.0], "d")
    directory = struct.pack("<H", len(tags)) + b"".join(tags) + struct.pack("<I", 0)
    assert len(tags) == entries
    with open(name, "wb") as file:
        file.write(struct.pack("<2sHI", b"II", 42, 8) + directory + tail)


tiff(sys.argv[1], sys.argv[2] == "tiled")
