// Shows a heating run: numbers, drawing, curves, contacts and events. `hands` holds what the
// controls do. A frame writes only what has changed.

import { liveRegion, make, makeButton, newId, setText } from "../page/kit.js";
import {
  byHand, chooser, frame, labelOf, liveLine, partButton, pick, positionRadios, readDrawing,
} from "./drawing.js";
import { pressureBar } from "./heating_physics.js";
import { clock, makeStrip } from "./heating_strip.js";

const SAY_MS = 2500; // how often a screen reader is told of events
const MOST_LISTED = 60;
const SWITCH_HINT = "Press a switch in the drawing at any time: click, tap, or Enter.";

const kindOf = (data, contact) => data.parts.find((part) => part.name === contact.name).kind;

// Bands and lines of a strip: where contacts move, and where the temperature stands still. `of`
// turns a temperature over water into what the strip shows.
function marksOf(data, of, digits, wanted = () => true) {
  const { held_C, held_as, water_kg } = data.vessel;
  const mark = (name, low_C, high_C) => {
    const [from, to] = [of(low_C, null), of(high_C, null)];
    const ends = [from, to].map((number) => String(Number(number.toFixed(digits))));
    return { name, from, to, value: [...new Set(ends)].join("–") };
  };
  const marks = data.contacts[0]
    .filter((contact) => contact.opens_C !== null && contact.placed_on === null && wanted(contact))
    .map(({ name, opens_C, closes_C }) => mark(name, closes_C ?? opens_C, opens_C));
  if (held_C !== null && water_kg > 0) {
    marks.push(mark(held_as === "boiling" ? "boils" : "valve", held_C, held_C));
  }
  return marks;
}

function stripsOf(data) {
  const { minutes, vessel } = data;
  const celsius = (temperature_C) => temperature_C;
  const hot = marksOf(data, celsius, 1);
  const tops = (marks) => marks.map((mark) => mark.to);
  const low = Math.min(0, vessel.start_C, vessel.ambient_C);
  const high = 1.12 * Math.max(...tops(hot), 100, vessel.start_C);
  const key = data.contacts[0].length ? "○ opens, ● closes" : "";
  const temperature = { label: "Temperature", unit: "°C", digits: 1, of: celsius, marks: hot, key };
  const height_px = vessel.saturation ? 80 : 130; // of each, beside the drawing
  const strips = [makeStrip({ ...temperature, minutes, low, high, height_px })];
  if (vessel.saturation) {
    const of = (temperature_C, steam_C) => pressureBar(vessel, temperature_C, steam_C);
    const marks = marksOf(data, of, 2, (one) => kindOf(data, one) === "pressure switch");
    const gauge = { label: "Gauge pressure", unit: "bar", digits: 2, of, marks };
    const top = 1.15 * Math.max(...tops(marks), 1);
    strips.push(makeStrip({ ...gauge, minutes, low: 0, high: top, height_px }));
  }
  return strips;
}

const startWord = (run) => (run.time_s > 0 ? "Go on" : "Start");

function labelFor(part, position) {
  if (byHand(part)) return labelOf(part, position);
  return `${part.name} ${part.kind}, ${position === 1 ? "open. Press to reset" : "closed"}`;
}

function stateOf(kind, contact, position) {
  if (contact.stuck) return ` ${kind}: ${contact.stuck}, held there by its fault`;
  if (position === 0) return ` ${kind}: closed, opens at ${contact.opens_at}`;
  if (contact.closes_C !== null) return ` ${kind}: open, closes at ${contact.closes_at}`;
  const next = contact.resettable ? "press it in the drawing to reset it" : "stays open";
  return ` ${kind}: open, ${next}`;
}

function withHeading(className, heading, list) {
  const head = make("p", "hcp-heading", heading);
  head.id = newId();
  list.setAttribute("aria-labelledby", head.id);
  return make("div", className, head, list);
}

