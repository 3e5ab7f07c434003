#include "cli/commands.h"

enum { SOURCES_MAX = 1000, CROP_WORDS_MAX = 8 };

static const struct isw_cli_command commands[] = {
    {ISW_COMMAND_MAP, isw_jobs_map, "windows for every cell of a grid: rasters and printed maps",
     "--tmin SRC --tmax SRC --crop SHEET --out DIR",
     "Sowing windows for every cell: a raster per variety and season, picks, printed maps.", 0, 0,
     false},
    {ISW_COMMAND_SITE, isw_jobs_site, "one place: when to sow, which variety, the dated work",
     "--crop SHEET --at LAT,LON --tmin SRC --tmax SRC\n  isosow site [OPTION...] --crop SHEET "
     "--stations FILE [--station NAME]",
     "One place: when to sow, which variety, what goes wrong, and the dated work.", 0, 0, false},
    {ISW_COMMAND_COMPARE, isw_jobs_compare, "what one variety, or a condition, gains over another",
     "A B --tmin SRC --tmax SRC --crop SHEET --out DIR",
     "Where B opens a window that A does not have: a raster and a map per season, one table.\n"
     "A and B: VARIETY of --crop, or SHEET:VARIETY. B may be A under another condition.",
     2, 2, false},
    {ISW_COMMAND_GUIDE, isw_jobs_guide,
     "a region's guide: maps, districts.csv, a page for growers, a print",
     "[REGION.yaml] --tmin SRC --tmax SRC --crop SHEET --districts VECTOR --district-name COLUMN "
     "--out DIR",
     "A region's guide: rasters and maps as map makes them, districts.csv and .gpkg, "
     "index.html, guide.pdf.\n"
     "REGION.yaml, given first, holds the same options as \"key: value\" lines.",
     0, 0, true},
    {ISW_COMMAND_INSPECT, isw_jobs_inspect, "what a climate source holds, and how it is understood",
     "SRC... - what climate sources hold, and how they are understood",
     "Give minimum and maximum together to get the command line for isosow map; SRC as there.", 1,
     SOURCES_MAX, false},
    {ISW_COMMAND_PARTS, isw_jobs_parts, "how a map run divides into parts for several machines",
     "--tmin SRC --tmax SRC --crop SHEET --parts N",
     "How isosow map --part K/N would divide this run: blocks, cells and the memory to ask for.", 0,
     0, false},
    {ISW_COMMAND_JOIN, isw_jobs_join, "the parts of a map run to its rasters and maps", "DIR",
     "The parts that isosow map --part put into DIR/parts to rasters, maps and run.json in DIR: "
     "the same as those of a run in one piece.",
     1, 1, false},
    {ISW_COMMAND_NORMALS, isw_jobs_normals, "single years to normals and the spread between years",
     "--record FILE.csv\n  isosow normals [OPTION...] --tmin SRC --tmax SRC --out DIR",
     "From single years to normals and year spread: of stations, the table that isosow site "
     "--stations reads; of\ngrids, rasters for the other commands. There SRC is a netCDF variable "
     "or a "
     "raster of dated bands over\nyears, or a name holding {year}, and perhaps {month}. Daily "
     "values are not read; general climate tools (CDO, NCO, xarray, a "
     "spreadsheet) make months of them.",
     0, 0, false},
    {ISW_COMMAND_CROP, isw_jobs_crop, "list, show, check and start crop sheets",
     "list | show NAME | check FILE | new --from SHEET",
     "Crop sheets: what the stages of a crop want, which varieties there are, when they may be "
     "sown.\n\n"
     "  list         built-in sheets with their varieties\n"
     "  show NAME    the text of a built-in sheet, to read or to start your own from\n"
     "  check FILE   is this sheet right? '-' reads standard input\n"
     "  new          a sheet with a type more, from what a catalogue says of it",
     0, CROP_WORDS_MAX, false},
};

const struct isw_cli_command *isw_cli_commands(size_t *count) {
  *count = G_N_ELEMENTS(commands);
  return commands;
}
