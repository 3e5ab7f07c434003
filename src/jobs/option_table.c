/* The table of options. To add one: a field in struct isw_options (its default in
 * isw_jobs_start_options), a row here, its line in docs/isosow.1. */
#include "base/dates.h"
#include "climate/limits.h"
#include "climate/station_record.h"
#include "jobs/options.h"
#include "output/part_file.h"

#define FIELD(name) offsetof(struct isw_options, name)

enum {
  MAP = ISW_COMMAND_MAP,
  SITE = ISW_COMMAND_SITE,
  COMPARE = ISW_COMMAND_COMPARE,
  GUIDE = ISW_COMMAND_GUIDE,
  INSPECT = ISW_COMMAND_INSPECT,
  PARTS = ISW_COMMAND_PARTS,
  JOIN = ISW_COMMAND_JOIN,
  CROP = ISW_COMMAND_CROP,
  NORMALS = ISW_COMMAND_NORMALS,
  RUNS = MAP | SITE | COMPARE | GUIDE | PARTS, /* what computes, or says how it would */
  PAGES = MAP | COMPARE | GUIDE                /* what draws maps into a folder */
};

static const struct isw_option table[] = {
    /* the place of site */
    {"at", ISW_OPTION_TEXT, FIELD(at), SITE,
     .help = "A point of the rasters, in degrees; south and west are negative",
     .argument = "LAT,LON"},
    {"nearest", ISW_OPTION_FLAG, FIELD(nearest), SITE,
     .help = "Where the point has no data: the nearest cell that has, however far"},
    {"stations", ISW_OPTION_PATH, FIELD(stations), SITE,
     .help = "Instead of rasters: a table name,lat,lon,tmin_1..tmin_12,tmax_1..tmax_12",
     .argument = "FILE.csv"},
    {"station", ISW_OPTION_TEXT, FIELD(station), SITE, .help = "Only this station of the table",
     .argument = "NAME"},
    {"place", ISW_OPTION_TEXT, FIELD(place), SITE, .help = "What the place is called",
     .argument = "NAME"},
    {"format", ISW_OPTION_CHOICE, FIELD(format), SITE, .words = "text|json|csv|ics",
     .help = "Default: text"},
    {"show", ISW_OPTION_CHOICE, FIELD(show), SITE, .words = "C|F",
     .help = "Temperatures in degC (default) or degF"},
    {"chart", ISW_OPTION_PATH, FIELD(chart), SITE,
     .help = "Draw the year at the place: a .png, .pdf or .svg", .argument = "FILE"},
    {"sow", ISW_OPTION_DATE, FIELD(sow_day), SITE,
     .help = "What if I sow on that date: every variety, and the type to sow then",
     .argument = "MM-DD"},
    {"every", ISW_OPTION_COUNT, FIELD(every_days), SITE, 1, ISW_YEAR_DAYS,
     .help = "with --cut: a planting plan, to cut every so many days", .argument = "DAYS"},
    {"days", ISW_OPTION_PATH, FIELD(days), SITE,
     .help = "Write every sowing day of the year, of every variety", .argument = "FILE.csv"},
    {"compare-dates", ISW_OPTION_PATH, FIELD(compare_dates), SITE,
     .help = "Published calendars of stations (name,season,sow_from,sow_to) against the model",
     .argument = "FILE.csv"},

    /* records */
    {"record", ISW_OPTION_PATH, FIELD(record), NORMALS | SITE,
     .help = "Single years of stations: a table name,lat,lon,year,tmin_1..tmin_12,tmax_1..tmax_12",
     .argument = "FILE.csv"},
    {"from", ISW_OPTION_COUNT, FIELD(from_year), NORMALS | SITE, ISW_RECORD_FIRST_YEAR,
     ISW_RECORD_LAST_YEAR, .help = "First year that counts (default: the record's)",
     .argument = "YEAR"},
    {"to", ISW_OPTION_COUNT, FIELD(to_year), NORMALS | SITE, ISW_RECORD_FIRST_YEAR,
     ISW_RECORD_LAST_YEAR, .help = "Last year that counts (default: the record's)",
     .argument = "YEAR"},
    {"least", ISW_OPTION_COUNT, FIELD(least_percent), NORMALS | SITE, 1, 100,
     .help = "Per cent of the years that a month's normal needs (%s)", .argument = "1-100"},
    {"months", ISW_OPTION_MONTHS, FIELD(months), NORMALS | SITE,
     .help = "Growing season over which the year spread is averaged (%s); half a year on in the "
             "south",
     .argument = "M..M"},

    /* crop */
    {"crop", ISW_OPTION_SHEET, FIELD(crop), RUNS,
     .help = "Crop sheet: a built-in name (isosow crop list) or a .yaml file", .argument = "SHEET"},
    {"variety", ISW_OPTION_TEXTS, FIELD(varieties), RUNS & ~COMPARE, .unset = "all",
     .help = "Only this variety; may be given several times", .argument = "NAME"},
    {"season", ISW_OPTION_TEXTS, FIELD(seasons), RUNS, .unset = "all",
     .help = "Only this season; may be given several times", .argument = "NAME"},

    /* B of compare */
    {"b-grown-under", ISW_OPTION_TEXT, FIELD(b_grown_under), COMPARE, .unset = "as A",
     .help = "B's field stages stand under this shelter of its sheet", .argument = "SHELTER"},
    {"b-warmer", ISW_OPTION_NUMBER, FIELD(b_warmer_K), COMPARE, -30.0, 30.0, .unset = "as A",
     .help = "B's normals are this much warmer than A's", .argument = "K"},
    {"b-start", ISW_OPTION_CHOICE, FIELD(b_start), COMPARE, .words = "direct|nursery",
     .unset = "as A", .help = "B is sown in place or in a nursery, whatever the seasons say"},

    /* results */
    {"out", ISW_OPTION_PATH, FIELD(out), PAGES, .help = "Folder for the results",
     .argument = "DIR"},
    {"overwrite", ISW_OPTION_FLAG, FIELD(overwrite), PAGES | JOIN,
     .help = "Replace results of an earlier run"},
    {"overwrite", ISW_OPTION_FLAG, FIELD(overwrite), SITE,
     .help = "Replace an existing chart or table of days"},
    {"resume", ISW_OPTION_FLAG, FIELD(resume), MAP | GUIDE,
     .help = "Compute nothing if this very run's results are there, whole; else run"},
    {"cog", ISW_OPTION_FLAG, FIELD(cog), MAP, .unset = "no",
     .help = "Rasters as cloud-optimised GeoTIFFs, with overviews"},
    {"what-opens", ISW_OPTION_FLAG, FIELD(what_opens), MAP, .unset = "no",
     .help = "Per season too: which shelter gives some type a window where none has one"},
    {"part", ISW_OPTION_TEXT, FIELD(part), MAP, .words = "auto",
     .help = "Compute only part K of N, for isosow join (auto: the Slurm array task's)",
     .argument = "K/N|auto"},
    {"parts", ISW_OPTION_COUNT, FIELD(parts), PARTS, 1, ISW_PARTS_MAX, .help = "Number of parts",
     .argument = "N"},

    /* inspect */
    {"every-cell", ISW_OPTION_FLAG, FIELD(every_cell), INSPECT,
     .help = "Read every cell of a large grid too (above 25 million a sample is)"},
    {"json", ISW_OPTION_FLAG, FIELD(json), INSPECT, .help = "As JSON"},

    /* the run */
    {"threads", ISW_OPTION_COUNT, FIELD(threads), RUNS | JOIN, 1, 0,
     .help = "Working threads (default: all processors)", .argument = "N"},
    {"memory", ISW_OPTION_COUNT, FIELD(memory_MB), RUNS, 1, 0, .help = "For blocks in flight (%s)",
     .argument = "MB"},
    {"quiet", ISW_OPTION_FLAG, FIELD(quiet), RUNS | JOIN | CROP | NORMALS,
     .help = "No notices, no progress"},

    /* climate */
    {"tmin", ISW_OPTION_PATH, FIELD(tmin), RUNS, .group = ISW_OPTIONS_CLIMATE, .argument = "SRC",
     .help = "Monthly normals of daily minimum: 12 raster bands, a netCDF variable, or a name "
             "holding {month}"},
    {"tmax", ISW_OPTION_PATH, FIELD(tmax), RUNS, .group = ISW_OPTIONS_CLIMATE,
     .help = "The same of daily maximum", .argument = "SRC"},
    {"mean", ISW_OPTION_PATH, FIELD(mean), RUNS, .group = ISW_OPTIONS_CLIMATE,
     .help = "Instead of both: monthly means", .argument = "SRC"},
    {"range", ISW_OPTION_NUMBER_OR_PATH, FIELD(range), RUNS, .group = ISW_OPTIONS_CLIMATE,
     .argument = "SRC|K", .help = "with --mean: the daily range, maximum less minimum, in K"},
    {"var", ISW_OPTION_TEXT, FIELD(variable), RUNS | INSPECT, .group = ISW_OPTIONS_CLIMATE,
     .help = "netCDF variable, where there are several", .argument = "NAME"},
    {"unit", ISW_OPTION_CHOICE, FIELD(unit), RUNS | INSPECT | NORMALS, .group = ISW_OPTIONS_CLIMATE,
     .words = "C|F|K|C/10|F/10", .help = "Unit of the normals where metadata do not say it"},
    {"period", ISW_OPTION_PERIOD, FIELD(period), RUNS, .group = ISW_OPTIONS_CLIMATE,
     .help = "Years of the normals, such as 1991-2020", .argument = "TEXT"},
    {"crs", ISW_OPTION_TEXT, FIELD(crs), RUNS | INSPECT, .group = ISW_OPTIONS_CLIMATE,
     .help = "CRS of the grid, overriding the file's", .argument = "EPSG:N|WKT"},
    {"elevation", ISW_OPTION_PATH, FIELD(elevation), RUNS, .group = ISW_OPTIONS_CLIMATE,
     .help = "Fine elevation (m) to bring the normals to", .argument = "SRC"},
    {"normals-elevation", ISW_OPTION_PATH, FIELD(normals_elevation), RUNS,
     .group = ISW_OPTIONS_CLIMATE, .help = "with --elevation: the elevation the normals stand for",
     .argument = "SRC"},
    {"lapse", ISW_OPTION_NUMBERS, FIELD(lapse), RUNS, .group = ISW_OPTIONS_CLIMATE,
     .help = "with --elevation: fall of temperature", .argument = "K/km"},
    {"lapse-monthly", ISW_OPTION_NUMBERS, FIELD(lapse_monthly), RUNS, .group = ISW_OPTIONS_CLIMATE,
     .help = "with --elevation: 12 falls by month, or 24 (tmin, then tmax)",
     .argument = "K/km,..."},
    {"hemisphere", ISW_OPTION_CHOICE, FIELD(hemisphere), RUNS | NORMALS,
     .group = ISW_OPTIONS_CLIMATE, .words = "auto|north|south", .unset = "",
     .help = "Whose seasons: by latitude (auto), or forced"},

    /* conditions */
    {"good", ISW_OPTION_NUMBER, FIELD(good), RUNS, 0.0, 100.0, .group = ISW_OPTIONS_CONDITIONS,
     .unset = "", .help = "Score from which a day is good (%s)", .argument = "0-100"},
    {"years", ISW_OPTION_COUNT, FIELD(least_years), RUNS, 0, 10, .group = ISW_OPTIONS_CONDITIONS,
     .unset = "", .argument = "0-10",
     .help =
         "Of ten equally likely years, those in which a good day succeeds at least (%s); 0: the "
         "normal year alone decides"},
    {"year-spread", ISW_OPTION_NUMBER_OR_PATH, FIELD(year_spread), RUNS, 0.0,
     ISW_WIDEST_YEAR_SPREAD_K, .group = ISW_OPTIONS_CONDITIONS, .unset = "",
     .help =
         "Standard deviation between years of a month's mean (%s), or a raster of it on the grid",
     .argument = "K|SRC"},
    {"cut", ISW_OPTION_DATES, FIELD(cut), RUNS, .group = ISW_OPTIONS_CONDITIONS, .unset = "any day",
     .help = "Only what is cut within these dates, such as 10-15..11-20",
     .argument = "MM-DD..MM-DD"},
    {"spread", ISW_OPTION_NUMBER, FIELD(spread_K), RUNS, 0.01, 30.0,
     .group = ISW_OPTIONS_CONDITIONS, .unset = "",
     .help = "Standard deviation of single days about their normal (%s)", .argument = "K"},
    {"warmer", ISW_OPTION_NUMBER, FIELD(warmer_K), RUNS, -30.0, 30.0,
     .group = ISW_OPTIONS_CONDITIONS, .unset = "", .help = "Added to every normal (%s)",
     .argument = "K"},
    {"grown-under", ISW_OPTION_TEXT, FIELD(grown_under), RUNS, .group = ISW_OPTIONS_CONDITIONS,
     .unset = "open ground",
     .help = "What if the field stages stood under this shelter of the sheet",
     .argument = "SHELTER"},
    {"start", ISW_OPTION_CHOICE, FIELD(start), RUNS, .group = ISW_OPTIONS_CONDITIONS,
     .words = "direct|nursery", .unset = "as the seasons say",
     .help = "Sow in place or in a nursery, whatever the seasons say"},

    /* pages */
    {"maps", ISW_OPTION_CHOICE, FIELD(maps), PAGES, .group = ISW_OPTIONS_MAPS,
     .words = "none|main|all", .unset = "",
     .help = "Printed maps: none, main (the default) or all (map and guide: score and years too)"},
    {"title", ISW_OPTION_TEXT, FIELD(title), PAGES, .group = ISW_OPTIONS_MAPS, .unset = "",
     .help = "Name of the region on the maps", .argument = "TEXT"},
    {"districts", ISW_OPTION_PATH, FIELD(districts), PAGES, .group = ISW_OPTIONS_MAPS,
     .unset = "none", .help = "District outlines: any vector file", .argument = "VECTOR"},
    {"district-name", ISW_OPTION_TEXT, FIELD(district_name), PAGES, .group = ISW_OPTIONS_MAPS,
     .unset = "", .help = "The column that holds the districts' names", .argument = "COLUMN"},
    {"layers", ISW_OPTION_PATH, FIELD(layers), PAGES, .group = ISW_OPTIONS_MAPS, .unset = "none",
     .help = "Water, roads and borders to draw on the maps: any vector file", .argument = "VECTOR"},
    {"places", ISW_OPTION_PATH, FIELD(places), PAGES, .group = ISW_OPTIONS_MAPS, .unset = "none",
     .help = "Named places on the maps: a table name,lat,lon (.csv) or points with a column name",
     .argument = "FILE"},
    {"hill-shade", ISW_OPTION_PATH, FIELD(hill_shade), PAGES, .group = ISW_OPTIONS_MAPS,
     .unset = "none", .help = "Elevation (m) whose hill shade lies under the colours of the maps",
     .argument = "DEM"},
    {"map-crs", ISW_OPTION_TEXT, FIELD(map_crs), PAGES, .group = ISW_OPTIONS_MAPS, .unset = "auto",
     .help =
         "CRS that maps are drawn in: auto (local, where the grid is in degrees), grid (its own) "
         "or a projected one",
     .argument = "auto|grid|EPSG:N"},
    {"size", ISW_OPTION_SIZE, FIELD(size), PAGES, .group = ISW_OPTIONS_MAPS,
     .words = "A4|A3|letter", .unset = "",
     .help = "Page size: A4 (default), A3, letter, or WIDTHxHEIGHT in mm", .argument = "SIZE"},
    {"slide", ISW_OPTION_FLAG, FIELD(slide), PAGES, .group = ISW_OPTIONS_MAPS, .unset = "no",
     .help = "Maps for the wall of a hall: 16:9, 1920 x 1080 pixels, large type"},
    {"dpi", ISW_OPTION_NUMBER, FIELD(dpi), PAGES, 50.0, 1200.0, .group = ISW_OPTIONS_MAPS,
     .unset = "", .help = "Resolution of the maps (%s)", .argument = "N"},
};

const struct isw_option *isw_jobs_option_table(size_t *count) {
  *count = G_N_ELEMENTS(table);
  return table;
}
