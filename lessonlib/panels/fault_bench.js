// A fault bench: two probes on the drawing, a meter, and a fault to name. Everything is computed in
// the page (fault_bench_engine.js); the model keeps what was done, for Python and a saved notebook.

import { replyRegion, write } from "../page/exchange.js";
import {
  labelled, liveRegion, make, makeButton, makeSelect, setText, textBox, withAttributes,
} from "../page/kit.js";
import {
  byHand, chooser, frame, keep, labelOf, partButton, pick, readDrawing, stepped,
} from "./drawing.js";
import { drawn, judged, placeOf, planFor, readingOf, settingOf } from "./fault_bench_engine.js";
import { makePoints, PROBES, STRIP } from "./fault_bench_points.js";
import {
  endWords, namesOf, nextWords, ruling, shown, takenWords, wrongWords,
} from "./fault_bench_words.js";

const STORY =
  "One thing is wrong with it, and it is unplugged. Put the probes on two points of the drawing, " +
  "turn its switches, read the meter, and name the fault.";
const KEYS =
  "Press a point, or Tab to the points: arrow keys go from one to the next, Enter puts a probe " +
  "there, R or B the red or the black one.";
// Scale of the drawing: a finger hits a point, and with the meter it fits a laptop's screen.
const SMALLEST = 0.92;
const LARGEST = 1.1;
const BESIDE = 50; // px, for the name beside a point
const NOTHING = "– – –";

function faultList(data) {
  const select = makeSelect([["", "Choose a fault"]]);
  const groups = new Map();
  data.faults.forEach(([group, words], number) => {
    if (!groups.has(group)) groups.set(group, withAttributes(make("optgroup"), { label: group }));
    groups.get(group).append(Object.assign(make("option", "", words), { value: number }));
  });
  select.append(...groups.values());
  return select;
}

