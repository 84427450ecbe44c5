// The live heating run, which plays without a kernel. A run is told by what a hand moved and when
// (`moves`), and by its time: that is what is saved, and what Python sets. See heating.py.

import { follow } from "../page/exchange.js";
import { byHand, stepped } from "./drawing.js";
import { HeatingRun } from "./heating_engine.js";
import { makeView } from "./heating_view.js";

const LONGEST_FRAME_S = 0.25; // after a pause of the page, as when its tab was hidden, it goes on
const REPORT_MS = 500; // how often lessons hear of a run that is playing
const STEP_MS = 1000; // how often numbers change for who asked for less motion

function render({ model, el }) {
  const data = model.get("table");
  const end_s = data.minutes * 60;
  const movable = data.parts.filter((part) => part.positions.length);
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  let run = null;
  let moves = []; // [seconds, part, position] for each move of a hand
  let playing = false;
  let frame = 0;
  let last = { frame: 0, shown: 0, reported: 0 }; // ms, when each was last done
  let own = false; // a change of the model that is of our own making

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
  // The run that the model tells, from its start.
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

  // What lessons observe, and what a saved notebook keeps.
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

  // --- hands -----------------------------------------------------------------------------------
  // A press in the drawing: on a switch, or on a fuse, which it can only close.
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
      // before the start, what counts is where it stands in the end
      moves = moves.filter((earlier) => earlier[1] !== name);
      if (position !== data.start[move]) moves.push(moved);
    }
    if (run.time_s === 0 || together) {
      // all moves of one moment act together, so what the earlier ones did is undone
      change({ moves, time_s: run.time_s });
      rebuild();
    } else {
      run.turn(move, position);
      run.act();
      show();
    }
    report();
  }

  // Cold again, with the switches where they stand, and with another fault where one is named.
  function again(fault = model.get("fault")) {
    halt();
    const stand = movable.flatMap((part, move) => {
      const now = run.positions[move];
      return byHand(part) && now !== data.start[move] ? [[0, part.name, part.positions[now]]] : [];
    });
    change({ fault, time_s: 0, moves: stand });
    rebuild();
    view.say(fault ? `Start over, with the fault ${fault}.` : "Start over: all is cold again.");
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
      view.say(`The ${data.minutes} minutes of this run are over. Start over.`);
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

  // --- hearing of changes ----------------------------------------------------------------------
  let due = false;
  function hearMove() {
    if (own || due) return;
    due = true; // several traits change at once: one rebuild
    queueMicrotask(() => {
      due = false;
      halt(); // someone else has moved the run
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
  rebuild();
  const unwatch = view.watch(show);
  return () => {
    if (playing) pause();
    unwatch();
    unfollow();
  };
}

export default { render };
