// Plays a heating run, without a kernel. A run is given by what was moved by hand and when
// (`moves`), and by its time: this is what is saved, and what Python sets. See heating.py.

import { follow } from "../page/exchange.js";
import { stayAt } from "../page/kit.js";
import { byHand, stepped } from "./drawing.js";
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
  let moves = []; // [seconds, part, position] for each move by hand
  let playing = false;
  let frame = 0;
  let last = { frame: 0, shown: 0, reported: 0 }; // ms, when each was last done
  let own = false; // whether a change of the model is our own

  const view = makeView(data, Boolean(model.get("alone")), {
    startOrPause: () => (playing ? pause() : play()),
    leap,
    again,
    turn,
    press,
    choose(speed) {
      change({ speed });
      model.save_changes();
    },
  });
  const over = () => Boolean(run.ended) || run.time_s >= end_s;
  const show = () => view.show(run, playing, over());

  // --- the model -------------------------------------------------------------------------------
  // The run that the model describes, from its start.
  function rebuild() {
    moves = model.get("moves");
    const fault = data.faults.findIndex((one) => (one?.words ?? null) === model.get("fault"));
    run = new HeatingRun(data, fault, data.start);
    for (const [time_s, name, position] of moves) {
      const move = movable.findIndex((part) => part.name === name);
      run.advanceTo(time_s);
      run.turn(move, movable[move].positions.indexOf(position));
    }
    run.advanceTo(model.get("time_s"));
    run.act();
    view.afresh(run);
    rest();
  }

  function change(values) {
    own = true;
    for (const [name, value] of Object.entries(values)) model.set(name, value);
    own = false;
  }

  // What Python can observe, and what a saved notebook keeps.
  function report() {
    const stand = movable.map((part, move) => {
      const stuck = run.contacts.find((contact) => contact.part === move)?.stuck;
      return [part.name, stuck ?? part.positions[run.positions[move]]];
    });
    const { time_s, temperature_C } = run;
    const positions = Object.fromEntries(stand);
    change({ time_s, temperature_C, positions, moves, running: playing });
    model.save_changes();
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
      // moves at the same time act together: undo what the earlier ones did
      change({ moves, time_s: run.time_s });
      rebuild();
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
    const stand = movable.flatMap((part, move) => {
      const now = run.positions[move];
      return byHand(part) && now !== data.start[move] ? [[0, part.name, part.positions[now]]] : [];
    });
    change({ fault, time_s: 0, moves: stand });
    rebuild();
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

  // --- changes from outside --------------------------------------------------------------------
  let due = false;
  function hearMove() {
    if (own || due) return;
    due = true; // several traits may change at once: rebuild once
    queueMicrotask(() => {
      due = false;
      halt(); // Python has moved the run
      rebuild();
    });
  }
  function hearPause() {
    if (!own && playing && !model.get("running")) pause();
  }
  const unfollow = follow(model, {
    "time_s moves fault": hearMove,
    running: hearPause,
    speed: () => view.describe(run, model.get("speed")),
  });
  el.append(view.root);
  stayAt(view.root);
  rebuild();
  const unwatch = view.watch(show);
  return () => {
    if (playing) pause();
    unwatch();
    unfollow();
  };
}

export default { render };
