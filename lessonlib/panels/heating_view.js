// What a heating run shows: numbers, drawing, curves, contacts and events. `hands` says what the
// controls do. A frame writes only what has changed.

const SAY_MS = 2500; // how often a screen reader hears of events
const MOST_LISTED = 60;
const SWITCH_HINT = "Press a switch in the drawing at any time: click, tap, or Enter.";

function button(words, pressed) {
  const node = make("button", "hcp-button", words);
  node.type = "button";
  node.addEventListener("click", pressed);
  return node;
}

// Bands and lines of the strips: where contacts move and where the vessel is held.
function marksOf(data, of, kinds, unit, digits) {
  const { held_C, held_as } = data.vessel;
  const overWater = (temperature_C) => of(temperature_C, null);
  const number = (temperature_C) => overWater(temperature_C).toFixed(digits);
  const wanted = (contact) => {
    const { kind } = data.parts.find((part) => part.name === contact.name);
    return contact.opens_C !== null && contact.placed_on === null && kinds(kind);
  };
  const found = data.contacts[0].filter(wanted).map(({ name, opens_C, closes_C }) => ({
    from: overWater(closes_C ?? opens_C),
    to: overWater(opens_C),
    words:
      closes_C === null
        ? `${name} opens ${number(opens_C)} ${unit}`
        : `${name} closes ${number(closes_C)}, opens ${number(opens_C)} ${unit}`,
  }));
  if (held_C !== null && data.vessel.water_kg > 0) {
    const what = held_as === "boiling" ? "water boils" : "relief valve";
    const at = overWater(held_C);
    found.push({ from: at, to: at, words: `${what} ${number(held_C)} ${unit}` });
  }
  return found;
}

function stripsOf(data) {
  const { start_C, ambient_C, saturation } = data.vessel;
  const same = (temperature_C) => temperature_C;
  const hot = marksOf(data, same, () => true, "°C", 1);
  const { minutes } = data;
  const low = Math.min(0, start_C, ambient_C);
  const high = 1.12 * Math.max(...hot.map((mark) => mark.to), 100, start_C);
  const temperature = { label: "Temperature", unit: "°C", digits: 1, of: same, marks: hot };
  const strips = [makeStrip({ ...temperature, minutes, low, high })];
  if (saturation) {
    const of = (temperature_C, steam_C) => pressureBar(data.vessel, temperature_C, steam_C);
    const marks = marksOf(data, of, (kind) => kind === "pressure switch", "bar", 2);
    const most = 1.15 * Math.max(...marks.map((mark) => mark.to), 1);
    const gauge = { label: "Gauge pressure", unit: "bar", digits: 2, of, marks };
    strips.push(makeStrip({ ...gauge, minutes, low: 0, high: most }));
  }
  return strips;
}

