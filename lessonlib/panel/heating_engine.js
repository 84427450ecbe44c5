// A heating run that is moved on by hand: the browser's twin of `heat_up` in lessonlib/heat, with
// the same closed forms (segment.py) and the same order of things at an event (run.py). No DOM, no
// clock. Everything the solver and the property library know comes in the table that Python sent;
// tests hold events and curves against `heat_up`.

// How much warmer it is after some seconds, K, when `net_W` is the net heat at their start.
export function riseK(net_W, loss_W_per_K, capacity_J_per_K, seconds) {
  if (loss_W_per_K === 0) return (net_W * seconds) / capacity_J_per_K;
  return (net_W / loss_W_per_K) * -Math.expm1((-loss_W_per_K * seconds) / capacity_J_per_K);
}

// Seconds until it is `rise` K warmer (colder where negative); infinite if it never is.
export function secondsTo(rise, net_W, loss_W_per_K, capacity_J_per_K) {
  if (net_W === 0 || rise > 0 !== net_W > 0) return Infinity;
  const share = (loss_W_per_K * rise) / net_W; // of the way to the steady temperature
  if (share >= 1) return Infinity;
  if (share < 1e-300) return (capacity_J_per_K * rise) / net_W; // no losses to speak of
  return (-capacity_J_per_K / loss_W_per_K) * Math.log1p(-share);
}

// Gauge pressure in the vessel, bar, by straight lines through the logarithms of the table.
export function pressureBar(vessel, temperature_C) {
  const line = vessel.saturation;
  if (!line) return 0;
  if (vessel.held_C !== null && temperature_C >= vessel.held_C) return vessel.relief_bar;
  const place = (temperature_C - line.from_C) / line.step_K;
  if (place < 0) return 0;
  const last = line.ln_Pa.length - 2;
  const index = Math.min(Math.floor(place), last);
  const [low, high] = [line.ln_Pa[index], line.ln_Pa[index + 1]];
  const absolute_Pa = Math.exp(low + (high - low) * Math.min(place - index, 1));
  return Math.max((absolute_Pa - vessel.atmosphere_Pa) / 1e5, 0);
}

