"use strict";
(function () {
  const byId = (id) => document.getElementById(id);
  const data = JSON.parse(byId("data").textContent);
  const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
  const LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  const ALL_YEAR = 365;
  const CELL_SOUTH = 2, RISKY = 100;

  // ---- dates ----
  function monthAndDay(dayOfYear) {
    let left = dayOfYear - 1, month = 0;
    while (left >= LENGTHS[month]) left -= LENGTHS[month++];
    return [month, left + 1];
  }
  function date(dayOfYear) {
    const [month, day] = monthAndDay(dayOfYear);
    return day + " " + MONTHS[month];
  }
  function period(dayOfYear) {
    const [month, day] = monthAndDay(dayOfYear);
    return month * 3 + (day <= 10 ? 0 : day <= 20 ? 1 : 2);
  }
  function periodName(index) {
    return ["early", "mid", "late"][index % 3] + " " + MONTHS[Math.floor(index / 3)];
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
  for (const table of document.querySelectorAll("table.sortable")) {
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
  const results = new Map(), picks = [];
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
    for (let r = 0; r < data.results.length; r++) results.set(r, await unpack(data.results[r]));
  }
  function value(r, band, cell) {
    return results.get(r)[data.bands.indexOf(band) * (results.get(r).length / data.bands.length) + order[cell] - 1];
  }

  // ---- map ----
  const canvas = byId("map"), brush = canvas.getContext("2d");
  const scale = Math.max(2, Math.ceil(900 / Math.max(grid.width * grid.aspect, grid.height)));
  const wide = scale * grid.aspect, high = scale;
  canvas.width = Math.round(grid.width * wide);
  canvas.height = Math.round(grid.height * high);
  const xOf = (col) => (grid.mirrored ? grid.width - 1 - col : col) * wide;
  const yOf = (row) => (grid.upsideDown ? grid.height - 1 - row : row) * high;

  function classOf(s, choice, cell) { // [key, colour] of a cell
    if (choice === "pick") {
      const code = picks[s][order[cell] - 1];
      if (code === 0) return ["none", null];
      const risky = code > RISKY, v = data.varieties.findIndex((x) => x.index === code - 1 - (risky ? RISKY : 0));
      return [(risky ? "r" : "p") + v, risky ? data.varieties[v].riskyColour : data.varieties[v].colour];
    }
    const r = result(Number(choice), s);
    if (value(r, "window_days", cell) === 0) return ["none", null];
    const index = period(value(r, "best_sow", cell));
    return ["d" + index, data.periodColours[index]];
  }
  function className(key, choice) {
    if (key === "none") return choice === "pick" ? "none worth sowing" : "no window";
    if (key[0] === "d") return periodName(Number(key.slice(1)));
    return data.varieties[Number(key.slice(1))].title + (key[0] === "r" ? ", risky" : "");
  }
  function hatch(x, y, dense) {
    brush.strokeStyle = dense ? "#59626a" : "#9aa3aa";
    brush.lineWidth = Math.max(1, scale / 5);
    brush.beginPath();
    brush.moveTo(x, y + high);
    brush.lineTo(x + wide, y);
    brush.stroke();
  }
  function emptySwatch() {
    return "repeating-linear-gradient(135deg,#e7eaec 0 3px,#9aa3aa 3px 4px)";
  }
  function drawMap() {
    const s = Number(byId("season").value), choice = byId("variety").value;
    brush.fillStyle = "#f7fafc";
    brush.fillRect(0, 0, canvas.width, canvas.height);
    const seen = new Map();
    for (let cell = 0; cell < order.length; cell++) {
      if (!order[cell]) continue;
      const col = cell % grid.width, row = Math.floor(cell / grid.width);
      const [key, colour] = classOf(s, choice, cell);
      seen.set(key, { colour, n: (seen.get(key)?.n ?? 0) + 1 });
      brush.fillStyle = colour ?? "#e7eaec";
      brush.fillRect(Math.floor(xOf(col)), Math.floor(yOf(row)), Math.ceil(wide) + 1, Math.ceil(high) + 1);
      if (colour === null) hatch(xOf(col), yOf(row), false);
      if (key[0] === "r" && (col + row) % 2) hatch(xOf(col), yOf(row), true);
    }
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
  function drawBorders() {
    brush.strokeStyle = "#2b3137";
    brush.lineWidth = Math.max(1, scale / 4);
    brush.beginPath();
    for (let cell = 0; cell < order.length; cell++) {
      if (!order[cell]) continue;
      const col = cell % grid.width, row = Math.floor(cell / grid.width);
      const x = xOf(col), y = yOf(row);
      const right = col + 1 < grid.width && order[cell + 1] && districtOf[cell] !== districtOf[cell + 1];
      const below = row + 1 < grid.height && order[cell + grid.width] && districtOf[cell] !== districtOf[cell + grid.width];
      const edge = grid.mirrored ? x : x + wide, foot = grid.upsideDown ? y : y + high;
      if (right) { brush.moveTo(edge, y); brush.lineTo(edge, y + high); }
      if (below) { brush.moveTo(x, foot); brush.lineTo(x + wide, foot); }
    }
    brush.stroke();
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
    const south = data.south, start = period(south ? data.seasons[s].startSouth : data.seasons[s].startNorth);
    const rank = (key) => key === "none" ? 1000
      : key[0] === "d" ? (Number(key.slice(1)) - start + 36) % 36
        : Number(key.slice(1)) * 2 + (key[0] === "r" ? 1 : 0);
    const items = [...seen.keys()].sort((a, b) => rank(a) - rank(b)).map((key) => {
      const item = document.createElement("li"), swatch = document.createElement("span");
      const colour = seen.get(key).colour;
      swatch.style.background = colour === null ? emptySwatch()
        : key[0] === "r" ? "repeating-linear-gradient(135deg," + colour + " 0 3px,#59626a 3px 4px)" : colour;
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
      return data.districts[d].name + ": " + (all === 0 ? "no cell of this map"
        : most.map(([key, n]) => className(key, choice) + " on " + Math.round(100 * n / all) + " %").join(", "));
    });
  }
  function describe(s, choice, seen) {
    const what = choice === "pick" ? "Type to choose" : "Best time to sow, " + data.varieties[Number(choice)].title;
    byId("map-caption").textContent = what + ", " + data.seasons[s].name + ".";
    const total = [...seen.values()].reduce((sum, x) => sum + x.n, 0);
    const shares = [...seen.entries()].sort((a, b) => b[1].n - a[1].n).slice(0, 3)
      .map(([key, x]) => className(key, choice) + " " + Math.round(100 * x.n / total) + " %");
    byId("map-words").replaceChildren(...regionsInWords(s, choice).map((text) => element("li", text)));
    canvas.setAttribute("aria-label", "Map. " + what + ", " + data.seasons[s].name + ". Most cells: " + shares.join(", ") + ".");
  }

  // ---- window card ----
  function element(name, text, kind) {
    const made = document.createElement(name);
    if (text !== undefined) made.textContent = text;
    if (kind) made.className = kind;
    return made;
  }
  function entry(list, term, text) {
    list.append(element("dt", term), element("dd", text));
  }
  const goodness = (score) => score < 50 ? "poor" : score < 70 ? "risky" : score < 85 ? "good" : "very good";
  const frost = (risk) => risk < 5 ? "rare" : risk <= 20 ? "at times" : "often";
  const bolting = (risk) => risk < 5 ? "low" : risk <= 30 ? "some" : "high";
  function windowText(r, cell) {
    const days = value(r, "window_days", cell);
    if (days === 0) return "no window";
    if (days === ALL_YEAR) return "all year";
    const from = value(r, "sow_from", cell), to = value(r, "sow_to", cell);
    return from === to ? date(from) : date(from) + " to " + date(to);
  }
  function seasonCard(s, cell) {
    const part = element("section"), code = picks[s][order[cell] - 1];
    part.append(element("h3", data.seasons[s].name[0].toUpperCase() + data.seasons[s].name.slice(1)));
    if (code === 0) {
      part.append(element("p", "Nothing worth sowing in this season.", "window"));
      return part;
    }
    const risky = code > RISKY, index = code - 1 - (risky ? RISKY : 0);
    const v = data.varieties.findIndex((x) => x.index === index), r = result(v, s);
    const has = value(r, "window_days", cell) > 0, list = element("dl");
    part.append(element("p", (has ? "Sow " + windowText(r, cell) : "No window; least bad day " + date(value(r, "best_sow", cell))), "window"));
    entry(list, "type", data.varieties[v].title + (risky ? " (risky)" : ""));
    if (has) entry(list, "best day", date(value(r, "best_sow", cell)));
    if (value(r, "transplant", cell) > 0) entry(list, "set out", date(value(r, "transplant", cell)) + ", if sown on that day");
    if (value(r, "harvest", cell) > 0) entry(list, "ready to cut", date(value(r, "harvest", cell)) + ", " + value(r, "growing_days", cell) + " days after sowing");
    const score = value(r, "score", cell), limit = value(r, "limit", cell);
    entry(list, "how good", goodness(score) + " (" + score + " of 100)");
    if (limit !== 0) entry(list, "limited by", data.limits[limit]);
    entry(list, "killing frost", frost(value(r, "frost_risk", cell)) + " (" + value(r, "frost_risk", cell) + " %, nights taken as independent)");
    entry(list, "bolting", bolting(value(r, "bolt_risk", cell)) + " (" + value(r, "bolt_risk", cell) + " %)");
    part.append(list);
    return part;
  }
  function varietyTable(cell) {
    const table = element("table"), head = element("tr"), body = element("tbody");
    const caption = element("p", "Every type: days to sow (score of the best day, 0 to 100)", "caption");
    caption.id = "types-caption";
    table.setAttribute("aria-labelledby", caption.id);
    head.append(...["type", ...data.seasons.map((x) => x.name)].map((text) => {
      const cell = element("th", text);
      cell.scope = "col";
      return cell;
    }));
    const top = element("thead");
    top.append(head);
    data.varieties.forEach((variety, v) => {
      const row = element("tr"), name = element("th", variety.title);
      name.scope = "row";
      row.append(name, ...data.seasons.map((x, s) => element("td", windowText(result(v, s), cell) + " (" + value(result(v, s), "score", cell) + ")")));
      body.append(row);
    });
    table.append(top, body);
    const box = element("div", undefined, "scroll");
    box.tabIndex = 0;
    box.setAttribute("role", "group");
    box.setAttribute("aria-label", "Every type at this place");
    box.append(table);
    return [caption, box];
  }
  function degrees(lat, lon) {
    const turn = ((lon + 180) % 360 + 360) % 360 - 180;
    return Math.abs(lat).toFixed(3) + "° " + (lat < 0 ? "S" : "N") + ", " + Math.abs(turn).toFixed(3) + "° " + (turn < 0 ? "W" : "E");
  }
  function sayCard(text) {
    byId("card").replaceChildren(element("h3", "No answer for this place"), element("p", text));
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
  function openCell(at, note, title) {
    let cell = at.row * grid.width + at.col;
    if (!order[cell]) {
      const near = nearestValid(at, 1);
      if (!near) {
        chosen = null;
        const far = nearestValid(at, 0), from = placeOf(at.col, at.row), to = far && placeOf(far.col, far.row);
        sayCard("There are no climate data here" + (from && to ? "; the nearest are about " + Math.round(kilometres(from, to)) + " km away." : "."));
        drawMap();
        return;
      }
      at = near;
      cell = at.row * grid.width + at.col;
      note = (note ? note + " " : "") + "The place itself has no climate data; this is the cell beside it.";
    }
    chosen = at;
    const place = placeOf(at.col, at.row), card = byId("card");
    const d = districtOf[cell];
    const heading = element("h3", title || (d >= 0 ? data.districts[d].name : "My place"));
    const where = element("p", (place ? "Middle of the cell: " + degrees(place[0], place[1]) + ". " : "") +
      (flags[cell] & CELL_SOUTH ? "Southern seasons. " : "") + data.periodText + (note ? " " + note : ""), "place");
    card.replaceChildren(heading, where, ...data.seasons.map((x, s) => seasonCard(s, cell)), ...varietyTable(cell),
      element("p", "An average year, not a forecast. Follow labels and local rules; ask your extension service.", "small"));
    drawMap();
  }
  function openPlace(lat, lon) {
    const at = cellAt(lat, lon);
    if (at) {
      openCell(at, "");
    } else {
      chosen = null;
      sayCard(degrees(lat, lon) + " lies outside this guide's region.");
      drawMap();
    }
  }
  function readCoordinates(text) {
    const found = /^\s*([+-]?\d+(?:\.\d+)?)\s*[,; ]\s*([+-]?\d+(?:\.\d+)?)\s*$/.exec(text);
    if (!found) return null;
    const lat = Number(found[1]), lon = Number(found[2]);
    return Math.abs(lat) <= 90 && Math.abs(lon) <= 360 ? [lat, lon] : null;
  }
  function rememberPlace(lat, lon) {
    history.replaceState(null, "", "#at=" + lat.toFixed(4) + "," + lon.toFixed(4));
  }
  function openAddress() {
    const found = /^#at=(.*)$/.exec(decodeURIComponent(location.hash));
    if (!found) return;
    const place = readCoordinates(found[1]);
    if (place) {
      byId("coordinates").value = found[1];
      openPlace(place[0], place[1]);
    } else {
      sayCard("The address asks for “" + found[1] + "”; write #at=LATITUDE,LONGITUDE in degrees.");
    }
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
  }
  function wire() {
    byId("season").append(...data.seasons.map((season, s) => option(s, season.name)));
    byId("season").value = String(data.firstSeason);
    byId("variety").append(option("pick", "type to choose"), ...data.varieties.map((variety, v) => option(v, "sowing time, " + variety.title)));
    byId("variety").value = String(data.firstVariety);
    byId("district").append(...data.districts.map((district, d) => option(d, district.name)));
    byId("season").addEventListener("change", drawMap);
    byId("variety").addEventListener("change", drawMap);
    byId("choose").addEventListener("submit", (event) => event.preventDefault());
    byId("district").addEventListener("change", (event) => {
      const d = event.target.value === "" ? null : data.districts[Number(event.target.value)];
      if (!d) return;
      if (d.cell < 0) {
        sayCard(d.name + " holds no cell of this map; see the table below.");
        return;
      }
      const at = { col: d.cell % grid.width, row: Math.floor(d.cell / grid.width) };
      const place = placeOf(at.col, at.row);
      if (place) rememberPlace(place[0], place[1]);
      openCell(at, "The place most typical of the district.", d.name);
    });
    byId("find").addEventListener("submit", (event) => {
      event.preventDefault();
      const place = readCoordinates(byId("coordinates").value);
      if (!place) {
        sayCard("Write latitude and longitude in degrees, for instance 44.12, -149.30.");
        return;
      }
      byId("district").value = "";
      rememberPlace(place[0], place[1]);
      openPlace(place[0], place[1]);
      byId("card").focus();
    });
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
          ? (districtOf[cell] >= 0 ? data.districts[districtOf[cell]].name + ": " : "") + className(classOf(s, byId("variety").value, cell)[0], byId("variety").value)
          : "no climate data";
      } else if ((event.key === "Enter" || event.key === " ") && pointer) {
        event.preventDefault();
        const at = pointer;
        pointer = null;
        chooseAt(at);
      }
    });
    canvas.addEventListener("blur", () => { if (pointer) { pointer = null; drawMap(); } });
    window.addEventListener("hashchange", openAddress);
  }

  if (typeof DecompressionStream === "undefined") {
    byId("waiting").hidden = true;
    byId("too-old").hidden = false;
    return;
  }
  loadAll().then(() => {
    findNamePlaces();
    byId("waiting").hidden = true;
    byId("tool").hidden = false;
    wire();
    drawMap();
    openAddress();
    let width = canvas.clientWidth;
    window.addEventListener("resize", () => { // names keep their size on the screen
      if (canvas.clientWidth === width) return;
      width = canvas.clientWidth;
      drawMap();
    });
    document.documentElement.dataset.ready = "yes";
  }, () => {
    byId("waiting").hidden = true;
    byId("failed").hidden = false;
  });
})();
