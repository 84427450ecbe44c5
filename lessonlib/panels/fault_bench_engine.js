// What the meter shows at a fault bench, and what that rules out. A test is
// [unhooked, range, setting, red, black]: numbers, but for the range, "Ω" or "V". No page here.

const STEPS = 2000; // of the last digit in a range of the meter
const LEAST_STEP = { "Ω": 0.1, V: 0.001 };
const MOST_OFF = 0.008; // share of a reading; with the rounding it stays within the meter's 1 %

// The hidden fault of a seed and what is wrong with the meter; `drawn` in fault_bench_data.py.
export function drawn(data, seed) {
  let state = (seed % 2147483646) + 1;
  const draw = (count) => {
    state = (state * 48271) % 2147483647;
    return Math.floor((state * count) / 2147483647);
  };
  for (let i = 0; i < 3; i++) draw(1);
  const tier = data.tiers[draw(data.tiers.length)];
  const fault = tier[draw(tier.length)];
  return { fault, off: (MOST_OFF * (draw(201) - 100)) / 100, leads: 0.1 + 0.1 * draw(4) };
}

// The number of a setting, from the positions of the hand-operated switches.
export const settingOf = (switches, positions) =>
  switches.reduce((number, part, i) => number * part.positions.length + positions[i], 0);

// The number of the column that has what a test shows.
function columnOf(data, [unhooked, range, setting, red, black]) {
  const { points, rows } = data.loose[unhooked];
  const i = points.indexOf(red);
  const j = points.indexOf(black);
  const low = Math.min(i, j);
  const high = Math.max(i, j);
  const pair = (low * (2 * points.length - low - 1)) / 2 + high - low - 1;
  const row = (i > j && rows[`${range} back`]) || rows[range];
  return row[setting][pair];
}

// [least, usual, most] that the test shows with each fault.
const rangesOf = (data, test) =>
  data.columns[columnOf(data, test)].map((place) => data.values[place]);

// What the meter shows, rounded as it rounds; infinite for an open path.
export function readingOf(data, hidden, test) {
  const range = test[1];
  const [, usual] = rangesOf(data, test)[hidden.fault];
  const leads = range === "Ω" ? hidden.leads : 0;
  const value = usual * (1 + hidden.off) + leads;
  if (usual >= data.top[range] || value >= data.top[range]) return Infinity;
  const step = stepOf(value, range);
  return Math.round(value / step) * step;
}

// The step of the last digit at a reading.
export function stepOf(value, range) {
  let step = LEAST_STEP[range];
  while (value >= STEPS * step) step *= 10;
  return step;
}

// Whether each fault can give that reading.
export function fitting(data, test, value) {
  const top = data.top[test[1]];
  return rangesOf(data, test).map(([least, , most]) =>
    value === Infinity ? most >= top : least <= value && value <= most,
  );
}

// What one would have read with that fault; infinite for open.
export function usually(data, test, fault) {
  const [least, usual] = rangesOf(data, test)[fault];
  const top = data.top[test[1]];
  return least >= top || usual >= top ? Infinity : usual;
}

export const everyFault = (data) => data.faults.map((_, fault) => fault);

// The tests taken, one after the other: what each showed, whether each fault can give that, the
// faults that it newly ruled out, and those left after it.
export function judged(data, hidden, taken) {
  let left = everyFault(data);
  return taken.map((test) => {
    const value = readingOf(data, hidden, test);
    const fits = fitting(data, test, value);
    const out = left.filter((fault) => !fits[fault]);
    left = left.filter((fault) => fits[fault]);
    return { test, value, fits, out, left };
  });
}

// The numbers of the tests that alone leave as few faults as all do, later ones left out first.
export function enough(data, done) {
  const count = (some) =>
    everyFault(data).filter((fault) => some.every(({ fits }) => fits[fault])).length;
  let needed = done;
  for (const each of [...done].reverse()) {
    const others = needed.filter((other) => other !== each);
    if (count(others) === count(done)) needed = others;
  }
  return needed.map((each) => done.indexOf(each) + 1);
}

// Where one has to get at for a test; `place_of` in bench_test.py.
export function placeOf(data, [unhooked, , , red, black]) {
  if (unhooked) return "wire off";
  const ends = [data.points[red], data.points[black]];
  if (!ends.every(({ strip }) => strip)) return "case open";
  return ends.some(({ name }) => name === data["plug fuse"]) ? "in the plug" : "at the plug";
}

// Whether the case is open for it.
export const inside = (data, test) => ["case open", "wire off"].includes(placeOf(data, test));

// `faults` by what a test shows: those whose ranges overlap stay together.
function grouped(data, test, faults) {
  const column = data.columns[columnOf(data, test)];
  const groups = [];
  let reached = -1;
  for (const fault of [...faults].sort((one, other) => column[one] - column[other])) {
    const [least, , most] = data.values[column[fault]];
    if (least > reached) groups.push([]);
    groups.at(-1).push(fault);
    reached = Math.max(reached, most);
  }
  return groups;
}

// The test that tells most about the faults `left` for its trouble, and the groups into which it
// splits them; null if no test tells any of them apart. `best_test` in separate.py has the same.
export function nextTest(data, left, opened) {
  const most = Math.log2(left.length); // bits, where each fault has an outcome of its own
  let best = { told: 0 };
  for (const advised of data.advised) {
    const trouble = advised[opened ? 6 : 5];
    if (most / trouble <= best.told) continue;
    const test = advised.slice(0, 5);
    const groups = grouped(data, test, left);
    const shares = groups.map((group) => group.length / left.length);
    const bits = shares.reduce((sum, share) => sum - share * Math.log2(share), 0);
    const told = Math.round((bits / trouble) * 1e9) / 1e9;
    if (told > best.told) best = { told, test, groups };
  }
  return best.told ? best : null;
}

// The plan's way to a fault: its tests, each with the faults that it leaves, and those at its end.
export function planFor(data, fault) {
  const steps = [];
  let end = everyFault(data);
  let opened = false;
  for (let next; (next = nextTest(data, end, opened)); ) {
    end = next.groups.find((group) => group.includes(fault));
    steps.push({ test: next.test, left: end.length });
    opened ||= inside(data, next.test);
  }
  return { steps, end };
}