function makeView(data, alone, hands) {
  const id = `hcp-${++serial}-${Math.random().toString(36).slice(2, 8)}`;
  const { svg, movable, show: draw } = readDrawing(data);
  let shown = ""; // the state on show
  let listed = 0; // events in the list
  let unsaid = 0; // events that the status line has not told
  let lastSaid_ms = 0;

  // --- what there is to show -------------------------------------------------------------------
  const start = button("Start", hands.startOrPause);
  start.classList.add("hcp-start");
  const step = button("Next event", hands.leap);
  const restart = button("Start over", () => hands.again());
  const words = data.speeds.map((speed) => (speed === 1 ? "as in life" : `${speed} times as fast`));
  const speeds = chooser("Speed", words, (index) => hands.choose(data.speeds[index]));
  const bar = make("div", "hcp-play", "", [start, step, restart, speeds.node]);

  const numbers = make("div", "hcp-numbers");
  const figure = (label) => {
    const value = make("strong");
    numbers.append(make("div", "", "", [make("span", "", label), value]));
    return value;
  };
  const time = figure("Time");
  const temperature = figure("Temperature");
  const pressure = data.vessel.saturation ? figure("Gauge pressure") : null;
  const power = figure("Power drawn");
  const water = data.vessel.water_kg > 0 ? figure("Water left") : null;
  const strips = stripsOf(data);
  const said = make("p", "hcp-said");
  said.setAttribute("role", "status");
  said.setAttribute("aria-live", "polite");

  const live = liveLine(data);

  const positions = movable.map((part, move) =>
    HAND.has(part.kind) ? radios(`${id}-${move}`, part, (to) => hands.turn(move, to)) : null,
  );
  const faults = chooser(
    "Fault (a new choice starts over)",
    data.faults.map((fault) => fault?.words ?? "none"),
    (index) => hands.again(data.faults[index]?.words ?? null),
  );
  const contacts = data.contacts[0].map(({ name }) => {
    const place = make("span");
    const state = make("span");
    const node = make("li", "", "", [make("strong", "", name), state, place]);
    return { node, state, place };
  });
  const listOf = (className, heading, list) => {
    const head = make("p", "hcp-heading", heading);
    head.id = `${id}-${className}`;
    list.setAttribute("aria-labelledby", head.id);
    return make("div", className, "", [head, list]);
  };
  const happened = make("ol");
  happened.tabIndex = 0; // it scrolls, so the keyboard must reach it
  const acting = listOf("hcp-acting", "Automatic contacts", make("ul"));
  acting.lastChild.append(...contacts.map((contact) => contact.node));
  acting.hidden = contacts.length === 0;

  const labelled = movable.map((part, move) => {
    const groups = pick(svg, ".hc-contact", { part: part.name });
    const resets = data.contacts[0].some((c) => c.part === move && c.resettable);
    if (!HAND.has(part.kind) && !resets) {
      groups.forEach((group) => group.classList.add("hcp-acts"));
      return null;
    }
    return makeButton(groups, (by, wrap) => hands.press(move, by, wrap));
  });

  const key = make("p", "hcp-key", "○ opens, ● closes");
  key.hidden = contacts.length === 0;
  const drawing = make("div", "hcp-left", "", [
    make("div", "hcp-scroll", "", [svg]),
    said,
    live.node,
  ]);
  const curves = make("div", "hcp-run", "", [...strips.map((strip) => strip.node), key]);
  const choices = [...positions.filter(Boolean), faults].map((choice) => choice.node);
  const below = make("div", "hcp-left", "", [make("div", "hcp-choices", "", choices), acting]);
  const told = listOf("hcp-happened", "What has happened, newest first", happened);
  const root = make("div", "hcp hcp-heating", "", [
    make("p", "hcp-title", alone ? "" : data.title),
    bar,
    numbers,
    make("div", "hcp-blocks", "", [drawing, curves, below, told]),
    make("p", "hcp-caution", data.caution),
  ]);
  root.setAttribute("role", "group");
  root.setAttribute("aria-label", `Live heating run: ${data.title}`);
  keepKeys(root);

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
      setText(place, `; its place is at ${place_C.toFixed(1)} °C`);
    });
    const stage = [run.time_s > 0, run.steam_C === null];
    const now = `${run.positions},${run.short},${playing},${over},${stage}`;
    if (now !== shown) showState(run, playing, over);
    shown = now;
    if (run.events.length > listed) list(run);
    if (unsaid && (!playing || performance.now() - lastSaid_ms > SAY_MS)) tell(run);
  }

  // After a short circuit nothing is on, so there is no row of values to show.
  function showState(run, playing, over) {
    draw(run.short ? null : run.row, run.positions, data.faults[run.fault], run.short);
    live.show(run.short ? null : run.row);
    setText(power, run.short ? "0 W" : run.row[1]);
    setText(start, playing ? "Pause" : startWord(run));
    setText(power.previousSibling, playing || run.time_s > 0 ? "Power drawn" : "Power at start");
    start.disabled = step.disabled = over;
    movable.forEach((part, move) => {
      positions[move]?.show(run.positions[move]);
      labelled[move]?.setAttribute("aria-label", labelFor(part, run.positions[move]));
    });
    contacts.forEach(({ state }, i) => {
      const contact = run.contacts[i];
      setText(state, stateOf({ ...contact, ...run.saidOf(contact) }, run.positions[contact.part]));
    });
  }

  function startWord(run) {
    return run.time_s > 0 ? "Go on" : "Start";
  }

  function labelFor(part, position) {
    if (HAND.has(part.kind)) return labelOf(part, position);
    const open = position === 1;
    return `${part.name} ${part.kind}, ${open ? "open. Press to reset" : "closed"}`;
  }

  function stateOf(contact, position) {
    const { kind } = data.parts.find((part) => part.name === contact.name);
    if (contact.stuck) return ` ${kind}: ${contact.stuck}, held there by its fault`;
    if (position === 0) return ` ${kind}: closed, opens at ${contact.opens_at}`;
    if (contact.closes_C !== null) return ` ${kind}: open, closes at ${contact.closes_at}`;
    const next = contact.resettable ? "press it in the drawing to reset it" : "stays open";
    return ` ${kind}: open, ${next}`;
  }

  function list(run) {
    const fresh = run.events.slice(Math.max(listed, run.events.length - MOST_LISTED));
    const items = fresh.map(({ time_s, what }) =>
      make("li", "", "", [make("span", "hcp-when", clock(time_s)), make("span", "", what)]),
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
    // what is told at rest only
    describe(run, speed) {
      strips.forEach((strip) => strip.describe(run));
      speeds.show(data.speeds.indexOf(speed));
      faults.show(run.fault);
    },
    // another run is to be shown
    afresh(run) {
      [shown, listed, unsaid] = ["", 0, 0];
      happened.replaceChildren();
      setText(said, `Press ${startWord(run)}. ${SWITCH_HINT}`);
      strips.forEach((strip) => strip.afresh());
    },
    // `done` is called when the curves must be drawn again: another size, another theme
    watch(done) {
      const repaint = () => {
        strips.forEach((strip) => strip.afresh());
        done();
      };
      const sized = new ResizeObserver(repaint);
      sized.observe(curves);
      const themed = new MutationObserver(repaint);
      themed.observe(document.body, { attributeFilter: ["data-jp-theme-light"] });
      const dark = window.matchMedia("(prefers-color-scheme: dark)");
      dark.addEventListener("change", repaint);
      return () => {
        sized.disconnect();
        themed.disconnect();
        dark.removeEventListener("change", repaint);
      };
    },
  };
}
