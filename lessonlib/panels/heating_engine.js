// Computes a heating run in the browser: the twin of `heat_up`, with the same order at an event
// (heat/stepping.py). No DOM, no clock. What takes the solver, and the figures of water, are in the
// table that Python sent; tests compare events and curves with `heat_up`.

import { HELD, overSteam, pressureBar, riseK, secondsTo } from "./heating_physics.js";

const VALVE_OPEN = ["venting", "blowing"];

// The state of a run. Between two events it is one stretch in closed form, so events do not depend
// on how often it is read or when frames are drawn.
export class HeatingRun {
  // `fault` is an index into the table's faults, `positions` hold one index for each movable part.
  constructor(table, fault, positions) {
    this.table = table;
    this.vessel = table.vessel;
    this.contacts = table.contacts[fault];
    this.movable = table.parts.filter((part) => part.positions.length);
    this.fault = fault;
    this.positions = [...positions];
    this.time_s = 0;
    this.temperature_C = this.vessel.start_C;
    this.water_kg = this.vessel.water_kg;
    this.mode = "warming";
    this.short = ""; // path of the short circuit that has opened the circuit's own protection
    this.reset_s = new Map(); // when a contact was last reset by hand
    this.ended = ""; // why the model has stopped
    this.events = [];
    this.stretches = [];
    this.steam_C = null; // the hottest since it boiled dry, where it holds steam
    this.burns = false; // whether it has been hot enough for a fire
    this.waiting = true; // whether a move is still to act
  }

  // Row of the table that the present positions give.
  get row() {
    const { rows, index } = this.table;
    return rows[index[`0,0,${this.fault},${this.positions.join(",")}`]];
  }

  get stretch() {
    return this.stretches.at(-1);
  }

  get pressure_bar() {
    return pressureBar(this.vessel, this.temperature_C, this.steam_C);
  }

  // What each element gives, in the order of the file.
  get element_W() {
    const found = this.row[7];
    return this.short ? found.map(() => 0) : found;
  }

  get heat_W() {
    return this.element_W.reduce((sum, power_W) => sum + power_W, 0);
  }

  // Go on to a time, through every event on the way.
  advanceTo(time_s) {
    if (time_s <= this.time_s) return;
    this.act();
    while (!this.ended && this.stretch.until_s <= time_s) this.arrive();
    if (this.ended) return;
    this.time_s = time_s;
    this.temperature_C = this.temperatureAt(this.stretch, time_s);
    this.water_kg = this.waterAt(this.stretch, time_s);
  }

  // Go on to the next event, or to a time if that is sooner.
  advanceToNext(limit_s) {
    this.act();
    this.advanceTo(Math.min(this.stretch.until_s, limit_s));
  }

  // Move a switch or reset a fuse by hand. It acts with `act`, or when time goes on, so that moves
  // at the same time act together.
  turn(part, position) {
    if (this.ended) return;
    const { name, positions } = this.movable[part];
    let what = `${name} turned to ${positions[position]}`;
    if (this.contacts.some((contact) => contact.part === part)) {
      this.reset_s.set(part, this.time_s);
      what = `${name} reset by hand`;
      if (this.positions[part] === position) what += ", which changes nothing: it is closed";
    }
    this.positions[part] = position;
    this.happens("turned", what, name, positions[position]);
    this.waiting = true;
  }

  // Let the moves act: a new stretch begins here.
  act() {
    if (this.waiting && !this.ended) this.settle();
  }

  // Time, temperature and `steam_C` along the run, from one time to another: at each event, and at
  // each step.
  *curve(from_s, to_s, step_s) {
    let first = this.stretches.length - 1;
    while (first > 0 && this.stretches[first].from_s > from_s) first -= 1;
    for (let index = first; index < this.stretches.length; index += 1) {
      const stretch = this.stretches[index];
      const end_s = Math.min(this.stretches[index + 1]?.from_s ?? to_s, to_s);
      for (let time_s = Math.max(stretch.from_s, from_s); time_s < end_s; time_s += step_s) {
        yield [time_s, this.temperatureAt(stretch, time_s), stretch.steam_C];
      }
      yield [end_s, this.temperatureAt(stretch, end_s), stretch.steam_C];
      if (end_s >= to_s) return;
    }
  }