// The state of a run. Between two events it is one stretch in closed form, so that reading it as
// often as one likes changes nothing: where frames fall has no influence on the events.
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
    this.mode = "warming";
    this.short = ""; // path of the short circuit that has opened the circuit's own protection
    this.reset_s = new Map(); // when a hand last reset a contact
    this.ended = ""; // why the model has no more to say
    this.events = [];
    this.stretches = [];
    this.start_C = this.vessel.start_C;
    this.start_kg = this.vessel.water_kg;
    this.waiting = true; // what was turned has not acted yet
    this.begin();
  }

  // Row of the table that the present positions give.
  get row() {
    const { rows, index } = this.table;
    return rows[index[`0,0,${this.fault},${this.positions.join(",")}`]];
  }

  get stretch() {
    return this.stretches.at(-1);
  }

  get temperature_C() {
    return this.temperatureAt(this.stretch, this.time_s);
  }

  get pressure_bar() {
    return pressureBar(this.vessel, this.temperature_C);
  }

  get water_kg() {
    return this.waterAt(this.stretch, this.time_s);
  }

  // On to a time, through every event on the way.
  advanceTo(time_s) {
    if (time_s > this.time_s) this.act();
    while (!this.ended && this.stretch.until_s <= time_s) this.arrive();
    if (!this.ended) this.time_s = Math.max(time_s, this.time_s);
  }

  // On to the next event, or to a time if that is sooner.
  advanceToNext(limit_s) {
    this.act();
    if (this.ended) return;
    if (this.stretch.until_s <= limit_s) this.arrive();
    else this.time_s = limit_s;
  }

  // A hand moves a switch, or resets a fuse. It acts with `act`, or when time goes on, so that all
  // moves of one moment can act together.
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

  // What was turned acts: a new stretch begins here.
  act() {
    if (!this.waiting || this.ended) return;
    this.waiting = false;
    [this.start_C, this.start_kg] = [this.temperature_C, this.water_kg];
    this.settle();
  }

  // Temperature and time along the run, from one time to another: at each event, and at each step.
  *curve(from_s, to_s, step_s) {
    let first = this.stretches.length - 1;
    while (first > 0 && this.stretches[first].from_s > from_s) first -= 1;
    for (let index = first; index < this.stretches.length; index += 1) {
      const stretch = this.stretches[index];
      const end_s = Math.min(this.stretches[index + 1]?.from_s ?? to_s, to_s);
      for (let time_s = Math.max(stretch.from_s, from_s); time_s < end_s; time_s += step_s) {
        yield [time_s, this.temperatureAt(stretch, time_s)];
      }
      yield [end_s, this.temperatureAt(stretch, end_s)];
      if (end_s >= to_s) return;
    }
  }

  // --- from event to event ---------------------------------------------------------------------
  happens(kind, what, part = "", position = "") {
    const { time_s, temperature_C } = this;
    this.events.push({ time_s, kind, what, part, position, temperature_C });
  }

  arrive() {
    const { stretch } = this;
    this.time_s = stretch.until_s;
    if (stretch.target_C !== null) {
      this.start_C = stretch.target_C; // exactly, so that what is due there is seen to be due
      this.start_kg = stretch.start_kg;
    } else {
      this.start_C = stretch.start_C;
      this.start_kg = 0;
      this.happens("dry", "boiled dry: the last water is gone");
    }
    this.settle();
    if (!this.ended && this.events.length > this.table.most_events) {
      this.end(
        `stopped after ${this.events.length} events, the last: ${this.events.at(-1).what}: ` +
          "a contact that moves this often chatters",
      );
    }
  }

  // What holds from now on, until the next event.
  settle() {
    this.begin();
    while (this.moveContacts()); // a new power makes a fuse's place warmer at once
    const path = this.row[0];
    if (path !== null && !this.short) {
      this.short = path;
      const fate = "the circuit's own protection opens, nothing is on";
      this.happens("short", `short circuit ${path}: ${fate}`);
    }
    const { loss_W_per_K, ambient_C } = this.vessel;
    const net_W = this.heat_W - loss_W_per_K * (this.start_C - ambient_C);
    this.setMode(net_W);
    this.plan(net_W);
    this.setBeyond(net_W);
  }

  // A stretch from now on; `plan` says how it goes.
  begin() {
    const { time_s, start_C, start_kg } = this;
    if (this.stretches.length && this.stretch.from_s === time_s) this.stretches.pop();
    const capacity = this.capacity(start_kg);
    this.stretches.push({ from_s: time_s, start_C, start_kg, capacity, target_C: null, net_W: 0 });
  }

  // What each element gives, in the order of the file.
  get element_W() {
    const found = this.row[7];
    return this.short ? found.map(() => 0) : found;
  }

  get heat_W() {
    return this.element_W.reduce((sum, power_W) => sum + power_W, 0);
  }

  // How much warmer the contact's place is than the vessel.
  extraK({ placed_on, rise_K_per_W }) {
    return placed_on === null ? 0 : rise_K_per_W * this.element_W[placed_on];
  }

  // Every self-acting contact to where the temperature now has it; whether any moved.
  moveContacts() {
    const due = this.contacts
      .map((contact) => ({ ...contact, extra_K: this.extraK(contact) }))
      .filter(({ part, opens_C, closes_C, extra_K }) =>
        this.positions[part] === 0
          ? opens_C !== null && this.start_C >= opens_C - extra_K
          : closes_C !== null && this.start_C <= closes_C,
      );
    for (const { name, part, stuck, words, opens_at, extra_K } of due) {
      const position = this.positions[part] === 0 ? "open" : "closed";
      this.positions[part] = position === "open" ? 1 : 0;
      const moved = position === "open" ? "opens" : "closes";
      const kind = stuck === null ? moved : "stuck";
      let what = words[position];
      if (kind === "opens" && this.reset_s.get(part) === this.time_s) {
        const place = `its place is at ${(this.start_C + extra_K).toFixed(1)} °C`;
        what = `${name} opens again at once: ${place}, and it opens at ${opens_at}`;
      }
      this.happens(kind, what, name, stuck ?? position);
    }
    return due.length > 0;
  }

  setMode(net_W) {
    const { held_C, held_as, relief_bar } = this.vessel;
    const held = this.start_kg > 0 && this.start_C === held_C && net_W > 0;
    const before = this.mode;
    this.mode = held ? held_as : "warming";
    if (this.mode === before) return;
    if (this.mode === "boiling") {
      this.happens("boils", `the water boils at ${this.start_C.toFixed(1)} °C`);
    } else if (this.mode === "venting") {
      const bar = Number(relief_bar.toPrecision(6));
      this.happens("vents", `the relief valve lifts at ${bar} bar gauge`);
    } else if (this.start_kg > 0) {
      const stops = before === "boiling" ? "the water stops boiling" : "the relief valve closes";
      this.happens("stops", stops);
    }
  }

  setBeyond(net_W) {
    const { start_C, start_kg, vessel } = this;
    const high = this.highest_C(start_kg);
    if (start_kg > 0 && net_W < 0 && start_C <= vessel.freezes_C) {
      this.end("the run ends: freezing is beyond this model");
    } else if (net_W > 0 && start_C >= high) {
      this.end(`the run ends: above ${high} °C is beyond this model`);
    } else if (this.capacity(start_kg) === 0) {
      this.end("the run ends: a dry vessel without heat capacity");
    }
  }

  end(what) {
    Object.assign(this.stretch, { mode: "warming", net_W: 0, until_s: Infinity });
    this.happens("beyond", what);
    this.ended = what;
  }

  plan(net_W) {
    const { stretch, mode, start_C, start_kg, vessel } = this;
    const target_C = mode === "warming" ? this.nextTemperature(net_W > 0) : null;
    let wait_s = Infinity;
    if (mode !== "warming") {
      wait_s = (start_kg * vessel.latent_J_per_kg) / net_W;
    } else if (target_C !== null) {
      wait_s = secondsTo(target_C - start_C, net_W, vessel.loss_W_per_K, stretch.capacity);
    }
    Object.assign(stretch, { mode, net_W, target_C, until_s: this.time_s + wait_s });
  }

  // The nearest temperature ahead at which something happens, or null.
  nextTemperature(rising) {
    const { start_C, start_kg, vessel } = this;
    const marks = this.contacts.map((contact) => {
      const { part, opens_C, closes_C } = contact;
      if (this.positions[part] !== 0) return rising ? null : closes_C;
      return rising && opens_C !== null ? opens_C - this.extraK(contact) : null;
    });
    if (rising) marks.push(this.highest_C(start_kg), start_kg > 0 ? vessel.held_C : null);
    else if (start_kg > 0) marks.push(vessel.freezes_C);
    const isAhead = (mark) => (rising ? mark > start_C : mark < start_C);
    const ahead = marks.filter((mark) => mark !== null && isAhead(mark));
    if (!ahead.length) return null;
    return rising ? Math.min(...ahead) : Math.max(...ahead);
  }

  capacity(kg) {
    return this.vessel.heat_capacity_J_per_K + kg * this.vessel.water_J_per_kgK;
  }

  highest_C(kg) {
    return this.vessel.sealed && kg > 0 ? this.vessel.sealed_limit_C : this.vessel.dry_limit_C;
  }

  temperatureAt({ mode, start_C, from_s, net_W, capacity, target_C }, time_s) {
    if (mode !== "warming" || time_s === from_s || net_W === 0) return start_C;
    const found = start_C + riseK(net_W, this.vessel.loss_W_per_K, capacity, time_s - from_s);
    if (target_C === null) return found; // not past the mark ahead, by rounding
    return net_W > 0 ? Math.min(found, target_C) : Math.max(found, target_C);
  }

  waterAt({ mode, start_kg, from_s, net_W }, time_s) {
    if (mode === "warming" || net_W === 0) return start_kg;
    return Math.max(start_kg - (net_W / this.vessel.latent_J_per_kg) * (time_s - from_s), 0);
  }
}