function render({ model, el }) {
  const data = model.get("table");
  const { svg, width, movable, show: draw } = readDrawing(data);
  const switches = movable.filter(byHand);
  let hidden = null;
  let done = []; // the tests taken, each with what it showed and ruled out
  let positions = data.start;
  let probes = { red: null, black: null };
  let unhooked = 0;
  let range = "Ω";

  // --- what there is to show -------------------------------------------------------------------
  pick(svg, ".hc-node-condition").forEach((words) => words.remove()); // nothing is live
  const wide = Math.max(width, ...data.points.map(({ x }) => x + BESIDE));
  const high = Number(svg.getAttribute("height")) + STRIP;
  withAttributes(svg, { width: wide, height: high, viewBox: `0 ${-STRIP} ${wide} ${high}` });
  Object.assign(svg.style, { minWidth: `${SMALLEST * wide}px`, maxWidth: `${LARGEST * wide}px` });
  const points = makePoints(svg, data.points, put);
  const contactsOf = (part) => pick(svg, ".hc-contact", { part: part.name });
  const automatic = movable.filter((part) => !byHand(part)).flatMap(contactsOf);
  automatic.forEach((contact) => contact.classList.add("hcp-acts"));
  const buttons = switches.map((part) =>
    partButton(contactsOf(part), (step, wrap) => turn(part, step, wrap)),
  );
  const seed = Object.assign(textBox("", "hcb-seed"), { inputMode: "numeric" });
  seed.addEventListener("change", () => {
    const fine = /^\s*\d{1,6}\s*$/.test(seed.value);
    if (fine) begin(Number(seed.value));
    else tell(`Found the seed "${seed.value}"; accepted: a whole number from 0 to 999999.`);
  });
  const another = makeButton("Another fault", () => begin((model.get("seed") + 1) % 1000000));
  const head = make(
    "div", "hck-row hcb-head", make("p", "", `Level ${data.level}. ${STORY}`),
    labelled("Seed", seed), another,
  );
  const display = make("div", "hcb-display", NOTHING);
  const leads = PROBES.map(({ name, sign }) => {
    const at = make("span");
    const mark = make("span", `hcb-sign hcb-${name}`, sign);
    const node = make("p", "", withAttributes(mark, { "aria-hidden": "true" }), `${name}: `, at);
    return { node, name, at };
  });
  const said = liveRegion("p", "hcp-said");
  const ranges = data.loose[0].rows.V ? ["Ω", "V"] : ["Ω"];
  const rangeList = chooser("Range", ["ohms", "diode test"].slice(0, ranges.length), (number) => {
    range = ranges[number];
    read("");
  });
  const looseList = chooser("Wires off", data.loose.map(({ name }) => name || "none"), unhook);
  const log = withAttributes(make("ol", "hcb-log"), { "aria-label": "Your tests" });
  const choice = faultList(data);
  const reply = withAttributes(replyRegion(), { tabindex: -1 }); // has the focus at the end
  const plan = make("div", "hcb-plan");
  const naming = make(
    "div", "hck-row hcb-naming", labelled("The fault is", choice),
    makeButton("Name it", name, "hck-main"), makeButton("Which test next?", advise),
    makeButton("Show me", () => end("shown")),
  );
  const meter = make(
    "div", "hck-row hcb-meter", display, make("div", "", ...leads.map(({ node }) => node)),
    rangeList.node, looseList.node,
  );
  const scroll = make("div", "hck-scroll hcp-scroll", svg);
  const left = make("div", "hcp-left", scroll, make("p", "hcb-keys", KEYS));
  left.style.flexBasis = svg.style.minWidth;
  const right = make("div", "hcb-right", meter, said, log, naming, reply, plan);
  const main = make("div", "hck-row hcp-main hcb-main", left, right);
  const root = frame("Fault bench", "hck hcp hcb", data, Boolean(model.get("alone")), head, main);

  // --- doing ------------------------------------------------------------------------------------
  const tell = (text) => setText(said, text);

  // Puts a probe on a point: that of `which`, or the one whose turn it is. On its own point it is
  // picked up; with both down, a new test begins with the red one.
  function put(point, which) {
    const { points: allowed, name } = data.loose[unhooked];
    if (!allowed.includes(point)) {
      return tell(`With ${name} unhooked, measure at its own ends. Or put its wires back on.`);
    }
    const here = PROBES.find((probe) => probes[probe.name] === point)?.name;
    const free = PROBES.find((probe) => probes[probe.name] === null)?.name;
    if (here && !which) probes = { ...probes, [here]: null };
    else if (which) probes = { ...probes, ...(here ? { [here]: null } : {}), [which]: point };
    else if (free) probes = { ...probes, [free]: point };
    else probes = { red: point, black: null };
    read("");
  }

  function turn(part, step, wrap) {
    const move = movable.indexOf(part);
    const next = stepped(positions[move], step, wrap, part.positions.length);
    if (next === positions[move]) return;
    positions = positions.with(move, next);
    read(`${part.name} ${part.positions[next]}. `);
  }

  function unhook(number) {
    unhooked = number;
    probes = { red: null, black: null };
    const { name } = data.loose[number];
    read(name ? `${name} is unhooked: measure at its own ends. ` : "All wires are on again. ");
  }

  // The test that the probes and switches make now.
  function present() {
    const turned = switches.map((part) => positions[movable.indexOf(part)]);
    return [unhooked, range, settingOf(switches, turned), probes.red, probes.black];
  }

  // Reads the meter, where both probes are down, and tells what that rules out.
  function read(before) {
    const { red, black } = probes;
    if (red === null || black === null) {
      const next = red === null ? PROBES[0] : PROBES[1];
      const other = red === null ? black : red;
      const there = other === null ? "" : `${red === null ? "Black" : "Red"} on ${nameOf(other)}. `;
      tell(`${before}${there}Put the ${next.name} probe (${next.sign}) on a point.`);
      return show();
    }
    const test = present();
    const value = readingOf(data, hidden, test);
    const text = takenWords(data, { test, value }).join(": ");
    const same = done.findIndex((other) => other.test.join() === test.join());
    if (same >= 0 || model.get("ended")) {
      tell(`${before}${text}${same >= 0 ? `, as in test ${same + 1}` : ""}.`);
    } else {
      keep(model, { taken: [...model.get("taken"), test] });
      if (!reply.dataset.verdict) write(reply, ""); // advice from before this test
      showDone();
      tell(`${before}Test ${done.length}: ${text}; ${ruling(done.at(-1))}.`);
    }
    show();
  }

  const nameOf = (point) => data.points[point].name;

  function name() {
    if (choice.value === "") return write(reply, "Choose a fault first.", "unread");
    if (model.get("ended")) return;
    const fault = Number(choice.value);
    if (planFor(data, hidden.fault).end.includes(fault)) return end("found");
    keep(model, { wrong: [...model.get("wrong"), data.faults[fault][1]] });
    write(reply, wrongWords(data, done, fault), "wrong");
  }

  function advise() {
    write(reply, nextWords(data, done));
  }

  function end(how) {
    if (model.get("ended")) return;
    keep(model, { ended: how });
    showDone();
    reply.focus();
  }

  function begin(number) {
    keep(model, { seed: number, taken: [], wrong: [], ended: "" });
    rebuild(`Another fault, seed ${number}. `);
  }

  // --- showing ----------------------------------------------------------------------------------
  // The tests taken, and at the end the plan beside them.
  function showDone() {
    done = judged(data, hidden, model.get("taken"));
    const ended = model.get("ended");
    const line = (before, test, after) => {
      const [where, reading] = takenWords(data, test);
      return make("li", "", `${before}${where}: `, make("strong", "", reading), `, ${after}`);
    };
    const lines = done.map((test) => {
      const node = line("", test, ruling(test));
      const which = make("summary", "", "which");
      if (ended && test.out.length) {
        node.append(make("details", "", which, namesOf(data, test.out)));
      }
      return node;
    });
    log.replaceChildren(...lines);
    naming.hidden = Boolean(ended);
    plan.replaceChildren();
    if (!ended) return;
    const told = endWords(data, hidden.fault, ended, done, model.get("wrong"));
    write(reply, told, ended === "found" ? "right" : "");
    const steps = planFor(data, hidden.fault).steps.map(({ test, left }) => {
      const value = readingOf(data, hidden, test);
      return line(`${placeOf(data, test)}: `, { test, value }, `${left} left`);
    });
    const title = make("strong", "", "The plan's tests, from the plug inwards");
    plan.append(make("p", "", title), make("ol", "hcb-log", ...steps));
  }

  function show() {
    const both = probes.red !== null && probes.black !== null;
    setText(display, both ? shown(readingOf(data, hidden, present()), range) : NOTHING);
    for (const { name: probe, at } of leads) {
      setText(at, probes[probe] === null ? "in hand" : nameOf(probes[probe]));
    }
    draw(null, positions, null);
    points.show(probes, data.loose[unhooked].points);
    switches.forEach((part, i) => {
      buttons[i].setAttribute("aria-label", labelOf(part, positions[movable.indexOf(part)]));
    });
  }

  function rebuild(news = "") {
    hidden = drawn(data, model.get("seed"));
    positions = data.start;
    probes = { red: null, black: null };
    unhooked = 0;
    range = "Ω";
    [rangeList, looseList].forEach((list) => list.show(0));
    seed.value = model.get("seed");
    choice.value = "";
    write(reply, "");
    showDone();
    read(news);
  }

  el.append(root);
  rebuild();
}

export default { render };