  // How much warmer the contact's place is than the vessel.
  extraK({ placed_on, rise_K_per_W }) {
    return placed_on === null ? 0 : rise_K_per_W * this.element_W[placed_on];
  }

  // Its words, which no longer name the temperature of saturated steam once the vessel is dry.
  saidOf(contact) {
    return this.steam_C === null ? contact : contact.dry;
  }

  // --- from event to event ---------------------------------------------------------------------
  happens(kind, what, part = "", position = "") {
    const { time_s, temperature_C, steam_C } = this;
    this.events.push({ time_s, kind, what, part, position, temperature_C, steam_C });
  }

  arrive() {
    const { until_s, target_C, start_C } = this.stretch;
    this.time_s = until_s;
    this.temperature_C = target_C ?? start_C; // exactly, so that what is due there does happen
    if (target_C === null) {
      this.water_kg = 0;
      if (this.vessel.sealed) this.steam_C = start_C;
      this.happens("dry", "boiled dry: the last water is gone");
    }
    this.settle();
  }

  // Work out what holds from now until the next event.
  settle() {
    this.waiting = false;
    // warmer than ever since it boiled dry: steam has left, so less is there
    if (this.steam_C !== null) this.steam_C = Math.max(this.steam_C, this.temperature_C);
    while (this.moveContacts()); // a new power makes the place of a fuse warmer at once
    this.tripOnShort();
    const { loss_W_per_K, ambient_C } = this.vessel;
    const net_W = this.heat_W - loss_W_per_K * (this.temperature_C - ambient_C);
    this.setMode(net_W);
    this.catchFire();
    this.stopBeyond(net_W);
    if (this.stretch?.from_s === this.time_s) this.stretches.pop();
    this.stretches.push(this.stretchFromNow(net_W));
  }

  isClosed({ part }) {
    return this.positions[part] === 0;
  }

  // Vessel temperature at which a contact leaves its position: warming where it is closed, cooling
  // where it is open. Null where it stays.
  turnC(contact) {
    const closed = this.isClosed(contact);
    const wet_C = closed ? contact.opens_C : contact.closes_C;
    if (wet_C === null) return null;
    const share = closed ? contact.opens_share : contact.closes_share;
    return overSteam(wet_C, share, this.steam_C) - (closed ? this.extraK(contact) : 0);
  }

  isDue(contact) {
    const turn_C = this.turnC(contact);
    if (turn_C === null) return false;
    return this.isClosed(contact) ? this.temperature_C >= turn_C : this.temperature_C <= turn_C;
  }

  // Move every self-acting contact that is due at this temperature; returns whether any moved.
  moveContacts() {
    const due = this.contacts.filter((contact) => this.isDue(contact));
    const places_C = due.map((contact) => this.temperature_C + this.extraK(contact));
    due.forEach((contact, i) => {
      const { name, part, stuck } = contact;
      const { words, opens_at } = this.saidOf(contact);
      const opens = this.isClosed(contact);
      const position = opens ? "open" : "closed";
      this.positions[part] = Number(opens);
      let what = words[position];
      if (opens && stuck === null && this.reset_s.get(part) === this.time_s) {
        const place = `its place is at ${places_C[i].toFixed(1)} °C`;
        what = `${name} opens again at once: ${place}, and it opens at ${opens_at}`;
      }
      const moved = opens ? "opens" : "closes";
      this.happens(stuck === null ? moved : "stuck", what, name, stuck ?? position);
    });
    return due.length > 0;
  }

  // In a short circuit the supply goes off, for the rest of the run.
  tripOnShort() {
    const path = this.row[0];
    if (path === null || this.short) return;
    this.short = path;
    const fate = "the circuit's own protection opens, nothing is on";
    this.happens("short", `short circuit ${path}: ${fate}`);
  }

  setMode(net_W) {
    const { held_C, held_as, relief_bar } = this.vessel;
    const { mode: before, temperature_C, water_kg, steam_C } = this;
    this.mode = "warming";
    if (net_W > 0 && water_kg > 0 && temperature_C === held_C) this.mode = held_as;
    else if (net_W > 0 && steam_C !== null && temperature_C >= steam_C) this.mode = "blowing";
    if (this.mode === before) return;
    const [wasOpen, isOpen] = [before, this.mode].map((mode) => VALVE_OPEN.includes(mode));
    if (this.mode === "boiling") {
      this.happens("boils", `the water boils at ${temperature_C.toFixed(1)} °C`);
    } else if (before === "boiling" && water_kg > 0) {
      this.happens("stops", "the water stops boiling");
    } else if (isOpen && !wasOpen) {
      const bar = Number(relief_bar.toPrecision(6));
      this.happens("vents", `the relief valve lifts at ${bar} bar gauge`);
    } else if (wasOpen && !isOpen) {
      this.happens("stops", "the relief valve closes");
    }
  }