export function makeView(data, alone, hands) {
  const { svg, width, movable, show: draw } = readDrawing(data);
  let shown = ""; // the state shown
  let listed = 0; // events in the list
  let unsaid = 0; // events not yet told in the status line
  let lastSaid_ms = 0;

  // --- what there is to show -------------------------------------------------------------------
  const start = makeButton("Start", hands.startOrPause, "hcp-start");
  const step = makeButton("Next event", hands.leap);
  const restart = makeButton("Start over", () => hands.again());
  const words = data.speeds.map((speed) => (speed === 1 ? "real time" : `${speed} times as fast`));
  const speeds = chooser("Speed", words, (index) => hands.choose(data.speeds[index]));
  const bar = make("div", "hck-row hcp-play", start, step, restart, speeds.node);

  const numbers = make("div", "hck-row hcp-numbers");
  const figure = (label) => {
    const value = make("strong");
    numbers.append(make("div", "", make("span", "", label), value));
    return value;
  };
  const time = figure("Time");
  const temperature = figure("Temperature");
  const pressure = data.vessel.saturation ? figure("Gauge pressure") : null;
  const power = figure("Power drawn");
  const water = data.vessel.water_kg > 0 ? figure("Water left") : null;
  const strips = stripsOf(data);
  const said = liveRegion("p", "hcp-said");
  const live = liveLine();

  const positions = movable.map((part, move) =>
    byHand(part) ? positionRadios(part, (to) => hands.turn(move, to)) : null,
  );
  const faultWords = data.faults.map((fault) => fault?.words ?? null);
  const faults = chooser(
    "Fault (changing it starts over)",
    faultWords.map((fault) => fault ?? "none"),
    (index) => hands.again(faultWords[index]),
  );
  const contacts = data.contacts[0].map(({ name }) => {
    const [state, place] = [make("span"), make("span")];
    return { node: make("li", "", make("strong", "", name), state, place), state, place };
  });
  const happened = make("ol");
  happened.tabIndex = 0; // it scrolls, so the keyboard must reach it
  const list = make("ul", "", ...contacts.map((contact) => contact.node));
  const acting = withHeading("hcp-acting", "Automatic contacts", list);
  acting.hidden = contacts.length === 0;

  const buttons = movable.map((part, move) => {
    const groups = pick(svg, ".hc-contact", { part: part.name });
    const resets = data.contacts[0].some((c) => c.part === move && c.resettable);
    const flip = (step, wrap) => hands.press(move, step, wrap);
    if (byHand(part) || resets) return partButton(groups, flip);
    groups.forEach((group) => group.classList.add("hcp-acts"));
    return null;
  });

  // Start, readings, drawing, curves and contacts fit one screen of a laptop; the rest is below.
  svg.style.maxWidth = `${0.95 * width}px`;
  const scroll = make("div", "hck-scroll hcp-scroll", svg);
  const drawing = make("div", "hcp-left", scroll, said, live.node);
  drawing.style.flexBasis = svg.style.minWidth;
  const curves = make("div", "hcp-curves", ...strips.map((strip) => strip.node), acting);
  // the same room for words beside each curve, so that their times stand in line
  const longest = Math.max(...strips.map((strip) => strip.letters));
  curves.style.setProperty("--hcp-words", `${longest}ch`);
  const choices = [...positions.filter(Boolean), faults].map((choice) => choice.node);
  const told = withHeading("hcp-happened", "Events, newest first", happened);
  const root = frame(
    "Live heating run", "hck hcp hcp-heating", data, alone,
    make("div", "hck-row hcp-top", bar, numbers),
    make("div", "hcp-beside", drawing, curves),
    make("div", "hcp-beside", make("div", "hck-row hcp-choices", ...choices), told),
  );

  function show(run, playing, over) {
    setText(time, clock(run.time_s));
    setText(temperature, `${run.temperature_C.toFixed(1)} °C`);
    if (pressure) setText(pressure, `${run.pressure_bar.toFixed(2)} bar`);
    if (water) setText(water, `${run.water_kg.toFixed(2)} kg`);
    strips.forEach((strip) => strip.show(run));
    contacts.forEach(({ place }, i) => {
      const contact = run.contacts[i];
      if (contact.placed_on === null) return;
      const place_C = run.temperature_C + run.extraK(contact);
      setText(place, run.time_s > 0 && `; its place is at ${place_C.toFixed(1)} °C`);
    });
    const stage = [run.time_s > 0, run.steam_C === null];
    const now = `${run.positions},${run.short},${playing},${over},${stage}`;
    if (now !== shown) showState(run, playing, over);
    shown = now;
    if (run.events.length > listed) listEvents(run);
    if (unsaid && (!playing || performance.now() - lastSaid_ms > SAY_MS)) tell(run);
  }

  function showState(run, playing, over) {
    const row = run.short ? null : run.row; // after a short circuit nothing is on
    draw(row, run.positions, data.faults[run.fault], run.short);
    live.show(row);
    setText(power, row?.[1] ?? "0 W");
    setText(start, playing ? "Pause" : startWord(run));
    const drawn = playing || run.time_s > 0;
    setText(power.previousSibling, drawn ? "Power drawn" : "Power when started");
    start.disabled = step.disabled = over;
    movable.forEach((part, move) => {
      positions[move]?.show(run.positions[move]);
      buttons[move]?.setAttribute("aria-label", labelFor(part, run.positions[move]));
    });
    contacts.forEach(({ state }, i) => {
      const contact = { ...run.contacts[i], ...run.saidOf(run.contacts[i]) };
      setText(state, stateOf(kindOf(data, contact), contact, run.positions[contact.part]));
    });
  }

  function listEvents(run) {
    const fresh = run.events.slice(Math.max(listed, run.events.length - MOST_LISTED));
    const items = fresh.map(({ time_s, what }) =>
      make("li", "", make("span", "hcp-when", clock(time_s)), make("span", "", what)),
    );
    unsaid += run.events.length - listed;
    listed = run.events.length;
    happened.prepend(...items.reverse());
    while (happened.children.length > MOST_LISTED) happened.lastChild.remove();
  }

  function tell(run) {
    const more = unsaid > 1 ? `; and ${unsaid - 1} more just before` : "";
    const event = run.events.at(-1);
    say(`${clock(event.time_s)}: ${event.what}${more}`);
    unsaid = 0;
  }

  function say(text) {
    setText(said, text);
    lastSaid_ms = performance.now();
  }

  return {
    root,
    show,
    say,
    // what is shown only while it is paused
    describe(run, speed) {
      strips.forEach((strip) => strip.describe(run));
      speeds.show(data.speeds.indexOf(speed));
      faults.show(run.fault);
    },
    // show another run
    afresh(run) {
      [shown, listed, unsaid] = ["", 0, 0];
      happened.replaceChildren();
      setText(said, `Press ${startWord(run)}. ${SWITCH_HINT}`);
      strips.forEach((strip) => strip.afresh());
    },
  };
}
