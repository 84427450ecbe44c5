// Plays a heating run, without a kernel. A run is given by what was moved by hand and when
// (`moves`), and by its time: this is what is saved. See heating.py.

import { stayAt } from "../page/kit.js";
import { byHand, keep, stepped } from "./drawing.js";
import { HeatingRun } from "./heating_engine.js";
import { makeView } from "./heating_view.js";

const LONGEST_FRAME_S = 0.25; // after a pause of the page, as when its tab was hidden
const REPORT_MS = 500; // how often Python is told how far a playing run is
const STEP_MS = 1000; // how often numbers change for people who ask for less motion

function render({ model, el }) {
  const data = model.get("table");
  const end_s = data.minutes * 60;
  const movable = data.parts.filter((part) => part.positions.length);
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  let run = null;
  let moves = model.get("moves"); // [seconds, part, position] for each move by hand
  let playing = false;
  let frame = 0;
  let last = { frame: 0, shown: 0, reported: 0 }; // ms, when each was last done

  const view = makeView(data, Boolean(model.get("alone")), {
    startOrPause: () => (playing ? pause() : play()),
    leap,
    again,
    turn,
    press,
    choose: (speed) => keep(model, { speed }),
  });
  const over = () => Boolean(run.ended) || run.time_s >= end_s;
  const show = () => view.show(run, playing, over());

  // The run with all its moves, from its start up to some time.
  function rebuild(time_s) {
    const fault = data.faults.findIndex((one) => (one?.words ?? null) === model.get("fault"));
    run = new HeatingRun(data, fault, data.start);
    for (const [moved_s, name, position] of moves) {
      const move = movable.findIndex((part) => part.name === name);
      run.advanceTo(moved_s);
      run.turn(move, movable[move].positions.indexOf(position));
    }
    run.advanceTo(time_s);
    run.act();
    view.afresh(run);
    rest();
  }

  // What Python can read, and what a saved notebook keeps.
  function report() {
    const stand = movable.map((part, move) => {
      const stuck = run.contacts.find((contact) => contact.part === move)?.stuck;
      return [part.name, stuck ?? part.positions[run.positions[move]]];
    });
    const { time_s, temperature_C } = run;
    keep(model, { time_s, temperature_C, positions: Object.fromEntries(stand), moves });
    last.reported = performance.now();
  }

  // --- controls --------------------------------------------------------------------------------
  // A press in the drawing: on a switch, or on a fuse, which can only be closed.
  function press(move, by, wrap) {
    const part = movable[move];
    const next = stepped(run.positions[move], by, wrap, part.positions.length);
    turn(move, byHand(part) ? next : 0);
  }

  function turn(move, position) {
    if (run.ended || position === run.positions[move]) return;
    const { name, positions } = movable[move];
    const moved = [run.time_s, name, positions[position]];
    const together = moves.at(-1)?.[0] === run.time_s;
    moves = [...moves, moved];
    if (run.time_s === 0) {
      // before the start, only the last position counts
      moves = moves.filter((earlier) => earlier[1] !== name);
      if (position !== data.start[move]) moves.push(moved);
    }
    if (run.time_s === 0 || together) {
      rebuild(run.time_s); // moves at the same time act together: undo what the earlier ones did
    } else {
      run.turn(move, position);
      run.act();
      show();
    }
    report();
  }

  // Start over, cold, with the switches as they are, and with another fault if one is given.
  function again(fault = model.get("fault")) {
    halt();
    moves = movable.flatMap((part, move) => {
      const now = run.positions[move];
      return byHand(part) && now !== data.start[move] ? [[0, part.name, part.positions[now]]] : [];
    });
    keep(model, { fault });
    rebuild(0);
    view.say(`Started over: everything is cold${fault ? `, with the fault ${fault}` : ""}.`);
    report();
  }

  // --- playing ---------------------------------------------------------------------------------
  function play() {
    if (over()) return;
    playing = true;
    last.frame = performance.now();
    frame = requestAnimationFrame(tick);
    show();
    report();
  }

  function halt() {
    playing = false;
    cancelAnimationFrame(frame);
  }

  function rest() {
    show();
    view.describe(run, model.get("speed"));
  }

  function pause() {
    halt();
    rest();
    report();
    if (!run.ended && over()) {
      view.say(`The ${data.minutes} minutes of this run are over. Press Start over.`);
    }
  }

  function leap() {
    run.advanceToNext(end_s);
    pause();
  }

  function tick(now) {
    const seconds = Math.min(Math.max(now - last.frame, 0) / 1000, LONGEST_FRAME_S);
    last.frame = now;
    run.advanceTo(Math.min(run.time_s + seconds * model.get("speed"), end_s));
    if (over()) return pause();
    frame = requestAnimationFrame(tick);
    if (calm.matches && now - last.shown < STEP_MS) return;
    last.shown = now;
    show();
    if (now - last.reported > REPORT_MS) report();
  }

  el.append(view.root);
  stayAt(view.root);
  rebuild(model.get("time_s"));
  return () => playing && pause();
}

export default { render };