  // The first time that it is hot enough for a fire.
  catchFire() {
    if (this.burns || this.temperature_C < this.vessel.fire_C) return;
    this.burns = true;
    this.happens("fire", this.vessel.words.fire);
  }

  // Where the model has no more to say, with the event that says so.
  stopBeyond(net_W) {
    const { temperature_C, water_kg, events } = this;
    const { freezes_C, words } = this.vessel;
    const end = (kind, what) => {
      this.happens(kind, what);
      this.ended = what;
    };
    if (water_kg > 0 && net_W < 0 && temperature_C <= freezes_C) end("beyond", words.freezes);
    else if (net_W > 0 && temperature_C >= this.highest_C) {
      if (water_kg > 0) end("bursts", words.bursts);
      else end("melts", words.melts);
    } else if (this.capacity === 0) end("beyond", words.weightless);
    else if (events.length > this.table.most_events) {
      const last = `stopped after ${events.length} events, the last: ${events.at(-1).what}`;
      end("beyond", `${last}: a contact that moves this often chatters`);
    }
  }

  // From this moment to the next event, or for ever.
  stretchFromNow(net_W) {
    const { time_s, temperature_C, water_kg, steam_C, mode, vessel, capacity } = this;
    const from = { from_s: time_s, start_C: temperature_C, start_kg: water_kg, steam_C, capacity };
    const still = { mode: "warming", net_W: 0, target_C: null, until_s: Infinity };
    if (this.ended) return { ...from, ...still };
    const held = HELD.includes(mode);
    const target_C = held ? null : this.nextTemperature(net_W > 0);
    let wait_s = Infinity;
    if (held) {
      wait_s = (water_kg * vessel.latent_J_per_kg) / net_W;
    } else if (target_C !== null) {
      wait_s = secondsTo(target_C - temperature_C, net_W, vessel.loss_W_per_K, capacity);
    }
    return { ...from, mode, net_W, target_C, until_s: time_s + wait_s };
  }

  // The nearest temperature ahead at which something happens, or null.
  nextTemperature(rising) {
    const { temperature_C, water_kg, vessel } = this;
    const leaving = this.contacts.filter((contact) => this.isClosed(contact) === rising);
    const marks = leaving.map((contact) => this.turnC(contact));
    if (rising) {
      marks.push(this.highest_C, water_kg > 0 ? vessel.held_C : null);
      marks.push(this.steam_C, this.burns ? null : vessel.fire_C);
    } else if (water_kg > 0) {
      marks.push(vessel.freezes_C);
    }
    const isAhead = (mark) => (rising ? mark > temperature_C : mark < temperature_C);
    const ahead = marks.filter((mark) => mark !== null && isAhead(mark));
    if (!ahead.length) return null;
    return rising ? Math.min(...ahead) : Math.max(...ahead);
  }

  get capacity() {
    return this.vessel.heat_capacity_J_per_K + this.water_kg * this.vessel.water_J_per_kgK;
  }

  get highest_C() {
    const { bursts_C, melts_C } = this.vessel;
    return bursts_C !== null && this.water_kg > 0 ? bursts_C : melts_C;
  }

  temperatureAt({ mode, start_C, from_s, net_W, capacity, target_C }, time_s) {
    if (HELD.includes(mode) || time_s === from_s || net_W === 0) return start_C;
    const found = start_C + riseK(net_W, this.vessel.loss_W_per_K, capacity, time_s - from_s);
    if (target_C === null) return found; // rounding must not take it past the mark ahead
    return net_W > 0 ? Math.min(found, target_C) : Math.max(found, target_C);
  }

  waterAt({ mode, start_kg, from_s, net_W }, time_s) {
    if (!HELD.includes(mode) || net_W === 0) return start_kg;
    return Math.max(start_kg - (net_W / this.vessel.latent_J_per_kg) * (time_s - from_s), 0);
  }
}
