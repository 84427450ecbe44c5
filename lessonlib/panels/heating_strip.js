// Draws a curve of a heating run as time goes on. Its picture is in seconds and in what it shows,
// and is stretched to its place; the words beside it are text.

import { make } from "../page/kit.js";
import { draw } from "./drawing.js";

const LINE_PX = 13; // of the words of a mark
const STEPS = 400; // of a curve from end to end

// Round steps: about `count` of them up to `span`.
function roundStep(span, count) {
  const size = 10 ** Math.floor(Math.log10(span / count));
  return size * [1, 2, 5, 10].find((factor) => span / count <= size * factor * 1.0001);
}

// Multiples of a round step from `low` to `high`.
function ticks(low, high, count) {
  const step = roundStep(high - low, count);
  const found = [];
  for (let n = Math.ceil(low / step - 1e-9); n * step <= high + 1e-9; n += 1) {
    found.push(Number((n * step).toPrecision(6)));
  }
  return found;
}

// `of` turns a temperature, and `steam_C` of a dry vessel, into what the curve shows. `marks` are
// { name, value, from, to }: a band, or a line where both are the same.
export function makeStrip(
  { label, unit, digits, minutes, of, marks, low, high, height_px, key = "" },
) {
  const end_s = minutes * 60;
  const step_s = end_s / STEPS;
  const still = { "vector-effect": "non-scaling-stroke" };
  const layer = (name) => draw("path", { class: `hcp-${name}`, ...still });
  const [grid, bands, edges] = ["grid", "bands", "edges"].map(layer);
  // ○ where a contact opens, ● where it closes
  const [curve, moved, opened] = ["curve", "moved", "opened"].map(layer);
  const svg = draw(
    "svg", { preserveAspectRatio: "none" }, grid, bands, edges, curve, moved, opened,
  );
  const column = (name) => make("div", `hcp-${name}`);
  const [values, words, times] = ["values", "marks", "times"].map(column);
  const plot = make("div", "hcp-plot", values, svg, words, times, make("span", "", "min"));
  plot.style.gridTemplateRows = `${height_px}px auto`;
  plot.setAttribute("role", "img");
  const caption = make("figcaption", "", `${label}, ${unit}`, make("span", "", key));
  const node = make("figure", "hcp-strip", caption, plot);
  const letters = Math.max(5, ...marks.map(({ name, value }) => `${name} ${value}`.length));
  let range = { low, high };
  let line = ""; // of the curve
  let drawn_s = 0; // how far that is
  let drawnEvents = 0;
  let dots = { opens: "", closes: "" };

  const point = (time_s, value) => `${time_s.toPrecision(7)} ${(-value).toPrecision(6)}`;
  const across = (value) => `M0 ${-value}H${end_s}`;
  const down_px = (value) => (height_px * (range.high - value)) / (range.high - range.low);

  times.append(
    ...ticks(0, minutes, 5).map((at) => {
      const time = make("span", "", String(at));
      time.style.left = `${(100 * at) / minutes}%`;
      return time;
    }),
  );

  // The range, with lines across, and the words of marks: each a line below the one before, and all
  // of them above the foot.
  function frame() {
    svg.setAttribute("viewBox", `0 ${-range.high} ${end_s} ${range.high - range.low}`);
    const steps = ticks(range.low, range.high, height_px / 32);
    const upright = ticks(0, minutes, 5).map((at) => `M${at * 60} ${-range.high}V${-range.low}`);
    grid.setAttribute("d", [...steps.map(across), ...upright].join(""));
    const numbers = steps.map((value) => put(make("span", "", String(value)), down_px(value)));
    values.replaceChildren(...numbers);
    const shown = marks.filter(({ to }) => to <= range.high).sort((a, b) => b.from - a.from);
    const band = ({ from, to }) => `${across(from)}V${-to}H0Z`;
    bands.setAttribute("d", shown.map(band).join(""));
    edges.setAttribute("d", shown.map(({ from, to }) => across(from) + across(to)).join(""));
    const places = [];
    for (const { from, to } of shown) {
      places.push(Math.max(down_px((from + to) / 2), (places.at(-1) ?? -Infinity) + LINE_PX));
    }
    let foot = height_px;
    for (let i = places.length - 1; i >= 0; i -= 1) {
      places[i] = Math.min(places[i], foot);
      foot = places[i] - LINE_PX;
    }
    const texts = shown.map(({ name, value }, i) =>
      put(make("span", "", make("span", "", name), make("span", "", `\u00a0${value}`)), places[i]),
    );
    words.replaceChildren(...texts);
  }

  function put(text, down) {
    text.style.translate = `0 calc(${down}px - 50%)`;
    return text;
  }

  function show(run) {
    const now = of(run.temperature_C, run.steam_C);
    const fresh = run.events.slice(drawnEvents);
    drawnEvents = run.events.length;
    const top = Math.max(now, ...fresh.map((e) => of(e.temperature_C, e.steam_C)));
    if (top > range.high || now < range.low) {
      const span = Math.max(top - range.low, (range.high - range.low) * 1.5);
      range = { low: Math.min(range.low, now), high: range.low + span };
      frame();
    }
    if (line && !fresh.length && run.time_s - drawn_s < step_s) return; // less than a pixel
    for (const [time_s, temperature_C, steam_C] of run.curve(drawn_s, run.time_s, step_s)) {
      line += `${line ? "L" : "M"}${point(time_s, of(temperature_C, steam_C))}`;
    }
    drawn_s = run.time_s;
    curve.setAttribute("d", line);
    for (const { kind, time_s, temperature_C, steam_C } of fresh) {
      if (kind in dots) dots[kind] += `M${point(time_s, of(temperature_C, steam_C))}h0`;
    }
    moved.setAttribute("d", dots.opens + dots.closes);
    opened.setAttribute("d", dots.opens);
  }

  function describe(run) {
    const first = of(run.stretches[0].start_C, null).toFixed(digits);
    const now = of(run.temperature_C, run.steam_C).toFixed(digits);
    const said = `${label} over ${clock(run.time_s)}: from ${first} ${unit} to ${now} ${unit}`;
    const marked = marks.map(({ name, value }) => `${name} ${value}`).join(", ");
    plot.setAttribute("aria-label", marked ? `${said}. Marked: ${marked}` : said);
  }

  function afresh() {
    [line, drawn_s, drawnEvents, dots] = ["", 0, 0, { opens: "", closes: "" }];
    range = { low, high };
    frame();
  }
  return { node, letters, show, describe, afresh };
}

// A time in words, as `clock` in lessonlib/heat/result.py writes it.
export function clock(time_s) {
  const seconds = Math.round(time_s);
  const two = (number) => String(number).padStart(2, "0");
  if (seconds < 60) return `${seconds} s`;
  if (seconds < 3 * 3600) return `${Math.floor(seconds / 60)} min ${two(seconds % 60)} s`;
  const minutes = Math.round(time_s / 60);
  return `${Math.floor(minutes / 60)} h ${two(minutes % 60)} min`;
}
