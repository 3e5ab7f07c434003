"use strict";
// What the address asks for: "#at=43.94,-149.62", "&crop=broccoli" beside it or alone. {at, crop}, texts
// or undefined; as it stands where its per cent signs are broken.
function readAddress() {
  let text = location.hash.slice(1);
  try {
    text = decodeURIComponent(text);
  } catch (broken) { /* as it stands */ }
  return Object.fromEntries(text.split("&").map((part) => /^(at|crop)=(.*)$/s.exec(part)).filter((x) => x).map((x) => [x[1], x[2]]));
}

// The guide of one crop, one of several or the only one; the ids of its elements end in `mark`. Resolves to
// what the page needs of it when it can be used: {crop, openAddress}; without openAddress it cannot.
function startGuide(mark, several) {
  const byId = (id) => document.getElementById(id + mark);
  const data = JSON.parse(byId("data").textContent);
  const LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  const ALL_YEAR = 365;
  const CELL_SOUTH = 2, RISKY = 100;

  // ---- words: the program's own sentences (src/words) ----
  function fill(template, values) {
    return template.replace(/%%|%(\d)\$s/g, (all, index) => all === "%%" ? "%" : String(values[index - 1]));
  }
  const say = (id, ...values) => fill(data.words[id], values);
  function count(id, n, ...values) { // a sentence with a count, its first value
    const plural = data.words[id];
    return fill(plural.forms[Number(plural.of[Math.min(Math.abs(n), plural.of.length - 1)])], [n, ...values]);
  }
  const listed = (items) => items.reduce((all, item, i) =>
    i === 0 ? item : say(i === items.length - 1 ? "LIST_LAST" : "LIST_MORE", all, item), "");
  const joined = (items, id) => items.reduce((all, item, i) => i === 0 ? item : say(id, all, item), "");
  const capital = (text) => text === "" ? "" : [...text][0].toLocaleUpperCase() + [...text].slice(1).join("");

  // ---- dates: days of the year from 1 ----
  const wrap = (day) => ((day - 1) % ALL_YEAR + ALL_YEAR) % ALL_YEAR + 1;
  const forward = (from, to) => ((to - from) % ALL_YEAR + ALL_YEAR) % ALL_YEAR;
  function monthAndDay(dayOfYear) {
    let left = dayOfYear - 1, month = 0;
    while (left >= LENGTHS[month]) left -= LENGTHS[month++];
    return [month, left + 1];
  }
  function dayOfYear(month, day) { // month 0..11; 29 February counts as the 28th
    return LENGTHS.slice(0, month).reduce((sum, n) => sum + n, 0) + Math.min(day, LENGTHS[month]);
  }
  function date(dayOfYear) {
    const [month, day] = monthAndDay(dayOfYear);
    return say("SHORT_DATE", day, data.dateNumbers ? month + 1 : say("SHORT_MONTH_" + (month + 1)));
  }
  function longDate(dayOfYear) {
    const [month, day] = monthAndDay(dayOfYear);
    return say("LONG_DATE", day, data.dateNumbers ? month + 1 : say("MONTH_" + (month + 1)));
  }
  function period(dayOfYear) {
    const [month, day] = monthAndDay(dayOfYear);
    return month * 3 + (day <= 10 ? 0 : day <= 20 ? 1 : 2);
  }
  function periodName(index) {
    return say(["EARLY_MONTH", "MID_MONTH", "LATE_MONTH"][index % 3], say("SHORT_MONTH_" + (Math.floor(index / 3) + 1)));
  }

  // ---- packed data: base64 of zlib of 16-bit differences ----
  async function unpack(text) {
    const bytes = Uint8Array.from(atob(text), (c) => c.charCodeAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
    const view = new DataView(await new Response(stream).arrayBuffer());
    const out = new Int16Array(view.byteLength / 2);
    let value = 0;
    for (let i = 0; i < out.length; i++) {
      value = (value + view.getInt16(2 * i, true)) << 16 >> 16;
      out[i] = value;
    }
    return out;
  }

  // ---- tables ----
  function sortTable(table, column, header) {
    const up = header.getAttribute("aria-sort") !== "ascending";
    for (const other of table.tHead.rows[0].cells) other.removeAttribute("aria-sort");
    header.setAttribute("aria-sort", up ? "ascending" : "descending");
    const body = table.tBodies[0];
    const key = (row) => row.cells[column].dataset.key ?? row.cells[column].textContent;
    const number = (text) => (text.trim() === "" ? NaN : Number(text));
    const rows = [...body.rows].sort((a, b) => {
      const x = key(a), y = key(b);
      if ((x === "") !== (y === "")) return x === "" ? 1 : -1; // nothing to say goes last
      const both = !Number.isNaN(number(x)) && !Number.isNaN(number(y));
      const order = both ? number(x) - number(y) : x.localeCompare(y);
      return up ? order : -order;
    });
    body.append(...rows);
  }
  for (const table of byId("guide").querySelectorAll("table.sortable")) {
    [...table.tHead.rows[0].cells].forEach((header, column) => {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = header.textContent;
      header.replaceChildren(button);
      button.addEventListener("click", () => sortTable(table, column, header));
    });
  }

  // ---- places and cells ----
  const grid = data.grid;
  for (const name of ["lat", "lon"]) // millionths of a degree
    grid.lattice[name] = grid.lattice[name].map((x) => x === null ? null : x / 1e6);
  function locate(col, row) { // of the full grid, fractional, to [lat, lon] between lattice points
    const lattice = grid.lattice, s = lattice.step;
    const i = Math.min(Math.max(Math.floor(col / s), 0), lattice.cols - 2);
    const j = Math.min(Math.max(Math.floor(row / s), 0), lattice.rows - 2);
    const x = col / s - i, y = row / s - j, at = j * lattice.cols + i;
    const mix = (v) => (1 - y) * ((1 - x) * v[at] + x * v[at + 1]) +
      y * ((1 - x) * v[at + lattice.cols] + x * v[at + lattice.cols + 1]);
    if ([at, at + 1, at + lattice.cols, at + lattice.cols + 1].some((k) => lattice.lat[k] === null)) return null;
    return [mix(lattice.lat), mix(lattice.lon)];
  }
  function search(lat, lon) { // the way back, by Newton's steps from the nearest lattice point
    const lattice = grid.lattice, shrink = Math.cos(lat * Math.PI / 180);
    let nearest = -1, least = Infinity;
    lattice.lat.forEach((value, k) => {
      if (value === null) return;
      const away = (value - lat) ** 2 + ((lattice.lon[k] - lon) * shrink) ** 2;
      if (away < least) { least = away; nearest = k; }
    });
    let col = (nearest % lattice.cols) * lattice.step, row = Math.floor(nearest / lattice.cols) * lattice.step;
    for (let turn = 0; turn < 12; turn++) {
      const here = locate(col, row), right = locate(col + 0.5, row), down = locate(col, row + 0.5);
      if (!here || !right || !down) return null;
      const a = (right[0] - here[0]) * 2, b = (down[0] - here[0]) * 2;
      const c = (right[1] - here[1]) * 2, d = (down[1] - here[1]) * 2, area = a * d - b * c;
      if (!area) return null;
      const east = lon - here[1], north = lat - here[0];
      col += (north * d - east * b) / area;
      row += (east * a - north * c) / area;
      if (Math.abs(col) > 1e6 || Math.abs(row) > 1e6) return null;
    }
    return [col, row];
  }
  function cellAt(lat, lon) { // {col, row} here, or null outside
    for (const turn of [0, 360, -360]) {
      const full = search(lat, lon + turn);
      if (!full) continue;
      const [col, row] = full;
      if (col < 0 || row < 0 || col > grid.fullWidth || row > grid.fullHeight) continue;
      const before = Math.floor(grid.step / 2);
      return {
        col: Math.min(Math.max(Math.round((col - 0.5 - before) / grid.step), 0), grid.width - 1),
        row: Math.min(Math.max(Math.round((row - 0.5 - before) / grid.step), 0), grid.height - 1),
      };
    }
    return null;
  }
  function placeOf(col, row) {
    const before = Math.floor(grid.step / 2);
    return locate(col * grid.step + before + 0.5, row * grid.step + before + 0.5);
  }

  // ---- loaded state ----
  let order = null; // order[cell] = index among valid cells + 1, or 0
  let flags = null, districtOf = null;
  const results = new Map(), picks = [], details = [];
  let namePlaces = [], namesDrawn = [];
  let chosen = null; // {col, row}
  let pointer = null; // keyboard cross-hair

  const result = (v, s) => v * data.seasons.length + s;
  async function loadAll() {
    flags = await unpack(data.flags);
    order = new Int32Array(flags.length);
    let n = 0;
    flags.forEach((flag, cell) => { if (flag & 1) order[cell] = ++n; });
    districtOf = await unpack(data.district);
    for (let s = 0; s < data.seasons.length; s++) picks.push(await unpack(data.picks[s]));
    for (let s = 0; s < data.seasons.length; s++) details.push(await unpack(data.details[s]));
    for (let r = 0; r < data.results.length; r++) results.set(r, await unpack(data.results[r]));
  }
  function value(r, band, cell) {
    return results.get(r)[data.bands.indexOf(band) * (results.get(r).length / data.bands.length) + order[cell] - 1];
  }

  const lastDay = (r, cell) => wrap(value(r, "sow_from", cell) + value(r, "window_days", cell) - 1);
  function detail(s, band, cell) { // of the type to choose, where it has a window
    const bands = data.detailBands.length + data.stages.length;
    return details[s][(typeof band === "number" ? data.detailBands.length + band : data.detailBands.indexOf(band)) * (details[s].length / bands) + order[cell] - 1];
  }
  const detailText = (s, band, cell) => data.texts[detail(s, band, cell)];

  // ---- map ----
  const canvas = byId("map"), brush = canvas.getContext("2d");
  const scale = Math.max(2, Math.ceil(900 / Math.max(grid.width * grid.aspect, grid.height)));
  const wide = scale * grid.aspect, high = scale;
  canvas.width = Math.round(grid.width * wide);
  canvas.height = Math.round(grid.height * high);
  const xOf = (col) => (grid.mirrored ? grid.width - 1 - col : col) * wide;
  const yOf = (row) => (grid.upsideDown ? grid.height - 1 - row : row) * high;

  const ink = (name) => getComputedStyle(document.documentElement).getPropertyValue("--map-" + name).trim();
  const [lineInk, casingInk, seaInk, emptyInk, hatchInk] = ["line", "casing", "sea", "empty", "hatch"].map(ink);
  function classOf(s, choice, cell) { // [key, colour] of a cell
    if (choice === "pick") {
      const code = picks[s][order[cell] - 1];
      if (code === 0) return ["none", null];
      const risky = code > RISKY, v = data.varieties.findIndex((x) => x.index === code - 1 - (risky ? RISKY : 0));
      return [(risky ? "r" : "p") + v, risky ? data.varieties[v].riskyColour : data.varieties[v].colour];
    }
    if (choice === "opens") {
      const code = detail(s, "opener", cell);
      return ["o" + code, data.openings[code].colour];
    }
    const r = result(Number(choice), s);
    if (value(r, "window_days", cell) === 0) return ["none", null];
    const index = period(value(r, "best_sow", cell));
    return ["d" + index, data.periodColours[index]];
  }
  function className(key, choice) {
    if (key === "none") return say(choice === "pick" ? "PAGE_NOTHING_WORTH" : "PAGE_NO_WINDOW");
    if (key[0] === "o") return data.openings[Number(key.slice(1))].name;
    if (key[0] === "d") return periodName(Number(key.slice(1)));
    const title = data.varieties[Number(key.slice(1))].title;
    return key[0] === "r" ? say("PAGE_RISKY", title) : title;
  }
  function hatch(x, y, dense) {
    brush.strokeStyle = dense ? lineInk : hatchInk;
    brush.lineWidth = Math.max(1, scale / 5);
    brush.beginPath();
    brush.moveTo(x, y + high);
    brush.lineTo(x + wide, y);
    brush.stroke();
  }
  function emptySwatch() {
    return "repeating-linear-gradient(135deg," + emptyInk + " 0 3px," + hatchInk + " 3px 4px)";
  }
  function drawMap() {
    const s = Number(byId("season").value), choice = byId("variety").value;
    brush.fillStyle = seaInk;
    brush.fillRect(0, 0, canvas.width, canvas.height);
    const seen = new Map(), classes = new Array(order.length).fill("");
    for (let cell = 0; cell < order.length; cell++) {
      if (!order[cell]) continue;
      const col = cell % grid.width, row = Math.floor(cell / grid.width);
      const [key, colour] = classOf(s, choice, cell);
      classes[cell] = key;
      seen.set(key, { colour, n: (seen.get(key)?.n ?? 0) + 1 });
      brush.fillStyle = colour ?? emptyInk;
      brush.fillRect(Math.floor(xOf(col)), Math.floor(yOf(row)), Math.ceil(wide) + 1, Math.ceil(high) + 1);
      if (colour === null) hatch(xOf(col), yOf(row), false);
      if (key[0] === "r" && (col + row) % 2) hatch(xOf(col), yOf(row), true);
    }
    drawLines(classes);
    drawBorders();
    drawNames();
    drawMarks();
    drawLegend(seen, choice, s);
    describe(s, choice, seen);
  }
  // Where each district's name goes: its cells' middle, or its cell nearest to that.
  function findNamePlaces() {
    const sums = data.districts.map(() => ({ n: 0, col: 0, row: 0 }));
    districtOf.forEach((d, cell) => {
      if (d < 0 || !order[cell]) return;
      sums[d].n++;
      sums[d].col += cell % grid.width;
      sums[d].row += Math.floor(cell / grid.width);
    });
    const best = sums.map(() => ({ away: Infinity }));
    districtOf.forEach((d, cell) => {
      if (d < 0 || !order[cell]) return;
      const col = cell % grid.width, row = Math.floor(cell / grid.width);
      const away = Math.hypot((col - sums[d].col / sums[d].n) * grid.aspect, row - sums[d].row / sums[d].n);
      if (away < best[d].away) best[d] = { away, col, row, n: sums[d].n };
    });
    namePlaces = best.map((place, d) => ({ ...place, name: data.districts[d].name }))
      .filter((place) => place.n).sort((a, b) => b.n - a.n);
  }
  // Largest district first; a name that would leave the map or touch another is left out.
  function drawNames() {
    const shown = canvas.getBoundingClientRect().width || canvas.width;
    const size = 13 * canvas.width / shown, taken = [];
    brush.font = "600 " + size + "px system-ui, 'DejaVu Sans', sans-serif";
    brush.textAlign = "center";
    brush.textBaseline = "middle";
    brush.lineJoin = "round";
    namesDrawn = [];
    for (const place of namePlaces) {
      const half = brush.measureText(place.name).width / 2 + size / 4;
      const x = Math.min(Math.max(xOf(place.col) + wide / 2, half), canvas.width - half);
      const boxAt = (y) => [x - half, y - 0.7 * size, x + half, y + 0.7 * size];
      const free = (b) => b[1] >= 0 && b[3] <= canvas.height &&
        !taken.some((t) => t[0] < b[2] && b[0] < t[2] && t[1] < b[3] && b[1] < t[3]);
      if (2 * half * 1.4 * size > 0.7 * place.n * wide * high || 2 * half > canvas.width) continue;
      const y = [0, -1.5, 1.5, -3, 3].map((lines) => yOf(place.row) + high / 2 + lines * size).find((at) => free(boxAt(at)));
      if (y === undefined) continue;
      const box = boxAt(y);
      taken.push(box);
      brush.strokeStyle = "#fff";
      brush.lineWidth = size / 3;
      brush.strokeText(place.name, x, y);
      brush.fillStyle = "#1c2126";
      brush.fillText(place.name, x, y);
      namesDrawn.push(place.name);
    }
    canvas.dataset.names = namesDrawn.length;
  }
  // Where one class meets another, or the land ends: what stands side by side may be alike in lightness.
  function drawLines(classes) {
    const width = scale > 2 ? 2 : 1;
    brush.fillStyle = lineInk;
    const unlike = (cell, other) => classes[cell] !== classes[other];
    for (let cell = 0; cell < classes.length; cell++) {
      const col = cell % grid.width, row = Math.floor(cell / grid.width);
      const x = xOf(col), y = yOf(row), edge = grid.mirrored ? x : x + wide, foot = grid.upsideDown ? y : y + high;
      if (col + 1 < grid.width && unlike(cell, cell + 1))
        brush.fillRect(Math.floor(edge), Math.floor(y), width, Math.ceil(high) + width);
      if (row + 1 < grid.height && unlike(cell, cell + grid.width))
        brush.fillRect(Math.floor(x), Math.floor(foot), Math.ceil(wide) + width, width);
    }
  }
  function drawBorders() {
    brush.beginPath();
    for (let cell = 0; cell < order.length; cell++) {
      if (!order[cell]) continue;
      const col = cell % grid.width, row = Math.floor(cell / grid.width);
      const x = xOf(col), y = yOf(row);
      const right = col + 1 < grid.width && order[cell + 1] && districtOf[cell] !== districtOf[cell + 1];
      const below = row + 1 < grid.height && order[cell + grid.width] && districtOf[cell] !== districtOf[cell + grid.width];
      const edge = Math.round(grid.mirrored ? x : x + wide), foot = Math.round(grid.upsideDown ? y : y + high);
      if (right) { brush.moveTo(edge, y); brush.lineTo(edge, y + high); }
      if (below) { brush.moveTo(x, foot); brush.lineTo(x + wide, foot); }
    }
    // White around it, so that nobody takes it for a line between classes.
    for (const [colour, width] of [[casingInk, 5], [lineInk, 2]]) {
      brush.strokeStyle = colour;
      brush.lineWidth = scale > 2 ? width : width / 2;
      brush.stroke();
    }
  }
  function ring(at, colour) {
    const x = xOf(at.col) + wide / 2, y = yOf(at.row) + high / 2, size = canvas.width / 45;
    for (const [ink, width] of [["#fff", 7], [colour, 3]]) {
      brush.strokeStyle = ink;
      brush.lineWidth = width;
      brush.beginPath();
      brush.arc(x, y, size, 0, 2 * Math.PI);
      brush.moveTo(x - 2 * size, y); brush.lineTo(x - size / 3, y);
      brush.moveTo(x + size / 3, y); brush.lineTo(x + 2 * size, y);
      brush.moveTo(x, y - 2 * size); brush.lineTo(x, y - size / 3);
      brush.moveTo(x, y + size / 3); brush.lineTo(x, y + 2 * size);
      brush.stroke();
    }
  }
  function drawMarks() {
    if (chosen) ring(chosen, "#111");
    if (pointer) ring(pointer, "#0b4f8a");
  }
  function drawLegend(seen, choice, s) {
    const south = data.south, start = period(data.seasons[s][south ? "south" : "north"].from);
    const rank = (key) => key === "none" ? 1000
      : key[0] === "o" ? Number(key.slice(1)) || 1000
      : key[0] === "d" ? (Number(key.slice(1)) - start + 36) % 36
        : Number(key.slice(1)) * 2 + (key[0] === "r" ? 1 : 0);
    const items = [...seen.keys()].sort((a, b) => rank(a) - rank(b)).map((key) => {
      const item = document.createElement("li"), swatch = document.createElement("span");
      const colour = seen.get(key).colour;
      swatch.style.background = colour === null ? emptySwatch()
        : key[0] === "r" ? "repeating-linear-gradient(135deg," + colour + " 0 3px," + lineInk + " 3px 4px)" : colour;
      item.append(swatch, className(key, choice));
      return item;
    });
    byId("legend").replaceChildren(...items);
  }
  // "Gullmarsh: mid May 61 %, early May 30 %": what the map shows of every district.
  function regionsInWords(s, choice) {
    const counts = data.districts.map(() => new Map());
    for (let cell = 0; cell < order.length; cell++) {
      const d = districtOf[cell];
      if (!order[cell] || d < 0) continue;
      const key = classOf(s, choice, cell)[0];
      counts[d].set(key, (counts[d].get(key) ?? 0) + 1);
    }
    return counts.map((classes, d) => {
      const all = [...classes.values()].reduce((sum, n) => sum + n, 0);
      const most = [...classes.entries()].sort((a, b) => b[1] - a[1]).slice(0, 3).filter((x) => 20 * x[1] >= all);
      if (all === 0) return say("PAGE_NO_CELL", data.districts[d].name);
      return say("PAGE_DISTRICT_SHARES", data.districts[d].name,
        joined(most.map(([key, n]) => say("PAGE_ON_SHARE", className(key, choice), Math.round(100 * n / all))), "LIST_MORE"));
    });
  }
  function cellInWords(s, choice, cell) { // the class, and the dates behind it
    const name = className(classOf(s, choice, cell)[0], choice);
    const v = choice === "pick" ? pickOf(s, cell) : choice === "opens" ? -1 : Number(choice);
    if (v < 0 || value(result(v, s), "window_days", cell) === 0) return name;
    return say("PAGE_TYPE_DATES", name, windowText(result(v, s), cell));
  }
  function hereInWords(s, cell) {
    const choice = byId("variety").value, text = cellInWords(s, choice, cell);
    return districtOf[cell] >= 0 ? say("PAGE_HERE", data.districts[districtOf[cell]].name, text) : text;
  }
  function describe(s, choice, seen) {
    const what = choice === "pick" ? say("PAGE_PICK_MAP", data.seasons[s].name)
      : choice === "opens" ? say("PAGE_OPENS_MAP", data.seasons[s].name)
      : say("PAGE_SOWING_MAP", data.varieties[Number(choice)].title, data.seasons[s].name);
    byId("map-caption").textContent = what;
    const total = [...seen.values()].reduce((sum, x) => sum + x.n, 0);
    const shares = [...seen.entries()].sort((a, b) => b[1].n - a[1].n).slice(0, 3)
      .map(([key, x]) => say("PAGE_ON_SHARE", className(key, choice), Math.round(100 * x.n / total)));
    byId("map-words").replaceChildren(...regionsInWords(s, choice).map((text) => element("li", text)));
    canvas.setAttribute("aria-label", say("PAGE_MAP_ALT", what, joined(shares, "LIST_MORE")));
  }

  // ---- window card ----
  function element(name, text, kind) {
    const made = document.createElement(name);
    if (text !== undefined) made.textContent = text;
    if (kind) made.className = kind;
    return made;
  }
  function windowText(r, cell) {
    const days = value(r, "window_days", cell);
    if (days === 0) return say("PAGE_NO_WINDOW");
    if (days === ALL_YEAR) return say("PAGE_ALL_YEAR");
    const from = value(r, "sow_from", cell), to = lastDay(r, cell);
    return from === to ? date(from) : say("PAGE_FROM_TO", date(from), date(to));
  }
  // ---- types by date: the first in the season's order whose window holds it (docs/method.md) ----
  const seasonDays = (s, cell) => data.seasons[s][flags[cell] & CELL_SOUTH ? "south" : "north"];
  function holds(v, s, cell, day) {
    const r = result(v, s), days = value(r, "window_days", cell);
    return days > 0 && forward(value(r, "sow_from", cell), day) < days && inSeason(s, cell, day);
  }
  const inSeason = (s, cell, day) => forward(seasonDays(s, cell).from, day) < seasonDays(s, cell).days;
  function typesOn(cell, day) { // {s, types}: of the first season that holds the date
    const s = data.seasons.findIndex((x, i) => inSeason(i, cell, day));
    return { s, types: s < 0 ? [] : data.seasons[s].order.filter((v) => holds(v, s, cell, day)) };
  }
  // The year of a place as the program lists it: it begins after a gap, where there is one.
  function yearRuns(cell) { // [{v, from, to, days, follows}]
    const types = Array.from({ length: ALL_YEAR }, (x, i) => typesOn(cell, i + 1).types[0] ?? -1);
    const of = (day) => types[wrap(day) - 1], first = dayOfYear(monthAndDay(seasonDays(0, cell).from)[0], 1);
    const days = Array.from({ length: ALL_YEAR }, (x, i) => wrap(first + i));
    const start = days.find((day) => of(day) >= 0 && of(day - 1) < 0) ??
      days.find((day) => of(day) >= 0 && of(day - 1) !== of(day)) ?? first;
    const runs = [];
    for (let i = 0; i < ALL_YEAR; i++) {
      const day = wrap(start + i), v = of(day), last = runs[runs.length - 1];
      if (v < 0) continue;
      const touches = last !== undefined && forward(last.to, day) === 1;
      if (touches && last.v === v) { last.to = day; last.days++; }
      else runs.push({ v, from: day, to: day, days: 1, follows: touches });
    }
    return runs;
  }
  function runText(run) {
    const title = data.varieties[run.v].title;
    if (run.days >= ALL_YEAR) return say("TYPE_ALL_YEAR", title);
    if (run.follows) return say("TYPE_THEN_TO", date(run.to), title);
    return run.days === 1 ? say("TYPE_ON", date(run.from), title) : say("TYPE_FROM_TO", date(run.from), date(run.to), title);
  }
  function yearLine(cell) {
    const runs = yearRuns(cell);
    if (!runs.length) return say("TYPES_NONE");
    return say("TYPES_YEAR", runs.reduce((line, run, i) =>
      i === 0 ? runText(run) : say(run.follows ? "LIST_MORE" : "TYPES_MORE", line, runText(run)), ""));
  }
  function yearStrip(cell) {
    const strip = element("div", undefined, "strip"), first = data.south ? dayOfYear(6, 1) : 1;
    strip.setAttribute("aria-hidden", "true");
    const draw = (v, from, days) => {
      const piece = element("i");
      piece.style.left = 100 * from / ALL_YEAR + "%";
      piece.style.width = 100 * days / ALL_YEAR + "%";
      piece.style.background = data.varieties[v].background;
      strip.append(piece);
    };
    for (const run of yearRuns(cell)) { // in two pieces across the strip's end
      const from = forward(first, run.from), here = Math.min(run.days, ALL_YEAR - from);
      draw(run.v, from, here);
      if (run.days > here) draw(run.v, 0, run.days - here);
    }
    return strip;
  }
  function dateAnswer(cell, day) {
    const { s, types } = typesOn(cell, day), title = (v) => data.varieties[v].title;
    if (types.length) {
      const lines = [say("PAGE_SOW_ON_TYPE", longDate(day), title(types[0]), windowText(result(types[0], s), cell))];
      if (types.length > 1) lines.push(say("PAGE_SOW_ON_OTHERS", listed(types.slice(1).map(title))));
      return lines;
    }
    const lines = [say("PAGE_SOW_ON_NONE", longDate(day))];
    for (let i = 1; i < ALL_YEAR; i++) {
      const next = wrap(day + i), found = typesOn(cell, next).types;
      if (found.length) return [...lines, say("PAGE_SOW_ON_NEXT", longDate(next), title(found[0]))];
    }
    return [...lines, say("PAGE_SOW_ON_NEVER")];
  }
  function workOf(s, cell) { // [{after, task}], by day, as `isosow site` dates it; task -1: raw manure
    const r = resultOfPick(s, cell), best = value(r, "best_sow", cell), lines = [];
    const harvest = forward(best, detail(s, "harvest", cell)) || ALL_YEAR, transplant = detail(s, "transplant", cell);
    // a window of the whole year has no first cut to count from: the cautions give the rule
    if (value(r, "window_days", cell) < ALL_YEAR) lines.push({ after: detail(s, "manure", cell), task: -1 });
    data.tasks.forEach((task, i) => {
      if (task.at === "transplant" && transplant === 0) return;
      const after = { sowing: 0, transplant: forward(best, transplant), harvest, stage: 0 }[task.at] +
        (task.at === "stage" ? detail(s, task.stage, cell) : 0);
      lines.push({ after: after + task.day, task: i });
    });
    return lines.sort((a, b) => a.after - b.after || a.task - b.task);
  }
  function pickOf(s, cell) { // chosen index, -1: none
    const code = picks[s][order[cell] - 1];
    return data.varieties.findIndex((x) => x.index === code - 1 - (code > RISKY ? RISKY : 0));
  }
  const resultOfPick = (s, cell) => result(pickOf(s, cell), s);
  const taskText = (task) => task < 0 ? say("MANURE_LAST_DAY", data.manureDays) : data.tasks[task].text;
  function workList(s, cell) {
    const box = element("details"), list = element("ul");
    const best = value(resultOfPick(s, cell), "best_sow", cell);
    list.append(...workOf(s, cell).map(({ after, task }) =>
      element("li", say("PAGE_WORK_LINE", date(wrap(best + after)), taskText(task)))));
    box.append(element("summary", say("PAGE_WORK")), list);
    return box;
  }
  // For the printed card: the work once, beside it a column of dates for each crop.
  function workTable(cell) {
    const crops = cropsOf(cell), table = element("table", undefined, "printed"), head = element("tr");
    if (!crops.length) return [];
    const works = crops.map(({ s }) => workOf(s, cell)), bests = crops.map(({ v, s }) => value(result(v, s), "best_sow", cell));
    const longest = works.reduce((a, b) => b.length > a.length ? b : a);
    head.append(...crops.map(({ first }) => element("th", capital(data.seasons[first].name))), element("th", say("PAGE_WORK")));
    table.append(head, ...longest.map(({ task }) => {
      const row = element("tr");
      row.append(...works.map((work, c) => {
        const found = work.find((x) => x.task === task);
        return element("td", found ? date(wrap(bests[c] + found.after)) : "\u2013");
      }), element("td", taskText(task)));
      return row;
    }));
    return [table];
  }
  // "rare to at times (2.1 to 9.8 %)": tenths of a per cent
  function odds(from, to, words, levels) {
    const word = (tenths) => say(words[tenths < levels[0] ? 0 : tenths <= levels[1] ? 1 : 2]);
    const range = (a, b) => a === b ? a : say("RANGE", a, b), text = (tenths) => (tenths / 10).toFixed(1);
    return [range(word(from), word(to)), range(text(from), text(to))];
  }
  function risks(v, s, cell) {
    const at = (band) => detail(s, band, cell);
    const frost = odds(at("frost_from"), at("frost_to"), ["FROST_RARE", "FROST_AT_TIMES", "FROST_OFTEN"], [50, 200]);
    const bolting = () => odds(at("bolting_from"), at("bolting_to"), ["BOLTING_LOW", "BOLTING_SOME", "BOLTING_HIGH"], [50, 300]);
    if (!data.varieties[v].freezes)
      return !data.hasChilling ? say("RISKS_NO_FROST_ALONE") : !data.varieties[v].bolts ? say("RISKS_NEITHER", data.chillingMakes)
        : say("RISKS_NO_FROST", data.chillingMakes, ...bolting());
    if (!data.hasChilling) return say("RISKS_FROST", ...frost);
    if (!data.varieties[v].bolts) return say("RISKS_NO_BOLTING", ...frost, data.chillingMakes);
    return say("RISKS", ...frost, data.chillingMakes, ...bolting());
  }
  function sowing(r, cell) {
    const best = longDate(value(r, "best_sow", cell)), days = value(r, "window_days", cell), years = value(r, "years", cell);
    const window = days === 0 ? say("SOW_RISKY", best) : days >= ALL_YEAR ? say("SOW_ALL_YEAR", best)
      : days === 1 ? say("SOW_ONE_DAY", best)
        : count("SOW_WINDOW", days, longDate(value(r, "sow_from", cell)), longDate(lastDay(r, cell)), best);
    return [window, years < 0 ? "" : years === 0 ? say("GOOD_IN_NO_YEAR") : say("GOOD_IN_YEARS", years)];
  }
  function growing(s, r, cell) {
    const at = (band) => detail(s, band, cell), days = value(r, "window_days", cell);
    const cut = (band) => wrap(value(r, "best_sow", cell) + at(band));
    const ranged = days > 1 && days < ALL_YEAR && cut("cut_first") !== cut("cut_last");
    return [at("transplant") > 0 ? say("TRANSPLANT", longDate(at("transplant"))) : "",
      ranged ? say("CUT_BETWEEN", longDate(cut("cut_first")), longDate(cut("cut_last"))) : say("CUT_ABOUT", longDate(at("harvest"))),
      days < ALL_YEAR ? "" : count("CUT_AFTER", forward(value(r, "best_sow", cell), at("harvest")) || ALL_YEAR)];
  }
  function qualityOf(s, cell) {
    const score = value(resultOfPick(s, cell), "score", cell), limit = detailText(s, "limit", cell);
    return limit === "" ? say("QUALITY", score, scoreWord(score)) : say("QUALITY_LIMIT", score, scoreWord(score), limit);
  }
  // The seasons' picks that are not risky; those that share type and window are one, as in `isosow site`.
  function cropsOf(cell) {
    const crops = [], at = (s, band) => value(resultOfPick(s, cell), band, cell);
    data.seasons.forEach((season, s) => {
      const code = picks[s][order[cell] - 1], v = pickOf(s, cell);
      if (code === 0) return;
      const same = crops.find((crop) => crop.v === v && at(s, "window_days") > 0 && season.start === data.seasons[crop.s].start &&
        ["window_days", "sow_from"].every((band) => at(s, band) === at(crop.s, band)));
      if (!same) crops.push({ v, s, first: s, risky: code > RISKY });
      else if (at(s, "score") > at(same.s, "score")) same.s = s;
    });
    return crops.filter((crop) => !crop.risky);
  }
  function calendarOf(cell, name, lat, lon) {
    const crops = cropsOf(cell).map(({ v, s, first }) => {
      const r = result(v, s), best = value(r, "best_sow", cell), days = value(r, "window_days", cell);
      const from = -forward(value(r, "sow_from", cell), best), transplant = detail(s, "transplant", cell);
      return { best, title: data.varieties[v].title, varietyId: data.varieties[v].id,
        season: data.seasons[first].name, seasonId: data.seasons[first].id,
        said: [sowing(r, cell)[1], qualityOf(s, cell), risks(v, s, cell)],
        window: days > 0 && days < ALL_YEAR ? [from, from + days - 1] : null,
        cut: [detail(s, "cut_first", cell), detail(s, "cut_last", cell)],
        growingDays: forward(best, detail(s, "harvest", cell)) || ALL_YEAR,
        transplant: transplant > 0 ? forward(best, transplant) : null, work: workOf(s, cell) };
    });
    return isosowCalendar(say, count, { crop: data.crop, cropTitle: data.cropTitle, version: data.version,
      sheetTasks: data.tasks, manureDays: data.manureDays },
    { name, lat, lon, seconds: Math.floor(Date.now() / 1000), longDate, crops });
  }
  function seasonCard(s, cell) {
    const part = element("section"), code = picks[s][order[cell] - 1], text = (band) => detailText(s, band, cell);
    const put = (sentences, kind) => {
      const said = sentences.filter((x) => x !== "").join(" ");
      if (said !== "") part.append(element("p", said, kind));
    };
    part.append(element("h3", capital(data.seasons[s].name)));
    if (code === 0) {
      put([text("nothing")]);
      put([text("opens")]);
      return part;
    }
    const risky = code > RISKY, r = resultOfPick(s, cell), v = pickOf(s, cell), quality = qualityOf(s, cell);
    put([data.varieties[v].title], "type");
    put(sowing(r, cell), risky ? undefined : "window");
    if (risky) {
      put([quality, risks(v, s, cell)]);
      put([text("opens")]);
      return part;
    }
    put([text("edge")]);
    put([text("start"), ...growing(s, r, cell)]);
    put([quality, risks(v, s, cell)]);
    for (const band of ["also", "better", "wait"]) put([text(band)]);
    part.append(workList(s, cell));
    return part;
  }
  function recordCards(cell, title) { // of the places in it: the one asked for, else all
    const here = data.places.filter((place) => place.record && place.cell === cell);
    const asked = here.filter((place) => place.name === title);
    return (asked.length ? asked : here).map((place) => {
      const part = element("section", undefined, "record"), [heading, ...lines] = place.record;
      part.append(element("h3", heading), ...lines.map((line) => element("p", line)));
      return part;
    });
  }
  const scoreWord = (score) => say(score < 50 ? "SCORE_POOR" : score < 70 ? "SCORE_WEAK" : score < 85 ? "SCORE_GOOD" : "SCORE_VERY_GOOD");
  function varietyTable(cell) {
    const table = element("table", undefined, "rows"), head = element("tr"), body = element("tbody");
    const caption = element("p", say("PAGE_EVERY_TYPE"), "caption");
    caption.id = "types-caption" + mark;
    table.setAttribute("aria-labelledby", caption.id);
    head.append(...[say("PAGE_TYPE"), ...data.seasons.map((x) => x.name)].map((text) => {
      const cell = element("th", text);
      cell.scope = "col";
      return cell;
    }));
    const top = element("thead");
    top.append(head);
    data.varieties.forEach((variety, v) => {
      const row = element("tr"), name = element("th", variety.title);
      name.scope = "row";
      row.append(name, ...data.seasons.map((season, s) => {
        const made = element("td", say("PAGE_WINDOW_SCORE", windowText(result(v, s), cell), value(result(v, s), "score", cell)));
        made.dataset.label = season.name;
        return made;
      }));
      body.append(row);
    });
    table.append(top, body);
    return [caption, table];
  }
  function degrees(lat, lon) { // [latitude, longitude] in words
    const turn = ((lon + 180) % 360 + 360) % 360 - 180;
    return [say(lat < 0 ? "LATITUDE_SOUTH" : "LATITUDE_NORTH", Math.abs(lat).toFixed(3)),
      say(turn < 0 ? "LONGITUDE_WEST" : "LONGITUDE_EAST", Math.abs(turn).toFixed(3))];
  }
  function showCard() { // its heading in view and the focus on it, moving the page only where it must
    const card = byId("card"), box = card.getBoundingClientRect();
    if (box.top < 0 || box.top > 0.7 * window.innerHeight) card.scrollIntoView({ block: "start" });
    card.focus({ preventScroll: true });
  }
  function sayCard(text) {
    byId("card").replaceChildren(element("h3", say("PAGE_NO_ANSWER")), element("p", text));
  }
  function kilometres(a, b) {
    const rad = Math.PI / 180, shrink = Math.cos((a[0] + b[0]) / 2 * rad);
    return 6371 * rad * Math.hypot(a[0] - b[0], (a[1] - b[1]) * shrink);
  }
  function nearestValid(at, within) {
    let best = null, least = Infinity;
    for (let row = 0; row < grid.height; row++) {
      for (let col = 0; col < grid.width; col++) {
        if (!order[row * grid.width + col]) continue;
        if (within && Math.max(Math.abs(row - at.row), Math.abs(col - at.col)) > within) continue;
        const away = Math.hypot((col - at.col) * grid.aspect, row - at.row);
        if (away < least) { least = away; best = { col, row }; }
      }
    }
    return best;
  }
  function button(id, pressed) {
    const made = element("button", say(id));
    made.type = "button";
    made.addEventListener("click", () => pressed(made));
    return made;
  }
  function saveFile(name, type, text) {
    const link = element("a"), url = URL.createObjectURL(new Blob([text], { type }));
    link.href = url;
    link.download = name;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(url), 60000);
  }
  function cardButtons(cell, name, place) {
    const box = element("div", undefined, "controls screen");
    if (place) // coordinates as the address has them
      box.append(button("PAGE_SAVE_CALENDAR", () => saveFile(data.crop + ".ics", "text/calendar",
        calendarOf(cell, name, ...inDegrees(place)))));
    box.append(button("PAGE_COPY_LINK", async (made) => {
      try {
        await navigator.clipboard.writeText(location.href);
        made.textContent = say("PAGE_COPIED");
      } catch {
        window.prompt(say("PAGE_COPY_LINK"), location.href);
      }
    }), button("PAGE_PRINT_CARD", () => {
      document.body.classList.add("card-only");
      window.addEventListener("afterprint", () => document.body.classList.remove("card-only"), { once: true });
      window.print();
    }));
    return box;
  }
  function openCell(at, note, title) {
    let cell = at.row * grid.width + at.col;
    if (!order[cell]) {
      const near = nearestValid(at, 1);
      if (!near) {
        chosen = null;
        const far = nearestValid(at, 0), from = placeOf(at.col, at.row), to = far && placeOf(far.col, far.row);
        sayCard(from && to ? say("PAGE_FAR", Math.round(kilometres(from, to))) : say("PAGE_NONE_NEAR"));
        drawMap();
        return;
      }
      at = near;
      cell = at.row * grid.width + at.col;
      note = (note ? note + " " : "") + say("PAGE_BESIDE");
    }
    chosen = at;
    const place = placeOf(at.col, at.row), card = byId("card");
    const d = districtOf[cell];
    const heading = element("h3", title || (d >= 0 ? data.districts[d].name : say("PAGE_MY_PLACE")));
    const where = element("p", [...(place ? [say("PAGE_MIDDLE", ...degrees(...place))] : []),
      ...(flags[cell] & CELL_SOUTH ? [say("PAGE_SOUTHERN")] : []), data.periodText, ...(note ? [note] : [])].join(" "), "place");
    card.replaceChildren(element("p", data.cropTitle, "printed"), heading, where, yearStrip(cell), element("p", yearLine(cell), "runs"),
      ...data.seasons.map((x, s) => seasonCard(s, cell)), ...recordCards(cell, title), ...varietyTable(cell), ...workTable(cell), element("p", say("PAGE_LABELS"), "small"),
      cardButtons(cell, heading.textContent, place));
    answerDate();
    drawMap();
  }
  function namedAt(lat, lon) { // the named place of these coordinates, if any
    const same = inDegrees([lat, lon]).join();
    return data.places.find((x) => inDegrees(x.at.map((y) => y / 1e6)).join() === same);
  }
  function openPlace(lat, lon, title = namedAt(lat, lon)?.name) {
    const at = cellAt(lat, lon);
    if (at) {
      openCell(at, "", title);
    } else {
      chosen = null;
      sayCard(say("PAGE_OUTSIDE", ...degrees(lat, lon)));
      drawMap();
    }
  }
  // As `isosow site --at` does (src/regions/coordinates.c); tests/tables/coordinates.txt holds both to it.
  function readCoordinates(text) {
    const plain = text.replace(/[\u2212\u2012\u2013]/g, "-").replace(/[()\u200e\u200f]/g, " ").trim();
    const one = (decimal) => "([+-]?\\d+(?:" + decimal + "\\d+)?)\\s*°?\\s*([NSEWnsew]?)";
    const found = [["[.,]", "\\s*;\\s*"], ["[.]", "\\s*,\\s*"], ["[.,]", "\\s+"]]
      .map(([decimal, between]) => new RegExp("^" + one(decimal) + between + one(decimal) + "$").exec(plain))
      .find((match) => match);
    if (!found) return null;
    const letters = (found[2] + found[4]).toUpperCase();
    let values = [found[1], found[3]].map((x) => Number(x.replace(",", ".")));
    if (letters !== "") {
      if (!/^([NS][EW]|[EW][NS])$/.test(letters) || values.some((x) => x < 0)) return null;
      values = values.map((x, i) => /[SW]/.test(letters[i]) ? -x : x);
      if (/[EW]/.test(letters[0])) values.reverse();
    }
    const [lat, lon] = values;
    return Math.abs(lat) <= 90 && lon >= -180 && lon <= 360 ? [lat, lon] : null;
  }
  function inDegrees(place) { // ["43.9400", "-149.6200"], east from -180 to 180
    const lon = ((place[1] + 180) % 360 + 360) % 360 - 180;
    return [place[0].toFixed(4), lon.toFixed(4)];
  }
  function rememberPlace(lat, lon) {
    history.replaceState(null, "", "#at=" + inDegrees([lat, lon]).join(",") + (several ? "&crop=" + data.crop : ""));
  }
  // By name: the guide's named places, then its districts. Whole names first, then parts of them.
  const fold = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLocaleLowerCase().trim();
  function findNames(text) { // [{name, open}]
    const wanted = fold(text);
    if (wanted === "") return [];
    const all = [...data.places.map((place) => ({ name: place.name, open: () => openNamed(place) })),
      ...data.districts.map((d, i) => ({ name: d.name, open: () => { byId("district").value = String(i); openDistrict(); } }))];
    const whole = all.filter((x) => fold(x.name) === wanted);
    return whole.length ? whole.slice(0, 1) : all.filter((x) => fold(x.name).includes(wanted));
  }
  function openNamed(place) {
    const [lat, lon] = place.at.map((x) => x / 1e6);
    byId("coordinates").value = place.name;
    rememberPlace(lat, lon);
    openPlace(lat, lon, place.name);
    showCard();
  }
  function askWhich(found) { // several places fit: a button for each
    const box = element("div", undefined, "controls");
    box.append(...found.map((x) => {
      const made = element("button", x.name);
      made.type = "button";
      made.addEventListener("click", x.open);
      return made;
    }));
    byId("card").replaceChildren(element("h3", say("PAGE_WHICH")), box);
    chosen = null;
    drawMap();
    showCard();
  }
  // show: bring the card into view.
  function openAddress(show) {
    const asked = readAddress().at;
    if (asked === undefined) return;
    const place = readCoordinates(asked);
    if (place) {
      byId("district").value = "";
      byId("coordinates").value = namedAt(...place)?.name ?? asked;
      openPlace(...place);
    } else {
      sayCard(say("PAGE_BAD_ADDRESS", asked));
    }
    if (show) showCard();
  }

  // ---- "I want to sow on ..." ----
  function answerDate() {
    const found = /^\d+-(\d+)-(\d+)$/.exec(byId("sow-on").value), out = byId("sow-on-answer");
    if (!found) {
      out.replaceChildren();
      return;
    }
    const day = dayOfYear(Number(found[1]) - 1, Number(found[2]));
    const lines = chosen ? dateAnswer(chosen.row * grid.width + chosen.col, day) : [say("PAGE_SOW_ON_NO_PLACE")];
    out.replaceChildren(...lines.map((line) => element("p", line)));
  }

  // ---- controls ----
  function option(value, text) {
    const made = element("option", text);
    made.value = value;
    return made;
  }
  function chooseAt(at) {
    const place = placeOf(at.col, at.row);
    byId("district").value = "";
    if (place) {
      byId("coordinates").value = place[0].toFixed(4) + ", " + place[1].toFixed(4);
      rememberPlace(place[0], place[1]);
    }
    openCell(at, "");
    showCard();
  }
  function openDistrict() {
    const index = byId("district").value, d = index === "" ? null : data.districts[Number(index)];
    if (!d) return;
    if (d.cell < 0) {
      sayCard(say("PAGE_HOLDS_NO_CELL", d.name));
    } else {
      const at = { col: d.cell % grid.width, row: Math.floor(d.cell / grid.width) }, place = placeOf(at.col, at.row);
      if (place) rememberPlace(place[0], place[1]);
      openCell(at, say("PAGE_TYPICAL"), d.name);
    }
    showCard();
  }
  function example() { // coordinates in the region
    const d = data.districts.find((x) => x.cell >= 0), cell = d ? d.cell : order.findIndex((x) => x > 0);
    const place = placeOf(cell % grid.width, Math.floor(cell / grid.width));
    return place ? place[0].toFixed(2) + ", " + place[1].toFixed(2) : "";
  }
  function locateDevice() { // asked for only when pressed
    const fail = (id) => { sayCard(say(id)); showCard(); };
    if (!navigator.geolocation) {
      fail("PAGE_LOCATION_UNKNOWN");
      return;
    }
    sayCard(say("PAGE_LOCATING"));
    navigator.geolocation.getCurrentPosition((position) => {
      const { latitude, longitude } = position.coords;
      byId("district").value = "";
      byId("coordinates").value = latitude.toFixed(4) + ", " + longitude.toFixed(4);
      rememberPlace(latitude, longitude);
      openPlace(latitude, longitude);
      showCard();
    }, (error) => fail(error.code === 1 ? "PAGE_LOCATION_REFUSED" : "PAGE_LOCATION_UNKNOWN"), { timeout: 20000 });
  }
  function wire() {
    byId("season").append(...data.seasons.map((season, s) => option(s, season.name)));
    byId("season").value = String(data.firstSeason);
    byId("variety").append(option("pick", say("PAGE_PICK_CHOICE")), ...data.varieties.map((variety, v) => option(v, say("PAGE_SOWING_CHOICE", variety.title))));
    if (data.openings.length) byId("variety").append(option("opens", say("PAGE_OPENS_CHOICE")));
    byId("variety").value = String(data.firstVariety);
    byId("names").append(...data.places.map((place) => option(place.name, "")));
    byId("district").append(...data.districts.map((district, d) => option(d, district.name)));
    byId("season").addEventListener("change", drawMap);
    byId("variety").addEventListener("change", drawMap);
    byId("sow-on").addEventListener("input", answerDate);
    byId("ask-date").addEventListener("submit", (event) => event.preventDefault());
    byId("choose").addEventListener("submit", (event) => event.preventDefault());
    let last = null; // the field changed last: what "Show" acts on
    byId("coordinates").placeholder = example();
    byId("coordinates").addEventListener("input", () => { last = "coordinates"; byId("district").value = ""; });
    byId("district").addEventListener("change", () => {
      last = "district";
      byId("coordinates").value = "";
      openDistrict();
    });
    byId("find").addEventListener("submit", (event) => {
      event.preventDefault();
      if (last === "district" && byId("district").value !== "") {
        openDistrict();
        return;
      }
      const place = readCoordinates(byId("coordinates").value);
      byId("district").value = "";
      if (place) {
        rememberPlace(place[0], place[1]);
        openPlace(place[0], place[1]);
      } else {
        const named = findNames(byId("coordinates").value);
        if (named.length > 1) askWhich(named);
        if (named.length === 1) named[0].open();
        if (named.length) return;
        sayCard(say("PAGE_WRITE_DEGREES", example()));
      }
      showCard();
    });
    byId("here").addEventListener("click", locateDevice);
    canvas.addEventListener("click", (event) => {
      const box = canvas.getBoundingClientRect();
      const x = Math.floor((event.clientX - box.left) / box.width * grid.width);
      const y = Math.floor((event.clientY - box.top) / box.height * grid.height);
      const col = Math.min(Math.max(x, 0), grid.width - 1), row = Math.min(Math.max(y, 0), grid.height - 1);
      pointer = null;
      chooseAt({ col: grid.mirrored ? grid.width - 1 - col : col, row: grid.upsideDown ? grid.height - 1 - row : row });
    });
    canvas.addEventListener("keydown", (event) => {
      const steps = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
      if (steps[event.key]) {
        event.preventDefault();
        const far = event.shiftKey ? 10 : 1;
        const from = pointer || chosen || { col: Math.floor(grid.width / 2), row: Math.floor(grid.height / 2) };
        const col = from.col + far * steps[event.key][0] * (grid.mirrored ? -1 : 1);
        const row = from.row + far * steps[event.key][1] * (grid.upsideDown ? -1 : 1);
        pointer = { col: Math.min(Math.max(col, 0), grid.width - 1), row: Math.min(Math.max(row, 0), grid.height - 1) };
        drawMap();
        const cell = pointer.row * grid.width + pointer.col, s = Number(byId("season").value);
        byId("map-caption").textContent = order[cell]
          ? hereInWords(s, cell) : say("PAGE_NO_DATA_HERE");
      } else if ((event.key === "Enter" || event.key === " ") && pointer) {
        event.preventDefault();
        const at = pointer;
        pointer = null;
        chooseAt(at);
      }
    });
    canvas.addEventListener("blur", () => { if (pointer) { pointer = null; drawMap(); } });
  }

  if (typeof DecompressionStream === "undefined") {
    byId("waiting").hidden = true;
    byId("too-old").hidden = false;
    return Promise.resolve({ crop: data.crop });
  }
  return loadAll().then(() => {
    findNamePlaces();
    byId("waiting").hidden = true;
    byId("tool").hidden = false;
    wire();
    drawMap();
    let width = canvas.clientWidth;
    window.addEventListener("resize", () => { // names keep their size on the screen
      if (canvas.clientWidth === width || canvas.clientWidth === 0) return; // 0: another crop is shown
      width = canvas.clientWidth;
      drawMap();
    });
    return { crop: data.crop, openAddress };
  }, () => {
    byId("waiting").hidden = true;
    byId("failed").hidden = false;
    return { crop: data.crop };
  });
}

