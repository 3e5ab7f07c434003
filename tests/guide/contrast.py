"""Contrast as the Web Content Accessibility Guidelines 2.2 define it (https://www.w3.org/TR/WCAG22/), of text
(success criterion 1.4.3) and of what is no text: edges of fields, focus rings, marks and maps (1.4.11)."""

import re

TEXT, PARTS = 4.5, 3.0


def luminance(colour):
    """Relative luminance (https://www.w3.org/TR/WCAG22/#dfn-relative-luminance) of "rgb(1, 2, 3)" or "#010203"."""
    if colour.startswith("#"):
        digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
        numbers = [int(digits[i:i + 2], 16) for i in (0, 2, 4)]
    else:
        numbers = [int(x) for x in re.match(r"rgb\((\d+), (\d+), (\d+)\)$", colour).groups()]
    parts = [x / 255 for x in numbers]
    linear = [x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a, b):
    """Contrast ratio (https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio)."""
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


# [what, colour, colours beside it, "all" or "any" that it must be told from]. The keyboard must have been used
# before, so that what is focused shows its ring.
PARTS_SCRIPT = r"""(() => {
  const style = (element, part) => getComputedStyle(element, part), found = [];
  const ground = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const colour = style(at).backgroundColor;
      if (colour !== "rgba(0, 0, 0, 0)" && colour !== "transparent") return colour;
    }
    return "none";
  };
  const outside = (element) => ground(element.parentElement), seen = (x) => x.offsetParent !== null;
  const name = (x) => x.id || x.className || x.textContent.slice(0, 20);
  for (const x of [...document.querySelectorAll("input, select, .crops a, main .controls button")].filter(seen))
    found.push(["edge of " + name(x), style(x).borderTopColor, [outside(x)], "all"]);
  for (const x of [...document.querySelectorAll("a, input, select, button, summary, canvas, .card")].filter(seen)) {
    x.focus();
    const ring = style(x), box = x.tagName === "CANVAS" ? x.parentElement : x; // that of the map may lie around its box
    const beyond = box === x || parseFloat(ring.outlineOffset) > parseFloat(style(box).borderTopWidth) + 1;
    const around = outside(beyond ? box : x), drawn = ring.outlineStyle === "solid" && parseFloat(ring.outlineWidth) >= 2;
    found.push(["focus ring of " + name(x), drawn ? ring.outlineColor : around, [around], "all"]);
  }
  for (const x of document.querySelectorAll(".card, .strip, .legend span, [id^=map-box]"))
    found.push(["edge of " + name(x), style(x).borderTopColor, [outside(x)], "all"]);
  for (const x of document.querySelectorAll(".strip i:not(.best)")) {
    const fill = style(x).backgroundColor, line = style(x).outlineColor, bar = ground(x.parentElement);
    found.push(["bar of a strip, to a piece or the line around it", bar, [fill, line], "any"], ["line around a piece", line, [fill], "all"]);
  }
  for (const x of document.querySelectorAll(".strip i.best"))
    found.push(["mark of the best day", style(x).backgroundColor, [style(x).outlineColor], "all"]);
  const root = (x) => style(document.documentElement).getPropertyValue("--map-" + x).trim();
  const data = JSON.parse(document.getElementById("data").textContent);
  const fills = [...data.periodColours, ...data.varieties.flatMap((v) => [v.colour, v.riskyColour])];
  found.push(["lines of the map", root("line"), [...fills, root("sea"), root("empty"), root("casing")], "all"]);
  found.push(["hatch of the map", root("hatch"), [root("empty")], "all"]);
  return found;
})()"""

# Rows of the map: how often a colour of a class touches another without a line between, and how many lines.
LINES_SCRIPT = r"""(() => {
  const canvas = document.getElementById("map"), brush = canvas.getContext("2d");
  const data = JSON.parse(document.getElementById("data").textContent), style = getComputedStyle(document.documentElement);
  const number = (hex) => parseInt(hex.length === 4 ? [...hex.slice(1)].map((x) => x + x).join("") : hex.slice(1), 16);
  const fills = new Set([...data.periodColours, ...data.varieties.flatMap((v) => [v.colour, v.riskyColour]),
    style.getPropertyValue("--map-sea").trim()].map(number));
  const line = number(style.getPropertyValue("--map-line").trim());
  let bare = 0, lines = 0;
  const pixels = brush.getImageData(0, 0, canvas.width, canvas.height).data;
  for (let row = 0; row < canvas.height; row++)
    for (let col = 1, before = -1; col < canvas.width; col++) {
      const at = 4 * (row * canvas.width + col), colour = pixels[at] << 16 | pixels[at + 1] << 8 | pixels[at + 2];
      if (fills.has(before) && fills.has(colour) && before !== colour) bare++;
      if (colour === line && before !== line) lines++;
      before = colour;
    }
  return [bare, lines];
})()"""


def failures(found):
    """What is told too little from what stands beside it, and the least contrast of all."""
    told = []
    for what, colour, beside, how in found:
        ratios = [contrast(colour, other) for other in beside]
        told.append((min(ratios) if how == "all" else max(ratios), what, colour, beside))
    return [x for x in told if x[0] < PARTS], min(x[0] for x in told)
