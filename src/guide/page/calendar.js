"use strict";
// The calendar file of a place, byte for byte what `isosow site --format ics` writes
// (src/output/place_ics.c); tests/guide/check_use.py compares them.
// say, count: the program's sentences. facts: {crop, cropTitle, version, sheetTasks, manureDays}.
// place: {name, lat, lon, seconds, longDate, crops}; lat, lon: texts. A crop's days: best is the day of
// the year from 1, all others are days after it.
function isosowCalendar(say, count, facts, place) {
  const LONGEST_DAYS = 42, ALL_YEAR = 365, LINE_OCTETS = 75, UID_DIGITS = 32;
  const encoder = new TextEncoder();

  // SHA-256, FIPS 180-4: crypto.subtle is missing on pages that come over plain http.
  const primes = [];
  for (let n = 2; primes.length < 64; n++) if (primes.every((p) => n % p)) primes.push(n);
  const fraction = (x) => ((x - Math.floor(x)) * 2 ** 32) | 0;
  const rounds = primes.map((p) => fraction(Math.cbrt(p)));
  function sha256(bytes) {
    const turn = (x, n) => (x >>> n) | (x << (32 - n));
    const padded = new Uint8Array((bytes.length + 72) & ~63), view = new DataView(padded.buffer), w = new Int32Array(64);
    padded.set(bytes);
    padded[bytes.length] = 0x80;
    view.setUint32(padded.length - 4, bytes.length * 8);
    let sum = primes.slice(0, 8).map((p) => fraction(Math.sqrt(p)));
    for (let block = 0; block < padded.length; block += 64) {
      for (let i = 0; i < 16; i++) w[i] = view.getInt32(block + 4 * i);
      for (let i = 16; i < 64; i++) {
        const a = w[i - 15], b = w[i - 2];
        w[i] = w[i - 16] + w[i - 7] + (turn(a, 7) ^ turn(a, 18) ^ (a >>> 3)) + (turn(b, 17) ^ turn(b, 19) ^ (b >>> 10));
      }
      let [a, b, c, d, e, f, g, h] = sum;
      for (let i = 0; i < 64; i++) {
        const t = (h + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + rounds[i] + w[i]) | 0;
        const u = ((turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
        [h, g, f, e, d, c, b, a] = [g, f, e, (d + t) | 0, c, b, a, (t + u) | 0];
      }
      sum = [a, b, c, d, e, f, g, h].map((x, i) => (x + sum[i]) | 0);
    }
    return sum.map((x) => (x >>> 0).toString(16).padStart(8, "0")).join("");
  }

  const lines = [];
  function put(name, value) { // folded at 75 octets, between letters
    let line = "", octets = 0;
    for (const letter of name + ":" + value) {
      const size = encoder.encode(letter).length;
      if (octets + size > LINE_OCTETS) {
        line += "\r\n ";
        octets = 1;
      }
      line += letter;
      octets += size;
    }
    lines.push(line);
  }
  const plain = (text) => text.replace(/[\\;,]/g, "\\$&").replace(/\n/g, "\\n").replace(/[\x00-\x1f\x7f]/g, "");
  const putText = (name, text) => put(name, plain(text));
  const two = (n) => String(n).padStart(2, "0");
  const now = new Date(place.seconds * 1000), year = now.getUTCFullYear();
  const stamp = String(year).padStart(4, "0") + two(now.getUTCMonth() + 1) + two(now.getUTCDate()) + "T" +
    two(now.getUTCHours()) + two(now.getUTCMinutes()) + two(now.getUTCSeconds()) + "Z";
  function putDate(name, day) { // days from 1 January (0) of the calendar's year, each of 365
    const date = new Date(Date.UTC(2001, 0, 1 + ((day % ALL_YEAR) + ALL_YEAR) % ALL_YEAR)); // no leap year
    lines.push(name + ";VALUE=DATE:" + String(year + Math.floor(day / ALL_YEAR)).padStart(4, "0") +
      two(date.getUTCMonth() + 1) + two(date.getUTCDate()));
  }
  function putUid(crop, what) {
    const parts = [facts.crop, place.name, place.lat, place.lon, crop ? crop.seasonId : "", crop ? crop.varietyId : "", what];
    lines.push("UID:" + sha256(encoder.encode(parts.map((part) => part + "\0").join(""))).slice(0, UID_DIGITS) + "@isosow.invalid");
  }
  function putEvent(crop, what, from, to, summary, description, alarm) { // days after the best one
    lines.push("BEGIN:VEVENT");
    putUid(crop, what);
    lines.push("DTSTAMP:" + stamp);
    putDate("DTSTART", crop.best - 1 + from);
    putDate("DTEND", crop.best + to);
    lines.push("RRULE:FREQ=YEARLY");
    putText("SUMMARY", summary);
    putText("DESCRIPTION", description);
    putText("LOCATION", place.name);
    lines.push("GEO:" + Number(place.lat).toFixed(6) + ";" + Number(place.lon).toFixed(6));
    putText("CATEGORIES", facts.cropTitle);
    lines.push("TRANSP:TRANSPARENT");
    if (alarm) {
      lines.push("BEGIN:VALARM", "ACTION:DISPLAY", "TRIGGER:-PT5H");
      putText("DESCRIPTION", summary);
      lines.push("END:VALARM");
    }
    lines.push("END:VEVENT");
  }
  function putSpan(crop, whats, titles, from, to, description) {
    if (to - from < LONGEST_DAYS) {
      putEvent(crop, whats[0], from, to, titles[0], description, false);
    } else {
      putEvent(crop, whats[0], from, from, titles[1], description, false);
      putEvent(crop, whats[1], to, to, titles[2], description, false);
    }
  }
  const headline = (text) => /^.*?(?=[.:;,](?: |$)|$)/s.exec(text)[0];
  const caution = say("NO_FORECAST") + " " + say("LABELS_FIRST");
  const first = (at) => facts.sheetTasks.findIndex((task) => task.at === at && task.day === 0);
  const moments = [["sowing", "best", "ICS_ON_BEST_DAY"], ["transplant", "transplant", "ICS_TRANSPLANT"],
    ["harvest", "harvest", "ICS_CUT_BEST"]].map(([at, what, title]) => ({ at, what, title, task: first(at) }));
  let firstTest = -1; // the last task before the cut
  facts.sheetTasks.forEach((task, i) => {
    if (task.at === "harvest" && task.day < 0 && (firstTest < 0 || task.day > facts.sheetTasks[firstTest].day)) firstTest = i;
  });
  function putCrop(crop) {
    const who = say("ICS_WHO", crop.title, crop.season), best = place.longDate(crop.best);
    const description = [...crop.said, count("ICS_CUT_AFTER", crop.growingDays)].filter((x) => x !== "").join(" ") + "\n" + caution;
    putSpan(crop, ["sow", "sow last"], [say("ICS_SOW", who, best), say("ICS_SOW_FIRST", who, best), say("ICS_SOW_LAST", who)],
      crop.window ? crop.window[0] : 0, crop.window ? crop.window[1] : 0, description);
    if (crop.window)
      putSpan(crop, ["cut", "cut last"], [say("ICS_CUT", who), say("ICS_CUT_FIRST", who), say("ICS_CUT_LAST", who)],
        crop.cut[0], crop.cut[1], say("ICS_CUT_WHY"));
    for (const { after, task } of crop.work) {
      if (task < 0) {
        putEvent(crop, "manure", after, after, say("ICS_MANURE", who), say("CAUTION_MANURE", facts.manureDays), false);
        continue;
      }
      const text = facts.sheetTasks[task].text;
      putEvent(crop, "task " + task, after, after, say("ICS_TASK", headline(text), who), text + "\n" + say("ICS_BEST_DAY"),
        task === firstTest || moments.some((moment) => moment.task === task));
    }
    const days = { sowing: 0, transplant: crop.transplant, harvest: crop.growingDays };
    for (const moment of moments)
      if (moment.task < 0 && days[moment.at] !== null)
        putEvent(crop, moment.what, days[moment.at], days[moment.at], say(moment.title, who), say("ICS_BEST_DAY"), true);
  }

  lines.push("BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//isosow//isosow " + facts.version + "//EN", "CALSCALE:GREGORIAN", "METHOD:PUBLISH");
  place.crops.forEach(putCrop);
  if (place.crops.length === 0) {
    lines.push("BEGIN:VJOURNAL");
    putUid(null, "nothing");
    lines.push("DTSTAMP:" + stamp);
    putText("SUMMARY", say("ICS_NOTHING", place.name, facts.cropTitle));
    putText("DESCRIPTION", caution);
    lines.push("END:VJOURNAL");
  }
  lines.push("END:VCALENDAR");
  return lines.join("\r\n") + "\r\n";
}
