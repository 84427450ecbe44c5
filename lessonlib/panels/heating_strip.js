// Draws a curve of a heating run as time goes on. A frame adds only the piece that is new;
// everything is drawn again only when size, colours or range have changed.

import { make } from "../page/kit.js";

const MARGIN = { left: 34, top: 8, bottom: 20 }; // px, for the numbers beside the axes
const LETTER_PX = 12;
const LINE_PX = 13;
const MOST_BESIDE = 0.4; // share of the width for the words of marks, at the right

// Round steps: about `count` of them up to `span`.
function roundStep(span, count) {
  const size = 10 ** Math.floor(Math.log10(span / count));
  return size * [1, 2, 5, 10].find((factor) => (span / count) <= size * factor * 1.0001);
}

// `of` turns a temperature, and `steam_C` of a dry vessel, into what the curve shows. `marks` are
// { name, value, from, to }: a band, or a line where both are the same.
export function makeStrip({ label, unit, digits, minutes, of, marks, low, high, key = "" }) {
  const canvas = make("canvas");
  canvas.setAttribute("role", "img");
  const caption = make("figcaption", "", `${label}, ${unit}`, make("span", "", key));
  const node = make("figure", "hcp-strip", caption, canvas);
  const end_s = minutes * 60;
  const ink = canvas.getContext("2d");
  let range = { low, high };
  let drawn_s = null; // how far the curve is drawn; null to draw everything
  let drawnEvents = 0;
  let box = null;
  let words = []; // of each mark, as they fit
  let colour = {};

  const x = (time_s) => box.left + (time_s / end_s) * box.width;
  const y = (number) =>
    box.top + box.height * (1 - (number - range.low) / (range.high - range.low));

  function measure() {
    const width = canvas.clientWidth;
    const height = canvas.clientHeight;
    const scale = window.devicePixelRatio || 1;
    canvas.width = Math.round(width * scale);
    canvas.height = Math.round(height * scale);
    ink.setTransform(scale, 0, 0, scale, 0, 0);
    const style = getComputedStyle(canvas);
    const read = (name) => style.getPropertyValue(name).trim();
    colour = {
      ink: read("--hc-ink"),
      paper: read("--hc-paper"),
      line: read("--hc-line"),
      soft: read("--hcp-grid"),
      curve: read("--hc-focus"),
    };
    ink.font = `${LETTER_PX}px system-ui, sans-serif`;
    const most = MOST_BESIDE * width;
    words = marks.map(({ name, value }) => fitted(name, ` ${value}`, most));
    const beside = Math.max(8, ...words.map((each) => ink.measureText(each).width + 10));
    const { left, top, bottom } = MARGIN;
    box = { left, top, width: width - left - beside, height: height - top - bottom };
    return box.width > 20;
  }

  // The name, cut short where it and the value would be too wide.
  function fitted(name, value, most_px) {
    let text = name;
    while (text && ink.measureText(text + value).width > most_px) text = text.slice(0, -1);
    return (text === name ? name : `${text.slice(0, -1)}…`) + value;
  }

  function rule(x1, y1, x2, y2) {
    ink.beginPath();
    ink.moveTo(x1, y1);
    ink.lineTo(x2, y2);
    ink.stroke();
  }

  function axes() {
    Object.assign(ink, { lineWidth: 1, strokeStyle: colour.soft, fillStyle: colour.ink });
    ink.setLineDash([]);
    const { left, top, width, height } = box;
    const step = roundStep(range.high - range.low, height / 32);
    Object.assign(ink, { textAlign: "right", textBaseline: "middle" });
    for (let n = Math.ceil(range.low / step - 1e-9); n * step <= range.high + 1e-9; n += 1) {
      const place = Math.round(y(n * step)) + 0.5;
      rule(left, place, left + width, place);
      ink.fillText(String(Number((n * step).toPrecision(6))), left - 5, place);
    }
    const every = roundStep(minutes, width / 55);
    Object.assign(ink, { textBaseline: "top" });
    for (let n = 0; n * every <= minutes * 1.0001; n += 1) {
      const place = Math.round(x(n * every * 60)) + 0.5;
      rule(place, top, place, top + height);
      const last = (n + 1) * every > minutes * 1.0001;
      ink.textAlign = n === 0 ? "left" : last ? "right" : "center";
      const words = String(Number((n * every).toPrecision(6)));
      const at = last ? Math.min(place + 12, left + width) : place;
      ink.fillText(last ? `${words} min` : words, at, top + height + 5);
    }
  }

  // Bands and lines across the plot, their words to the right of it, where no curve runs.
  function thresholds() {
    const { left, top, width, height } = box;
    Object.assign(ink, { lineWidth: 1, strokeStyle: colour.line, textAlign: "left" });
    ink.textBaseline = "middle";
    const shown = marks
      .map((mark, i) => ({ ...mark, words: words[i], at: y((mark.from + mark.to) / 2) }))
      .filter(({ to }) => to <= range.high)
      .sort((a, b) => a.at - b.at);
    for (const { from, to } of shown) {
      ink.fillStyle = colour.curve;
      ink.globalAlpha = 0.16;
      ink.fillRect(left, y(to), width, y(from) - y(to));
      ink.globalAlpha = 1;
      ink.setLineDash([5, 3]);
      for (const at of new Set([from, to])) rule(left, y(at), left + width, y(at));
      ink.setLineDash([]);
    }
    // each a line below the one before, and all of them above the foot
    const places = [];
    for (const { at } of shown) places.push(Math.max(at, (places.at(-1) ?? -Infinity) + LINE_PX));
    places.reduceRight((foot, place, i) => (places[i] = Math.min(place, foot)) - LINE_PX, top + height);
    ink.fillStyle = colour.ink;
    shown.forEach((mark, i) => {
      rule(left + width, mark.at, left + width + 6, places[i]);
      ink.fillText(mark.words, left + width + 8, places[i]);
    });
  }

  function curve(run, from_s, to_s) {
    Object.assign(ink, { strokeStyle: colour.curve, lineWidth: 2.2, lineJoin: "round" });
    ink.beginPath();
    let first = true;
    for (const [time_s, temperature_C, steam_C] of run.curve(from_s, to_s, end_s / box.width)) {
      const height = y(of(temperature_C, steam_C));
      if (first) ink.moveTo(x(time_s), height);
      else ink.lineTo(x(time_s), height);
      first = false;
    }
    ink.stroke();
  }

  // ○ where a contact opens, ● where it closes.
  function moves(run) {
    for (; drawnEvents < run.events.length; drawnEvents += 1) {
      const { kind, time_s, temperature_C, steam_C } = run.events[drawnEvents];
      if (kind !== "opens" && kind !== "closes") continue;
      Object.assign(ink, { strokeStyle: colour.curve, lineWidth: 1.8 });
      ink.fillStyle = kind === "opens" ? colour.paper : colour.curve;
      ink.beginPath();
      ink.arc(x(time_s), y(of(temperature_C, steam_C)), 3.2, 0, 2 * Math.PI);
      ink.fill();
      ink.stroke();
    }
  }

  function show(run) {
    const now = of(run.temperature_C, run.steam_C);
    const fresh = run.events.slice(drawnEvents);
    const top = Math.max(now, ...fresh.map((e) => of(e.temperature_C, e.steam_C)));
    if (top > range.high || now < range.low) {
      const span = Math.max(top - range.low, (range.high - range.low) * 1.5);
      range = { low: Math.min(range.low, now), high: range.low + span };
      drawn_s = null;
    }
    if (drawn_s === null || drawn_s > run.time_s) {
      if (!measure()) return; // it is not on the page yet
      ink.clearRect(0, 0, canvas.width, canvas.height);
      axes();
      thresholds();
      drawn_s = 0;
      drawnEvents = 0;
    }
    curve(run, drawn_s, run.time_s);
    moves(run);
    drawn_s = run.time_s;
  }

  function describe(run) {
    const first = of(run.stretches[0].start_C, null).toFixed(digits);
    const now = of(run.temperature_C, run.steam_C).toFixed(digits);
    const said = `${label} over ${clock(run.time_s)}: from ${first} ${unit} to ${now} ${unit}`;
    const marked = marks.map(({ name, value }) => `${name} ${value}`).join(", ");
    canvas.setAttribute("aria-label", marked ? `${said}. Marked: ${marked}` : said);
  }

  return {
    node,
    show,
    describe,
    afresh() {
      drawn_s = null;
      range = { low, high };
    },
  };
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