(function () {
  const crops = [...document.querySelectorAll(".crop")], links = [...document.querySelectorAll(".crops a")];
  const marks = crops.map((crop) => crop.id.slice("guide".length));
  function show(chosen) {
    crops.forEach((crop, i) => { crop.hidden = i !== chosen; });
    links.forEach((link, i) => { link.setAttribute("aria-current", i === chosen ? "true" : "false"); });
    window.dispatchEvent(new Event("resize")); // its map was not seen so far
  }
  Promise.all(marks.map((mark) => startGuide(mark, crops.length > 1))).then((guides) => {
    let shown = 0;
    function choose(chosen, inView) {
      shown = chosen;
      show(chosen);
      guides[chosen].openAddress?.(inView);
    }
    function openAsked() {
      const asked = guides.findIndex((guide) => guide.crop === readAddress().crop);
      choose(asked < 0 ? shown : asked, true);
    }
    links.forEach((link, i) => link.addEventListener("click", (event) => {
      event.preventDefault();
      const { at } = readAddress(); // the place stays
      history.replaceState(null, "", "#" + (at === undefined ? "" : "at=" + at + "&") + "crop=" + guides[i].crop);
      choose(i, false);
    }));
    for (const link of document.querySelectorAll(".to-place")) {
      link.addEventListener("click", (event) => {
        event.preventDefault(); // to the crop that is shown, and the address keeps the place
        const place = document.getElementById("place" + marks[shown]);
        place.scrollIntoView({ block: "start" });
        place.querySelector("select").focus({ preventScroll: true });
      });
    }
    window.addEventListener("hashchange", openAsked);
    openAsked();
    document.documentElement.dataset.ready = "yes";
  });
})();
